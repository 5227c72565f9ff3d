// Package nutrition holds published equations of feed quality, intake and
// requirement of dairy cattle, beef cattle and sheep. Pure functions in the
// units of their sources; it may import handbook and quantity only.
package nutrition

// Analysis is a feed's composition as a laboratory would print it: percentages
// of dry matter unless said otherwise. It is a plain value, so that stands,
// lots and rations can carry and mix it without allocation.
type Analysis struct {
	CP     float64 // crude protein
	NDF    float64 // neutral detergent fibre
	ADF    float64 // acid detergent fibre
	NDFD   float64 // NDF digestibility at 48 h, % of NDF
	Starch float64
	Fat    float64 // ether extract
	Ash    float64
	TDN    float64 // total digestible nutrients, at maintenance
	NEL    float64 // net energy of lactation, Mcal/kg
	ME     float64 // metabolisable energy, Mcal/kg
}

// System is the energy system a requirement is stated in.
type System uint8

// The energy systems.
const (
	NEL System = iota // net energy of lactation: dairy cattle
	ME                // metabolisable energy: beef cattle, sheep, horses
)

// Energy is the feed's energy in a system, Mcal/kg.
//
// Source: a choice between two fields of the analysis; see System.
func (a *Analysis) Energy(s System) float64 {
	if s == NEL {
		return a.NEL
	}
	return a.ME
}

// AddScaled adds another analysis times a weight, for mixing by dry matter.
//
// Source: definition of a weighted mean.
func (a *Analysis) AddScaled(b *Analysis, w float64) {
	a.CP += b.CP * w
	a.NDF += b.NDF * w
	a.ADF += b.ADF * w
	a.NDFD += b.NDFD * w
	a.Starch += b.Starch * w
	a.Fat += b.Fat * w
	a.Ash += b.Ash * w
	a.TDN += b.TDN * w
	a.NEL += b.NEL * w
	a.ME += b.ME * w
}

// Scale multiplies an analysis, to end a mixing.
//
// Source: definition of a weighted mean.
func (a *Analysis) Scale(w float64) {
	b := *a
	*a = Analysis{}
	a.AddScaled(&b, w)
}
