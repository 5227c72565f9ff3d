package journal

// What each fact holds, in the order of the file, the sheet and the phrases. One
// name means one thing in every kind that uses it.

func sownSlots(s *Sown) []slot {
	return []slot{
		written("crop", &s.Crop).needed(),
		said("rate", &s.Rate),
		said("seeds", &s.Seeds),
		said("area_share", &s.Share).or("share", "area"),
	}
}

func emergenceSlots(e *Emergence) []slot {
	return []slot{
		said("emerged", truth{&e.Emerged}).needed(),
		said("plants", &e.Plants),
	}
}

func heightSlots(h *Height) []slot {
	return []slot{said("heights", lengths{&h.Heights}).needed().or("height")}
}

func stageSlots(s *Stage) []slot {
	return []slot{
		written("stage", &s.Words),
		said("stage_number", &s.Number).or("number"),
	}
}

// headWords are what people count animals in.
var headWords = []string{"cows", "cow", "heifers", "steers", "calves", "ewes", "lambs", "sheep", "goats", "horses", "animals", "pairs"}

func headSlot(at *int) slot { return said("head", count{at}).or(headWords...) }

func grazingInSlots(g *GrazingIn) []slot { return []slot{headSlot(&g.Head)} }

func grazingOutSlots(g *GrazingOut) []slot {
	return []slot{
		said("residual", &g.Residual).or("left"),
		headSlot(&g.Head),
	}
}

var uses = []Use{UseWrap, UseChop, UseHay, UseSilage, UseGreen, UseLeave}

var useWords = map[string]Use{
	"wrapped": UseWrap, "baleage": UseWrap, "haylage": UseChop, "chopped": UseChop, "dry hay": UseHay,
	"green chop": UseGreen, "green-chop": UseGreen, "left": UseLeave, "mulch": UseLeave,
}

func pieceSlots(p *Pieces) []slot {
	return []slot{
		said("bales", count{&p.Bales}).or("bale"),
		said("loads", count{&p.Loads}).or("load"),
		said("each", &p.Each),
	}
}

func cutSlots(c *Cut) []slot {
	return append([]slot{
		said("use", choice[Use]{&c.Use, uses, useWords}),
		said("stubble", &c.Stubble),
		said("swath", &c.Swath).byName(),
		said("moisture", &c.Moisture),
	}, pieceSlots(&c.Pieces)...)
}

func fertiliserSlots(f *Fertiliser) []slot {
	return []slot{
		written("product", &f.Product).needed(),
		said("rate", &f.Rate),
		said("nitrogen", &f.Nitrogen).byName().or("n"),
	}
}

func manureSlots(m *Manure) []slot {
	return []slot{
		written("product", &m.Product),
		said("rate", &m.Rate),
		said("volume", &m.Volume),
		said("nitrogen", &m.Nitrogen).byName().or("n"),
	}
}

var leafWords = map[string]Leaf{
	"not looked": LeafNotLooked, "leaf killed": LeafKilled, "leaf unhurt": LeafUnhurt, "green": LeafUnhurt,
}

func frostSlots(f *Frost) []slot {
	return []slot{
		said("minimum", &f.Minimum).or("low"),
		said("leaf", choice[Leaf]{&f.Leaf, []Leaf{LeafKilled, LeafUnhurt}, leafWords}),
	}
}

func shootsSlots(s *Shoots) []slot {
	return []slot{said("shoots_height", &s.Height).or("height")}
}

func droughtEndedSlots(d *DroughtEnded) []slot { return []slot{said("rain", &d.Rain)} }

func hailSlots(h *Hail) []slot { return []slot{said("damage", &h.Damage)} }

var basisWords = map[string]Basis{
	"unknown": BasisUnknown, "dry matter": BasisDryMatter, "dm": BasisDryMatter, "dry basis": BasisDryMatter,
	"as-fed": BasisAsFed, "as received": BasisAsFed, "as sampled": BasisAsFed, "wet": BasisAsFed, "fresh": BasisAsFed,
}

func basisSlot(name string, at *Basis) slot {
	return said(name, choice[Basis]{at, []Basis{BasisDryMatter, BasisAsFed}, basisWords})
}

var formWords = map[string]NitrateForm{
	"unknown": NitrateUnknown, "no3n": NitrateNitrogen, "nitrate-n": NitrateNitrogen, "nitrate-nitrogen": NitrateNitrogen,
}

func labSlots(l *Lab) []slot {
	forms := []NitrateForm{NitrateNitrogen, NitrateIon, NitrateAsPotassiumSalts}
	return []slot{
		said("prussic", &l.Prussic).byName().or("prussic acid", "hcn"),
		basisSlot("prussic_basis", &l.PrussicBasis),
		said("nitrate", &l.Nitrate).byName().or("nitrates"),
		said("nitrate_as", choice[NitrateForm]{&l.NitrateAs, forms, formWords}),
		basisSlot("nitrate_basis", &l.NitrateBasis),
		dryMatterSlot(&l.DryMatter),
		said("moisture", &l.Moisture).byName(),
		said("protein", &l.Protein).byName().or("cp", "crude protein"),
		said("adf", &l.ADF).byName(),
		said("ndf", &l.NDF).byName(),
		said("ndfd", &l.NDFD).byName(),
		said("ph", &l.PH).byName(),
		said("sampled", day{&l.Sampled}).byName(),
	}
}

func dryMatterSlot(at value) slot {
	return said("dry_matter", at).byName().or("dm", "dry matter")
}

func loadSlots(l *Load) []slot {
	return append(append([]slot{written("feed", &l.Feed)}, amountSlots(l)...), pieceSlots(&l.Pieces)...)
}

func measuredSlots(m *StoreMeasured) []slot { return loadSlots(&m.Load) }

func amountSlots(l *Load) []slot {
	return []slot{said("amount", &l.Amount), dryMatterSlot(&l.DryMatter)}
}

func labelSlots(l *Label) []slot {
	return []slot{
		written("product", &l.Product).needed(),
		said("plant_back", &l.PlantBack).byName().or("plant-back", "plant back", "plantback"),
		said("grazing_wait", &l.GrazingWait).byName().or("grazing", "grazing wait", "wait"),
	}
}
