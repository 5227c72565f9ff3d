package season

import (
	"rowen/crop"
	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/stand"
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

// storedUse is the hazard rules' word for a cut.
func storedUse(use crop.Use) hazard.Use {
	if use == crop.Hay {
		return hazard.Haying
	}
	return hazard.Ensiling
}

// simulated are the facts a season knows of every growth.
const simulated = hazard.KnowHeight | hazard.KnowFrost | hazard.KnowDrought | hazard.KnowRain | hazard.KnowNitrogen

// prussicFacts supplies what the season simulates. A station cannot tell a kill
// from a burn, so shoots that stand after frost count as regrowing while the
// stand lives.
func (r *runner) prussicFacts(i int) hazard.PrussicFacts {
	ps, ph := &r.now.Plots[i], r.phase(i)
	st := &ps.Stand
	return hazard.PrussicFacts{
		Risk: ph.prussic, Use: hazard.Grazing, Height: ph.riskyHeight(st),
		Frost: int(st.Frost), Watch: int(st.Watch), Regrowing: st.Frost < hazard.Never && !ph.stand.Dead(st),
		Stressed: st.Drought(), Rain: int(st.Relief), Nitrogen: st.Dosed, Known: simulated,
	}
}

// riskyHeight is the height of the lowest part that carries prussic acid, cm: a
// tall millet makes no short sorghum safe. Where none of them stands it is that of
// the stand.
func (ph *phase) riskyHeight(st *stand.State) float64 {
	lowest, found := 0.0, false
	for _, i := range ph.risky {
		if h, present := ph.stand.PartHeight(st, i); present && (!found || h < lowest) {
			lowest, found = h, true
		}
	}
	if !found {
		return ph.stand.Height(st)
	}
	return lowest
}

// nitrateFacts likewise.
func (r *runner) nitrateFacts(i int) hazard.NitrateFacts {
	st := &r.now.Plots[i].Stand
	dose := st.Dosed
	if st.DoseDays > 42 {
		dose = 0
	}
	return hazard.NitrateFacts{
		Use: hazard.Grazing, Stressed: st.Drought(), Rain: int(st.Relief), Nitrogen: dose,
		Frost: int(st.Frost), Known: simulated,
	}
}
