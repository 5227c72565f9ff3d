package web

import (
	"embed"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"rowen/say"
)

//go:embed texts/*.toml
var textFiles embed.FS

// saidSection keeps, in a language's file, the sentences that are not the pages' own:
// those by which the rooms below say what they found, each by its English.
const saidSection = "said"

// texts are the words of the pages in one language, by key, and the language of the
// sentences that pages show. Another language is another file with the same keys.
type texts struct {
	words map[string]string
	said  say.Tongue // nil: English
}

// English is every word that Rowen says to a person, as the file from which another
// language is made: the pages' words by key, then the sentences by their English.
func English() ([]byte, error) {
	own, err1 := textFiles.ReadFile("texts/en.toml")
	said, err2 := textFiles.ReadFile("texts/said.toml")
	return append(append(own, '\n'), said...), errors.Join(err1, err2)
}

// readTexts reads a language's words, which may be nil for English. What the language
// does not have stays English; what cannot be put in the place of the English is
// refused, all at once.
func readTexts(language []byte) (*texts, error) {
	data, err := textFiles.ReadFile("texts/en.toml")
	if err != nil {
		return nil, err
	}
	t := &texts{}
	if t.words, _, err = sections("texts/en.toml", data); err != nil || language == nil {
		return t, err
	}
	if data, err = textFiles.ReadFile("texts/said.toml"); err != nil {
		return nil, err
	}
	_, english, err := sections("texts/said.toml", data)
	if err != nil {
		return nil, err
	}
	own, said, err := sections("language", language)
	if err != nil {
		return nil, err
	}
	var wrong []error
	for _, key := range sorted(own) {
		was, ok := t.words[key]
		if err := fits(was, own[key]); !ok {
			wrong = append(wrong, fmt.Errorf("language: %s: no text of Rowen's has this key: take it out", key))
		} else if err != nil {
			wrong = append(wrong, fmt.Errorf("language: %s: %w", key, err))
		}
		t.words[key] = own[key]
	}
	for _, pattern := range sorted(said) {
		if _, ok := english[pattern]; !ok {
			wrong = append(wrong, fmt.Errorf("language: %q: Rowen does not say this: take it out", pattern))
		} else if err := fits(pattern, said[pattern]); err != nil {
			wrong = append(wrong, fmt.Errorf("language: %q: %w", pattern, err))
		}
	}
	t.said = said
	return t, errors.Join(wrong...)
}

// sections reads a language's file: a key is its section, a dot and its name.
func sections(name string, data []byte) (words map[string]string, said say.Tongue, err error) {
	var file map[string]map[string]string
	if err := toml.Unmarshal(data, &file); err != nil {
		var where *toml.DecodeError
		if errors.As(err, &where) {
			row, _ := where.Position()
			return nil, nil, fmt.Errorf("%s:%d: %w", name, row, err)
		}
		return nil, nil, fmt.Errorf("%s: %w", name, err)
	}
	words, said = map[string]string{}, say.Tongue{}
	for section, texts := range file {
		for key, text := range texts {
			switch {
			case section != saidSection:
				words[section+"."+key] = text
			case text != "": // empty: not yet put into the language
				said[key] = text
			}
		}
	}
	return words, said, nil
}

func sorted(m map[string]string) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// fits tells whether a text takes the arguments that the English takes: the same verbs,
// in their order, or all numbered as %[2]s.
func fits(english, own string) error {
	want, err := verbs(english)
	if err != nil {
		return nil // a word with a bare percent sign: it takes no arguments and is never formatted
	}
	got, err := verbs(own)
	if err != nil {
		return err
	}
	if !slices.Equal(want, got) {
		return fmt.Errorf("%q takes %s; the English takes %s", own, inWords(got), inWords(want))
	}
	return nil
}

func inWords(verbs []string) string {
	if len(verbs) == 0 {
		return "nothing"
	}
	return strings.Join(verbs, " ")
}

// wide is a width or a precision that no text has.
var wide = regexp.MustCompile(`[0-9]{2,}(?:[^0-9\]]|$)`)

// verbs are the arguments that a pattern of package fmt takes, each by the letter of
// how it is written, in the order of the arguments.
func verbs(pattern string) ([]string, error) {
	var out []string
	next := 0
	for i := 0; i < len(pattern); i++ {
		if pattern[i] != '%' {
			continue
		}
		end := i + 1
		for end < len(pattern) && strings.IndexByte("+-#0123456789.[]", pattern[end]) >= 0 {
			end++
		}
		if end == len(pattern) {
			return nil, fmt.Errorf("%q ends within a %%: write %%%% for the sign itself", pattern)
		}
		flags, verb := pattern[i+1:end], pattern[end]
		i = end
		if verb == '%' {
			continue
		}
		if wide.MatchString(flags) {
			return nil, fmt.Errorf("%q: %%%s%c is wider than a line; leave the width out", pattern, flags, verb)
		}
		if strings.IndexByte("sdfqvg", verb) < 0 {
			return nil, fmt.Errorf("%q: %%%c is none of Rowen's; write %%%% for the sign itself", pattern, verb)
		}
		if open := strings.IndexByte(flags, '['); open >= 0 {
			n := 0
			if _, err := fmt.Sscanf(flags[open:], "[%d]", &n); err != nil || n < 1 || n > 20 {
				return nil, fmt.Errorf("%q: the number in brackets is none from 1 to 20", pattern)
			}
			next = n - 1
		}
		for len(out) <= next {
			out = append(out, "")
		}
		out[next] = "%" + string(verb)
		next++
	}
	if slices.Contains(out, "") {
		return nil, fmt.Errorf("%q leaves an argument out", pattern)
	}
	return out, nil
}

// say gives a text with its arguments, which are put into the language too. A key that
// is wanting shows itself: a test finds it before a person does.
func (t *texts) say(key string, args ...any) string {
	text, ok := t.words[key]
	if !ok {
		return "[" + key + "]"
	}
	for i, a := range args {
		args[i] = t.said.Say(a)
	}
	return fmt.Sprintf(text, args...)
}

// cite gives a source: the work in its own words, how its value was read in the
// reader's.
func (t *texts) cite(of any) string {
	source := fmt.Sprint(of)
	if at := strings.LastIndex(source, " ("); at >= 0 && strings.HasSuffix(source, ")") {
		work, reading := source[:at], source[at+2:]
		return work + " (" + t.said.Word(strings.TrimSuffix(reading, ")")) + ")"
	}
	return t.said.Word(source)
}

// key gives a key of a document in words; one that has none stays what it is.
func (t *texts) key(name string) string {
	if text, ok := t.words["key."+strings.ReplaceAll(name, ".", "_")]; ok {
		return text
	}
	return name
}

// part gives tenths of a field as people say them.
func (t *texts) part(tenths int) string {
	switch tenths {
	case 1:
		return t.say("season.tenth")
	case 5:
		return t.say("season.half")
	}
	return t.say("season.tenths", tenths)
}
