package journal

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// impossibles are lines of facts that no farm can have, as another program may have
// written them, with the phrase that says the same.
var impossibles = []struct{ members, phrase, stands string }{
	{`"kind":"height","field":"North Six","heights":["31 in","1e308 in"]`, "height 31 in 1e308 in on North Six", ""},
	{`"kind":"height","field":"North Six","heights":["70 ft"]`, "height 70 ft on North Six", ""},
	{`"kind":"frost","field":"North Six","minimum":"-500 F","leaf":"killed"`, "frost -500 F North Six killed", "frost, North Six: leaf killed"},
	{`"kind":"rain","rain":"1e300 in"`, "rain 1e300 in", ""},
	{`"kind":"fertiliser","field":"North Six","product":"urea","nitrogen":"1e300 lb/ac"`, "fertilised North Six urea nitrogen 1e300 lb/ac", "fertiliser, North Six: product urea"},
	{`"kind":"manure","field":"North Six","volume":"1e300 m3/ft2"`, "", "manure, North Six"},
	{`"kind":"cut","field":"North Six","use":"wrap","bales":36,"each":"1e300 lb"`, "cut North Six wrap 36 bales 1e300 lb", "cut, North Six: use wrap, bales 36"},
	{`"kind":"bought","store":"Bunker","amount":"1e12 ton"`, "bought 1e12 ton Bunker", ""},
	{`"kind":"label","field":"North Six","product":"X","grazing_wait":"1e300 d"`, "label North Six X grazing 1e300 d", "label, North Six: product X"},
	{`"kind":"lab","field":"North Six","ph":"123456789"`, "lab North Six ph 123456789", ""},
	{`"kind":"sown","field":"North Six","crop":"teff","seeds":"1e300 /ac"`, "sowed teff North Six 1e300 /ac", "sown, North Six: crop teff"},
}

// What no farm can have is not taken in, by phrase, by sheet or by line. Where it lies in
// a journal already it is read, counts as not said, and is asked about until it is
// withdrawn.
func TestImpossible(t *testing.T) {
	names := Names{Fields: []string{"North Six"}, Stores: []string{"Bunker"}, Crops: []string{"teff"}, Today: today}
	for _, c := range impossibles {
		if c.phrase != "" {
			if e, err := ParsePhrase(c.phrase, names); err == nil || !strings.Contains(err.Error(), "no farm has so much or so little") {
				t.Errorf("%q is read as %v, %v", c.phrase, e, err)
			}
		}
		log, err := ReadAll("x", strings.NewReader(sealed(common+","+c.members)))
		if err != nil || len(log.Entries) != 1 {
			t.Errorf("%s: what was kept once is read no more: %v %v", c.members, log.Problems, err)
			continue
		}
		e := log.Entries[0]
		if err := Encode(&bytes.Buffer{}, e); err == nil || !strings.Contains(err.Error(), "at most") && !strings.Contains(err.Error(), "between") {
			t.Errorf("%s is taken in again: %v", e, err)
		}
		var sheet bytes.Buffer
		if err := WriteCSV(&sheet, log.Entries); err != nil {
			t.Errorf("%s cannot be handed over: %v", e, err)
		}
		if got, problems := ReadCSV("x", &sheet); len(got) != 0 || len(problems) != 1 {
			t.Errorf("%s by a sheet: %v, %v", e, got, problems)
		}
		got := ""
		for _, s := range Standing(log.Entries) {
			got = strings.TrimSuffix(strings.TrimPrefix(s.String(), "2026-07-12 "), " (barn:1)")
		}
		if got != c.stands {
			t.Errorf("%s stands as %q, want %q", e, got, c.stands)
		}
		asked := Check(log.Entries, Facts{})
		if len(asked) == 0 || asked[0].Severity != Refused || !strings.Contains(asked[0].String(), "no farm has") {
			t.Errorf("%s is not asked about: %v", e, asked)
		}
		for _, q := range Check(append(log.Entries, Entry{ID: ID{"barn", 2}, Date: e.Date, Recorded: e.Recorded.Add(time.Hour), Fact: Withdrawn{}, Corrects: e.ID}), Facts{}) {
			if q.Severity == Refused {
				t.Errorf("withdrawn, and still asked about: %v", q)
			}
		}
	}
}

// A number of entries beyond all counting is not taken in; where one stands, the device
// goes on counting where it was.
func TestCountGoesOn(t *testing.T) {
	for _, c := range []struct {
		used []uint64
		n    int
		last uint64
		ok   bool
	}{
		{nil, 1, 0, true},
		{[]uint64{1, 2, 12}, 3, 12, true},
		{[]uint64{12, math.MaxUint64, 9223372036854775807, 2, 1}, 1, 12, true},
		{[]uint64{1, 2, MaxSequence}, 1, 2, true},
		{[]uint64{1, 2, MaxSequence - 1}, 1, MaxSequence - 1, true},
		{[]uint64{1, 2, MaxSequence - 1}, 2, 2, true},
		{[]uint64{1, 2, 2, MaxSequence - 3, MaxSequence - 1}, 2, 2, true},
		{[]uint64{MaxSequence}, 5, 0, true},
		{nil, MaxSequence, 0, true},
		{[]uint64{1}, MaxSequence, 0, false},
	} {
		if last, ok := After(c.used, c.n); last != c.last || ok != c.ok {
			t.Errorf("%d after %v: %d %v, want %d %v", c.n, c.used, last, ok, c.last, c.ok)
		}
	}
	path := filepath.Join(t.TempDir(), "farm.journal")
	e := sample()[0]
	e.ID = ID{"barn", 7}
	if err := Append(path, e); err != nil {
		t.Fatal(err)
	}
	e.ID.Sequence = math.MaxInt64
	if err := Append(path, e); err == nil || !strings.Contains(err.Error(), "no device counts beyond") {
		t.Errorf("it was taken in: %v", err)
	}
	// As an older program kept it.
	line := bytes.Join([][]byte{must(lines("x", []Entry{sample()[1]})), encode(e), {'\n'}}, nil)
	if err := locked(path, func(f *os.File) error { return add(f, line) }); err != nil {
		t.Fatal(err)
	}
	kept, err := Record(path, "barn", time.Now(), Entry{Date: e.Date, Field: "North Six", Fact: Drought{}})
	if err != nil || kept[0].Sequence < 8 || kept[0].Sequence > 1000 {
		t.Errorf("the next entry is %v, %v", kept, err)
	}
}

// Whatever number is said of whatever kind of amount, an entry is refused, or all that is
// reckoned from it is a number.
func TestAnyNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := &schemas[rapid.IntRange(0, len(schemas)-1).Draw(t, "kind")]
		e := Entry{Date: today}
		for _, p := range s.takes {
			*p.named(&e) = "A"
		}
		e.Fact, _ = s.fill(func(slots []slot) error {
			for _, one := range slots {
				if text := drawValue(t, one); text != "" {
					if _, unit, ok := strings.Cut(text, " "); ok && beyondable(one.value) {
						text = fmt.Sprintf("%g %s", rapid.Float64().Draw(t, "number"), strings.TrimSpace(strings.Split(unit, ";")[0]))
					}
					_ = one.value.read(text)
				}
			}
			return nil
		})
		believed, ok := e.believed()
		if len(e.impossible()) == 0 && !ok {
			t.Fatalf("%s: nothing is wrong, and it does not stand", e)
		}
		if len(believed.impossible()) > 0 {
			t.Fatalf("%s is believed as %s", e, believed)
		}
		finite := []float64{}
		switch f := believed.Fact.(type) {
		case Height:
			finite = append(finite, float64(f.Mean()))
		case Cut:
			m, _ := f.AsFed()
			finite = append(finite, float64(m), float64(f.Stubble.SI()))
		case Fed:
			m, _ := f.AsFed()
			finite = append(finite, float64(m))
		case Manure:
			finite = append(finite, float64(f.Volume.SI()), f.Nitrogen.SI().KilogramsPerHectare())
		case Label:
			finite = append(finite, f.PlantBack.SI().Days())
		}
		for _, v := range finite {
			if math.IsNaN(v) || math.IsInf(v, 0) || math.Abs(v) > 1e17 {
				t.Fatalf("%s makes %g", believed, v)
			}
		}
	})
}

// beyondable tells whether a value has bounds at all.
func beyondable(v value) bool { _, ok := v.(bounded); return ok }

// A day that nobody writes of a farm is not taken in; an entry of such a day that lies in
// a journal already is read, and is asked about.
func TestImpossibleDay(t *testing.T) {
	for _, day := range []string{"0001-01-01", "1899-12-31", "2201-01-01", "9999-12-31"} {
		line := sealed(strings.Replace(common, `"date":"2026-07-12"`, `"date":"`+day+`"`, 1) + `,"kind":"height","field":"North Six","heights":["31 in"]`)
		if !strings.Contains(line, day) {
			t.Fatalf("the common members have another date: %s", common)
		}
		log, err := ReadAll("x", strings.NewReader(line))
		if err != nil || len(log.Entries) != 1 {
			t.Errorf("%s: what was kept once is read no more: %v %v", day, log.Problems, err)
			continue
		}
		if err := Encode(&bytes.Buffer{}, log.Entries[0]); err == nil || !strings.Contains(err.Error(), "write a day from 1900 to 2200") {
			t.Errorf("%s is taken in: %v", day, err)
		}
	}
}
