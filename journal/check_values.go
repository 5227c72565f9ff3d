package journal

import (
	"slices"
	"strings"

	"rowen/quantity"
)

// Bounds of what is believed without a question. Common practice, not limits of
// nature: past them a slip of unit or digit is likelier than the fact.
const (
	wettest     = quantity.Fraction(0.95)
	longRain    = 250 * quantity.MillimetreOfWater // a day's reading
	coldest     = quantity.Temperature(-45)
	warmestIce  = quantity.Temperature(4) // a frost on grass may show at 4 °C in the screen
	lightBale   = 10 * quantity.Kilogram
	heavyBale   = 1500 * quantity.Kilogram
	heavyLoad   = 60 * quantity.Tonne
	highStubble = 60 * quantity.Centimetre
	tallest     = 6 * quantity.Metre
)

// values asks about values that can hardly be.
func (c *checker) values(e Entry) {
	switch f := e.Fact.(type) {
	case Cut:
		c.wet(e, f.Moisture)
		c.pieces(e, f.Pieces)
		c.yield(e, f)
		c.fire(e, f)
		if h, ok := f.Stubble.Get(); ok && h > highStubble {
			c.ask(e, Asked, "a stubble of %s is very high; %s", f.Stubble, unitSlip(f.Stubble, highStubble))
		}
	case Sown:
		if r, ok := f.Rate.Get(); ok && r > heavySeed {
			c.ask(e, Asked, "%s of seed is more than any forage is sown at (about %.0f lb/ac at most): is the unit right, or is it the whole field's?", f.Rate, heavySeed.PoundsPerAcre())
		}
	case Label:
		if !f.PlantBack.Known() && !f.GrazingWait.Known() {
			c.ask(e, Asked, "what does the label ask: how many days before grazing (grazing 14 d), before the next crop (plant-back 120 d)? Until it is told the field is held")
		}
		for _, word := range []string{"graze", "grazing", "plant", "after", "wait"} {
			if slices.Contains(strings.Fields(strings.ToLower(f.Product)), word) {
				c.ask(e, Asked, "is the product called %q, or is that its wait? Write grazing 14 d, plant-back 120 d", f.Product)
				break
			}
		}
	case Fertiliser:
		c.nitrogen(e, f.Nitrogen)
	case Manure:
		c.nitrogen(e, f.Nitrogen)
		if v, ok := f.Volume.Get(); ok && v > deepSlurry {
			c.ask(e, Asked, "%s of slurry in one dressing is more than ground takes up (about 20,000 gal/ac at most): is a digit too many, or the unit wrong?", f.Volume)
		}
	case Frost:
		t, ok := f.Minimum.Get()
		if ok && (t > warmestIce || t < coldest) {
			c.ask(e, Asked, "a frost of %s: is the unit right, F or C?", f.Minimum)
		}
	case Rain:
		if d, ok := f.Depth.Get(); ok && d > longRain {
			c.ask(e, Asked, "%s of rain in a day: is the unit right, in or mm?", f.Depth)
		}
	case Lab:
		c.lab(e, f)
	default:
		if l, ok := loadOf(e.Fact); ok {
			c.pieces(e, l.Pieces)
			if dm, ok := l.DryMatter.Get(); ok && dm < 1-wettest {
				c.ask(e, Asked, "a dry matter of %s is wetter than any feed that is stored: is it the moisture?", l.DryMatter)
			}
		}
	}
}

// wet asks about a moisture above 95 %.
func (c *checker) wet(e Entry, m Amount[quantity.Fraction]) {
	if v, ok := m.Get(); ok && v > wettest {
		c.ask(e, Asked, "a moisture of %s is more than any standing plant holds: is it the dry matter, or a slip of the finger?", m)
	}
}

// pieces asks about the weight of one piece.
func (c *checker) pieces(e Entry, p Pieces) {
	w, ok := p.Each.Get()
	switch {
	case !ok:
	case p.Bales > 0 && (w < lightBale || w > heavyBale):
		c.ask(e, Asked, "a bale of %s: is the unit right?", p.Each)
	case p.Loads > 0 && w > heavyLoad:
		c.ask(e, Asked, "a load of %s: is that all loads together?", p.Each)
	case p.Bales > 0 && p.Loads > 0:
		c.ask(e, Asked, "both bales and loads, with one weight for each: write two entries")
	}
}

// lab asks for what a result cannot be judged without.
func (c *checker) lab(e Entry, l Lab) {
	c.wet(e, l.Moisture)
	if v, ok := l.Prussic.Get(); ok && v > mostPrussic {
		c.ask(e, Asked, "prussic acid %s is more than a forage holds (5,000 ppm at most): is the unit right? until it is answered, feed none of it", l.Prussic)
	}
	if l.Prussic.Known() && l.PrussicBasis == BasisUnknown {
		c.ask(e, Asked, "prussic acid %s: of dry matter, or as fed? as fed, the same figure is several times as much of dry matter", l.Prussic)
	}
	if l.Nitrate.Known() && l.NitrateBasis == BasisUnknown {
		c.ask(e, Asked, "nitrate %s: of dry matter, or as fed? as fed, the same figure is several times as much of dry matter", l.Nitrate)
	}
	if l.Nitrate.Known() && l.NitrateAs == NitrateUnknown {
		c.ask(e, Asked, "nitrate %s: as NO3-N, NO3 or KNO3? one figure differs up to sevenfold between them", l.Nitrate)
	}
	asFed := l.Prussic.Known() && l.PrussicBasis == BasisAsFed || l.Nitrate.Known() && l.NitrateBasis == BasisAsFed
	if _, ok := l.Dry(); asFed && !ok {
		c.ask(e, Asked, "a result as fed needs the sample's dry matter or moisture beside it")
	}
	dm, hasDry := l.DryMatter.Get()
	m, hasWet := l.Moisture.Get()
	if hasDry && hasWet && (dm+m > 1.02 || dm+m < 0.98) {
		c.ask(e, Asked, "dry matter %s and moisture %s do not make 100 %%; which is right?", l.DryMatter, l.Moisture)
	}
	if adf, ndf := l.ADF.SI(), l.NDF.SI(); l.ADF.Known() && l.NDF.Known() && adf > ndf {
		c.ask(e, Asked, "ADF %s is more than NDF %s, of which it is a part: are they swapped?", l.ADF, l.NDF)
	}
	if ph, ok := l.PH.Get(); ok && (ph < 3 || ph > 9) {
		c.ask(e, Asked, "a silage pH of %s is outside 3 to 9", l.PH)
	}
}

// stand asks about heights and work that do not fit what grows there.
func (c *checker) stand(e Entry) {
	var heights []Amount[quantity.Length]
	switch f := e.Fact.(type) {
	case Height:
		heights = f.Heights
	case Shoots:
		heights = []Amount[quantity.Length]{f.Height}
	case GrazingOut:
		heights = []Amount[quantity.Length]{f.Residual}
	case Cut, GrazingIn:
	default:
		return
	}
	limit, crop := tallest, "a forage"
	if c.Stand != nil && e.Field != "" {
		s, ok := c.Stand(e.Field, e.Date)
		switch {
		case !ok:
			c.ask(e, Asked, "nothing is known to grow on %s on %s: is the field or the date another?", e.Field, e.Date)
		case s.Sown != 0 && s.Sown > e.Date:
			c.ask(e, Asked, "%s was sown on %s, after this: is the field or the date another?", s.Crop, s.Sown)
		}
		if ok && s.Limit > 0 {
			limit, crop = s.Limit, s.Crop
		}
	}
	for _, h := range heights {
		if v, ok := h.Get(); ok && v > limit {
			c.ask(e, Asked, "%s is taller than %s grows (about %s); %s", h, crop, limit, unitSlip(h, limit))
		}
	}
}

// unitSlip guesses what was meant by a length that is too great.
func unitSlip(h Amount[quantity.Length], limit quantity.Length) string {
	number, unit := splitAmount(h.String())
	smaller := map[string]string{"ft": "in", "foot": "in", "feet": "in", "yd": "ft", "in": "cm", "inch": "cm", "inches": "cm", "m": "cm", "cm": "mm"}
	if u := smaller[unit]; u != "" {
		if a, err := Say[quantity.Length](number + " " + u); err == nil && a.SI() <= limit {
			return "is that " + a.String() + "?"
		}
	}
	return "is a digit too many, or the unit wrong?"
}

// splitAmount parts "31 in" into number and unit.
func splitAmount(s string) (number, unit string) {
	i := strings.IndexFunc(s, func(c rune) bool { return !strings.ContainsRune("+-.,0123456789", c) })
	if i < 0 {
		return s, ""
	}
	return s[:i], strings.TrimSpace(s[i:])
}

// loadOf is the load of any fact about feed moved or found.
func loadOf(f Fact) (Load, bool) {
	switch f := f.(type) {
	case Bought:
		return f.Load, true
	case Sold:
		return f.Load, true
	case Fed:
		return f.Load, true
	case StoreMeasured:
		return f.Load, true
	}
	return Load{}, false
}
