package journal

import "rowen/quantity"

// Bounds of what is believed of a crop, a dressing and a laboratory without a
// question (common practice): past them a slip of unit or digit is likelier.
const (
	// A cut gives up to 8 ton of dry matter to the acre, or 20 ton as taken off.
	// Whole-crop silage is one harvest of a whole year and gives more.
	heavyCut      = 8 * quantity.TonPerAcre
	heavyWet      = 20 * quantity.TonPerAcre
	heavyCrop     = 14 * quantity.TonPerAcre
	heavyCropWet  = 40 * quantity.TonPerAcre
	heatingHay    = quantity.Fraction(0.25)
	mostPrussic   = quantity.Fraction(0.005)
	heavyNitrogen = 300 * quantity.PoundPerAcre
	heavySeed     = 200 * quantity.PoundPerAcre
	deepSlurry    = VolumePerArea(20_000 * float64(quantity.Gallon) / float64(quantity.Acre))
)

// fresh is how many days a height tells what animals found: later the stand has
// outgrown it.
const fresh = 7

// yield asks about a cut that weighs more than the field can have borne.
func (c *checker) yield(e Entry, f Cut) {
	if c.Area == nil {
		return
	}
	area, known := c.Area(e.Field)
	wet, weighed := f.AsFed()
	if !known || !weighed || area <= 0 {
		return
	}
	most, mostWet := heavyCut, heavyWet
	if f.Use == UseSilage {
		most, mostWet = heavyCrop, heavyCropWet
	}
	rate := quantity.MassPerArea(float64(wet) / float64(area))
	const ask = "%s off %s would be %.1f ton/ac %s, more than a field bears in one cut (about %.0f): are number and weight of the pieces right, and is the field?"
	if rate > mostWet {
		c.ask(e, Asked, ask, wet, area, rate.TonsPerAcre(), "as taken off", mostWet.TonsPerAcre())
		return
	}
	m, ok := f.Moisture.Get()
	if dry := rate * quantity.MassPerArea(1-m); ok && dry > most {
		c.ask(e, Asked, ask, wet, area, dry.TonsPerAcre(), "of dry matter", most.TonsPerAcre())
	}
}

// fire asks about hay put up so wet that it may set itself on fire.
func (c *checker) fire(e Entry, f Cut) {
	if m, ok := f.Moisture.Get(); ok && f.Use == UseHay && m > heatingHay {
		c.ask(e, Asked, "hay put up at %s moisture heats and can set itself and the barn on fire: was it wrapped instead? if it is hay, keep it out of the barn, take its temperature twice a day for six weeks, and from 150 F tell the fire service before any bale is moved", f.Moisture)
	}
}

func (c *checker) nitrogen(e Entry, n Amount[quantity.MassPerArea]) {
	if r, ok := n.Get(); ok && r > heavyNitrogen {
		c.ask(e, Asked, "%s of nitrogen in one dressing is more than any forage takes up (about %.0f lb/ac at most): is it the product's rate?", n, heavyNitrogen.PoundsPerAcre())
	}
}

// residual asks about more left standing than was found there a few days before.
func (c *checker) residual(f *field, e Entry, out GrazingOut) {
	looked := f.looked
	f.looked = nil
	left, ok := out.Residual.Get()
	if !ok || len(looked) == 0 {
		return
	}
	last := looked[len(looked)-1]
	if was := last.Fact.(Height).Mean(); e.Date-last.Date <= fresh && left > was {
		c.ask(e, Asked, "%s left standing is taller than the %s that was there on %s (%s); which is right?", out.Residual, was, last.Date, last.ID)
	}
}

// herds asks about more animals on a field than their group has.
func (c *checker) herds(standing []Entry) {
	if c.Head == nil {
		return
	}
	joined := map[string]int{}
	for _, e := range standing {
		said := 0
		switch f := e.Fact.(type) {
		case AnimalsIn:
			joined[e.Group] += f.Head
		case GrazingIn:
			said = f.Head
		case GrazingOut:
			said = f.Head
		}
		head, ok := c.Head(e.Group)
		if most := head + joined[e.Group]; ok && said > most {
			c.ask(e, Asked, "%d head, and %s has %d at most: is the number or the group another?", said, e.Group, most)
		}
	}
}
