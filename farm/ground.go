package farm

import (
	"fmt"
	"strings"

	"rowen/internal/document"
	"rowen/quantity"
)

// SoilTest is what a laboratory said of a field. Fractions are of soil by mass, as
// the method extracts them; a test without its method says nothing and is refused.
type SoilTest struct {
	Method   string // "Mehlich 3" or "Modified Morgan"; empty: no test
	Date     quantity.Date
	BufferPH float64           // of the lime test; 0 where there is none
	P, K, Mg quantity.Fraction // extractable; 0 where not given
}

// Methods are the soil tests whose bands are known.
var Methods = []string{"Mehlich 3", "Modified Morgan"}

// Certification is where ground stands under the organic rules.
type Certification uint8

// The states of ground.
const (
	Conventional Certification = iota
	Transition                 // no prohibited substance any more, less than 36 months
	Certified
)

// Past is one earlier year of a field.
type Past struct {
	Year   int
	Crop   string // of the catalogue
	Manure quantity.MassPerArea
}

// Ground is what a field brings beside its soil: the laboratory's word, its past,
// its lie.
type Ground struct {
	Test       SoilTest
	Past       []Past // in the order of the document
	Slope      quantity.Fraction
	Shade      bool
	Lane       bool // reached by a lane that stock can walk
	Status     Certification
	Prohibited quantity.Date   // last prohibited substance, 0 none known
	Buffer     quantity.Length // of ground beside conventional neighbours
	Neighbour  bool            // a conventional neighbour adjoins
}

// ground reads it.
func (r *reader) ground(in document.In, f *Field) {
	g := &f.Ground
	g.Slope = document.Quantity(in, "slope", 0, within(ofSlope, quantity.ParseFraction))
	g.Shade, g.Lane = in.Truth("shade", false), in.Truth("lane", true)
	g.Neighbour = in.Truth("conventional_neighbour", false)
	g.Buffer = document.Quantity(in, "buffer", 0, within(ofBuffer, quantity.ParseLength))
	g.Prohibited = document.Quantity(in, "last_prohibited", 0, quantity.ParseDate)
	switch status := in.Text("status"); status {
	case "":
		if r.f.Organic {
			g.Status = Certified
		}
	case "conventional":
	case "transition":
		g.Status = Transition
	case "certified":
		g.Status = Certified
	default:
		in.Report("status", status, `write "certified", "transition" or "conventional"`)
	}
	if g.Status == Certified && g.Prohibited != 0 {
		if first := r.f.FirstDay(); first-g.Prohibited < 3*365 {
			in.Report("last_prohibited", g.Prohibited.String(), `less than 36 months before the feed year: this ground is in transition; write status = "transition"`)
		}
	}
	if t, ok := in.Table("soil_test", in.Thing+": soil test"); ok {
		readTest(t, &g.Test)
		t.Unknown()
	}
	for _, p := range in.Tables("past", func(p document.In) string { return fmt.Sprintf("%s: past %q", in.Thing, p.Text("crop")) }) {
		x := Past{Year: int(p.Number("year", 0, 1950, 2200)), Crop: p.Text("crop"), Manure: document.Quantity(p, "manure", 0, within(ofDung, quantity.ParseMassPerArea))}
		if _, ok := r.catalogue.Mix(x.Crop); x.Crop != "" && !ok {
			p.Report("crop", x.Crop, "no such crop in the catalogue; write one of: "+strings.Join(r.catalogue.Names(), ", "))
		}
		if x.Year == 0 {
			p.Report("year", "", "it is missing; write year = 2025")
		}
		p.Unknown()
		g.Past = append(g.Past, x)
	}
}

// plough is what the plough layer weighs, lb/ac: two million (common practice), so that
// 2 lb/ac of a soil test are 1 ppm.
const plough = 2e6

// parseSoil reads what a soil test found: "41 ppm", or "82 lb/ac" of the plough layer.
func parseSoil(text string) (quantity.Fraction, error) {
	if m, err := quantity.ParseMassPerArea(text); err == nil {
		return quantity.Fraction(m.PoundsPerAcre() / plough), nil
	}
	f, err := quantity.ParseFraction(text)
	if err != nil {
		return 0, &quantity.ParseError{Value: text, Remedy: `write what the laboratory found, such as "41 ppm" or "82 lb/ac"`}
	}
	return f, nil
}

// readTest reads a soil test; a method must be named.
func readTest(t document.In, s *SoilTest) {
	s.Method = t.Need("method", `"Mehlich 3" or "Modified Morgan"`)
	known := s.Method == ""
	for _, m := range Methods {
		known = known || strings.EqualFold(m, s.Method)
	}
	if !known {
		t.Report("method", s.Method, "its bands are not known; write one of: "+strings.Join(Methods, ", "))
	}
	s.Date = document.Quantity(t, "date", 0, quantity.ParseDate)
	s.BufferPH = t.Number("buffer_pH", 0, 0, 8.2)
	s.P = document.Quantity(t, "phosphorus", 0, within(ofSoilTest, parseSoil))
	s.K = document.Quantity(t, "potassium", 0, within(ofSoilTest, parseSoil))
	s.Mg = document.Quantity(t, "magnesium", 0, within(ofSoilTest, parseSoil))
}
