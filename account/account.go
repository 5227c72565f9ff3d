// Package account works out what follows from a season's run: nutrients field by
// field, lots and who gets them, rotation and persistence, what an inspector asks,
// seed to order and money in full. It knows farms, seasons and the handbook; it may
// not know pages or files.
package account

import (
	"rowen/crop"
	"rowen/farm"
	"rowen/handbook/fertility"
)

// forageKind sorts stands by what they take off the ground and ask of it.
type forageKind uint8

const (
	grassy forageKind = iota
	legumeRich
	alfalfaLike
	sorghumLike
	cornLike
	cerealLike
	brassicaLike
)

// kindOf is a mixture's kind, by its leading part and its legumes.
func kindOf(m *crop.Mix) forageKind {
	if len(m.Parts) == 0 {
		return grassy
	}
	lead := m.Parts[0].Crop
	switch {
	case lead.Name == "alfalfa":
		return alfalfaLike
	case lead.Brassica:
		return brassicaLike
	case lead.Life == crop.Perennial && legumeShare(m) >= 0.25:
		return legumeRich
	case lead.Life == crop.Perennial:
		return grassy
	case lead.Growth["heads"].Value > 0.4:
		return cornLike
	case lead.Prussic != 0 || lead.Growth["tt_base"].Value >= 8:
		return sorghumLike
	}
	return cerealLike
}

func legumeShare(m *crop.Mix) (share float64) {
	for _, p := range m.Parts {
		if p.Crop.Legume {
			share += p.Share
		}
	}
	return share
}

// minerals are phosphate and potash in a ton of a kind's dry matter, lb.
func (k forageKind) minerals() (phosphate, potash float64) {
	r := [...]fertility.RemovalPerTon{
		grassy: fertility.GrassRemoval, legumeRich: fertility.GrassRemoval, alfalfaLike: fertility.AlfalfaRemoval,
		sorghumLike: fertility.SorghumRemoval, cornLike: fertility.CornSilageMinerals,
		cerealLike: fertility.CerealMinerals, brassicaLike: fertility.BrassicaMinerals,
	}[k]
	return r.P2O5, r.K2O
}

// wants is the available nitrogen that a stand of a kind is given in a year, lb/ac,
// from all sources (Cornell, Mississippi State and Ohio State figures of the crop
// catalogue's sources; common practice where they differ). Legumes want none.
func (k forageKind) wants() float64 {
	return [...]float64{grassy: 150, legumeRich: 0, alfalfaLike: 0, sorghumLike: 110, cornLike: 130, cerealLike: 70, brassicaLike: 75}[k]
}

// stands is what grows on a field through the plan: what stood, or the last sown.
func stands(f *farm.Farm, field int) (mix *crop.Mix, sowing *farm.Sowing) {
	mix = &f.Fields[field].Stands
	for i := range f.Plan.Sowings {
		if s := &f.Plan.Sowings[i]; s.Field == field {
			mix, sowing = &s.Mix, s
		}
	}
	return mix, sowing
}
