package document

import (
	"fmt"
	"unicode"
	"unicode/utf8"
)

// MaxName is the longest name of a thing, in characters.
const MaxName = 200

// WrongName is what is wrong with a name, and what to do; empty where nothing is. A
// missing name is not its affair.
func WrongName(name string) string {
	if !utf8.ValidString(name) {
		return "the name is not valid UTF-8 text; write it as UTF-8"
	}
	if n := utf8.RuneCountInString(name); n > MaxName {
		return fmt.Sprintf("the name has %d characters; %d are the most", n, MaxName)
	}
	for _, c := range name {
		if unicode.IsControl(c) {
			return "the name holds a control character; leave it out"
		}
	}
	return ""
}
