package journal

import (
	"bytes"
	"encoding/csv"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// A sheet gives back what was written, entries without identity too, and no cell
// of it begins as a formula does.
func TestSheetRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries := someEntries.Draw(t, "entries")
		for i := range entries {
			if rapid.IntRange(0, 3).Draw(t, "new") == 0 {
				entries[i].ID = ID{}
				if rapid.Bool().Draw(t, "undated") {
					entries[i].Recorded = time.Time{}
				}
			}
		}
		var b bytes.Buffer
		if err := WriteCSV(&b, entries); err != nil {
			t.Fatal(err)
		}
		got, problems := ReadCSV("x.csv", bytes.NewReader(b.Bytes()))
		if len(problems) > 0 {
			t.Fatalf("%v\n%s", problems, &b)
		}
		if len(got)+len(entries) > 0 && !reflect.DeepEqual(got, entries) {
			t.Fatalf("got  %#v\nwant %#v", got, entries)
		}
		for _, cells := range must(csv.NewReader(bytes.NewReader(b.Bytes())).ReadAll()) {
			for _, cell := range cells {
				if cell != "" && strings.ContainsAny(cell[:1], runs) {
					t.Fatalf("cell %q is a formula", cell)
				}
			}
		}
	})
}

func TestGuard(t *testing.T) {
	for cell, want := range map[string]string{
		"": "", "x": "x", "=1": "'=1", "+1 in": "'+1 in", "-5 C": "'-5 C", "@a": "'@a", "'": "'", "'twas": "'twas", "'=": "''=", "''": "'''", "''x": "'''x",
	} {
		if got := guard(cell); got != want || unguard(got) != cell {
			t.Errorf("guard(%q) = %q, and back %q; want %q", cell, got, unguard(got), want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOf(rapid.SampledFrom([]rune("'=+-@ax\t"))).Draw(t, "cell")
		if unguard(guard(s)) != s {
			t.Fatalf("%q comes back as %q", s, unguard(guard(s)))
		}
	})
}

func TestGoldenSheet(t *testing.T) {
	var b bytes.Buffer
	if err := WriteCSV(&b, sample()); err != nil {
		t.Fatal(err)
	}
	golden(t, filepath.Join("testdata", "sample.csv"), b.Bytes())
}

// A sheet from elsewhere: other order, few columns, padded cells, empty rows.
func TestForeignSheet(t *testing.T) {
	sheet := "\ufeffKind,Date, Field ,Heights,Area share,crop\n height , 2026-07-12,North Six,31 in; 28 in,,\n,,,,,\nsown,2026-05-30,North Six,,50 %,teff\n"
	got, problems := ReadCSV("field.csv", strings.NewReader(sheet))
	if len(problems) > 0 || len(got) != 2 {
		t.Fatal(got, problems)
	}
	want := []string{"2026-07-12 height, North Six: heights 31 in; 28 in", "2026-05-30 sown, North Six: crop teff, area share 50 %"}
	for i := range want {
		if got[i].String() != want[i] || !got[i].ID.None() {
			t.Errorf("%s, want %s", got[i], want[i])
		}
	}
}

// Every bad row is told with its line; the good ones are read.
func TestBadSheets(t *testing.T) {
	for _, c := range []struct {
		sheet, thing, remedy string
		line, good           int
	}{
		{"", "header", "empty", 1, 0},
		{"date,field\n2026-07-12,A\n", "column kind", "missing", 1, 0},
		{"date;kind;field\n", "header", "semicolons", 1, 0},
		{"date,kind,feild\n2026-07-12,drought,A\n", "column 3", "did you mean field?", 1, 1},
		{"date,kind,date\n2026-07-12,drought,\n", "column 3", "twice", 1, 1},
		{"date,kind\n2026-07-12,drought\n12/7/2026,drought\n", "date", "year-month-day", 3, 1},
		{"date,kind\n2026-07-12,drougth\n", "kind", "did you mean drought?", 2, 0},
		{"date,kind,field,heights\n2026-07-12,height,A,31\n2026-07-12,height,A,31 in\n", "height: heights", "unit is missing", 2, 1},
		{"date,kind,field,heights\n2026-07-12,height,A,31 lb\n", "height: heights", "this is a mass", 2, 0},
		{"date,kind,field,heights\n2026-07-12,height,A,\n", "height: heights", "missing", 2, 0},
		{"date,kind,field\n2026-07-12,height,A\n", "height: heights", "missing", 2, 0},
		{"date,kind,heights\n2026-07-12,height,3 in\n", "height: field", "missing", 2, 0},
		{"date,kind,heights\n2026-07-12,drought,3 in\n", "drought: heights", "no such value", 2, 0},
		{"date,kind,device\n2026-07-12,drought,barn\n", "sequence", "go together", 2, 0},
		{"date,kind,corrects\n2026-07-12,drought,12\n", "corrects", "barn:12", 2, 0},
		{"date,kind,recorded\n2026-07-12,drought,noon\n", "recorded", "moment", 2, 0},
		{"date,kind\n2026-07-12,drought,x\n", "cell 3", "no column", 2, 0},
		{"date,kind\n2026-07-12,dr\"ought\n2026-07-12,drought\n", "row", "not CSV", 2, 1},
		{"date,kind,note\n2026-07-12,drought,\"open\n", "row", "not CSV", 2, 0},
		{"date,kind,field,moisture\n2026-07-12,cut,A,520 %\n", "cut: moisture", "between 0 % and 100 %", 2, 0},
		{"date,kind,version\n2026-07-12,milk,1\n", "kind", "no such kind", 2, 0},
		{"date,kind,later\n2026-07-12,drought,{}\n", "drought: later", "leave it empty", 2, 0},
	} {
		got, problems := ReadCSV("f.csv", strings.NewReader(c.sheet))
		if len(problems) != 1 || len(got) != c.good {
			t.Errorf("%q: %d entries, problems %v", c.sheet, len(got), problems)
			continue
		}
		p := problems[0]
		if p.File != "f.csv" || p.Line != c.line || p.Thing != c.thing || !strings.Contains(p.Remedy, c.remedy) {
			t.Errorf("%q:\n%v\nwant line %d, thing %q, remedy %q", c.sheet, p, c.line, c.thing, c.remedy)
		}
	}
}

func TestColumns(t *testing.T) {
	columns := Columns()
	slices.Sort(columns)
	if n := len(slices.Compact(columns)); n != len(Columns()) {
		t.Errorf("%d different columns of %d", n, len(Columns()))
	}
	if err := WriteCSV(&bytes.Buffer{}, []Entry{{}}); err == nil {
		t.Error("an entry without kind was written")
	}
}

func FuzzReadCSV(f *testing.F) {
	var b bytes.Buffer
	if err := WriteCSV(&b, sample()); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes())
	f.Add([]byte("date,kind,field,heights,note\n2026-07-12,height,A,'+31 in; 28 in,\"two\nlines\"\n"))
	f.Add([]byte("date,kind,version,later\n2026-07-12,milk,3,\"{\"\"a\"\":1}\"\n"))
	f.Add([]byte("date,kind,field,heights\n2026-07-12,height,A,1e308 in\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		entries, _ := ReadCSV("x", bytes.NewReader(data))
		var out bytes.Buffer
		if err := WriteCSV(&out, entries); err != nil {
			t.Fatalf("read, but cannot be written: %v", err)
		}
		again, problems := ReadCSV("y", bytes.NewReader(out.Bytes()))
		if len(problems) > 0 || len(entries)+len(again) > 0 && !reflect.DeepEqual(again, entries) {
			t.Fatalf("%v\ngot  %#v\nwant %#v\n%s", problems, again, entries, &out)
		}
	})
}
