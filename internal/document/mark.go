package document

import "strings"

// Mark is a key whose line ends in a comment that says something of it.
type Mark struct {
	At    Place
	Thing string // the table's name, empty for the document's own keys
	Key   string
	Value string // a text or number as written, a table in braces as TOML writes it
	Kind  Kind
}

// Marked are the keys whose line's comment holds a word, in the order of the document.
func Marked(text []byte, word string) ([]Mark, error) {
	all, err := tables(text)
	if err != nil {
		return nil, err
	}
	var out []Mark
	for _, t := range all {
		if t.list == "" && t.path != "" {
			continue // a place names lists and the document alone
		}
		at := Place{t.list, t.index}
		values, err := t.values(text)
		if err != nil {
			return nil, err
		}
		for _, k := range t.keys {
			if _, comment, ok := strings.Cut(string(text[k.end:lineEnd(text, k.end)]), "#"); !ok || !strings.Contains(comment, word) {
				continue
			}
			m := Mark{At: at, Thing: values["name"], Key: k.name, Value: values[k.name], Kind: Text}
			if _, scalar := values[k.name]; !scalar {
				m.Value, m.Kind = string(text[k.value:k.end]), Table
			}
			out = append(out, m)
		}
	}
	return out, nil
}

// Unmark takes the comment that ends a key's line away.
func Unmark(text []byte, at Place, key string) ([]byte, error) {
	t, err := find(text, at)
	if err != nil {
		return nil, err
	}
	for _, k := range t.keys {
		if k.name == key {
			end := lineEnd(text, k.end)
			return splice(text, k.end, end, "\n"), nil
		}
	}
	return text, nil
}
