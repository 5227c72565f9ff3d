package weather

import (
	"errors"
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"gonum.org/v1/gonum/mat"

	"rowen/handbook/stats"
	"rowen/quantity"
	"rowen/say"
)

// Generator makes daily weather of the Richardson family: wet and dry days from
// a first-order Markov chain by month, rain amounts from a gamma distribution by
// month, and maximum and minimum temperature from a first-order autoregression
// of standardised residuals about seasonal means and deviations that differ
// between wet and dry days.
//
// Source: Richardson 1981, Water Resources Research 17:182-190; Richardson &
// Wright 1984, WGEN, USDA ARS-8 (from memory).
type Generator struct {
	Station Station
	// By calendar month.
	WetAfterDry, WetAfterWet [12]float64 // probability of a wet day
	Shape, Scale             [12]float64 // gamma distribution of a wet day's rain, mm
	// By dry (0) and wet (1) day, then maximum (0) and minimum (1), °C.
	Mean, Deviation [2][2]Harmonics
	// Residuals: today = A × yesterday + B × two normal draws.
	A, B [2][2]float64
	// Residuals by half-month of the year at the levels of residualLevels: real
	// temperatures are skewed (cold nights of April are fewer than a normal
	// distribution has). Empty: normal.
	Residuals [2][24][]float64
}

// Harmonics is a smooth course through the year: a mean and three waves.
type Harmonics [7]float64

// At is the course's value on a day of the year.
func (h *Harmonics) At(yearDay int) float64 {
	basis := waves(yearDay)
	v := 0.0
	for i := range h {
		v += h[i] * basis[i]
	}
	return v
}

func waves(yearDay int) (b Harmonics) {
	b[0] = 1
	for k := 1; k <= 3; k++ {
		x := 2 * math.Pi * float64(k) * float64(yearDay) / 365.25
		b[2*k-1], b[2*k] = math.Cos(x), math.Sin(x)
	}
	return b
}

// wetThreshold is the least rain of a wet day, mm (0.01 in).
const wetThreshold = 0.254

// ErrShort is returned for a record too short to fit a generator to.
var ErrShort = errors.New("weather: too few days to fit a generator; give at least ten years")

// Fit fits a generator to a record of at least ten years.
func Fit(s *Series) (*Generator, error) {
	g := &Generator{Station: s.Station}
	if err := g.fitRain(s); err != nil {
		return nil, err
	}
	return g, g.fitTemperature(s)
}

func (g *Generator) fitRain(s *Series) error {
	var days, after [2][12]float64 // by yesterday's state
	var n, sum, logs [12]float64
	for i := 1; i < len(s.Days); i++ {
		today, before := s.Days[i].Rain, s.Days[i-1].Rain
		if math.IsNaN(today + before) {
			continue
		}
		_, month, _ := (s.First + quantity.Date(i)).Civil()
		m := month - 1
		state := 0
		if before >= wetThreshold {
			state = 1
		}
		days[state][m]++
		if today >= wetThreshold {
			after[state][m]++
			n[m], sum[m], logs[m] = n[m]+1, sum[m]+today, logs[m]+math.Log(today)
		}
	}
	for m := range g.Shape {
		if days[0][m] < 100 || days[1][m] < 30 || n[m] < 30 {
			return ErrShort
		}
		g.WetAfterDry[m], g.WetAfterWet[m] = after[0][m]/days[0][m], after[1][m]/days[1][m]
		// Maximum likelihood by Thom's approximation (Thom 1958, from memory).
		y := math.Log(sum[m]/n[m]) - logs[m]/n[m]
		g.Shape[m] = (1 + math.Sqrt(1+4*y/3)) / (4 * y)
		g.Scale[m] = sum[m] / n[m] / g.Shape[m]
	}
	return nil
}

func (g *Generator) fitTemperature(s *Series) error {
	temperature := func(d *Day, k int) float64 {
		if k == 0 {
			return d.TMax
		}
		return d.TMin
	}
	for state := range 2 {
		for k := range 2 {
			mean, err := fitCourse(s, state, func(d *Day, _ int) float64 { return temperature(d, k) })
			if err != nil {
				return err
			}
			variance, err := fitCourse(s, state, func(d *Day, day int) float64 {
				r := temperature(d, k) - mean.At(day)
				return r * r
			})
			if err != nil {
				return err
			}
			// The root of a smooth variance, sampled and fitted again, so that a
			// course is a course.
			g.Mean[state][k] = mean
			g.Deviation[state][k] = sampled(func(day int) float64 { return math.Sqrt(max(1, variance.At(day))) })
		}
	}
	// Correlations of residuals on one day and from day to day.
	var m0, m1 [2][2]pairs
	var before [2]float64
	var byHalf [2][24][]float64
	known := false
	for i := range s.Days {
		d := &s.Days[i]
		if math.IsNaN(d.TMax + d.TMin + d.Rain) {
			known = false
			continue
		}
		r := g.residual(d, (s.First + quantity.Date(i)).YearDay())
		for a := range 2 {
			for b := range 2 {
				m0[a][b].add(r[a], r[b])
				if known {
					m1[a][b].add(r[a], before[b])
				}
			}
		}
		before, known = r, true
		half := (s.First + quantity.Date(i)).HalfMonth()
		for k := range r {
			byHalf[k][half] = append(byHalf[k][half], r[k])
		}
	}
	for k := range byHalf {
		for m := range byHalf[k] {
			slices.Sort(byHalf[k][m])
			for _, p := range residualLevels {
				g.Residuals[k][m] = append(g.Residuals[k][m], stats.Percentile(byHalf[k][m], p))
			}
		}
	}
	rho := m0[0][1].correlation()
	lag := [2][2]float64{{m1[0][0].correlation(), m1[0][1].correlation()}, {m1[1][0].correlation(), m1[1][1].correlation()}}
	g.correlate(rho, lag)
	return nil
}

// correlate sets A and B from the residuals' correlation on one day and their
// lag-one correlations: A = M1 M0⁻¹, B Bᵀ = M0 - A M1ᵀ.
func (g *Generator) correlate(rho float64, lag [2][2]float64) {
	det := 1 - rho*rho
	for i := range 2 {
		g.A[i][0] = (lag[i][0] - lag[i][1]*rho) / det
		g.A[i][1] = (lag[i][1] - lag[i][0]*rho) / det
	}
	c := func(i, j int) float64 { return g.A[i][0]*lag[j][0] + g.A[i][1]*lag[j][1] }
	v00, v01, v11 := 1-c(0, 0), rho-(c(0, 1)+c(1, 0))/2, 1-c(1, 1)
	g.B[0][0] = math.Sqrt(max(1e-9, v00))
	g.B[1][0] = v01 / g.B[0][0]
	g.B[1][1] = math.Sqrt(max(1e-9, v11-g.B[1][0]*g.B[1][0]))
}

// residual standardises a day's temperatures.
func (g *Generator) residual(d *Day, yearDay int) (r [2]float64) {
	state := 0
	if d.Rain >= wetThreshold {
		state = 1
	}
	r[0] = (d.TMax - g.Mean[state][0].At(yearDay)) / g.Deviation[state][0].At(yearDay)
	r[1] = (d.TMin - g.Mean[state][1].At(yearDay)) / g.Deviation[state][1].At(yearDay)
	return r
}

// fitCourse fits harmonics by least squares to the days of one state.
func fitCourse(s *Series, state int, value func(*Day, int) float64) (h Harmonics, err error) {
	normal := mat.NewSymDense(len(h), nil)
	right := mat.NewVecDense(len(h), nil)
	n := 0
	for i := range s.Days {
		d := &s.Days[i]
		if math.IsNaN(d.TMax+d.TMin+d.Rain) || (d.Rain >= wetThreshold) != (state == 1) {
			continue
		}
		day := (s.First + quantity.Date(i)).YearDay()
		basis, v := waves(day), value(d, day)
		for a := range basis {
			for b := a; b < len(basis); b++ {
				normal.SetSym(a, b, normal.At(a, b)+basis[a]*basis[b])
			}
			right.SetVec(a, right.AtVec(a)+basis[a]*v)
		}
		n++
	}
	var chol mat.Cholesky
	if n < 500 || !chol.Factorize(normal) {
		return h, ErrShort
	}
	var x mat.VecDense
	if err := chol.SolveVecTo(&x, right); err != nil {
		return h, fmt.Errorf("weather: seasonal course: %w", err)
	}
	for i := range h {
		h[i] = x.AtVec(i)
	}
	return h, nil
}

// sampled is the harmonics nearest a function of the day of the year; over whole
// days of a year the waves are all but orthogonal.
func sampled(f func(yearDay int) float64) (h Harmonics) {
	const n = 1461 // four years
	for i := range n {
		day := i%365 + 1
		basis, v := waves(day), f(day)
		for k := range h {
			h[k] += basis[k] * v / n
		}
	}
	for k := 1; k < len(h); k++ {
		h[k] *= 2
	}
	return h
}

// Normals are monthly climate normals, January first.
type Normals struct {
	TMax, TMin   [12]float64 // mean, °C
	Rain         [12]float64 // mm
	WetDays      [12]float64 // days with rain
	SDMax, SDMin [12]float64 // of daily values about the month's mean, °C
}

// FromNormals makes a generator from monthly normals alone: transition
// probabilities and the gamma distribution by Geng's regressions on the share of
// wet days and the mean rain of a wet day; residual correlations as published
// for WGEN; wet days have maxima 2.5 °C lower and minima 1 °C higher than dry
// ones.
//
// Source: Geng, Penning de Vries & Supit 1986, Agricultural and Forest
// Meteorology 36:363-376; Richardson & Wright 1984 (both from memory); the
// wet-day differences common practice.
func FromNormals(station Station, n *Normals) *Generator {
	g := &Generator{Station: station}
	length := [12]float64{31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	var wet [12]float64
	for m := range wet {
		wet[m] = n.WetDays[m] / length[m]
		g.WetAfterDry[m] = 0.75 * wet[m]
		g.WetAfterWet[m] = 0.25 + 0.75*wet[m]
		mean := n.Rain[m] / n.WetDays[m]
		g.Scale[m] = max(1, -2.16+1.83*mean)
		g.Shape[m] = mean / g.Scale[m]
	}
	for state := range 2 {
		for k := range 2 {
			lift := [2]float64{2.5, -1}[k] // of dry days above wet
			normals, sd := &n.TMax, &n.SDMax
			if k == 1 {
				normals, sd = &n.TMin, &n.SDMin
			}
			g.Mean[state][k] = sampled(func(day int) float64 {
				w := between(&wet, day)
				if state == 1 {
					return between(normals, day) - lift*(1-w)
				}
				return between(normals, day) + lift*w
			})
			g.Deviation[state][k] = sampled(func(day int) float64 { return between(sd, day) })
		}
	}
	g.A = [2][2]float64{{0.567, 0.086}, {0.253, 0.504}}
	g.B = [2][2]float64{{0.781, 0}, {0.328, 0.637}}
	return g
}

// residualLevels are the probabilities at which residuals are kept, denser in
// the tails, where freezes are.
var residualLevels = []float64{0.0005, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 0.998, 0.9995}

// levelNormals are the normal quantiles of residualLevels.
var levelNormals = func() (z []float64) {
	for _, p := range residualLevels {
		z = append(z, stats.Quantile(p))
	}
	return z
}()

// shaped turns a normal residual into one of the half-month's own distribution, by
// straight lines between the levels kept and beyond them by a shift.
func shaped(z float64, kept []float64) float64 {
	if len(kept) == 0 {
		return z
	}
	last := len(levelNormals) - 1
	switch {
	case z <= levelNormals[0]:
		return kept[0] + z - levelNormals[0]
	case z >= levelNormals[last]:
		return kept[last] + z - levelNormals[last]
	}
	i, _ := slices.BinarySearch(levelNormals, z)
	t := (z - levelNormals[i-1]) / (levelNormals[i] - levelNormals[i-1])
	return kept[i-1] + t*(kept[i]-kept[i-1])
}

// between joins monthly values at mid-month by straight lines.
func between(v *[12]float64, yearDay int) float64 {
	x := (float64(yearDay)-15.5)/30.4375 + 12
	i := int(x)
	return v[i%12] + (v[(i+1)%12]-v[i%12])*(x-float64(i))
}

// Generate makes whole years of daily weather from a first day. The same
// generator, seed and dates give the same weather on every machine.
func (g *Generator) Generate(seed uint64, first quantity.Date, years int) *Series {
	end := quantity.MonthDay{Month: monthOf(first), Day: dayOf(first)}.In(first.Year() + years)
	s := &Series{Station: g.Station, First: first, Days: make([]Day, int(end-first))}
	rain, warmth := stats.Stream(seed, "weather rain"), stats.Stream(seed, "weather temperature")
	var r [2]float64
	wet := false
	for i := range s.Days {
		date := first + quantity.Date(i)
		_, month, _ := date.Civil()
		m, day := month-1, date.YearDay()
		p := g.WetAfterDry[m]
		if wet {
			p = g.WetAfterWet[m]
		}
		d := &s.Days[i]
		*d = missing
		d.Marks = Generated
		d.Rain = 0
		state := 0
		if wet = rain.Float64() < p; wet {
			state = 1
			d.Rain = math.Max(wetThreshold, math.Round(10*gamma(rain, g.Shape[m])*g.Scale[m])/10)
		}
		e0, e1 := stats.Draw(warmth), stats.Draw(warmth)
		r = [2]float64{
			g.A[0][0]*r[0] + g.A[0][1]*r[1] + g.B[0][0]*e0,
			g.A[1][0]*r[0] + g.A[1][1]*r[1] + g.B[1][0]*e0 + g.B[1][1]*e1,
		}
		d.TMax = g.Mean[state][0].At(day) + g.Deviation[state][0].At(day)*shaped(r[0], g.Residuals[0][date.HalfMonth()])
		d.TMin = g.Mean[state][1].At(day) + g.Deviation[state][1].At(day)*shaped(r[1], g.Residuals[1][date.HalfMonth()])
		if d.TMin > d.TMax-1 {
			middle := (d.TMin + d.TMax) / 2
			d.TMin, d.TMax = middle-0.5, middle+0.5
		}
		d.TMin, d.TMax = math.Round(10*d.TMin)/10, math.Round(10*d.TMax)/10
	}
	h := fnv.New128a()
	_, _ = fmt.Fprintf(h, "%v %v %v %v", *g, seed, first, years)
	s.Hash = fmt.Sprintf("generated-%x", h.Sum(nil))
	s.Notices = []Notice{{Kind: "generated", Text: say.That("this weather is invented by a seeded generator; it is no forecast and no record")}}
	return s
}

func monthOf(d quantity.Date) time.Month { _, m, _ := d.Civil(); return m }

func dayOf(d quantity.Date) int { _, _, day := d.Civil(); return day }

// gamma draws from a gamma distribution of a shape and scale 1.
//
// Source: Marsaglia & Tsang 2000, ACM Trans. Math. Softw. 26:363-372 (from
// memory), with the boost for shapes below 1.
func gamma(r *rand.Rand, shape float64) float64 {
	if shape < 1 {
		return gamma(r, shape+1) * math.Pow(max(1e-300, r.Float64()), 1/shape)
	}
	d := shape - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		x := stats.Draw(r)
		v := 1 + c*x
		if v <= 0 {
			continue
		}
		v = v * v * v
		if u := r.Float64(); math.Log(max(1e-300, u)) < x*x/2+d-d*v+d*math.Log(v) {
			return d * v
		}
	}
}
