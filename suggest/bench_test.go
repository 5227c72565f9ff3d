package suggest

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"rowen/crop"
	"rowen/farm"
	"rowen/weather"
)

// large is an organic dairy of n fields on four soils, its herd and stores in proportion,
// over 30 years of the invented valley's weather.
func large(t testing.TB, n int) *Request {
	t.Helper()
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "rowen = 1\nname = \"Wide Valley\"\nlatitude = 43.05\nlongitude = -74.48\nelevation = \"820 ft\"\nunits = \"us\"\norganic = true\nfirst_year = 2027\nturnout = \"4 May\"\nhousing = \"28 Oct\"\n")
	soils := []string{
		`{ texture = "silt loam", drainage = "well drained", pH = 6.5, organic_matter = "4 %" }`,
		`{ texture = "loam", drainage = "moderately well drained", pH = 6.2, organic_matter = "3.5 %" }`,
		`{ texture = "sandy loam", drainage = "well drained", pH = 6.0, organic_matter = "2.5 %" }`,
		`{ texture = "silt loam", drainage = "somewhat poorly drained", pH = 6.3, organic_matter = "4.5 %" }`,
	}
	acres := 0.0
	for i := range n {
		size := 12 + float64(i*7%13)
		acres += size
		fmt.Fprintf(&b, "\n[[field]]\nname = \"Field %d\"\narea = \"%g ac\"\nsoil = %s\n", i+1, size, soils[i%4])
		switch {
		case i%10 < 6:
			fmt.Fprintf(&b, "stand = \"grass-clover\"\nuse = \"graze\"\n")
		case i%10 < 8:
			fmt.Fprintf(&b, "stand = \"grass-clover\"\nuse = \"wrap\"\ngrazeable = false\n")
		}
	}
	fmt.Fprintf(&b, "\n[[group]]\nname = \"Cows\"\nclass = \"dairy cow in milk\"\n[[group.period]]\nfrom = \"1 Nov\"\nhead = %.0f\nweight = \"1,350 lb\"\nmilk = \"50 lb/d\"\nfat = \"4 %%\"\ngrain = \"8 lb/d\"\n", acres/3)
	fmt.Fprintf(&b, "\n[[group]]\nname = \"Heifers\"\nclass = \"dairy heifer\"\n[[group.period]]\nfrom = \"1 Nov\"\nhead = %.0f\nweight = \"720 lb\"\ngain = \"1.6 lb/d\"\n", acres/10)
	for _, s := range [][3]string{{"Bunker", "bunker", "haylage"}, {"Bales", "wrapped bales", "baleage"}, {"Barn", "barn", "hay"}} {
		fmt.Fprintf(&b, "\n[[store]]\nname = %q\nkind = %q\ncapacity = \"%.0f ton\"\n\n[[stock]]\nstore = %q\nfeed = %q\namount = \"%.0f ton\"\n", s[0], s[1], acres*1.2, s[0], s[2], acres*0.45)
	}
	f, err := farm.Parse("wide.toml", []byte(b.String()), c)
	if err != nil {
		t.Fatal(err)
	}
	s := weather.Valley(31, 2025)
	s.Prepare()
	all, _ := s.FeedYears(f.FeedYear, 0)
	return &Request{Farm: f, Catalogue: c, Years: all[len(all)-30:], Risk: 0.3, Plans: 1}
}

// BenchmarkGrow is the growing of every programme of a farm; BenchmarkChoose the choice
// and its proof over 30 weather years.
func BenchmarkGrow(b *testing.B) {
	for _, n := range []int{20, 60} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			r := large(b, n)
			for b.Loop() {
				if _, err := newSearch(context.Background(), r); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkChoose(b *testing.B) {
	for _, n := range []int{20, 60} {
		for _, risk := range []float64{0, 0.3} {
			b.Run(fmt.Sprintf("%d/risk %g", n, risk), func(b *testing.B) {
				ctx := context.Background()
				r := large(b, n)
				r.Risk = risk
				s, err := newSearch(ctx, r)
				if err != nil {
					b.Fatal(err)
				}
				p := newProgram(s, r, noRelief())
				start := p.point(make([]int, n))
				if _, err := p.Judge(ctx, start); err != nil {
					b.Fatal(err)
				}
				for b.Loop() {
					c, err := p.choose(ctx, r, start, r.thorough())
					if err != nil {
						b.Fatal(err)
					}
					b.ReportMetric(100*c.Gap(), "gap%")
					b.ReportMetric(float64(len(p.First)), "programmes")
				}
			})
		}
	}
}
