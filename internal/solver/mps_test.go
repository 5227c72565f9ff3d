package solver_test

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rowen/internal/solver"
)

// anyModel draws a valid model with names as people give them.
func anyModel(t *rapid.T) *solver.Model {
	name := rapid.SampledFrom([]string{"", "hay", "hay 1", "hay_1", "Gänseweide", "$cost", "*", "OBJ", "RHS", "silo 'A'", "x", "a\tb", strings.Repeat("long", 80)})
	number := rapid.OneOf(rapid.Float64Range(-1e6, 1e6), rapid.Map(rapid.IntRange(-9, 9), func(i int) float64 { return float64(i) }))
	bounds := func() (float64, float64) {
		lo, up := number.Draw(t, "lo"), number.Draw(t, "up")
		lo, up = min(lo, up), max(lo, up)
		switch rapid.IntRange(0, 4).Draw(t, "kind") {
		case 0:
			lo = -inf
		case 1:
			up = inf
		case 2:
			lo, up = -inf, inf
		case 3:
			up = lo
		}
		return lo, up
	}
	m := solver.NewModel(name.Draw(t, "model"))
	if rapid.Bool().Draw(t, "maximise") {
		m.Maximise()
	}
	m.Offset(number.Draw(t, "offset"))
	for range rapid.IntRange(0, 8).Draw(t, "cols") {
		lo, up := bounds()
		if rapid.Bool().Draw(t, "whole") {
			m.Int(name.Draw(t, "col"), lo, up, number.Draw(t, "cost"))
		} else {
			m.Var(name.Draw(t, "col"), lo, up, number.Draw(t, "cost"))
		}
	}
	for range rapid.IntRange(0, 8).Draw(t, "rows") {
		lo, up := bounds()
		r := m.Row(name.Draw(t, "row"), lo, up)
		for c := range m.Cols() {
			if rapid.Bool().Draw(t, "set") {
				m.Set(r, solver.Col(c), number.Draw(t, "coefficient"))
			}
		}
	}
	return m
}

func write(m *solver.Model) (string, error) {
	var b bytes.Buffer
	err := m.WriteMPS(&b)
	return b.String(), err
}

// A model that is written and read is the same, but for names that cannot be
// written and for a range, whose upper side is a sum.
func TestMPSRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyModel(t)
		text, err := write(m)
		if err != nil {
			t.Fatal(err)
		}
		back, err := solver.ReadMPS(strings.NewReader(text))
		if err != nil {
			t.Fatalf("%v in\n%s", err, text)
		}
		if why := differ(m, back); why != "" {
			t.Fatalf("%s in\n%s", why, text)
		}
		again, err := write(back)
		if err != nil {
			t.Fatal(err)
		}
		if third, err := solver.ReadMPS(strings.NewReader(again)); err != nil || differ(back, third) != "" {
			t.Fatalf("%v, %s in\n%s", err, differ(back, third), again)
		}
	})
}

func differ(a, b *solver.Model) string {
	if a.Cols() != b.Cols() || a.Rows() != b.Rows() || a.NonZeros() != b.NonZeros() || a.Maximises() != b.Maximises() {
		return fmt.Sprintf("%d columns, %d rows, %d coefficients, maximises %v became %d, %d, %d, %v",
			a.Cols(), a.Rows(), a.NonZeros(), a.Maximises(), b.Cols(), b.Rows(), b.NonZeros(), b.Maximises())
	}
	close := func(x, y float64) bool { return x == y || near(y, x, 1e-9) }
	for c := range solver.Col(a.Cols()) {
		alo, aup := a.Bounds(c)
		blo, bup := b.Bounds(c)
		if alo != blo || aup != bup || a.Cost(c) != b.Cost(c) || a.Integer(c) != b.Integer(c) {
			return fmt.Sprintf("column %d: %v to %v, cost %v became %v to %v, %v", c, alo, aup, a.Cost(c), blo, bup, b.Cost(c))
		}
	}
	for r := range solver.Row(a.Rows()) {
		alo, aup := a.RowBounds(r)
		blo, bup := b.RowBounds(r)
		if !close(alo, blo) || !close(aup, bup) {
			return fmt.Sprintf("row %d: %v to %v became %v to %v", r, alo, aup, blo, bup)
		}
	}
	return ""
}

func TestMPSNames(t *testing.T) {
	m := solver.NewModel("a plan")
	for _, name := range []string{"hay 1", "hay_1", "hay 1", "", "$", "Gänse"} {
		m.Var(name, 0, 1, 1)
	}
	m.Row("OBJ", 0, 1)
	text, err := write(m)
	if err != nil {
		t.Fatal(err)
	}
	back, err := solver.ReadMPS(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for c := range solver.Col(back.Cols()) {
		got = append(got, back.ColName(c))
	}
	if want := "[hay_1~2 hay_1 hay_1~3 C3 _$ G_nse]"; fmt.Sprint(got) != want || back.RowName(0) != "OBJ~2" || back.Name() != "a_plan" {
		t.Errorf("got %v, row %s, model %s; want %s, OBJ~2, a_plan", got, back.RowName(0), back.Name(), want)
	}
}

// Every section and kind, written by hand.
const sample = `* a comment
NAME          SAMPLE
OBJSENSE
    MAXIMIZE
ROWS
 N  PROFIT
 L  LAND
 G  FEED
 E  EVEN
 E  UPWARD
 E  DOWNWARD
 N  WATCHED
COLUMNS
    HAY       PROFIT           1.5   LAND               1
    HAY       FEED              4.   WATCHED           -2
    MARK      'MARKER'                 'INTORG'
    COWS      LAND             0.2   EVEN              1e0
    BULL      EVEN              -1
    MARK      'MARKER'                 'INTEND'
    RYE       UPWARD             1   DOWNWARD           1
RHS
    RHS       PROFIT           -10   LAND              30
    RHS       FEED              12   UPWARD             5
    RHS       DOWNWARD           5
RANGES
    RNG       LAND              10   FEED               3
    RNG       UPWARD             2   DOWNWARD          -2
BOUNDS
 UP BND       HAY               20
 LI BND       COWS               2
 BV BND       BULL
 MI BND       RYE
 UP BND       RYE               -1
ENDATA
`

func TestReadMPS(t *testing.T) {
	m, err := solver.ReadMPS(strings.NewReader(sample))
	if err != nil {
		t.Fatal(err)
	}
	rows := map[string][2]float64{"LAND": {20, 30}, "FEED": {12, 15}, "EVEN": {0, 0}, "UPWARD": {5, 7}, "DOWNWARD": {3, 5}, "WATCHED": {-inf, inf}}
	for r := range solver.Row(m.Rows()) {
		lo, up := m.RowBounds(r)
		if want := rows[m.RowName(r)]; lo != want[0] || up != want[1] {
			t.Errorf("row %s: %v to %v, want %v", m.RowName(r), lo, up, want)
		}
	}
	cols := map[string][2]float64{"HAY": {0, 20}, "COWS": {2, inf}, "BULL": {0, 1}, "RYE": {-inf, -1}}
	for c := range solver.Col(m.Cols()) {
		lo, up := m.Bounds(c)
		name := m.ColName(c)
		if want := cols[name]; lo != want[0] || up != want[1] || m.Integer(c) != (name == "COWS" || name == "BULL") {
			t.Errorf("column %s: %v to %v, whole %v", name, lo, up, m.Integer(c))
		}
	}
	if m.Rows() != 6 || m.Cols() != 4 || m.NonZeros() != 8 || !m.Maximises() || m.Cost(0) != 1.5 || m.Name() != "SAMPLE" {
		t.Errorf("%d rows, %d columns, %d coefficients, maximises %v, cost %v, name %s", m.Rows(), m.Cols(), m.NonZeros(), m.Maximises(), m.Cost(0), m.Name())
	}
}

func TestReadMPSTellsEveryProblem(t *testing.T) {
	_, err := solver.ReadMPS(strings.NewReader(`    stray 1
NAME x
ROWS
 N cost
 Q what
 L land
 L land
 L
COLUMNS
    a land one
    a nowhere 1
    b land 1
    b land 2
    a cost 1
    c land nan
    c
    M 'MARKER' 'INTORG'
    whole land 1
    M 'MARKER' 'WHAT'
    M 'MARKER' 'INTEND'
    low land 1
RHS
    one land inf
    two land 2
    one a 1 b 2 c 3
RANGES
    r cost 1
BOUNDS
 UP bnd low -1
 XX bnd a 1
 UP bnd z 1
 UP a
QUADOBJ
OBJSENSE sideways
`))
	if err == nil {
		t.Fatal("no error")
	}
	for _, want := range []string{
		`line 1: "stray" stands before`, `line 5: row "what" is of kind "Q"`, `line 7: row "land" is there already`, `line 8: a row is`,
		`line 10: "one" is not a number`, `line 11: row "nowhere" is not among ROWS`, `line 13: column "b" has a second number in row "land"`,
		`line 14: column "a" goes on after another`, `line 15: "nan" is not a number`, `line 16: a column is`, `line 19: marker 'WHAT'`,
		`line 23: "inf" is not finite`, `line 24: RHS has a second set, "two" after "one"`, `line 25: a line of RHS`, `line 27: the objective "cost" has no range`,
		`line 29: column "low" has an upper bound below 0`, `line 30: a bound of kind "XX"`, `line 31: column "z" is not among COLUMNS`, `line 32: a bound of kind UP`,
		`line 33: section "QUADOBJ"`, `line 34: "sideways"`, `the file ends without ENDATA`, `column "whole" takes whole numbers and has no bounds`,
	} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%s is missing in:\n%v", want, err)
		}
	}
}

func FuzzReadMPS(f *testing.F) {
	f.Add(sample)
	for _, p := range published {
		if text, err := write(p.model()); err == nil {
			f.Add(text)
		}
	}
	f.Add("ROWS\n N c\nCOLUMNS\n a c 1e400\nBOUNDS\n FX b a -inf\nENDATA\n")
	f.Add("ROWS\n E a\n N c\nCOLUMNS\nRANGES\n a -1e308\nRHS\n a -1e308\nENDATA\n")
	f.Fuzz(func(t *testing.T, text string) {
		m, err := solver.ReadMPS(strings.NewReader(text))
		if err != nil {
			return
		}
		if err := m.Validate(); err != nil {
			t.Fatalf("what was read is not valid: %v", err)
		}
		again, err := write(m)
		if err != nil {
			t.Fatal(err)
		}
		for r := range solver.Row(m.Rows()) {
			if lo, up := m.RowBounds(r); !math.IsInf(lo, -1) && !math.IsInf(up, 1) && (math.Abs(up-lo) > 1e12 || math.Abs(lo) > 1e12) {
				return // a range is written as a difference, and this one loses its digits
			}
		}
		back, err := solver.ReadMPS(strings.NewReader(again))
		if err != nil {
			t.Fatalf("%v in\n%s", err, again)
		}
		if why := differ(m, back); why != "" {
			t.Fatalf("%s: from\n%s\nto\n%s", why, text, again)
		}
	})
}
