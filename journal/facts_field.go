package journal

import "rowen/quantity"

// Sown is a sowing done on a field.
type Sown struct {
	Crop  string                       // the catalogue's name, or what the farm calls it
	Rate  Amount[quantity.MassPerArea] // seed
	Seeds Amount[quantity.CountPerArea]
	Share Amount[quantity.Fraction] // of the field's area; not known: all of it
}

// Emergence is a look at whether a sowing came up.
type Emergence struct {
	Emerged bool
	Plants  Amount[quantity.CountPerArea]
}

// Height is a stand's height at one or several spots, undisturbed.
type Height struct {
	Heights []Amount[quantity.Length]
}

// Mean is the mean over the spots, 0 if there is none.
func (h Height) Mean() quantity.Length {
	if len(h.Heights) == 0 {
		return 0
	}
	var sum quantity.Length
	for _, a := range h.Heights {
		sum += a.SI()
	}
	return sum / quantity.Length(len(h.Heights))
}

// Stage is a stand's stage as seen: in words ("boot"), or as a number of whatever
// scale the user keeps.
type Stage struct {
	Words  string
	Number Amount[float64]
}

// GrazingIn is a group going onto a field; the entry names both.
type GrazingIn struct {
	Head int // 0: not said
}

// GrazingOut is a group coming off a field. The entry may leave out the group:
// then whichever was there came off.
type GrazingOut struct {
	Residual Amount[quantity.Length] // height left standing
	Head     int                     // 0: not said
}

// Use is what a cut was taken for, in the words of the farm document, and
// green-chop besides.
type Use string

// The uses of a cut.
const (
	UseWrap   Use = "wrap"   // wilted, baled and wrapped
	UseChop   Use = "chop"   // wilted and chopped: haylage
	UseHay    Use = "hay"    // baled dry
	UseSilage Use = "silage" // whole-crop silage
	UseGreen  Use = "green"  // chopped and fed the same day
	UseLeave  Use = "leave"  // cut and left lying
)

// Pieces are bales or loads with the weight of one, as fed.
type Pieces struct {
	Bales int // 0: not said
	Loads int // 0: not said
	Each  Amount[quantity.Mass]
}

// AsFed is the weight of all pieces; not known if a number or the weight is not.
func (p Pieces) AsFed() (quantity.Mass, bool) {
	each, ok := p.Each.Get()
	n := p.Bales + p.Loads
	return each * quantity.Mass(n), ok && n > 0
}

// Cut is a field mown.
type Cut struct {
	Use      Use
	Stubble  Amount[quantity.Length]   // height of cut
	Swath    Amount[quantity.Fraction] // swath width as a share of the cut width
	Moisture Amount[quantity.Fraction] // of what was taken off, as baled or chopped
	Pieces
}

// Fertiliser is a mineral or bought dressing.
type Fertiliser struct {
	Product  string
	Rate     Amount[quantity.MassPerArea] // of the product
	Nitrogen Amount[quantity.MassPerArea] // N in it
}

// Manure is manure or slurry spread.
type Manure struct {
	Product  string                       // which store or kind; may be left out
	Rate     Amount[quantity.MassPerArea] // solid
	Volume   Amount[VolumePerArea]        // liquid
	Nitrogen Amount[quantity.MassPerArea] // N that the user counts on
}

// Leaf is what frost did to the leaf.
type Leaf string

// What was seen; the empty Leaf says that nobody looked.
const (
	LeafNotLooked Leaf = ""
	LeafKilled    Leaf = "killed"
	LeafUnhurt    Leaf = "unhurt"
)

// Frost is a frost seen or measured on a field or the farm.
type Frost struct {
	Minimum Amount[quantity.Temperature]
	Leaf    Leaf
}

// Shoots are green shoots seen: the stand regrows.
type Shoots struct {
	Height Amount[quantity.Length]
}

// Drought is a stand seen to suffer from drought.
type Drought struct{}

// DroughtEnded is a drought broken by rain.
type DroughtEnded struct {
	Rain Amount[quantity.WaterDepth]
}

// Hail is a field hit by hail.
type Hail struct {
	Damage Amount[quantity.Fraction] // share of leaf lost
}

// Rain is a reading of the farm's gauge, over the day before it.
type Rain struct {
	Depth Amount[quantity.WaterDepth]
}

// Label is what a product's label demands, as the user typed it: the label
// itself goes before it.
type Label struct {
	Product     string
	PlantBack   Amount[quantity.Duration] // before the next crop may be sown
	GrazingWait Amount[quantity.Duration] // before animals may graze
}

// Tilled is a field worked.
type Tilled struct {
	How string // "disc", "mouldboard plough"; may be left out
}

// Ended is a stand given up, killed or finished.
type Ended struct {
	Why string // may be left out
}

// Withdrawn takes back the entry it corrects and puts nothing in its place.
type Withdrawn struct{}

// Other is a fact of a later version, whose kind this program does not know. Its
// values are in the entry's Later.
type Other struct{ Name Kind }
