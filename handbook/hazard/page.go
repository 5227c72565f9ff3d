package hazard

import (
	"fmt"
	"slices"
	"strings"

	"rowen/handbook"
)

const pageHead = `The safety rules, as the program applies them. Where sources differ the strictest stands.
The veterinarian, the laboratory, the label and local rules go before this page.
A fact that matters and is not known counts as its worst value and is named.
`

var kindNames = [...]string{"ANIMALS: what they eat", "PEOPLE", "FIELDS: readiness, no safety of feed"}

// Hazards are the names of the hazards in the order of the page.
//
// Source: the rule table, Book.
func Hazards() []string {
	var names []string
	for k := range kindNames {
		for _, r := range append(Book(), Standing()...) {
			if int(r.Kind) == k && !slices.Contains(names, r.Hazard) {
				names = append(names, r.Hazard)
			}
		}
	}
	return names
}

// Page is every rule on one page, grouped by hazard, each with its answer and
// the number of its source. For one hazard, or the beginning of its name, it is
// that hazard's rules with their notes; a name that is none is an error that
// tells the names.
//
// Source: the rule table, Book.
func Page(hazard string) (string, error) {
	all := append(Book(), Standing()...)
	wanted := func(name string) bool { return strings.HasPrefix(name, strings.ToLower(strings.TrimSpace(hazard))) }
	if !slices.ContainsFunc(Hazards(), wanted) {
		return "", fmt.Errorf("hazard %q is unknown; write one of: %s", hazard, strings.Join(Hazards(), ", "))
	}
	b := &strings.Builder{}
	b.WriteString(pageHead)
	if hazard == "" {
		b.WriteString("What the other sources print stands with one hazard alone, as in: rowen hazards nitrate\n")
	}
	p := printer{out: b, notes: hazard != ""}
	last := -1
	for _, name := range Hazards() {
		if !wanted(name) {
			continue
		}
		rules := of(all, name)
		if k := int(rules[0].Kind); hazard == "" && k != last {
			fmt.Fprintf(b, "\n%s\n", kindNames[k])
			last = k
		}
		p.group(name, rules)
	}
	p.cite()
	return b.String(), nil
}

// of are the rules of one hazard, in the order of the book.
func of(all []Rule, name string) []Rule {
	var rules []Rule
	for _, r := range all {
		if r.Hazard == name {
			rules = append(rules, r)
		}
	}
	return rules
}

// printer numbers sources as they come.
type printer struct {
	out     *strings.Builder
	notes   bool
	sources []handbook.Source
}

func (p *printer) group(name string, rules []Rule) {
	fmt.Fprintf(p.out, "\n%s\n", name)
	for _, r := range rules {
		answer := r.Answer.String()
		if r.Answer == handbook.Clear {
			answer = "-"
		}
		fmt.Fprintf(p.out, "  %-7s  %s [%d]\n", answer, r.Text, p.number(r.Source))
		if p.notes && r.Note != "" {
			fmt.Fprintf(p.out, "           note: %s\n", r.Note)
		}
	}
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
