package hazard

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"rowen/handbook"
)

const pageHead = `The safety rules, as the program applies them. Where sources differ the strictest stands.
The veterinarian, the laboratory, the label and local rules go before this page.
A fact that matters and is not known counts as its worst value and is named.
`

// kindNames are indexed by Kind; the first word asks for all rules of a kind.
var kindNames = [...]string{"ANIMALS: what they eat", "PEOPLE", "FIELDS: readiness, no safety of feed"}

// Hazards are the names of the hazards in the order of the page.
//
// Source: the rule table, Book.
func Hazards() []string {
	var names []string
	for k := range kindNames {
		for _, r := range everyRule() {
			if int(r.Kind) == k && !slices.Contains(names, r.Hazard) {
				names = append(names, r.Hazard)
			}
		}
	}
	return names
}

func everyRule() []Rule { return append(Book(), Standing()...) }

// Page is the rules that can hold or warn, on one page, grouped by hazard, each
// with its answer and the name of its source; fields, whose readiness is no
// safety of feed, are left to their own page. For one hazard, or the beginning of
// its name, or animals, people or fields, it is every rule of it, with notes and
// whole citations. A name that is none is an error that tells the names.
//
// Source: the rule table, Book.
func Page(hazard string) (string, error) {
	hazard = strings.ToLower(strings.TrimSpace(hazard))
	b := &strings.Builder{}
	b.WriteString(pageHead)
	if hazard == "" {
		b.WriteString("One hazard alone, with its remarks, what other sources print, and whole citations: rowen hazards nitrate\nReadiness of fields, which is no safety of feed: rowen hazards fields\n")
	}
	p := printer{out: b, whole: hazard != ""}
	kind := -1
	for _, name := range Hazards() {
		rules := of(name)
		k := int(rules[0].Kind)
		if !wanted(hazard, name, k) {
			continue
		}
		if k != kind {
			fmt.Fprintf(b, "\n%s\n", kindNames[k])
			kind = k
		}
		p.group(name, rules)
	}
	if kind < 0 {
		return "", fmt.Errorf("hazard %q is unknown; write one of: animals, people, fields, %s", hazard, strings.Join(Hazards(), ", "))
	}
	if p.whole {
		p.cite()
	}
	return b.String(), nil
}

// wanted tells whether a hazard is on the page that was asked for.
func wanted(asked, name string, kind int) bool {
	if asked == "" {
		return Kind(kind) != Field
	}
	return strings.HasPrefix(name, asked) || strings.HasPrefix(strings.ToLower(kindNames[kind]), asked)
}

// of are the rules of one hazard, the strictest first.
func of(name string) []Rule {
	var rules []Rule
	for _, r := range everyRule() {
		if r.Hazard == name {
			rules = append(rules, r)
		}
	}
	slices.SortStableFunc(rules, func(a, b Rule) int { return cmp.Compare(b.Answer, a.Answer) })
	return rules
}

// printer writes rules and, on a whole page, numbers their sources as they come.
type printer struct {
	out     *strings.Builder
	whole   bool
	sources []handbook.Source
}

func (p *printer) group(name string, rules []Rule) {
	fmt.Fprintf(p.out, " %s\n", name)
	for _, r := range rules {
		if !p.whole {
			if r.Answer != handbook.Clear {
				fmt.Fprintf(p.out, "  %-7s  %s (%s)\n", r.Answer, r.Text, short(r.Source))
			}
			continue
		}
		answer := r.Answer.String()
		if r.Answer == handbook.Clear {
			answer = "remark"
		}
		fmt.Fprintf(p.out, "  %-7s  %s [%d]\n", answer, r.Text, p.number(r.Source))
		if r.Note != "" {
			fmt.Fprintf(p.out, "           note: %s\n", r.Note)
		}
	}
}

// short is a source by its author and year; what was not read says so.
func short(s handbook.Source) string {
	if s.Author == "" {
		return s.Title
	}
	name, _, _ := strings.Cut(s.Author, ", by way")
	if s.Year != 0 {
		name = fmt.Sprintf("%s %d", name, s.Year)
	}
	if s.Reading != handbook.Read {
		name += ", " + s.Reading.String()
	}
	return name
}

func (p *printer) number(s handbook.Source) int {
	i := slices.Index(p.sources, s)
	if i < 0 {
		i = len(p.sources)
		p.sources = append(p.sources, s)
	}
	return i + 1
}

func (p *printer) cite() {
	p.out.WriteString("\nSources\n")
	for i, s := range p.sources {
		fmt.Fprintf(p.out, "  [%d] %s\n", i+1, s)
	}
}
