package farm

import (
	"rowen/crop"
	"rowen/internal/document"
	"rowen/quantity"
)

// money reads prices, custom rates and limits; whatever is missing is assumed and
// listed. The assumed prices are round numbers of 2024-26 (from memory; custom
// rates after Purdue 2023, read): the farm's own go before them.
func (r *reader) money(top document.In) {
	f := r.f
	c := f.Currency
	prices, _ := top.Table("prices", "prices")
	perMass := func(key string, otherwise float64, unit quantity.MoneyPerMass, shown string) quantity.MoneyPerMass {
		if !prices.Has(key) {
			_ = prices.Text(key)
			r.assume("prices."+key, shown, "no price given")
			return quantity.MoneyPerMass(otherwise) * unit
		}
		return document.Quantity(prices, key, quantity.MoneyPerMass(otherwise)*unit, priceOf(ofMassPrice, c, quantity.ParseMoneyPerMass))
	}
	f.Prices.BoughtHay = perMass("bought_hay", 240, quantity.PerTon, "240 "+c+"/ton as fed")
	f.Prices.BoughtForage = perMass("bought_forage", 260, quantity.PerTon, "260 "+c+"/ton DM")
	grain, protein := 340.0, 520.0
	if f.Organic {
		grain, protein = 560, 1100
	}
	f.Prices.Grain = perMass("grain", grain, quantity.PerTon, quantity.Grouped(grain, 0)+" "+c+"/ton as fed")
	f.Prices.Protein = perMass("protein", protein, quantity.PerTon, quantity.Grouped(protein, 0)+" "+c+"/ton as fed")
	f.Prices.ClosingForage = perMass("stored_forage", 160, quantity.PerTon, "160 "+c+"/ton DM")
	f.Prices.Nitrogen = perMass("nitrogen", 0.70, quantity.PerPoundOf, "0.70 "+c+"/lb")
	f.Prices.Land = document.Quantity(prices, "land", 0, priceOf(ofAreaPrice, c, quantity.ParseMoneyPerArea))
	f.Prices.Seed = map[string]quantity.MoneyPerMass{}
	if seed, ok := prices.Table("seed", "prices: seed"); ok {
		for _, name := range seed.Keys() {
			if r.catalogue.Find(name) == nil {
				seed.Report(name, name, "no such crop in the catalogue")
				continue
			}
			f.Prices.Seed[name] = document.Quantity(seed, name, 0, priceOf(ofMassPrice, c, quantity.ParseMoneyPerMass))
		}
	}
	prices.Unknown()
	r.custom(top)
	limits, _ := top.Table("limits", "limits")
	f.Limits.MaxGrain = orAssume(r, limits, "limits.", "grain", 16*quantity.PoundPerDay, "more upsets the rumen of a forage-fed cow", within(ofGrain.perDay(), quantity.ParseMassPerTime))
	f.Limits.MaxNitrogen = orAssume(r, limits, "limits.", "nitrogen", 60*quantity.PoundPerAcre, "more in one dressing raises prussic acid and nitrate", within(ofDressing, quantity.ParseMassPerArea))
	limits.Unknown()
}

// priceOf is a parser of prices in the farm's currency, within bounds.
func priceOf[T ~float64](b bounds, currency string, parse func(text, currency string) (T, error)) func(string) (T, error) {
	return within(b, func(text string) (T, error) { return parse(text, currency) })
}

// UsualRates are custom rates where a farm gives none, per acre and bale in US
// dollars (after Purdue 2023, read, and from memory).
var UsualRates = Rates{
	Tillage: 55 * quantity.PerAcreOf, NoTill: 18 * quantity.PerAcreOf, Drilling: 22 * quantity.PerAcreOf,
	Mowing: 20 * quantity.PerAcreOf, Raking: 10 * quantity.PerAcreOf, Chopping: 55 * quantity.PerAcreOf,
	Baling: 13.8, Wrapping: 8, Spreading: 14 * quantity.PerAcreOf, Fencing: 6 * quantity.PerAcreOf,
	BaleMass: 780 * quantity.Pound,
}

// Gather is the custom cost of bringing in what was mown for a use, or what was
// chopped as it stood: dry matter in kg from an area in m².
func (c *Rates) Gather(use crop.Use, dm, area float64) float64 {
	bales := 0.0
	if c.BaleMass > 0 {
		bales = dm / float64(c.BaleMass)
	}
	switch use {
	case crop.Wrap:
		return float64(c.Raking)*area + bales*float64(c.Baling+c.Wrapping)
	case crop.Hay:
		return float64(c.Raking)*area + bales*float64(c.Baling)
	case crop.Chop:
		return float64(c.Raking+c.Chopping) * area
	default:
		return float64(c.Chopping) * area
	}
}

func (r *reader) custom(top document.In) {
	c := r.f.Currency
	custom, _ := top.Table("custom", "custom")
	perArea := func(key string, otherwise quantity.MoneyPerArea) quantity.MoneyPerArea {
		if !custom.Has(key) {
			_ = custom.Text(key)
			r.assume("custom."+key, quantity.Digits(float64(otherwise/quantity.PerAcreOf), 3)+" "+c+"/ac", "no rate given")
			return otherwise
		}
		return document.Quantity(custom, key, 0, priceOf(ofAreaPrice, c, quantity.ParseMoneyPerArea))
	}
	each := func(key string, otherwise quantity.MoneyPerCount) quantity.MoneyPerCount {
		if !custom.Has(key) {
			_ = custom.Text(key)
			r.assume("custom."+key, quantity.Grouped(float64(otherwise), 2)+" "+c+" each", "no rate given")
			return otherwise
		}
		return document.Quantity(custom, key, 0, priceOf(ofPieceRate, c, quantity.ParseMoneyEach))
	}
	usual := &UsualRates
	r.f.Custom = Rates{
		Tillage: perArea("tillage", usual.Tillage), NoTill: perArea("no_till", usual.NoTill), Drilling: perArea("drilling", usual.Drilling),
		Mowing: perArea("mowing", usual.Mowing), Raking: perArea("raking", usual.Raking), Chopping: perArea("chopping", usual.Chopping),
		Baling: each("baling", usual.Baling), Wrapping: each("wrapping", usual.Wrapping), Spreading: perArea("spreading", usual.Spreading), Fencing: perArea("fencing", usual.Fencing),
		BaleMass: orAssume(r, custom, "custom.", "bale", usual.BaleMass, "dry matter of a 4 by 5 ft round bale", within(ofBale, quantity.ParseMass)),
	}
	custom.Unknown()
}
