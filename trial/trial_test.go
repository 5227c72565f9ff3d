package trial_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"rowen/internal/document"
	"rowen/quantity"
	"rowen/trial"
)

var update = flag.Bool("update", false, "freeze the maps anew")

// names are n treatments.
func names(prefix string, n int) (out []string) {
	for i := range n {
		out = append(out, prefix+strconv.Itoa(i+1))
	}
	return out
}

// sized is a design with plots that are in order.
func sized(k trial.Kind, first, second []string, blocks int, seed uint64) trial.Design {
	return trial.Design{Kind: k, Treatments: first, Second: second, Blocks: blocks, Seed: seed, PlotWidth: 5 * quantity.Foot, PlotLength: 20 * quantity.Foot}
}

// drawn is any design that is in order.
func drawn(t *rapid.T) trial.Design {
	k := trial.Kind(rapid.IntRange(0, 3).Draw(t, "kind"))
	least, most := 2, 15
	var second []string
	switch k {
	case trial.Latin:
		least, most = 3, 12
	case trial.Split, trial.Strip:
		second = names("N ", rapid.IntRange(2, 9).Draw(t, "second"))
	}
	blocks := rapid.IntRange(2, 7).Draw(t, "blocks")
	if k == trial.Latin {
		blocks = 0
	}
	prefix := rapid.SampledFrom([]string{"T", "variety ", "a longer name of a variety "}).Draw(t, "prefix")
	d := sized(k, names(prefix, rapid.IntRange(least, most).Draw(t, "treatments")), second, blocks, rapid.Uint64().Draw(t, "seed"))
	d.Alley = quantity.Length(rapid.Float64Range(0, 5).Draw(t, "alley"))
	d.Border = quantity.Length(rapid.Float64Range(0, 5).Draw(t, "border"))
	d.Guards = rapid.IntRange(0, 3).Draw(t, "guards")
	return d
}

// once holds that a list is a set of names, each once.
func once(t *rapid.T, where string, got, want []string) {
	t.Helper()
	got, want = slices.Clone(got), slices.Clone(want)
	slices.Sort(got)
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Fatalf("%s holds %q, want each of %q once", where, got, want)
	}
}

func TestDesignsKeepTheirRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, err := trial.Lay(drawn(t))
		if err != nil {
			t.Fatal(err)
		}
		d := m.Design
		both := func(p trial.Plot) string { return p.Treatment + "|" + p.Second }
		var pairs []string
		for _, a := range d.Treatments {
			for _, b := range append(d.Second, []string{""}[:max(0, 1-len(d.Second))]...) {
				pairs = append(pairs, a+"|"+b)
			}
		}
		// group gathers the plots that share a place.
		group := func(of func(trial.Plot) string) map[string][]trial.Plot {
			out := map[string][]trial.Plot{}
			for _, p := range m.Plots {
				out[of(p)] = append(out[of(p)], p)
			}
			return out
		}
		each := func(plots []trial.Plot, of func(trial.Plot) string) (out []string) {
			for _, p := range plots {
				out = append(out, of(p))
			}
			return out
		}
		treatment := func(p trial.Plot) string { return p.Treatment }
		second := func(p trial.Plot) string { return p.Second }
		blocks := group(func(p trial.Plot) string { return fmt.Sprint("block ", p.Block) })
		if len(blocks) != d.Blocks {
			t.Fatalf("%d blocks, want %d", len(blocks), d.Blocks)
		}
		for where, plots := range blocks {
			once(t, where, each(plots, both), pairs)
		}
		switch d.Kind {
		case trial.Latin:
			for where, plots := range group(func(p trial.Plot) string { return fmt.Sprint("column ", p.Column) }) {
				once(t, where, each(plots, treatment), d.Treatments)
			}
		case trial.Split:
			// A main plot is a run of neighbouring columns with one main treatment.
			for where, plots := range group(func(p trial.Plot) string {
				return fmt.Sprint("block ", p.Block, " main plot ", (p.Column-1)/len(d.Second))
			}) {
				once(t, where, each(plots, second), d.Second)
				if got := slices.Compact(each(plots, treatment)); len(got) != 1 {
					t.Fatalf("%s has main treatments %q", where, got)
				}
			}
		case trial.Strip:
			for where, plots := range group(func(p trial.Plot) string { return fmt.Sprint("row ", p.Row) }) {
				if got := slices.Compact(each(plots, treatment)); len(got) != 1 {
					t.Fatalf("%s has %q across", where, got)
				}
			}
			for where, plots := range group(func(p trial.Plot) string { return fmt.Sprint("block ", p.Block, " column ", p.Column) }) {
				if got := slices.Compact(each(plots, second)); len(got) != 1 {
					t.Fatalf("%s has %q along", where, got)
				}
			}
		}
	})
}

func TestPlotsLieSideBySide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, err := trial.Lay(drawn(t))
		if err != nil {
			t.Fatal(err)
		}
		d := m.Design
		numbers, places := map[int]bool{}, map[[2]int]bool{}
		for i, p := range m.Plots {
			numbers[p.Number], places[[2]int{p.Row, p.Column}] = true, true
			if hundred := len(strconv.Itoa(p.Number)) - len(strconv.Itoa(p.Block)); p.Number/int(math.Pow10(hundred)) != p.Block {
				t.Fatalf("plot %d is in block %d", p.Number, p.Block)
			}
			if p.X < d.Border || p.Y < d.Border || p.X+d.PlotWidth > m.Width-d.Border+1e-9 || p.Y+d.PlotLength > m.Length-d.Border+1e-9 {
				t.Fatalf("plot %d at %v, %v lies outside %v x %v", p.Number, p.X, p.Y, m.Width, m.Length)
			}
			if i == 0 {
				continue
			}
			// To and fro: the next plot is beside the last, or behind it.
			q := m.Plots[i-1]
			if p.Number <= q.Number || abs(p.Row-q.Row)+abs(p.Column-q.Column) != 1 {
				t.Fatalf("plot %d at row %d, column %d follows %d at %d, %d", p.Number, p.Row, p.Column, q.Number, q.Row, q.Column)
			}
			step := math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y))
			want := float64(d.PlotWidth)
			if p.Row != q.Row {
				want = float64(d.PlotLength)
			}
			if p.Block != q.Block {
				want += float64(d.Alley)
			}
			if math.Abs(step-want) > 1e-9 {
				t.Fatalf("%g m from plot %d to %d, want %g", step, q.Number, p.Number, want)
			}
		}
		if len(numbers) != len(m.Plots) || len(places) != len(m.Plots) || len(m.Plots) != m.Rows*m.Columns {
			t.Fatalf("%d plots, %d numbers, %d places, %d x %d", len(m.Plots), len(numbers), len(places), m.Rows, m.Columns)
		}
	})
}

func abs(v int) int { return max(v, -v) }

// The ground of a small trial, worked by hand: 3 plots and 2 guard plots of 5 ft
// and 2 x 10 ft of border across; 4 plots of 20 ft, 3 alleys of 6 ft and 2 x 10 ft
// deep.
func TestGround(t *testing.T) {
	d := sized(trial.Block, names("T", 3), nil, 4, 7)
	d.Alley, d.Border, d.Guards = 6*quantity.Foot, 10*quantity.Foot, 1
	m, err := trial.Lay(d)
	if err != nil {
		t.Fatal(err)
	}
	if w, l := m.Width.Feet(), m.Length.Feet(); math.Abs(w-45) > 1e-9 || math.Abs(l-118) > 1e-9 {
		t.Errorf("%g x %g ft, want 45 x 118", w, l)
	}
	if a := m.Ground().Acres(); math.Abs(a-45*118/43560.0) > 1e-9 {
		t.Errorf("%g ac", a)
	}
	if p := m.Plots[3]; p.Number != 201 || p.Column != 3 || math.Abs(p.X.Feet()-25) > 1e-9 || math.Abs(p.Y.Feet()-36) > 1e-9 {
		t.Errorf("plot 201: %+v; want column 3 at 25, 36 ft", p)
	}
}

func TestSeed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := trial.Kind(rapid.IntRange(0, 3).Draw(t, "kind"))
		var second []string
		blocks := 6
		switch k {
		case trial.Split, trial.Strip:
			second = names("N", 6)
		case trial.Latin:
			blocks = 0
		}
		// Large enough that two seeds agree by chance less than once in 1e8.
		seed := rapid.Uint64Range(0, 1<<62).Draw(t, "seed")
		d := sized(k, names("T", 12), second, blocks, seed)
		a, err := trial.Lay(d)
		if err != nil {
			t.Fatal(err)
		}
		b, _ := trial.Lay(d)
		if !reflect.DeepEqual(a, b) {
			t.Fatal("the same seed gave another map")
		}
		d.Seed += rapid.Uint64Range(1, 1000).Draw(t, "further")
		c, _ := trial.Lay(d)
		if reflect.DeepEqual(a.Plots, c.Plots) {
			t.Fatal("another seed gave the same map")
		}
	})
}

// Over many seeds every treatment comes to every column as often as to any other.
func TestRandomisationIsEven(t *testing.T) {
	const seeds = 4000
	for _, k := range []trial.Kind{trial.Block, trial.Split, trial.Latin, trial.Strip} {
		var second []string
		if k == trial.Split || k == trial.Strip {
			second = names("N", 4)
		}
		counts := map[string]int{}
		for seed := range uint64(seeds) {
			m, err := trial.Lay(sized(k, names("T", 4), second, 4, seed))
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range m.Plots {
				if p.Block == 2 {
					counts[fmt.Sprint(p.Row, " ", p.Column, " ", p.Treatment, " ", p.Second)]++
				}
			}
		}
		// A count is binomial; 5 standard deviations are never left by chance.
		cells, share := 4*4, 1.0/4
		if second != nil {
			cells, share = 16*16, 1.0/16
		}
		if len(counts) != cells {
			t.Errorf("%v: %d of %d places and treatments came up", k, len(counts), cells)
		}
		for at, n := range counts {
			if off := math.Abs(float64(n) - seeds*share); off > 5*math.Sqrt(seeds*share*(1-share)) {
				t.Errorf("%v: %s came up %d times in %d, want about %g", k, at, n, seeds, seeds*share)
			}
		}
	}
}

func TestDesignProblems(t *testing.T) {
	block := sized(trial.Block, names("T", 4), nil, 4, 1)
	for name, c := range map[string]struct {
		change func(*trial.Design)
		want   []string
	}{
		"all at once": {func(d *trial.Design) {
			d.Treatments = []string{"teff", " Teff ", "=1+1", "", strings.Repeat("x", 41), "a\x00b"}
			d.Blocks, d.PlotWidth, d.PlotLength, d.Alley, d.Border, d.Guards = 1, 0, 2*quantity.Kilometre, -1, quantity.Length(math.NaN()), -1
		}, []string{`treatment: "Teff": named twice`, `treatment: "=1+1": a spreadsheet`, "treatment: a name is missing", "longer than 40", "cannot be printed", `blocks: "1": a trial needs at least 2`, "plot width", "plot length", "alley", "border", "guards"}},
		"one treatment":  {func(d *trial.Design) { d.Treatments = names("T", 1) }, []string{`treatments: "1": a trial compares at least 2`}},
		"second unasked": {func(d *trial.Design) { d.Second = names("N", 2) }, []string{"has one factor"}},
		"second missing": {func(d *trial.Design) { d.Kind = trial.Split }, []string{`second treatments: "0"`}},
		"second twice":   {func(d *trial.Design) { d.Kind, d.Second = trial.Strip, []string{"N", "n"} }, []string{`second treatment: "n": named twice`}},
		"latin count":    {func(d *trial.Design) { d.Kind, d.Blocks = trial.Latin, 5 }, []string{`blocks: "5": a Latin square has as many rows as treatments; give 4`}},
		"latin small":    {func(d *trial.Design) { d.Kind, d.Treatments, d.Blocks = trial.Latin, names("T", 2), 2 }, []string{"takes 3 to 12"}},
		"latin large":    {func(d *trial.Design) { d.Kind, d.Treatments, d.Blocks = trial.Latin, names("T", 13), 13 }, []string{"takes 3 to 12"}},
		"too many plots": {func(d *trial.Design) { d.Blocks = 251 }, []string{"more than 1000 plots"}},
		"overflow":       {func(d *trial.Design) { d.Blocks = math.MaxInt }, []string{"more than 1000 plots"}},
		"kind":           {func(d *trial.Design) { d.Kind = 9 }, []string{"no such design"}},
	} {
		d := block
		c.change(&d)
		_, err := trial.Lay(d)
		var got document.Problems
		if !errors.As(err, &got) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(got) != len(c.want) {
			t.Errorf("%s: %d problems, want %d:\n%v", name, len(got), len(c.want), err)
		}
		for _, want := range c.want {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: nothing tells %q:\n%v", name, want, err)
			}
		}
	}
	if _, err := trial.Lay(func() trial.Design { d := block; d.Blocks = 250; return d }()); err != nil {
		t.Errorf("1000 plots: %v", err)
	}
	for _, k := range []trial.Kind{trial.Block, trial.Split, trial.Latin, trial.Strip} {
		if back, err := trial.ParseKind(k.String()); err != nil || back != k {
			t.Errorf("%v reads back as %v, %v", k, back, err)
		}
	}
	if _, err := trial.ParseKind("lattice"); err == nil {
		t.Error("an unknown design is read")
	}
}

// The maps are frozen: a seed that a crew has sown must give the same map for ever.
func TestMapGolden(t *testing.T) {
	designs := map[string]trial.Design{
		"block": sized(trial.Block, []string{"teff", "pearl millet", "sudangrass", "Japanese millet"}, nil, 4, 7),
		"split": sized(trial.Split, []string{"early cut", "late cut"}, []string{"0 lb N", "50 lb N", "100 lb N"}, 3, 7),
		"latin": sized(trial.Latin, names("T", 5), nil, 0, 7),
		"strip": sized(trial.Strip, []string{"ploughed in the autumn", "no-till"}, []string{"sown in the last week of May", "sown in June", "sown in July"}, 2, 7),
	}
	for name, d := range designs {
		d.Alley, d.Border = 6*quantity.Foot, 10*quantity.Foot
		if d.Kind == trial.Block {
			d.Guards = 1
		}
		m, err := trial.Lay(d)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := trial.WriteMap(&b, m, quantity.US); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join("testdata", name+".map.txt")
		if *update {
			if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if got := b.String(); got != strings.ReplaceAll(string(want), "\r\n", "\n") {
			t.Errorf("%s moved:\n%s", path, got)
		}
	}
}

// The text map is never wider than it says, shows every plot once, and tells when
// it is split.
func TestMapFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, err := trial.Lay(drawn(t))
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := trial.WriteMap(&b, m, quantity.System(rapid.IntRange(0, 1).Draw(t, "units"))); err != nil {
			t.Fatal(err)
		}
		text := b.String()
		for _, line := range strings.Split(text, "\n") {
			if n := utf8.RuneCountInString(line); n > 96 {
				t.Fatalf("%d columns: %s", n, line)
			}
		}
		for _, p := range m.Plots {
			if n := strings.Count(text, fmt.Sprintf("| %d ", p.Number)); n != 1 {
				t.Fatalf("plot %d stands %d times", p.Number, n)
			}
		}
		if strings.Contains(text, "part 1 of") != strings.Contains(text, "too long for the page") {
			t.Fatal("the map does not tell that it is split")
		}
	})
}

func TestPage(t *testing.T) {
	d := sized(trial.Split, []string{"early <cut>", "late cut"}, names("N", 5), 2, 7)
	d.Guards = 1
	m, err := trial.Lay(d)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := trial.WriteHTML(&b, m, quantity.US); err != nil {
		t.Fatal(err)
	}
	page := b.String()
	for _, want := range []string{"@media print", "@page", "early &lt;cut&gt;", "part 2 of 2", "guard", "Harvest sheet", "sample dry, g", "Front of the field"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	for _, bad := range []string{"<script", "http:", "https:", "early <cut>", "ZgotmplZ"} {
		if strings.Contains(page, bad) {
			t.Errorf("the page holds %q", bad)
		}
	}
	for _, p := range m.Plots {
		square := fmt.Sprintf("<td><b>%d</b>%s<i>%s</i></td>", p.Number, strings.NewReplacer("<", "&lt;", ">", "&gt;").Replace(p.Treatment), p.Second)
		if strings.Count(page, square) != 1 {
			t.Errorf("no square %s", square)
		}
		if row := fmt.Sprintf(`<tr><td class="few"><b>%d</b></td>`, p.Number); strings.Count(page, row) != 1 {
			t.Errorf("plot %d is not once on the harvest sheet", p.Number)
		}
	}
}

func ExampleYieldOf() {
	// A strip 3 ft wide and 20 ft long; 84.5 g of 412 g are left after drying, so
	// 32.4 lb x 0.2051 = 6.645 lb of dry matter from 60 of the 43,560 sq ft of an acre.
	y, err := trial.YieldOf(3*quantity.Foot, 20*quantity.Foot, 32.4*quantity.Pound, 412*quantity.Gram, 84.5*quantity.Gram)
	if err != nil {
		fmt.Println(err)
	}
	fmt.Printf("%.2f %% dry matter, %.2f ton/ac\n", float64(y.DryMatter/quantity.Percent), y.PerArea.TonsPerAcre())
	// Output: 20.51 % dry matter, 2.41 ton/ac
}

func TestYieldProblems(t *testing.T) {
	const ft, lb, g = quantity.Foot, quantity.Pound, quantity.Gram
	nan := math.NaN()
	for _, c := range []struct {
		name                 string
		width, length        quantity.Length
		wet, sample, dry     quantity.Mass
		problems             int
		want                 string
		yieldOfNothingIsFine bool
	}{
		{name: "dry above wet", width: 3 * ft, length: 20 * ft, wet: 30 * lb, sample: 80 * g, dry: 400 * g, problems: 1, want: "cannot weigh more dry than wet"},
		{name: "no area", width: 0, length: -1, wet: 30 * lb, sample: 400 * g, dry: 80 * g, problems: 2, want: "strip without area"},
		{name: "no sample", width: 3 * ft, length: 20 * ft, wet: 30 * lb, problems: 2, want: "before drying"},
		{name: "no weight", width: 3 * ft, length: 20 * ft, sample: 400 * g, dry: 80 * g, problems: 1, want: "wet weight"},
		{name: "sample above strip", width: 3 * ft, length: 20 * ft, wet: lb, sample: 600 * g, dry: 80 * g, problems: 1, want: "taken from"},
		{name: "not numbers", width: quantity.Length(nan), length: quantity.Length(math.Inf(1)), wet: quantity.Mass(nan), sample: quantity.Mass(nan), dry: quantity.Mass(nan), problems: 5, want: "strip width"},
		{name: "too much", width: 3 * quantity.Inch, length: 20 * ft, wet: 3000 * lb, sample: 400 * g, dry: 80 * g, problems: 1, want: "no forage yields that much"},
		{name: "nothing stood", width: 3 * ft, length: 20 * ft, yieldOfNothingIsFine: true},
	} {
		y, err := trial.YieldOf(c.width, c.length, c.wet, c.sample, c.dry)
		if y != (trial.Yield{}) {
			t.Errorf("%s: a yield of %v", c.name, y)
		}
		if c.yieldOfNothingIsFine {
			if err != nil {
				t.Errorf("%s: %v", c.name, err)
			}
			continue
		}
		var got document.Problems
		if !errors.As(err, &got) || len(got) != c.problems || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: want %d problems and %q:\n%v", c.name, c.problems, c.want, err)
		}
	}
}

// What the sheet is filled with comes back, in whatever order the columns stand.
func TestHarvestComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, err := trial.Lay(drawn(t))
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := trial.WriteHarvestSheet(&b, m); err != nil {
			t.Fatal(err)
		}
		if _, err := trial.ReadHarvest("empty.csv", bytes.NewReader(b.Bytes())); err == nil || !strings.Contains(err.Error(), "none has its strip") {
			t.Fatalf("an empty sheet: %v", err)
		}
		rows, err := csv.NewReader(&b).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		var wet []float64
		for i, row := range rows[1:] {
			w := rapid.Float64Range(5, 60).Draw(t, "wet")
			if i == 0 {
				w = 32.4
			}
			wet = append(wet, w)
			copy(row[4:], []string{"36", "20", strconv.FormatFloat(w, 'g', -1, 64), "412", "84.5", "38", "boot", `a 5" pipe, bent`})
		}
		order := rapid.Permutation([]int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}).Draw(t, "columns")
		for i, row := range rows {
			moved := make([]string, len(row))
			for to, from := range order {
				moved[to] = row[from]
			}
			rows[i] = moved
		}
		b.Reset()
		b.WriteString("\ufeff")
		if err := csv.NewWriter(&b).WriteAll(rows); err != nil {
			t.Fatal(err)
		}
		got, err := trial.ReadHarvest("filled.csv", &b)
		if err != nil {
			t.Fatal(err)
		}
		if len(got) != len(m.Plots) {
			t.Fatalf("%d plots, want %d", len(got), len(m.Plots))
		}
		for i, h := range got {
			p := m.Plots[i]
			if h.Plot != p.Number || h.Block != p.Block || h.Treatment != p.Treatment || h.Second != p.Second || !h.Cut || h.Stage != "boot" || h.Notes != `a 5" pipe, bent` || math.Abs(h.Height.Inches()-38) > 1e-9 {
				t.Fatalf("%+v came back as %+v", p, h)
			}
			if want := wet[i] * 84.5 / 412 / 60 * 43560 / 2000; math.Abs(h.Yield.PerArea.TonsPerAcre()-want) > 1e-9*want {
				t.Fatalf("plot %d yields %g ton/ac, want %g", h.Plot, h.Yield.PerArea.TonsPerAcre(), want)
			}
		}
	})
}

const head = "plot,block,treatment,second_treatment,strip_width_in,strip_length_ft,wet_lb,sample_wet_g,sample_dry_g,height_in,stage,notes\n"

func TestHarvestProblems(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want []string
	}{
		"all at once": {head +
			"101,1,teff,,36,20,32.4,84.5,412,,,\n" +
			"101,1,Teff,,36,20,32.4,412,84.5,,,\n" +
			"x,1.5,,,36,20,\"32,4\",412,84.5,-3,,\n" +
			"104,1,teff,,0,20,,412,NaN,,,\n",
			[]string{
				`h.csv:2: plot 101: sample_dry_g: "412": a sample cannot weigh more dry than wet`,
				`h.csv:3: plot: "101": already on line 2`, `h.csv:3: plot 101: treatment: "Teff": spelt "teff" above`,
				`h.csv:4: plot: "x"`, `h.csv:4: plot 0: block: "1.5"`, "h.csv:4: plot 0: treatment: a name is missing", `h.csv:4: plot 0: wet_lb: "32,4": not a number`, `h.csv:4: plot 0: height_in: "-3": less than nothing`,
				"h.csv:5: plot 104: wet_lb: missing", `h.csv:5: plot 104: sample_dry_g: "NaN": not a number`,
			}},
		"area":          {head + "101,1,teff,,0,20,32.4,412,84.5,,,\n", []string{`h.csv:2: plot 101: strip_width_in: "0": a strip without area`}},
		"columns":       {"plot,block,treatment,wet_lb,wet_lb\n", []string{`h.csv:1: column: "wet_lb": named twice`, "column strip_width_in: missing", "column strip_length_ft: missing", "column sample_wet_g: missing", "column sample_dry_g: missing"}},
		"empty":         {"", []string{"h.csv: file: it is empty"}},
		"head alone":    {head, []string{"h.csv: plots: none has"}},
		"quotes":        {head + "101,1,te\"ff,,36,20,32.4,412,84.5,,,\n102,0,teff,,,,,,,,,\n", []string{"h.csv:2: line: quotation marks", `h.csv:3: plot 102: block: "0"`}},
		"commas":        {head + "101,1,teff,,36,20,32.4,412,84.5,,,deer, and hail\n", []string{"h.csv:2: line: 13 cells, the first line has 12"}},
		"second":        {head + "101,1,teff,early,36,20,32.4,412,84.5,,,\n102,1,teff,,36,20,32.4,412,84.5,,,\n", []string{"h.csv:3: plot 102: second treatment: some plots have"}},
		"too large":     {head + "101,1,teff,,36,20,1e7,412,84.5,,,\n", []string{`wet_lb: "1e7": too large`}},
		"weightless":    {head + "101,1,teff,,36,20,0,412,84.5,,,\n", []string{`wet_lb: "0": give what the strip weighed`}},
		"too many rows": {head + strings.Repeat(",\n", 1001), []string{"h.csv:1002: line: more than 1000 plots"}},
	} {
		_, err := trial.ReadHarvest("h.csv", strings.NewReader(c.text))
		var got document.Problems
		if !errors.As(err, &got) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(got) != len(c.want) {
			t.Errorf("%s: %d problems, want %d:\n%v", name, len(got), len(c.want), err)
		}
		for _, want := range c.want {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: nothing tells %q:\n%v", name, want, err)
			}
		}
	}
	if _, err := trial.ReadHarvest("h.csv", io.LimitReader(spaces{}, document.MaxBytes+1)); err == nil || !strings.Contains(err.Error(), "larger than") {
		t.Errorf("a huge file: %v", err)
	}
}

// spaces is a reader that never ends.
type spaces struct{}

func (spaces) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}

// A plot that was not cut has no part in a mean; a plot that bore nothing has.
func TestMeans(t *testing.T) {
	plots, err := trial.ReadHarvest("h.csv", strings.NewReader(head+
		"101,1,teff,early,36,20,32.4,412,84.5,,,\n"+
		"102,1,teff,late,36,20,0,,,,,\n"+
		"103,1,rye,early,,,,,,,,\n"+
		"104,1,rye,late,36,20,16.2,412,84.5,,,\n"+
		"\n,,,,,,,,,,,\n"+
		"105,1,oats,early,,,,,,,,\n"))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, m := range trial.Means(plots, func(h *trial.Harvested) string { return h.Treatment }) {
		got = append(got, fmt.Sprintf("%s %d %.3f", m.Name, m.N, m.PerArea.TonsPerAcre()))
	}
	if want := []string{"oats 0 0.000", "rye 1 1.206", "teff 2 1.206"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	var b bytes.Buffer
	if err := trial.WriteYields(&b, plots, quantity.Metric); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"t/ha", "   101      1   20.5     5.41        -  teff x early\n", "   102      1      -     0.00        -  teff x late\n", "rye x early; not harvested", "Means by second treatment", "    2.70    2  teff\n", "       -    0  oats\n"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the yields lack %q:\n%s", want, b.String())
		}
	}
}

func FuzzReadHarvest(f *testing.F) {
	example, err := os.ReadFile(filepath.Join("..", "examples", "harvest.csv"))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(example)
	f.Add([]byte(head + "101,1,teff,early,36,20,0,,,,,\n"))
	f.Add([]byte(head + "101,1,\"te\nff\",\xff,36,20,1e300,1e-300,0x1p-9,,,\"\n"))
	f.Add([]byte("\ufeffPlot,Block,Treatment,strip width in,strip length ft,wet lb,sample wet g,sample dry g,,\r\n1,1,a,1,1,1,1,1\r\n"))
	f.Add([]byte(head + "1\"0\n")) // no record, only an error
	f.Fuzz(func(t *testing.T, data []byte) {
		plots, err := trial.ReadHarvest("fuzz", bytes.NewReader(data))
		if err != nil {
			for _, line := range strings.Split(err.Error(), "\n") {
				if !strings.HasPrefix(line, "fuzz:") {
					t.Fatalf("%q does not name its file", line)
				}
			}
			return
		}
		seen := map[int]bool{}
		for _, h := range plots {
			if seen[h.Plot] {
				t.Fatalf("plot %d stands twice", h.Plot)
			}
			seen[h.Plot] = true
			y := h.Yield
			if !(y.DryMatter >= 0 && y.DryMatter <= 1 && y.PerArea >= 0 && y.PerArea <= 100*quantity.TonnePerHectare) || !h.Cut && y != (trial.Yield{}) || h.Treatment == "" {
				t.Fatalf("%+v", h)
			}
		}
		if err := trial.WriteYields(io.Discard, plots, quantity.US); err != nil {
			t.Fatal(err)
		}
	})
}
