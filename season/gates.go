package season

import (
	"rowen/crop"
	"rowen/handbook"
	"rowen/handbook/hazard"
)

// judge asks the hazard gates about every plot that carries a risk, every day.
// The season supplies the facts it simulates; where only a laboratory could
// know, the gates apply the longest published wait and say so.
func (r *runner) judge() {
	for i := range r.now.Plots {
		ph, pd := r.phase(i), &r.today[i]
		pd.prussic, pd.nitrate = hazard.Verdict{}, hazard.Verdict{}
		if ph.prussic != hazard.NoPrussic {
			pd.prussic = hazard.Prussic(r.prussicFacts(i))
		}
		if ph.nitrate {
			pd.nitrate = hazard.Nitrate(r.nitrateFacts(i))
		}
	}
}

// verdict records the worse of a plot's verdicts of today on an event.
func (r *runner) verdict(i int, e *Event) {
	e.Verdict, e.Prussic = r.today[i].prussic, true
	if n := r.today[i].nitrate; n.Answer > e.Verdict.Answer {
		e.Verdict, e.Prussic = n, false
	}
}

// gate is the worse answer of a plot's gates for a group that would graze it.
func (r *runner) gate(i, g int) handbook.Answer {
	if r.m.groups[g].horses && r.phase(i).prussic != hazard.NoPrussic {
		return handbook.Hold // cystitis: never, whatever the plant
	}
	return max(r.today[i].prussic.Answer, r.today[i].nitrate.Answer)
}

// cutGate is the gate for taking a growth into store. Chopping or wrapping
// waits out the days after a frost; height alone does not forbid a cut, since
// nothing is eaten fresh and the lot waits in store.
func (r *runner) cutGate(i int, use crop.Use) handbook.Answer {
	ph := r.phase(i)
	if ph.prussic == hazard.NoPrussic {
		return handbook.Clear
	}
	f := r.prussicFacts(i)
	f.Use = storedUse(use)
	return hazard.Prussic(f).Answer
}
