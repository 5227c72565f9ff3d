package trial

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"rowen/internal/document"
	"rowen/quantity"
)

// Yield is what a harvested strip comes to.
type Yield struct {
	DryMatter quantity.Fraction    // of fresh weight; 0 where nothing was cut
	PerArea   quantity.MassPerArea // dry matter
}

// maxYield is far above any forage's dry matter of a whole year: more is a slip of
// a unit or of a decimal point (common practice).
const maxYield = 100 * quantity.TonnePerHectare

// YieldOf works a plot's dry-matter yield from the strip cut out of its middle and
// a sample dried to constant weight: wet weight times the sample's dry share, over
// the strip's area. A strip on which nothing stood has no weight and no sample,
// and yields nothing. Errors are document.Problems, all at once: an area, a weight
// or a sample that is not more than nothing, a sample that is heavier dry than wet
// or than the strip it was taken from, a yield above 100 t/ha.
//
// Source: common practice of forage variety trials.
func YieldOf(width, length quantity.Length, wet, sampleWet, sampleDry quantity.Mass) (Yield, error) {
	var out document.Problems
	report := func(thing, value, remedy string) {
		out = append(out, document.Problem{File: "harvest", Thing: thing, Value: value, Remedy: remedy})
	}
	positive := func(v float64) bool { return v > 0 && !math.IsInf(v, 0) }
	for _, side := range []struct {
		thing string
		l     quantity.Length
	}{{"strip width", width}, {"strip length", length}} {
		if !positive(float64(side.l)) {
			report(side.thing, side.l.String(), "a strip without area has no yield; give what was cut")
		}
	}
	nothing := wet == 0 && sampleWet == 0 && sampleDry == 0
	for _, weight := range []struct {
		thing, remedy string
		m             quantity.Mass
	}{
		{"wet weight", "give what the strip weighed as cut; a strip without crop weighs 0 and has no sample", wet},
		{"sample wet weight", "give what the sample weighed before drying", sampleWet},
		{"sample dry weight", "give what the sample weighed after drying", sampleDry},
	} {
		if !positive(float64(weight.m)) && !nothing {
			report(weight.thing, weight.m.String(), weight.remedy)
		}
	}
	if sampleDry > sampleWet {
		report("sample dry weight", sampleDry.String(), "a sample cannot weigh more dry than wet ("+sampleWet.String()+"); look whether the two are exchanged")
	}
	// A sample of the whole strip is weighed on another balance: a tenth more is no
	// error (common practice).
	if sampleWet > 1.1*wet && wet > 0 {
		report("sample wet weight", sampleWet.String(), "the sample weighs more than the strip it was taken from ("+wet.String()+"); look at the units")
	}
	if len(out) > 0 {
		return Yield{}, out
	}
	if nothing {
		return Yield{}, nil
	}
	y := Yield{DryMatter: quantity.Fraction(sampleDry / sampleWet)}
	y.PerArea = quantity.MassPerArea(float64(wet) * float64(y.DryMatter) / float64(width*length))
	if y.PerArea > maxYield || math.IsNaN(float64(y.PerArea)) {
		report("yield", y.PerArea.String(), "no forage yields that much; look at the strip's size and the weights")
		return Yield{}, out
	}
	return y, nil
}

// Harvested is one line of a filled harvest sheet.
type Harvested struct {
	Plot, Block       int
	Treatment, Second string
	Cut               bool // false: the plot was not harvested, and has no yield
	Yield             Yield
	Height            quantity.Length // 0 where it was not measured
	Stage, Notes      string
}

// measured are the columns a yield is worked from, in the order of YieldOf, with
// the unit that a number of the column stands for.
var measured = [...]struct {
	column, thing string
	unit          float64
}{
	{"strip_width_in", "strip width", float64(quantity.Inch)},
	{"strip_length_ft", "strip length", float64(quantity.Foot)},
	{"wet_lb", "wet weight", float64(quantity.Pound)},
	{"sample_wet_g", "sample wet weight", float64(quantity.Gram)},
	{"sample_dry_g", "sample dry weight", float64(quantity.Gram)},
}

// optional are the columns a sheet may lack.
var optional = []string{"second_treatment", "height_in", "stage", "notes"}

// ReadHarvest reads a filled harvest sheet, as WriteHarvestSheet writes it; name is
// for errors alone. Columns may stand in any order. A line whose weights and strip
// are all empty is a plot that was not harvested. Errors are document.Problems,
// all at once, each with its line.
func ReadHarvest(name string, r io.Reader) ([]Harvested, error) {
	data, err := io.ReadAll(io.LimitReader(r, document.MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	s := sheet{Reader: document.Reader{File: name}, column: map[string]int{}, plots: map[int]int{}, spelling: map[string]string{}}
	if len(data) > document.MaxBytes {
		s.Report(0, "file", "", "larger than 32 MB; this is no harvest sheet")
		return nil, s.Problems
	}
	s.read(strings.TrimPrefix(string(data), "\ufeff"))
	if len(s.Problems) > 0 {
		s.Problems.Sort()
		return nil, s.Problems
	}
	return s.out, nil
}

// sheet reads one harvest sheet.
type sheet struct {
	document.Reader
	columns  int               // in the first line
	column   map[string]int    // name to place
	plots    map[int]int       // number to line
	spelling map[string]string // of a treatment, by its folded name
	out      []Harvested
}

func (s *sheet) read(text string) {
	c := csv.NewReader(strings.NewReader(text))
	c.FieldsPerRecord = -1
	rows := 0
	for {
		row, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		line := 0
		var wrong *csv.ParseError
		switch {
		case err == nil:
			line, _ = c.FieldPos(0)
		case errors.As(err, &wrong):
			line = wrong.StartLine
			s.Report(line, "line", "", "quotation marks do not match; write a quotation mark within quoted text twice")
			if rows == 0 {
				return // without its head no line can be read
			}
		default:
			s.Report(0, "file", "", err.Error())
			return
		}
		rows++
		switch {
		case rows == 1:
			if !s.head(line, row) {
				return
			}
		case rows > MaxPlots+1:
			s.Report(line, "line", "", fmt.Sprintf("more than %d plots; split the sheet", MaxPlots))
			return
		case err == nil:
			s.line(line, row)
		}
	}
	if rows == 0 {
		s.Report(0, "file", "", "it is empty; give the harvest sheet that was written with the map, filled in")
		return
	}
	filled := slices.ContainsFunc(s.out, func(h Harvested) bool { return h.Cut })
	if !filled && len(s.Problems) == 0 {
		s.Report(0, "plots", "", "none has its strip and weights filled in")
	}
}

// head reads the names of the columns; false if lines cannot be read without
// what is wrong.
func (s *sheet) head(line int, row []string) bool {
	before := len(s.Problems)
	s.columns = len(row)
	for i, n := range row {
		n = strings.ReplaceAll(strings.ToLower(strings.TrimSpace(n)), " ", "_")
		if _, twice := s.column[n]; twice && n != "" {
			s.Report(line, "column", n, "named twice; keep one")
			continue
		}
		s.column[n] = i
	}
	for _, n := range sheetColumns {
		if _, ok := s.column[n]; !ok && !slices.Contains(optional, n) {
			s.Report(line, "column "+n, "", "missing; the first line must name it, with commas between columns")
		}
	}
	return len(s.Problems) == before
}

// cell is the text of a column, on one line; empty where the sheet has none.
func (s *sheet) cell(row []string, column string) string {
	i, ok := s.column[column]
	if !ok || i >= len(row) {
		return ""
	}
	return strings.Join(strings.Fields(strings.ToValidUTF8(row[i], "?")), " ")
}

func (s *sheet) line(line int, row []string) {
	if strings.TrimSpace(strings.Join(row, "")) == "" {
		return
	}
	before := len(s.Problems)
	if len(row) > s.columns && strings.TrimSpace(strings.Join(row[s.columns:], "")) != "" {
		s.Report(line, "line", "", fmt.Sprintf("%d cells, the first line has %d; put text that holds commas in quotation marks", len(row), s.columns))
		return
	}
	h := Harvested{Stage: printable(s.cell(row, "stage")), Notes: printable(s.cell(row, "notes"))}
	h.Plot = s.whole(line, "plot", s.cell(row, "plot"))
	thing := fmt.Sprintf("plot %d", h.Plot)
	if first, twice := s.plots[h.Plot]; twice && h.Plot > 0 {
		s.Report(line, "plot", strconv.Itoa(h.Plot), fmt.Sprintf("already on line %d; keep one", first))
	}
	s.plots[h.Plot] = line
	h.Block = s.whole(line, thing+": block", s.cell(row, "block"))
	h.Treatment = s.name(line, thing+": treatment", s.cell(row, "treatment"))
	if second := s.cell(row, "second_treatment"); second != "" {
		h.Second = s.name(line, thing+": second treatment", second)
	}
	if text := s.cell(row, "height_in"); text != "" {
		h.Height = quantity.Length(s.number(line, thing+": height_in", text)) * quantity.Inch
	}
	s.weigh(line, thing, row, &h)
	if len(s.Problems) > before {
		return
	}
	if len(s.out) > 0 && (s.out[0].Second == "") != (h.Second == "") {
		s.Report(line, thing+": second treatment", h.Second, "some plots have a second treatment and some have none; fill it in for all or for none")
		return
	}
	s.out = append(s.out, h)
}

// weigh works a line's yield.
func (s *sheet) weigh(line int, thing string, row []string, h *Harvested) {
	var texts [len(measured)]string
	given := 0
	for i := range measured {
		texts[i] = s.cell(row, measured[i].column)
		if texts[i] != "" {
			given++
		}
	}
	if given == 0 {
		return
	}
	before := len(s.Problems)
	var v [len(measured)]float64
	for i, text := range texts {
		if text != "" {
			v[i] = s.number(line, thing+": "+measured[i].column, text) * measured[i].unit
		}
	}
	// A strip that weighed nothing has no sample to dry.
	bare := texts[2] != "" && v[2] == 0 && texts[3] == "" && texts[4] == "" && len(s.Problems) == before
	for i, text := range texts {
		if text == "" && (i < 3 || !bare) {
			s.Report(line, thing+": "+measured[i].column, "", "missing; fill it in, or leave strip and weights empty where the plot was not harvested")
		}
	}
	if len(s.Problems) > before {
		return
	}
	y, err := YieldOf(quantity.Length(v[0]), quantity.Length(v[1]), quantity.Mass(v[2]), quantity.Mass(v[3]), quantity.Mass(v[4]))
	var wrong document.Problems
	if errors.As(err, &wrong) {
		for _, p := range wrong {
			value := p.Value
			for i := range measured {
				if measured[i].thing == p.Thing {
					p.Thing, value = measured[i].column, texts[i]
				}
			}
			s.Report(line, thing+": "+p.Thing, value, p.Remedy)
		}
		return
	}
	h.Cut, h.Yield = true, y
}

// whole reads a whole number above 0; 0 and a problem if it is none.
func (s *sheet) whole(line int, thing, text string) int {
	v, err := strconv.Atoi(text)
	if err != nil || v < 1 || v > 1_000_000 {
		s.Report(line, thing, text, "write a whole number such as 101, as on the map")
		return 0
	}
	return v
}

// number reads a number that is not below 0.
func (s *sheet) number(line int, thing, text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	switch {
	case err != nil || math.IsNaN(v) || math.IsInf(v, 0):
		s.Report(line, thing, text, "not a number; write digits alone with a point for decimals, such as 32.4: the column says the unit")
	case v < 0:
		s.Report(line, thing, text, "less than nothing; write what was measured")
	case v > 1e6:
		s.Report(line, thing, text, "too large to have been measured; look at the unit")
	default:
		return v
	}
	return 0
}

// name reads a treatment's name, which must be spelt the same on every line.
func (s *sheet) name(line int, thing, text string) string {
	if remedy := nameRemedy(text); remedy != "" {
		s.Report(line, thing, text, remedy)
		return ""
	}
	// The two factors may share names, so a name is known by its column too.
	_, factor, _ := strings.Cut(thing, ": ")
	key := factor + ": " + strings.ToLower(text)
	if known, ok := s.spelling[key]; ok && known != text {
		s.Report(line, thing, text, "spelt "+strconv.Quote(known)+" above; spell it the same on every line")
		return ""
	}
	s.spelling[key] = text
	return text
}

// printable leaves out what a terminal would not print.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, s)
}

// Mean is the mean of a treatment over the plots that were harvested.
type Mean struct {
	Name    string
	N       int // plots harvested; 0: there is no mean
	PerArea quantity.MassPerArea
}

// Means are the means by what a plot is called, in order of name.
//
// Source: common practice (arithmetic mean over plots of one size).
func Means(plots []Harvested, called func(*Harvested) string) []Mean {
	var out []Mean
	for i := range plots {
		name := called(&plots[i])
		at, ok := slices.BinarySearchFunc(out, name, func(m Mean, n string) int { return strings.Compare(m.Name, n) })
		if !ok {
			out = slices.Insert(out, at, Mean{Name: name})
		}
		if plots[i].Cut {
			out[at].N++
			out[at].PerArea += plots[i].Yield.PerArea
		}
	}
	for i := range out {
		if out[i].N > 0 {
			out[i].PerArea /= quantity.MassPerArea(out[i].N)
		}
	}
	return out
}

// WriteYields writes yields by plot and the means of the treatments with n, the
// number of plots each stands on.
func WriteYields(w io.Writer, plots []Harvested, u quantity.System) error {
	b := &strings.Builder{}
	unit, per := "ton/ac", quantity.MassPerArea.TonsPerAcre
	if u == quantity.Metric {
		unit, per = "t/ha", func(m quantity.MassPerArea) float64 { return float64(m / quantity.TonnePerHectare) }
	}
	fmt.Fprintf(b, "Dry matter by plot, %s\n\n%6s %6s %6s %8s %8s  %s\n", unit, "plot", "block", "DM, %", "yield", "height", "treatment")
	for i := range plots {
		p := &plots[i]
		dry, yield, height := "-", "-", "-"
		if p.Cut {
			yield = fmt.Sprintf("%.2f", per(p.Yield.PerArea))
		}
		if p.Yield.DryMatter > 0 {
			dry = fmt.Sprintf("%.1f", float64(p.Yield.DryMatter/quantity.Percent))
		}
		if p.Height > 0 {
			height = p.Height.In(u)
		}
		words := []string{both(p)}
		for _, s := range []string{p.Stage, p.Notes} {
			if s != "" {
				words = append(words, s)
			}
		}
		if !p.Cut {
			words = append(words, "not harvested")
		}
		fmt.Fprintf(b, "%6d %6d %6s %8s %8s  %s\n", p.Plot, p.Block, dry, yield, height, strings.Join(words, "; "))
	}
	table := func(head string, called func(*Harvested) string) {
		fmt.Fprintf(b, "\n%s\n\n%8s %4s\n", head, "mean", "n")
		for _, m := range Means(plots, called) {
			mean := "-"
			if m.N > 0 {
				mean = fmt.Sprintf("%.2f", per(m.PerArea))
			}
			fmt.Fprintf(b, "%8s %4d  %s\n", mean, m.N, m.Name)
		}
	}
	table("Means by treatment, "+unit, func(h *Harvested) string { return h.Treatment })
	if len(plots) > 0 && plots[0].Second != "" {
		table("Means by second treatment, "+unit, func(h *Harvested) string { return h.Second })
		table("Means by both, "+unit, both)
	}
	fmt.Fprintln(b, "\nNo difference was tested: means alone do not tell whether treatments differ.")
	_, err := io.WriteString(w, b.String())
	return err
}

// both names a plot by both of its treatments.
func both(h *Harvested) string {
	if h.Second == "" {
		return h.Treatment
	}
	return h.Treatment + " x " + h.Second
}
