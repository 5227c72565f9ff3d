package steer

import "math"

// passes is how often the observations are taken in, each time with their error
// variance as many times as wide: parameters answer no straight line, and small
// steps follow a curve.
//
// Source: Emerick & Reynolds 2013, Ensemble smoother with multiple data
// assimilation, Computers & Geosciences 55:3-15 (from memory).
const passes = 2

// leastCorrelation is the correlation, over the members, below which a parameter is
// not moved by an observation: with a hundred members 0.2 comes by chance.
//
// Source: two standard errors of a correlation of nothing, 2/√n.
const leastCorrelation = 0.2

// smooth moves the members' numbers by everything that was seen, one observation
// after another, so that their mean and spread follow.
//
// Source: Whitaker & Hamill 2002, Ensemble data assimilation without perturbed
// observations, Monthly Weather Review 130:1913-1924 (from memory): the serial
// square-root filter.
func smooth(ms []member, seen []Seen, predicted [][]float64) {
	for j := range seen {
		y := predicted[j]
		if y == nil {
			continue
		}
		mean, variance := moments(y)
		if variance <= 0 {
			continue
		}
		r := passes * seen[j].SD * seen[j].SD
		innovation := seen[j].told() - mean
		shrink := 1 / (1 + math.Sqrt(r/(variance+r)))
		for k := range dims {
			gain := gainOf(func(i int) float64 { return ms[i].z[k] }, y, mean, variance, r)
			if gain == 0 {
				continue
			}
			for i := range ms {
				ms[i].z[k] += gain * (innovation - shrink*(y[i]-mean))
			}
		}
		// What is still to come is expected anew.
		for l := j + 1; l < len(seen); l++ {
			if later := predicted[l]; later != nil {
				gain := gainOf(func(i int) float64 { return later[i] }, y, mean, variance, r)
				for i := range later {
					later[i] += gain * (innovation - shrink*(y[i]-mean))
				}
			}
		}
		moved := update(y, seen[j].told(), r)
		copy(y, moved)
	}
}

// gainOf is how far a number moves for each unit that an observation surprises.
func gainOf(x func(int) float64, y []float64, mean, variance, r float64) float64 {
	n := float64(len(y))
	var sum, squares, cross float64
	for i := range y {
		sum += x(i)
	}
	for i := range y {
		d := x(i) - sum/n
		squares += d * d
		cross += d * (y[i] - mean)
	}
	if squares <= 0 || math.Abs(cross) < leastCorrelation*math.Sqrt(squares*variance*(n-1)) {
		return 0
	}
	return cross / (n - 1) / (variance + r)
}

// beyond is how many standard deviations an observation may lie off before the
// members are held to be wrong together: their spread is then taken as wide as it
// takes, so that the field beats the model.
//
// Source: the idea of adaptive inflation, Anderson 2007, Tellus A 59:210-224 (from
// memory); the form is ours.
const beyond = 2

// update is the predictions themselves after their observation.
func update(y []float64, told, r float64) []float64 {
	y = append([]float64(nil), y...)
	out := append([]float64(nil), y...)
	mean, variance := moments(y)
	if variance <= 0 {
		return out
	}
	if wide := sq((told-mean)/beyond) - r; wide > variance {
		for i := range y {
			y[i] = mean + (y[i]-mean)*math.Sqrt(wide/variance)
		}
		copy(out, y)
		variance = wide
	}
	gain := variance / (variance + r)
	shrink := 1 / (1 + math.Sqrt(r/(variance+r)))
	for i := range out {
		out[i] += gain * (told - mean - shrink*(y[i]-mean))
	}
	return out
}

func sq(x float64) float64 { return x * x }

func moments(y []float64) (mean, variance float64) {
	for _, v := range y {
		mean += v
	}
	mean /= float64(len(y))
	for _, v := range y {
		variance += (v - mean) * (v - mean)
	}
	return mean, variance / float64(len(y)-1)
}
