package journal

import "strings"

// Kind tells the kind of each fact.
func (Sown) Kind() Kind          { return KindSown }
func (Emergence) Kind() Kind     { return KindEmergence }
func (Height) Kind() Kind        { return KindHeight }
func (Stage) Kind() Kind         { return KindStage }
func (GrazingIn) Kind() Kind     { return KindGrazingIn }
func (GrazingOut) Kind() Kind    { return KindGrazingOut }
func (Cut) Kind() Kind           { return KindCut }
func (Fertiliser) Kind() Kind    { return KindFertiliser }
func (Manure) Kind() Kind        { return KindManure }
func (Frost) Kind() Kind         { return KindFrost }
func (Shoots) Kind() Kind        { return KindShoots }
func (Drought) Kind() Kind       { return KindDrought }
func (DroughtEnded) Kind() Kind  { return KindDroughtEnded }
func (Hail) Kind() Kind          { return KindHail }
func (Lab) Kind() Kind           { return KindLab }
func (Bought) Kind() Kind        { return KindBought }
func (Sold) Kind() Kind          { return KindSold }
func (Fed) Kind() Kind           { return KindFed }
func (StoreMeasured) Kind() Kind { return KindMeasured }
func (AnimalsIn) Kind() Kind     { return KindAnimalsIn }
func (AnimalsOut) Kind() Kind    { return KindAnimalsOut }
func (Rain) Kind() Kind          { return KindRain }
func (Label) Kind() Kind         { return KindLabel }
func (Tilled) Kind() Kind        { return KindTilled }
func (Ended) Kind() Kind         { return KindEnded }
func (Withdrawn) Kind() Kind     { return KindWithdrawn }

// Kind is the later version's word.
func (o Other) Kind() Kind { return o.Name }

// place is a name that an entry carries beside its fact.
type place uint8

const (
	onField place = iota
	byGroup
	inStore
	inLot
)

var placeNames = [...]string{"field", "group", "store", "lot"}

// named is the entry's name of a place, to read or to set.
func (p place) named(e *Entry) *string {
	return [...]*string{&e.Field, &e.Group, &e.Store, &e.Lot}[p]
}

// schema is what a kind holds.
type schema struct {
	kind  Kind
	needs []place // at least one of each run must be named; see needsOne
	takes []place // the names it may carry, in the order a phrase gives them
	slots func(Fact) ([]slot, bool)
	fill  func(func([]slot) error) (Fact, error)
	whole func([]slot) string // what is missing though each value may be
}

// needsOne tells that one of the needed names is enough.
func (s *schema) needsOne() bool {
	return len(s.needs) == 2 && s.needs[1] == inLot
}

// define makes a schema from the list of a fact's values.
func define[T Fact](slots func(*T) []slot, needs, takes []place) schema {
	var zero T
	return schema{
		kind: zero.Kind(), needs: needs, takes: takes,
		slots: func(f Fact) ([]slot, bool) {
			t, ok := f.(T)
			return slots(&t), ok
		},
		fill: func(fill func([]slot) error) (Fact, error) {
			var t T
			err := fill(slots(&t))
			return t, err
		},
	}
}

// oneOf demands that at least one of the named values is said.
func (s schema) oneOf(names ...string) schema {
	s.whole = func(slots []slot) string {
		for _, v := range slots {
			for _, n := range names {
				if v.name == n && v.value.text() != "" {
					return ""
				}
			}
		}
		return strings.ReplaceAll(strings.Join(names, ", "), "_", " ")
	}
	return s
}

func nothing[T Fact](*T) []slot { return nil }

// schemas is every kind, in the order of the constants; the sheet's columns
// follow it.
var schemas = []schema{
	define(sownSlots, []place{onField}, []place{onField}),
	define(emergenceSlots, []place{onField}, []place{onField}),
	define(heightSlots, []place{onField}, []place{onField}),
	define(stageSlots, []place{onField}, []place{onField}).oneOf("stage", "stage_number"),
	define(grazingInSlots, []place{onField, byGroup}, []place{onField, byGroup}),
	define(grazingOutSlots, []place{onField}, []place{onField, byGroup}),
	define(cutSlots, []place{onField}, []place{onField, inStore, inLot, byGroup}),
	define(fertiliserSlots, []place{onField}, []place{onField}),
	define(manureSlots, []place{onField}, []place{onField, inStore}),
	define(frostSlots, nil, []place{onField}),
	define(shootsSlots, []place{onField}, []place{onField}),
	define(nothing[Drought], nil, []place{onField}),
	define(droughtEndedSlots, nil, []place{onField}),
	define(hailSlots, nil, []place{onField}),
	define(labSlots, []place{onField, inLot}, []place{onField, inLot, inStore}).oneOf("prussic", "nitrate", "dry_matter", "moisture", "protein", "adf", "ndf", "ndfd", "ph"),
	define(func(b *Bought) []slot { return loadSlots(&b.Load) }, []place{inStore, inLot}, []place{inStore, inLot}).oneOf("amount", "bales", "loads"),
	define(func(s *Sold) []slot { return loadSlots(&s.Load) }, []place{inStore, inLot}, []place{inStore, inLot}).oneOf("amount", "bales", "loads"),
	define(func(f *Fed) []slot { return loadSlots(&f.Load) }, []place{inStore, inLot}, []place{inStore, inLot, byGroup, onField}).oneOf("amount", "bales", "loads"),
	define(measuredSlots, []place{inStore, inLot}, []place{inStore, inLot}).oneOf("amount", "bales", "loads"),
	define(func(a *AnimalsIn) []slot { return []slot{headSlot(&a.Head).needed()} }, []place{byGroup}, []place{byGroup, onField}),
	define(func(a *AnimalsOut) []slot { return []slot{headSlot(&a.Head).needed()} }, []place{byGroup}, []place{byGroup, onField}),
	define(func(r *Rain) []slot { return []slot{said("rain", &r.Depth).needed()} }, nil, []place{onField}),
	define(labelSlots, []place{onField}, []place{onField}),
	define(func(t *Tilled) []slot { return []slot{written("how", &t.How)} }, []place{onField}, []place{onField}),
	define(func(e *Ended) []slot { return []slot{written("why", &e.Why)} }, []place{onField}, []place{onField}),
	define(nothing[Withdrawn], nil, []place{onField, byGroup, inStore, inLot}),
}

var schemaByKind = func() map[Kind]*schema {
	m := map[Kind]*schema{}
	for i := range schemas {
		m[schemas[i].kind] = &schemas[i]
	}
	return m
}()

// Kinds is every kind that this program knows, in a fixed order.
func Kinds() []Kind {
	out := make([]Kind, len(schemas))
	for i := range schemas {
		out[i] = schemas[i].kind
	}
	return out
}

// slotsOf are the values of a fact; none of one that is not known.
func slotsOf(f Fact) []slot {
	if f == nil {
		return nil
	}
	if s := schemaByKind[f.Kind()]; s != nil {
		if slots, ok := s.slots(f); ok {
			return slots
		}
	}
	return nil
}
