package web

import (
	"embed"
	"fmt"

	"github.com/pelletier/go-toml/v2"
)

//go:embed texts/*.toml
var textFiles embed.FS

// texts are the words of the pages in one language, by key. Another language is
// another file with the same keys.
type texts map[string]string

// readTexts reads a language's words; a key is its section, a dot and its name.
func readTexts(language string) (texts, error) {
	data, err := textFiles.ReadFile("texts/" + language + ".toml")
	if err != nil {
		return nil, err
	}
	var sections map[string]map[string]string
	if err := toml.Unmarshal(data, &sections); err != nil {
		return nil, fmt.Errorf("texts/%s.toml: %w", language, err)
	}
	t := texts{}
	for section, words := range sections {
		for name, text := range words {
			t[section+"."+name] = text
		}
	}
	return t, nil
}

// say gives a text with its arguments. A key that is wanting shows itself: a test finds
// it before a person does.
func (t texts) say(key string, args ...any) string {
	text, ok := t[key]
	switch {
	case !ok:
		return "[" + key + "]"
	case len(args) == 0:
		return text
	}
	return fmt.Sprintf(text, args...)
}
