package report

import (
	"fmt"
	"io"
	"strings"

	"rowen/account"
	"rowen/crop"
	"rowen/quantity"
	"rowen/say"
	"rowen/steer"
)

// rainless is the rain below which a swath's day counts as dry, mm (common practice:
// it wets the top and dries off by noon).
const rainless = 1.0

// dryWanted are the days without rain that a use wants after mowing, that of mowing
// among them (common practice: hay three or four, wrapped bales two, haylage one).
func dryWanted(u crop.Use) int {
	switch u {
	case crop.Hay:
		return 3
	case crop.Wrap:
		return 2
	case crop.Chop:
		return 1
	}
	return 0
}

// dry speaks of a mown field that is ready when the forecast shows dry days.
func (c *client) dry(x *steer.Field) bool {
	wanted := dryWanted(x.History.Course.Use)
	from := c.dryFrom(wanted)
	if wanted == 0 || from == 0 || x.Need != steer.UseNow && x.Now.Ready.Middle > from+quantity.Date(wanted) {
		return false
	}
	days := c.dryRun(from)
	c.add(dryDays, from, []string{c.name(x)}, []say.Line{x.Say, say.That("forecast: %d days without rain from %s; wanted for %s: %d", days, from, useWords(x.History.Course.Use), wanted)},
		say.That("The forecast shows %d dry days from %s, and %s is ready to %s or nearly so. If you see the same where you are, it is a good time to mow.%s", days, from.MonthDay(), c.name(x), account.Takes(x.History.Course.Use), care(x, c.f.Units)))
	return true
}

// dryFrom is the first day of the forecast from which enough days are dry, 0 none.
func (c *client) dryFrom(wanted int) quantity.Date {
	for i := range c.forecast {
		if on := c.d.Known + 1 + quantity.Date(i); on >= c.d.Today && c.dryRun(on) >= wanted {
			return on
		}
	}
	return 0
}

// dryRun is how many days from one on the forecast shows without rain.
func (c *client) dryRun(from quantity.Date) (n int) {
	for i := int(from - c.d.Known - 1); i >= 0 && i < len(c.forecast) && c.forecast[i].Rain < rainless; i++ {
		n++
	}
	return n
}

// WriteClients writes the list as a screen.
func WriteClients(w io.Writer, c *Clients) error {
	b := &strings.Builder{}
	fmt.Fprintf(b, "%s: %s read, %s to say", c.Date, counted(c.Farms, "farm"), counted(len(c.Items), "thing"))
	if c.Broken > 0 {
		fmt.Fprintf(b, "; %d left out for problems", c.Broken)
	}
	fmt.Fprintln(b)
	for i := range c.Items {
		x := &c.Items[i]
		fmt.Fprintf(b, "\n%d. %s: %s", i+1, x.Farm, x.Kind)
		if len(x.Fields) > 0 {
			fmt.Fprintf(b, ", %s", strings.Join(x.Fields, ", "))
		}
		fmt.Fprintf(b, " (by %s)\n", x.By)
		for _, r := range x.Reasons {
			fmt.Fprintf(b, "   %s\n", r)
		}
		fmt.Fprintf(b, "   Contact: %s\n   Message: %s\n", x.Contact, x.Message)
	}
	if len(c.Quiet) > 0 {
		fmt.Fprintf(b, "\nNothing today: %s\n", strings.Join(c.Quiet, ", "))
	}
	for _, n := range c.Notices {
		fmt.Fprintf(b, "\nNote: %s\n", n)
	}
	fmt.Fprintln(b, "\nThe veterinarian, the laboratory, the label and local rules go before this page.")
	_, err := io.WriteString(w, b.String())
	return err
}
