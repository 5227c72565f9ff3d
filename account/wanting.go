package account

import (
	"fmt"
	"strings"

	"rowen/farm"
	"rowen/quantity"
)

// oldTest is how long a soil test holds, days: three years (common practice).
const oldTest = 3*365 + 1

// nutrients speaks of each danger to animals, and of the rest in one line.
func (c *calls) nutrients() {
	first, more := "", 0
	for _, n := range NutrientsOf(c.f, &c.r.Years[c.r.Middle]).Fields {
		name := c.f.Fields[n.Field].Name
		for _, note := range n.Notes {
			switch {
			case strings.HasPrefix(note, "no soil test"): // told below
			case strings.Contains(note, "nitrate"):
				c.say(ThisWeek, "%s: %s", name, note)
			case first == "":
				first = name + ": " + note
			default:
				more++
			}
		}
	}
	switch {
	case first == "":
	case more > 0:
		c.say(NextVisit, "nutrients: %s; and %d more", first, more)
	default:
		c.say(NextVisit, "nutrients: %s", first)
	}
}

// TestAge tells whether a field's soil was never tested, or longer ago than three
// years before a date; a test without a date counts as old.
func TestAge(field *farm.Field, on quantity.Date) (missing, old bool) {
	t := &field.Ground.Test
	if t.Method == "" {
		return true, false
	}
	return false, t.Date == 0 || on-t.Date > oldTest
}

func (c *calls) soilTests() {
	var missing, old []string
	for i := range c.f.Fields {
		switch no, past := TestAge(&c.f.Fields[i], c.on); {
		case no:
			missing = append(missing, c.f.Fields[i].Name)
		case past:
			old = append(old, c.f.Fields[i].Name)
		}
	}
	say := func(what string, names []string) {
		if len(names) == 0 {
			return
		}
		text := strings.Join(names, ", ")
		if len(names) > 3 {
			text = fmt.Sprintf("%s and %d more", strings.Join(names[:2], ", "), len(names)-2)
		}
		c.say(NextVisit, "%s on %d of %d fields: %s", what, len(names), len(c.f.Fields), text)
	}
	say("no soil test", missing)
	say("a soil test older than three years or without a date", old)
}

func (c *calls) record() {
	if !organicGround(c.f) {
		return
	}
	missing := RecordOf(c.f, &c.r.Years[c.r.Middle]).Missing
	switch len(missing) {
	case 0:
	case 1:
		c.say(NextVisit, "the organic record lacks: %s", missing[0])
	default:
		c.say(NextVisit, "the organic record lacks %d things, first: %s", len(missing), missing[0])
	}
}

func organicGround(f *farm.Farm) bool {
	for i := range f.Fields {
		if f.Fields[i].Ground.Status != farm.Conventional {
			return true
		}
	}
	return f.Organic
}
