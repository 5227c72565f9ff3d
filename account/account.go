// Package account works out what follows from a season's run: nutrients field by
// field, lots and who gets them, rotation and persistence, what an inspector asks,
// seed to order and money in full. It knows farms, seasons and the handbook; it may
// not know pages or files.
package account

import (
	"rowen/crop"
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
	case lead.Legume:
		return legumeRich // a pea or a vetch alone, too
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

// perennial tells whether a stand has a part that stays for years.
func perennial(m *crop.Mix) bool {
	return has(m, func(c *crop.Crop) bool { return c.Life == crop.Perennial })
}

// winters tells whether a stand lives through the winter: a sward or a winter annual.
func winters(m *crop.Mix) bool {
	return len(m.Parts) > 0 && (m.Parts[0].Crop.Life.Winters() || perennial(m))
}

// legumeShare is the share of legumes in a stand, 0 to 1: as the catalogue has it of
// an established mixture, else by the seed sown, each part against what is drilled of
// it alone.
func legumeShare(m *crop.Mix) float64 {
	var share, told, sown, seed float64
	for i := range m.Parts {
		p := &m.Parts[i]
		part := 0.0
		if d := p.Crop.Sowing.Drilled; d > 0 {
			part = float64(p.Rate / d)
		}
		told += p.Share
		seed += part
		if p.Crop.Legume {
			share += p.Share
			sown += part
		}
	}
	if told == 0 && seed > 0 {
		return sown / seed
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
