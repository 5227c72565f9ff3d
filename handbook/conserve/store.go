package conserve

import "math"

// Product is a way to keep forage.
type Product uint8

// The products.
const (
	SmallBaleHay Product = iota
	LargeBaleHay
	WrappedBale
	BunkerHaylage
	CornSilage
	products
)

// Moisture is the range of moistures, wet basis, at which a product is stored.
//
// Source: small bales to 18 %, large to 16 (extension tables, read); wrapped
// bales 45 to 60 (Ohio State and Minnesota, read); haylage in a bunker 60 to 65
// (from memory); corn silage in a bunker 65 to 70 (University of Minnesota,
// read).
func Moisture(p Product) (low, high float64) {
	t := [products][2]float64{{0.10, 0.18}, {0.10, 0.16}, {0.45, 0.60}, {0.60, 0.65}, {0.65, 0.70}}
	if p >= products {
		return 0, 0
	}
	return t[p][0], t[p][1]
}

// ChainKept is the share of dry matter left after a chain of losses, each 0 to 1.
//
// Source: definition; common practice.
func ChainKept(losses ...float64) float64 {
	kept := 1.0
	for _, l := range losses {
		kept *= 1 - l
	}
	return kept
}

// BunkerLoss is the share of dry matter a bunker loses in 180 days by its
// density, lb DM/ft³, between 10 and 22.
//
// Source: Ruppel 1992 by way of Holmes & Muck: 20.2 % at 10 lb, 16.8 % at 14 lb
// (read).
func BunkerLoss(density float64) float64 {
	return (20.2 - 0.85*(max(10, min(22, density))-10)) / 100
}

// PackingDensity is a bunker's density, lb DM/ft³, from tractor weight, lb, layer
// thickness, in, number of tractors, dry-matter share, delivery, ton/h as fed,
// and depth, ft.
//
// Source: Muck & Holmes 2000, Applied Eng. in Agric. 16(6):613-619 (from memory).
func PackingDensity(weight, layer, tractors, dm, delivery, depth float64) float64 {
	pf := weight / layer * math.Sqrt(tractors*dm/delivery)
	return (8.5 + 0.0155*pf) * (0.818 + 0.0136*depth)
}

// BunkerVolume is a level-full bunker's space.
//
// Source: geometry.
func BunkerVolume(length, width, depth float64) float64 { return length * width * depth }

// CylinderVolume is the space of a tower silo or a round bale by diameter and
// height or width.
//
// Source: geometry.
func CylinderVolume(diameter, height float64) float64 {
	return math.Pi * diameter * diameter * height / 4
}

// OuterShell is the share of a round bale that lies within t of its surface.
//
// Source: geometry; Texas A&M prints 24 % for 4 in of a 60-in bale.
func OuterShell(diameter, t float64) float64 {
	x := (diameter - 2*t) / diameter
	return 1 - x*x
}

// FaceRate is how far a silo's face moves back in a day when so much is fed.
//
// Source: geometry; at least 6 in/d in summer, 3 to 4 in winter (common
// practice).
func FaceRate(fed, width, depth, density float64) float64 { return fed / (width * depth * density) }

// HeatAction tells what to do about hay at a temperature in °F inside the stack.
// At each step the strictest published advice stands. Hot hay kills: the fire
// service and the insurer go before this text.
//
// Source: Penn State, Cornell, Ohio State and Mississippi State extension lists
// (read); Cornell's are the earliest steps.
func HeatAction(fahrenheit float64) string {
	switch {
	case fahrenheit < 120:
		return "normal sweating: look again tomorrow, for six weeks"
	case fahrenheit < 140:
		return "check daily; nobody walks on the stack"
	case fahrenheit < 150:
		return "check twice a day; nobody walks on the stack"
	case fahrenheit < 160:
		return "check every two hours; tell the fire service before any bale is moved; wet bales first"
	}
	return "call the fire service; move nothing without it on site; bales can burst into flame in air"
}
