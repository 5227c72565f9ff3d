package document

import (
	"fmt"
	"unicode"
	"unicode/utf8"
)

// The most that names and other lines a person writes may have, in characters.
const (
	MaxName = 200
	MaxLine = 10_000
)

// WrongName is what is wrong with a name, and what to do; empty where nothing is. A
// missing name is not its affair.
func WrongName(name string) string { return wrong(name, "the name", MaxName) }

// WrongLine is what is wrong with a line of text, such as how somebody is reached, and
// what to do; empty where nothing is.
func WrongLine(line string) string { return wrong(line, "the line", MaxLine) }

func wrong(text, thing string, most int) string {
	if !utf8.ValidString(text) {
		return thing + " is not valid UTF-8 text; write it as UTF-8"
	}
	if n := utf8.RuneCountInString(text); n > most {
		return fmt.Sprintf("%s has %d characters; %d are the most", thing, n, most)
	}
	for _, c := range text {
		if unicode.IsControl(c) {
			return thing + " holds a control character; leave it out"
		}
	}
	return ""
}
