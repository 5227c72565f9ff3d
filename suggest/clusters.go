package suggest

import "math"

// clusters groups the years of a program by what they cost under plans that were
// judged: years that cost much the same leave little to lose by taking their mean.
// Groups minimise the sum of squares within them (Ward 1963, Journal of the American
// Statistical Association 58: 236-244) and come in order of their first year.
func clusters(n int, judged ...*Judgement) [][]int {
	years := len(judged[0].Cost)
	groups := make([][]int, years)
	centre := make([][]float64, years)
	for y := range groups {
		groups[y] = []int{y}
		for _, j := range judged {
			centre[y] = append(centre[y], j.Cost[y])
		}
	}
	for len(groups) > max(1, n) {
		bestA, bestB, best := 0, 1, math.Inf(1)
		for a := range groups {
			for b := a + 1; b < len(groups); b++ {
				na, nb := float64(len(groups[a])), float64(len(groups[b]))
				if d := na * nb / (na + nb) * distance(centre[a], centre[b]); d < best {
					bestA, bestB, best = a, b, d
				}
			}
		}
		na, nb := float64(len(groups[bestA])), float64(len(groups[bestB]))
		mid := make([]float64, len(judged))
		for i := range mid {
			mid[i] = (na*centre[bestA][i] + nb*centre[bestB][i]) / (na + nb)
		}
		groups[bestA] = append(groups[bestA][:len(groups[bestA]):len(groups[bestA])], groups[bestB]...)
		centre[bestA] = mid
		groups = append(groups[:bestB], groups[bestB+1:]...)
		centre = append(centre[:bestB], centre[bestB+1:]...)
	}
	return groups
}

func distance(a, b []float64) (sum float64) {
	for i := range a {
		d := a[i] - b[i]
		sum += d * d
	}
	return sum
}
