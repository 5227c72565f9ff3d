package farm

import (
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
		return document.Quantity(prices, key, quantity.MoneyPerMass(otherwise)*unit, func(s string) (quantity.MoneyPerMass, error) { return quantity.ParseMoneyPerMass(s, c) })
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
	f.Prices.Seed = map[string]quantity.MoneyPerMass{}
	if seed, ok := prices.Table("seed", "prices: seed"); ok {
		for _, name := range seed.Keys() {
			if r.catalogue.Find(name) == nil {
				seed.Report(name, name, "no such crop in the catalogue")
				continue
			}
			f.Prices.Seed[name] = document.Quantity(seed, name, 0, func(s string) (quantity.MoneyPerMass, error) { return quantity.ParseMoneyPerMass(s, c) })
		}
	}
	prices.Unknown()
	r.custom(top)
	limits, _ := top.Table("limits", "limits")
	f.Limits.MaxGrain = orAssume(r, limits, "limits.", "grain", 16*quantity.PoundPerDay, "more upsets the rumen of a forage-fed cow", quantity.ParseMassPerTime)
	f.Limits.MaxNitrogen = orAssume(r, limits, "limits.", "nitrogen", 60*quantity.PoundPerAcre, "more in one dressing raises prussic acid and nitrate", quantity.ParseMassPerArea)
	limits.Unknown()
}

func (r *reader) custom(top document.In) {
	c := r.f.Currency
	custom, _ := top.Table("custom", "custom")
	perArea := func(key string, otherwise float64) quantity.MoneyPerArea {
		if !custom.Has(key) {
			_ = custom.Text(key)
			r.assume("custom."+key, quantity.Digits(otherwise, 3)+" "+c+"/ac", "no rate given")
			return quantity.MoneyPerArea(otherwise) * quantity.PerAcreOf
		}
		return document.Quantity(custom, key, 0, func(s string) (quantity.MoneyPerArea, error) { return quantity.ParseMoneyPerArea(s, c) })
	}
	each := func(key string, otherwise float64) quantity.MoneyPerCount {
		if !custom.Has(key) {
			_ = custom.Text(key)
			r.assume("custom."+key, quantity.Grouped(otherwise, 2)+" "+c+" each", "no rate given")
			return quantity.MoneyPerCount(otherwise)
		}
		return document.Quantity(custom, key, 0, func(s string) (quantity.MoneyPerCount, error) { return quantity.ParseMoneyEach(s, c) })
	}
	r.f.Custom = Rates{
		Tillage: perArea("tillage", 55), NoTill: perArea("no_till", 18), Drilling: perArea("drilling", 22),
		Mowing: perArea("mowing", 20), Raking: perArea("raking", 10), Chopping: perArea("chopping", 55),
		Baling: each("baling", 13.8), Wrapping: each("wrapping", 8), Spreading: perArea("spreading", 14), Fencing: perArea("fencing", 6),
		BaleMass: orAssume(r, custom, "custom.", "bale", 780*quantity.Pound, "dry matter of a 4 by 5 ft round bale", quantity.ParseMass),
	}
	custom.Unknown()
}
