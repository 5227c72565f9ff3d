package steer

import (
	"rowen/handbook/hazard"
	"rowen/journal"
)

// sample is where and when a laboratory's sample of a standing growth came from.
func (g *gated) sample(f *Field, lab *journal.Lab, basis journal.Basis) hazard.Sample {
	s := hazard.Sample{Same: true, Stress: hazard.Never, Known: hazard.KnowStress}
	switch basis {
	case journal.BasisDryMatter:
		s.Basis = hazard.DryBasis
	case journal.BasisAsFed:
		s.Basis = hazard.WetBasis
	}
	if dry, ok := lab.Dry(); ok {
		s.DryMatter = float64(dry)
	}
	if lab.Sampled != 0 {
		s.Ago = int(g.r.Today - lab.Sampled)
		s.Known |= hazard.KnowSampled
	}
	s.Stress = min(g.frostDays(f), g.since(f.History.Relief), f.Now.Rest+g.gap())
	if f.History.Drought || f.Now.Drought >= droughtShare {
		s.Stress = 0
	}
	return s
}

// prussicTest is the last prussic acid result of what stands there.
func (g *gated) prussicTest(f *Field) (tested bool, t hazard.PrussicSample) {
	for i := range f.History.Labs {
		lab := f.History.Labs[i].Fact.(journal.Lab)
		if v, ok := lab.Prussic.Get(); ok {
			tested, t = true, hazard.PrussicSample{Result: hazard.HCN(float64(v) * 1e6), Sample: g.sample(f, &lab, lab.PrussicBasis)}
		}
	}
	return tested, t
}

// nitrateTest is the last nitrate result of what stands there. A result whose
// molecule is not told is read as nitrate nitrogen, the reading under which it is
// worst.
func (g *gated) nitrateTest(f *Field) (tested bool, t hazard.NitrateSample) {
	for i := range f.History.Labs {
		lab := f.History.Labs[i].Fact.(journal.Lab)
		if result, _, ok := nitrateOf(&lab); ok {
			tested, t = true, hazard.NitrateSample{Result: result, Sample: g.sample(f, &lab, lab.NitrateBasis)}
		}
	}
	return tested, t
}

// nitrateOf is a result as nitrate nitrogen, with its basis.
func nitrateOf(lab *journal.Lab) (result hazard.NO3N, basis hazard.Basis, ok bool) {
	v, ok := lab.Nitrate.Get()
	ppm := float64(v) * 1e6
	result = hazard.NO3N(ppm)
	switch lab.NitrateAs {
	case journal.NitrateIon:
		result = hazard.NO3(ppm).NO3N()
	case journal.NitrateAsPotassiumSalts:
		result = hazard.NO3N(ppm / hazard.PotassiumNitratePerNitrogen)
	}
	switch lab.NitrateBasis {
	case journal.BasisDryMatter:
		basis = hazard.DryBasis
	case journal.BasisAsFed:
		basis = hazard.WetBasis
	}
	return result, basis, ok
}
