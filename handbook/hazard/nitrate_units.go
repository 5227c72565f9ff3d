package hazard

// Laboratories print one result in three ways that differ sevenfold, so each is
// a type of its own: parts per million of dry matter, mg/kg. One per cent is
// 10,000 ppm.
type (
	// NO3N is nitrate nitrogen (NO3-N), ppm.
	NO3N float64
	// NO3 is nitrate (NO3), ppm.
	NO3 float64
	// KNO3 is potassium nitrate (KNO3), ppm.
	KNO3 float64
)

// Conversions between the ways laboratories print nitrate, from atomic weights.
const (
	NitratePerNitrogen          = 4.427 // NO3 per NO3-N
	PotassiumNitratePerNitrogen = 7.218 // KNO3 per NO3-N
	PotassiumNitratePerNitrate  = 1.631 // KNO3 per NO3
)

// NO3 is the same result as nitrate.
//
// Source: atomic weights; Texas A&M AgriLife, Stephenville, prints 1,150 ppm
// NO3-N as 5,000 ppm NO3 (read).
func (n NO3N) NO3() NO3 { return NO3(n * NitratePerNitrogen) }

// KNO3 is the same result as potassium nitrate.
//
// Source: atomic weights; Texas A&M AgriLife, Stephenville, prints 1,150 ppm
// NO3-N as 8,150 ppm KNO3 (read).
func (n NO3N) KNO3() KNO3 { return KNO3(n * PotassiumNitratePerNitrogen) }

// NO3N is the same result as nitrate nitrogen.
//
// Source: atomic weights.
func (n NO3) NO3N() NO3N { return NO3N(n / NitratePerNitrogen) }

// KNO3 is the same result as potassium nitrate.
//
// Source: atomic weights; Texas A&M AgriLife, Stephenville, prints 5,000 ppm NO3
// as 8,150 ppm KNO3 (read).
func (n NO3) KNO3() KNO3 { return KNO3(n * PotassiumNitratePerNitrate) }

// NO3N is the same result as nitrate nitrogen.
//
// Source: atomic weights.
func (k KNO3) NO3N() NO3N { return NO3N(k / PotassiumNitratePerNitrogen) }

// NO3 is the same result as nitrate.
//
// Source: atomic weights.
func (k KNO3) NO3() NO3 { return NO3(k / PotassiumNitratePerNitrate) }
