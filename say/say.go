// Package say keeps what a person is told apart from the language in which they are
// told it. A sentence is made once, where its facts are known, as an English pattern
// with its arguments; a face puts it into the reader's language. Where no other language
// is asked for, every sentence is plain English.
//
// It may import quantity only.
package say

import (
	"encoding/gob"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"rowen/quantity"
)

// Line is a sentence or part of one: its English pattern, which is also the key under
// which a language keeps its own, and the pattern's arguments. The nil Line says
// nothing. It is a slice so that an empty one is false to a template and left out of
// JSON.
type Line []any

func init() {
	// A Line's arguments are kept and sent as what they are.
	gob.Register(Line{})
	gob.Register(quantity.MonthDay{})
}

// That makes a line of a pattern of package fmt and its arguments. An argument may be a
// Line, a quantity.Date or MonthDay, a number or text; text that a language knows as a
// word of Rowen's is put into that language too, and any other, such as a name, stays.
func That(pattern string, args ...any) Line {
	l := make(Line, 1, 1+len(args))
	l[0] = pattern
	for _, a := range args {
		l = append(l, plain(a))
	}
	return l
}

// Name makes a line of text that is nobody's sentence: a name, or what a person wrote.
func Name(text string) Line {
	if text == "" {
		return nil
	}
	return Line{"%s", text}
}

// Join puts lines one behind another with a separator between them; those that say
// nothing are left out.
func Join(separator string, lines ...Line) Line {
	var pattern strings.Builder
	out := Line{""}
	for _, l := range lines {
		if len(l) == 0 {
			continue
		}
		if len(out) > 1 {
			pattern.WriteString(strings.ReplaceAll(separator, "%", "%%"))
		}
		pattern.WriteString("%s")
		out = append(out, l)
	}
	if len(out) == 1 {
		return nil
	}
	out[0] = pattern.String()
	return out
}

// And lists lines in a sentence: one, two and three.
func And(lines ...Line) Line {
	if len(lines) == 0 {
		return nil
	}
	all := lines[0]
	for i, l := range lines[1:] {
		if i == len(lines)-2 {
			return That("%s and %s", all, l)
		}
		all = That("%s, %s", all, l)
	}
	return all
}

// capital is the pattern of a line that begins with a capital letter.
const capital = "^%s"

// Start begins a sentence with the line: its first letter is a capital.
func Start(l Line) Line {
	if len(l) == 0 {
		return nil
	}
	return Line{capital, l}
}

// plain gives an argument as one of the kinds that a Line keeps.
func plain(a any) any {
	switch a := a.(type) {
	case Line, string, float64, int, quantity.MonthDay:
		return a
	case quantity.Date:
		return a.String()
	case int32:
		return int(a)
	case int64:
		return int(a)
	case uint16:
		return int(a)
	case uint8:
		return int(a)
	case error:
		return a.Error()
	case fmt.Stringer:
		return a.String()
	}
	return fmt.Sprint(a)
}

// String gives the line in English.
func (l Line) String() string { return l.In(nil) }

// In gives the line in a language; what the language does not know stays English.
func (l Line) In(t Tongue) string {
	if len(l) == 0 {
		return ""
	}
	pattern, ok := l[0].(string)
	if !ok {
		return ""
	}
	args := make([]any, len(l)-1)
	for i, a := range l[1:] {
		switch a := a.(type) {
		case Line:
			args[i] = a.In(t)
		case string:
			args[i] = t.Word(a)
		case quantity.MonthDay:
			args[i] = t.Day(a)
		default:
			args[i] = a
		}
	}
	if pattern == capital {
		text := fmt.Sprint(args...)
		first, size := utf8.DecodeRuneInString(text)
		return string(unicode.ToUpper(first)) + text[size:]
	}
	return fmt.Sprintf(t.pattern(pattern), args...)
}

// MarshalText writes the line in English: files and the API speak it.
func (l Line) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// UnmarshalText reads text as it is.
func (l *Line) UnmarshalText(text []byte) error {
	*l = Name(string(text))
	return nil
}

// Tongue is a language: its words, sentences and patterns by their English. The nil
// Tongue is English.
type Tongue map[string]string

// Word gives a word or whole sentence of Rowen's in the language, a day such as 1 Nov
// among them; any other text stays as it is.
func (t Tongue) Word(text string) string {
	if t == nil || text == "" {
		return text
	}
	if own, ok := t[text]; ok {
		return own
	}
	if day, month, ok := strings.Cut(text, " "); ok && len(month) == 3 && len(day) <= 2 {
		if own, ok := t[month]; ok && strings.Trim(day, "0123456789") == "" {
			return fmt.Sprintf(t.pattern("%d %s"), number(day), own)
		}
	}
	return text
}

func number(digits string) (n int) {
	for _, d := range digits {
		n = 10*n + int(d-'0')
	}
	return n
}

// Day gives a day of the year in the language.
func (t Tongue) Day(d quantity.MonthDay) string {
	if t == nil {
		return d.String()
	}
	return fmt.Sprintf(t.pattern("%d %s"), d.Day, t.Word(months[(d.Month+11)%12]))
}

// months are the short English names, by which a language keeps its own.
//
//say:words
var months = [...]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}

// Say gives anything that a page shows in the language: lines and text; what is
// neither stays what it is.
func (t Tongue) Say(v any) any {
	switch v := v.(type) {
	case Line:
		return v.In(t)
	case string:
		return t.Word(v)
	}
	return v
}

func (t Tongue) pattern(english string) string {
	if own, ok := t[english]; ok {
		return own
	}
	return english
}
