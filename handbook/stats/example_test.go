package stats_test

import (
	"fmt"
	"math"
	"testing"

	"rowen/handbook/stats"
)

// Tables of the normal distribution: Φ(1.2816) = 0.90.
func ExampleNormal() {
	fmt.Printf("%.4f\n", stats.Normal(1.2816))
	// Output: 0.9000
}

func ExampleQuantile() {
	fmt.Printf("%.4f %.4f %.4f\n", stats.Quantile(0.10), stats.Quantile(0.20), stats.Quantile(0.50))
	// Output: -1.2816 -0.8416 0.0000
}

func ExamplePercentile() {
	fmt.Println(stats.Percentile([]float64{4, 1, 3, 2}, 0.5))
	// Output: 2.5
}

func ExampleMeanSD() {
	fmt.Println(stats.MeanSD([]float64{1, 2, 3}))
	// Output: 2 1
}

func ExampleTrend() {
	fmt.Println(stats.Trend([]float64{1, 3, 5, 7}))
	// Output: 2 0
}

func ExampleStream() {
	a, b := stats.Stream(7, "rain", 1), stats.Stream(7, "rain", 1)
	fmt.Println(a.Uint64() == b.Uint64(), a.Uint64() == stats.Stream(7, "rain", 2).Uint64())
	// Output: true false
}

func ExampleDraw() {
	r := stats.Stream(7, "example")
	var sum, squares float64
	for range 100000 {
		z := stats.Draw(r)
		sum += z
		squares += z * z
	}
	fmt.Printf("%.1f %.1f\n", math.Abs(sum/100000), squares/100000)
	// Output: 0.0 1.0
}

func TestQuantileInverts(t *testing.T) {
	for p := 0.0005; p < 1; p += 0.0005 {
		if got := stats.Normal(stats.Quantile(p)); math.Abs(got-p) > 2e-9 {
			t.Fatalf("Normal(Quantile(%v)) = %v", p, got)
		}
	}
}
