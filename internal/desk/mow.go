package desk

import (
	"context"
	"fmt"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/internal/report"
	"rowen/quantity"
	"rowen/steer"
)

// MowRequest is what is asked about mowing a field. Empty texts and zeros stand for
// what is usual.
type MowRequest struct {
	TodayRequest
	Field       string
	Use         string  // wrap, chop or hay; empty: what the field's next use is
	Swath       float64 // share of the cut width that the swath covers, 0.15 to 1
	Conditioned bool
	Diameter    string // of bales
	Width       string
	Units       string // us or metric; empty: the document's
}

// mowDays is how many coming days are looked at, and leastSwath the narrowest windrow
// that a machine lays.
const (
	mowDays    = 7
	leastSwath = 0.15
)

// Mow tells on which of the coming days to mow a field, and what it comes to.
func Mow(ctx context.Context, r MowRequest) (*report.Mow, error) {
	if !(r.Swath >= leastSwath && r.Swath <= 1) {
		return nil, fmt.Errorf("--swath %g: write the share of the cut width that the swath covers, from %g to 1, for instance 0.7", r.Swath, leastSwath)
	}
	r.NoStock = true
	d, err := readDay(ctx, r.TodayRequest)
	if err != nil {
		return nil, err
	}
	x, err := fieldNamed(d.farm, d.day, r.Field)
	if err != nil {
		return nil, err
	}
	use, err := mowUse(x, r.Use)
	if err != nil {
		return nil, err
	}
	units := d.farm.Units
	if r.Units != "" {
		if units, err = quantity.ParseSystem(r.Units); err != nil {
			return nil, fmt.Errorf("--units %w", err)
		}
	}
	bale, err := baleOf(use, r.Diameter, r.Width)
	if err != nil {
		return nil, err
	}
	swath, err := steer.SwathOf(d.farm, x, use, r.Swath, r.Conditioned)
	if err != nil {
		return nil, err
	}
	q := d.request
	known := q.Years[0].First + quantity.Date(q.Known)
	from := int(max(known+1, d.day.Today) - q.Years[0].First)
	years := steer.Futures(q.Years, 0, q.Known, q.Forecast)
	cure := func(s steer.Swath) []steer.Window {
		return steer.Cure(&s, years, q.Years[0].First, from, q.Known+1+len(q.Forecast), mowDays)
	}
	var others []report.MowSwath
	otherwise := func(what string, change func(s *steer.Swath)) {
		s := swath
		change(&s)
		others = append(others, report.MowSwath{What: what, Windows: cure(s)})
	}
	if swath.Width < 0.85 {
		otherwise("swath over 90 %", func(s *steer.Swath) { s.Width = 0.9 })
	}
	if swath.Width > 0.5 {
		otherwise("windrow over 40 %", func(s *steer.Swath) { s.Width = 0.4 })
	}
	if !swath.Conditioned {
		otherwise("conditioned", func(s *steer.Swath) { s.Conditioned = true })
	}
	return report.BuildMow(&report.MowFacts{
		Farm: d.farm, Day: d.day, Field: x, Swath: &swath, Windows: cure(swath), Others: others, Units: units, Years: len(years),
		Bale: bale, Load: steer.UsualLoad, Station: d.station, Notices: d.notices,
	}), nil
}

// fieldNamed is a field's reading by its name, however its letters are cased.
func fieldNamed(f *farm.Farm, d *steer.Day, name string) (*steer.Field, error) {
	var names []string
	for i := range d.Fields {
		x := &f.Fields[d.Fields[i].Index]
		if strings.EqualFold(x.Name, strings.TrimSpace(name)) {
			return &d.Fields[i], nil
		}
		names = append(names, x.Name)
	}
	return nil, fmt.Errorf("%q: no field has this name; write one of %s", name, strings.Join(names, ", "))
}

// mowUse is the use to mow for, refused with the catalogue's reason where the stand is
// not for it.
func mowUse(x *steer.Field, text string) (crop.Use, error) {
	if !x.History.Stands {
		return 0, fmt.Errorf("nothing stands there to mow: %s", x.Say)
	}
	mix, next := x.History.Course.Mix, x.History.Course.Use
	var can []string
	use := crop.Leave
	for _, u := range [...]crop.Use{crop.Wrap, crop.Chop, crop.Hay} {
		if u.String() == text {
			use = u
		}
		if !mix.Uses[u].Allowed {
			continue
		}
		can = append(can, u.String())
		if text == "" && (use == crop.Leave || u == next) {
			use = u
		}
	}
	if len(can) == 0 {
		return 0, fmt.Errorf("%s is not mown to be wilted: %s", mix.Title, mix.Uses[crop.Wrap].Why)
	}
	if use == crop.Leave {
		return 0, fmt.Errorf("--use %q: write %s", text, strings.Join(can, ", "))
	}
	if rule := &mix.Uses[use]; !rule.Allowed {
		return 0, fmt.Errorf("--use %s: %s is not for %s: %s (%s); it may be put up with --use %s", use, mix.Title, use, rule.Why, rule.Source, strings.Join(can, " or "))
	}
	return use, nil
}

// baleOf is the size of a bale.
func baleOf(use crop.Use, diameter, width string) (steer.Bale, error) {
	bale := steer.UsualBale(use)
	for _, side := range []struct {
		flag, text string
		to         *quantity.Length
	}{{"--diameter", diameter, &bale.Diameter}, {"--width", width, &bale.Width}} {
		if side.text == "" {
			continue
		}
		l, err := quantity.ParseLength(side.text)
		if err != nil {
			return bale, fmt.Errorf("%s %w", side.flag, err)
		}
		if l < 2*quantity.Foot || l > 7*quantity.Foot {
			return bale, fmt.Errorf("%s %q: a round bale measures 2 to 7 ft", side.flag, side.text)
		}
		*side.to = l
	}
	return bale, nil
}
