package season

import (
	"rowen/farm"
	"rowen/feed"
	"rowen/quantity"
	"rowen/stand"
)

// Found is a field as it was found: what stands there, by the name of its mixture,
// and the days since it was sown or last used.
type Found struct {
	Field int
	Mix   string
	Stand stand.State
	Rest  int
}

// Adopt puts what was found into a snapshot, on every plot of the field whose
// programme holds that mixture, the latest such step that is not behind it. It is
// false where the programme has no such stand: then the snapshot stays as it is.
func (m *Model) Adopt(s *Snapshot, f Found) bool {
	adopted := false
	for i := range m.plots {
		if m.plots[i].field != f.Field {
			continue
		}
		for k := len(m.plots[i].phases) - 1; k >= 0; k-- {
			if m.plots[i].phases[k].mix.Name != f.Mix {
				continue
			}
			ps := &s.Plots[i]
			ps.Phase, ps.Stand, ps.Rest, ps.Uses = int16(k), f.Stand, int16(min(f.Rest, 1<<14)), f.Stand.Uses
			adopted = true
			break
		}
	}
	return adopted
}

// Stock puts lots that were counted into a snapshot, in place of those that it has.
func (s *Snapshot) Stock(lots []feed.Lot) { s.Lots = append([]feed.Lot(nil), lots...) }

// UsualLot is feed of which nothing but its store and amount, kg DM, is known.
func UsualLot(kind feed.StoreKind, store int, dm float64) feed.Lot {
	for _, k := range [...]feed.Kind{feed.Baleage, feed.Haylage, feed.Hay, feed.CropSilage} {
		if kind.Keeps(k) {
			return onHand(&farm.Stock{Amount: quantity.Mass(dm)}, k, store)
		}
	}
	return onHand(&farm.Stock{Amount: quantity.Mass(dm)}, feed.Haylage, store)
}
