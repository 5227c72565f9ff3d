// Package stats holds the few statistics the other rooms share: the normal
// quantile, percentiles, and random draws that come out the same on every
// machine.
package stats

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"
)

// Normal is Φ(z), the standard normal distribution.
//
// Source: Abramowitz & Stegun 1964, Handbook of Mathematical Functions, 26.2
// and 7.1 (identity with erfc; from memory).
func Normal(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// Quantile is z(p), the inverse of Normal, for 0 < p < 1; relative error below
// 1.2e-9.
//
// Source: P. J. Acklam, An algorithm for computing the inverse normal
// cumulative distribution function, 2003 (from memory).
func Quantile(p float64) float64 {
	a := [...]float64{-3.969683028665376e+01, 2.209460984245205e+02, -2.759285104469687e+02, 1.383577518672690e+02, -3.066479806614716e+01, 2.506628277459239e+00}
	b := [...]float64{-5.447609879822406e+01, 1.615858368580409e+02, -1.556989798598866e+02, 6.680131188771972e+01, -1.328068155288572e+01}
	c := [...]float64{-7.784894002430293e-03, -3.223964580411365e-01, -2.400758277161838e+00, -2.549732539343734e+00, 4.374664141464968e+00, 2.938163982698783e+00}
	d := [...]float64{7.784695709041462e-03, 3.224671290700398e-01, 2.445134137142996e+00, 3.754408661907416e+00}
	tail := func(q float64) float64 {
		return (((((c[0]*q+c[1])*q+c[2])*q+c[3])*q+c[4])*q + c[5]) / ((((d[0]*q+d[1])*q+d[2])*q+d[3])*q + 1)
	}
	switch {
	case p <= 0:
		return math.Inf(-1)
	case p >= 1:
		return math.Inf(1)
	case p < 0.02425:
		return tail(math.Sqrt(-2 * math.Log(p)))
	case p > 1-0.02425:
		return -tail(math.Sqrt(-2 * math.Log(1-p)))
	}
	q := p - 0.5
	r := q * q
	return (((((a[0]*r+a[1])*r+a[2])*r+a[3])*r+a[4])*r + a[5]) * q / (((((b[0]*r+b[1])*r+b[2])*r+b[3])*r+b[4])*r + 1)
}

// Percentile is the p-th quantile (0 to 1) of a sample, by linear interpolation
// between order statistics; NaN for an empty sample. The sample is not changed.
//
// Source: Hyndman & Fan 1996, The American Statistician 50:361-365, type 7
// (from memory).
func Percentile(sample []float64, p float64) float64 {
	if len(sample) == 0 {
		return math.NaN()
	}
	s := slices.Clone(sample)
	slices.Sort(s)
	h := float64(len(s)-1) * min(1, max(0, p))
	i := int(h)
	if i+1 >= len(s) {
		return s[len(s)-1]
	}
	return s[i] + (h-float64(i))*(s[i+1]-s[i])
}

// MeanSD is a sample's mean and standard deviation (divisor n-1; 0 below two).
//
// Source: common practice.
func MeanSD(sample []float64) (mean, sd float64) {
	if len(sample) == 0 {
		return math.NaN(), math.NaN()
	}
	for _, x := range sample {
		mean += x
	}
	mean /= float64(len(sample))
	if len(sample) < 2 {
		return mean, 0
	}
	for _, x := range sample {
		sd += (x - mean) * (x - mean)
	}
	return mean, math.Sqrt(sd / float64(len(sample)-1))
}

// Trend is the least-squares slope of y over 0, 1, 2, ... per step, and its
// standard error; both NaN below three values.
//
// Source: common practice (simple linear regression).
func Trend(y []float64) (slope, standardError float64) {
	n := float64(len(y))
	if n < 3 {
		return math.NaN(), math.NaN()
	}
	mean, _ := MeanSD(y)
	mx := (n - 1) / 2
	var sxx, sxy float64
	for i, v := range y {
		sxx += (float64(i) - mx) * (float64(i) - mx)
		sxy += (float64(i) - mx) * (v - mean)
	}
	slope = sxy / sxx
	var sse float64
	for i, v := range y {
		e := v - mean - slope*(float64(i)-mx)
		sse += e * e
	}
	return slope, math.Sqrt(sse / (n - 2) / sxx)
}

// Stream is a random stream that depends on its key alone: a seed, a purpose
// and as many numbers as it takes to say whose draw it is.
//
// Source: O'Neill 2014, PCG (the generator of package math/rand/v2); keys by
// FNV-1a.
func Stream(seed uint64, purpose string, of ...int64) *rand.Rand {
	h := fnv.New64a()
	_, _ = h.Write([]byte(purpose))
	for _, v := range of {
		var b [8]byte
		for i := range b {
			b[i] = byte(v >> (8 * i))
		}
		_, _ = h.Write(b[:])
	}
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

// Draw is a standard normal draw by inversion, so that one uniform makes one
// normal on every machine.
//
// Source: Devroye 1986, Non-Uniform Random Variate Generation, II.2 (from
// memory).
func Draw(r *rand.Rand) float64 {
	return Quantile(max(1e-15, r.Float64()))
}
