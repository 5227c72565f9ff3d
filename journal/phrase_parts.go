package journal

import (
	"regexp"
	"slices"
	"strings"

	"rowen/quantity"
)

// longestPart is the number of words in the longest amount or date.
const longestPart = 3

// span is up to n words from the present one, joined, and how many they are.
func (p *phrase) span(from, n int) (string, bool) {
	if from+n > len(p.tokens) {
		return "", false
	}
	return strings.Join(p.tokens[from:from+n], " "), true
}

// note takes the rest of the phrase.
func (p *phrase) note() bool {
	if p.lower[p.at] != "note" && p.lower[p.at] != "note:" {
		return false
	}
	p.entry.Note = strings.Join(p.raw[p.at+1:], " ")
	p.at = len(p.tokens)
	return true
}

// placed reads "lot W1": a place's word and then its name.
func (p *phrase) placed() bool {
	i := slices.Index(placeNames[:], p.lower[p.at])
	if i < 0 || p.at+1 >= len(p.tokens) || !slices.Contains(p.schema.takes, place(i)) {
		return false
	}
	name, n := p.match(p.at+1, p.names(place(i)))
	if n == 0 && place(i) == inLot { // a cut may make a lot
		name, n = p.tokens[p.at+1], 1
	}
	at := place(i).named(&p.entry)
	if n == 0 || *at != "" {
		return false
	}
	*at = name
	p.at += 1 + n
	return true
}

// name reads a known name and puts it where the kind first has room for it.
func (p *phrase) name() bool {
	best := max(p.amountWords(p.at), p.dateWords(p.at), p.countWords(p.at))
	var found string
	var spot *string
	for _, pl := range p.schema.takes {
		at := pl.named(&p.entry)
		name, n := p.match(p.at, p.names(pl))
		if *at == "" && n > 0 && n >= best && (spot == nil || n > best) {
			found, spot, best = name, at, n
		}
	}
	if crop := p.crop(); crop != nil {
		if name, n := p.match(p.at, cropNames(p.known.Crops)); n > 0 && n >= best && (spot == nil || n > best) {
			p.at += n
			return crop.read(canonical(name, p.known.Crops)) == nil
		}
	}
	if spot == nil {
		return false
	}
	*spot = found
	p.at += best
	return true
}

// crop is the crop's slot while it is empty.
func (p *phrase) crop() value {
	for _, s := range p.slots {
		if s.name == "crop" && s.value.text() == "" {
			return s.value
		}
	}
	return nil
}

// label reads "stubble 4 in": a value's name and then the value.
func (p *phrase) label() bool {
	for i, s := range p.slots {
		for _, name := range append([]string{strings.ReplaceAll(s.name, "_", " "), s.name}, s.also...) {
			_, n := p.match(p.at, []string{name})
			if n > 0 && p.labelled(i, p.at+n, strings.Join(p.tokens[p.at:p.at+n], " ")) {
				return true
			}
		}
	}
	return false
}

// labelled reads the value behind a label; from is where it begins.
func (p *phrase) labelled(i, from int, label string) bool {
	s := p.slots[i]
	if _, free := s.value.(word); free {
		if from == len(p.tokens) || s.value.text() != "" {
			return false
		}
		p.open, p.at = i, from
		return true
	}
	if _, isDay := s.value.(day); isDay {
		if d, n := p.dateAt(from); n > 0 && s.value.text() == "" {
			p.last, p.at = i, from+n
			return s.value.read(d.String()) == nil
		}
		return false
	}
	for n := longestPart; n > 0; n-- {
		if text, ok := p.span(from, n); ok && p.fillSlot(i, text) {
			p.at = from + n
			return true
		}
	}
	if s.value.text() != "" && s.name == "each" { // "980 lb each"
		p.at = from
		return true
	}
	if from < len(p.tokens) && startsNumber(p.tokens[from]) && s.value.text() == "" {
		n := max(1, p.amountWords(from))
		text, _ := p.span(from, n)
		if err := s.value.read(text); err != nil {
			p.at = from + n
			p.report(label+" "+text, remedy(err))
			return true
		}
	}
	return false
}

// fillSlot gives a text to a slot that is empty, or adds to a list.
func (p *phrase) fillSlot(i int, text string) bool {
	v := p.slots[i].value
	old := v.text()
	if list, ok := v.(lengths); ok && old != "" {
		if len(*list.at) >= MaxHeights {
			return false
		}
		a, err := Say[quantity.Length](text)
		if err == nil {
			*list.at = append(*list.at, a)
			p.last = i
		}
		return err == nil
	}
	if old != "" || v.read(text) != nil {
		return false
	}
	p.last = i
	return true
}

// date reads a date, once.
func (p *phrase) date() bool {
	d, n := p.dateAt(p.at)
	if n == 0 {
		return false
	}
	text, _ := p.span(p.at, n)
	p.at += n
	if p.dated {
		p.report(text, "a second date; an entry has one day: leave one of them out")
		return true
	}
	p.entry.Date, p.dated = d, true
	return true
}

// count reads "36 bales": a number and what it counts.
func (p *phrase) count() bool {
	i := p.counted(p.at)
	if i < 0 || !p.fillSlot(i, strings.ReplaceAll(p.tokens[p.at], ",", "")) {
		return false
	}
	p.at += 2
	if _, n := p.match(p.at-1, p.known.Groups); n > 0 && p.entry.Group == "" {
		p.at-- // "62 Heifers": the word is the group's name too
	}
	return true
}

// counted is the slot that a number and the noun behind it belong to, or -1.
func (p *phrase) counted(from int) int {
	if from+1 >= len(p.tokens) || !startsNumber(p.tokens[from]) {
		return -1
	}
	noun := p.lower[from+1]
	return slices.IndexFunc(p.slots, func(s slot) bool {
		_, ok := s.value.(count)
		return ok && (noun == s.name || slices.Contains(s.also, noun))
	})
}

// countWords is 2 where a number and its noun begin, else 0.
func (p *phrase) countWords(from int) int {
	if p.counted(from) < 0 {
		return 0
	}
	return 2
}

// amount reads an amount without a label.
func (p *phrase) amount() bool {
	if !startsNumber(p.tokens[p.at]) || p.product() {
		return false
	}
	n := max(1, p.amountWords(p.at))
	text, _ := p.span(p.at, n)
	p.at += n
	if plainer := strings.ReplaceAll(text, ",", ""); isPlain(plainer) {
		text = plainer // "1,200" head
	}
	for _, i := range p.following() {
		if _, free := p.slots[i].value.(word); !free && !p.slots[i].tagged && p.fillSlot(i, text) {
			return true
		}
	}
	advice := "there is no place for it here, or it has one already"
	if !isAmount(text) || isPlain(text) {
		advice = "what is it a number of? a unit is missing, or it is one number too many"
	}
	p.report(text, advice+"; write such as "+p.verb.example)
	return true
}

// product tells whether the present word is the name of a product that begins as a
// number does, where free words may stand: "2,4-D", "10-10-10".
func (p *phrase) product() bool {
	return p.open >= 0 && p.slots[p.open].name == "product" && p.amountWords(p.at) == 0 && digitName.MatchString(p.tokens[p.at])
}

// digitName is a name that begins with digits: one hyphen at least, so that a slip in
// a unit ("130 lbs/acr", "60lbac") is not taken for one.
var digitName = regexp.MustCompile(`^[0-9]+(,[0-9]+)*-[0-9A-Za-z]`)

// following are the slots, beginning behind the one filled last.
func (p *phrase) following() []int {
	out := make([]int, len(p.slots))
	for i := range out {
		out[i] = (p.last + 1 + i) % len(p.slots)
	}
	return out
}

// choice reads one of the words that a value may be.
func (p *phrase) choice() bool {
	for n := longestPart; n > 0; n-- {
		text, ok := p.span(p.at, n)
		if !ok {
			continue
		}
		for _, i := range p.following() {
			if !isChoice(p.slots[i].value) {
				continue
			}
			if p.slots[i].value.text() == "" && p.slots[i].value.read(text) == nil {
				// A word that fills nothing ("not looked") is understood all the same.
				if p.slots[i].value.text() != "" {
					p.last = i
				}
				p.at += n
				return true
			}
		}
	}
	return false
}

func isChoice(v value) bool {
	switch v.(type) {
	case choice[Use], choice[Leaf], choice[Basis], choice[NitrateForm]:
		return true
	}
	return false
}

var fillers = []string{"on", "in", "out", "at", "from", "to", "into", "of", "with", "by", "for", "the", "a", "an", "was", "were", "and", "about", "seen", "field"}

// filler passes over words that carry nothing.
func (p *phrase) filler() bool { return slices.Contains(fillers, p.lower[p.at]) }

// free adds a word to the kind's free text: a product, a stage.
func (p *phrase) free() bool {
	if p.open < 0 || p.slots[p.open].name == "crop" && len(p.known.Crops) > 0 {
		return false
	}
	v := p.slots[p.open].value
	return v.read(strings.TrimSpace(v.text()+" "+p.tokens[p.at])) == nil
}
