package journal

import "rowen/quantity"

// Load is an amount of feed moved: as weight, or as pieces with their weight.
type Load struct {
	Feed      string                    // what it is; may be left out where store or lot tells
	Amount    Amount[quantity.Mass]     // as fed, all together
	DryMatter Amount[quantity.Fraction] // of the feed as fed
	Pieces
}

// AsFed is the weight as fed: the amount, or the pieces times their weight.
func (l Load) AsFed() (quantity.Mass, bool) {
	if m, ok := l.Amount.Get(); ok {
		return m, true
	}
	return l.Pieces.AsFed()
}

// Bought is feed bought into a store or lot.
type Bought struct{ Load }

// Sold is feed sold out of a store or lot.
type Sold struct{ Load }

// Fed is feed fed out of a store or lot; the entry may name the group.
type Fed struct{ Load }

// StoreMeasured is what was found in a store or lot by measure, scale or count.
type StoreMeasured struct{ Load }

// AnimalsIn are animals that joined a group: bought, born, moved in.
type AnimalsIn struct{ Head int }

// AnimalsOut are animals that left a group: sold, died, moved out.
type AnimalsOut struct{ Head int }

// Basis is what a concentration refers to.
type Basis string

// The bases; the empty Basis says that the report does not tell.
const (
	BasisUnknown   Basis = ""
	BasisDryMatter Basis = "dry"
	BasisAsFed     Basis = "as fed"
)

// NitrateForm is the molecule that a nitrate result is given in.
type NitrateForm string

// The forms; they differ by up to a factor of 7.2. The empty form says that the
// report does not tell.
const (
	NitrateUnknown          NitrateForm = ""
	NitrateNitrogen         NitrateForm = "NO3-N"
	NitrateIon              NitrateForm = "NO3"
	NitrateAsPotassiumSalts NitrateForm = "KNO3"
)

// Lab is a laboratory's result for a lot or for what stands on a field. Shares
// other than prussic acid, nitrate and moisture are of the dry matter, as
// laboratories print them; NDFD is of the NDF.
type Lab struct {
	Prussic      Amount[quantity.Fraction] // HCN
	PrussicBasis Basis
	Nitrate      Amount[quantity.Fraction]
	NitrateAs    NitrateForm
	NitrateBasis Basis
	DryMatter    Amount[quantity.Fraction]
	Moisture     Amount[quantity.Fraction] // as fed
	Protein      Amount[quantity.Fraction] // crude protein
	ADF          Amount[quantity.Fraction]
	NDF          Amount[quantity.Fraction]
	NDFD         Amount[quantity.Fraction]
	PH           Amount[float64] // of silage
	Sampled      quantity.Date   // 0: not said
}

// Dry is the dry matter of the sample as fed, from either way of giving it.
func (l Lab) Dry() (quantity.Fraction, bool) {
	if dm, ok := l.DryMatter.Get(); ok {
		return dm, true
	}
	m, ok := l.Moisture.Get()
	return 1 - m, ok
}
