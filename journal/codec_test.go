package journal

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// What is written comes back the same, and is written the same again.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := anyEntry.Draw(t, "entry")
		if p := e.Problems(); len(p) > 0 {
			t.Fatalf("drawn entry cannot be kept: %v", p)
		}
		line := encode(e)
		if !json.Valid(line) || bytes.ContainsAny(line, "\r\n") {
			t.Fatalf("not one line of JSON: %s", line)
		}
		log := must(ReadAll("x", bytes.NewReader(append(line, '\n'))))
		if len(log.Problems)+len(log.Torn) > 0 || len(log.Entries) != 1 {
			t.Fatalf("%s\n%v %v", line, log.Problems, log.Torn)
		}
		if !reflect.DeepEqual(log.Entries[0], e) {
			t.Fatalf("got  %#v\nwant %#v", log.Entries[0], e)
		}
		if again := encode(log.Entries[0]); !bytes.Equal(again, line) {
			t.Fatalf("written again\n%s\n%s", again, line)
		}
	})
}

// Whatever byte of a line is changed, the line is refused or says the same.
func TestDamageIsFound(t *testing.T) {
	line := encode(sample()[2])
	for i := range line {
		for _, flip := range []byte{1, 0x20, 0x80} {
			bad := bytes.Clone(line)
			bad[i] ^= flip
			log := must(ReadAll("x", bytes.NewReader(append(bad, '\n'))))
			if len(log.Entries) != 0 {
				t.Fatalf("byte %d: read as %s", i, log.Entries[0])
			}
			if bad[i] != '\n' && len(log.Problems)+len(log.Torn) != 1 {
				t.Fatalf("byte %d: %v %v", i, log.Problems, log.Torn)
			}
		}
	}
}

// A line cut off anywhere is called torn, and all before it are whole.
func TestTornEverywhere(t *testing.T) {
	entries := sample()
	entries[3].Note = "ein Wühlmaus-Jahr \u2028 und \"mehr\""
	data := must(lines("x", entries[:4]))
	start := bytes.LastIndexByte(data[:len(data)-1], '\n') + 1
	for cut := start + 1; cut < len(data)-1; cut++ {
		for _, zeros := range []int{0, 3} {
			torn := append(bytes.Clone(data[:cut]), make([]byte, zeros)...)
			log := must(ReadAll("x", bytes.NewReader(torn)))
			if len(log.Entries) != 3 || len(log.Torn) != 1 || len(log.Problems) != 0 || log.Torn[0].Line != 4 {
				t.Fatalf("cut at %d: %d entries, torn %v, problems %v", cut-start, len(log.Entries), log.Torn, log.Problems)
			}
		}
	}
	if log := must(ReadAll("x", bytes.NewReader(data[:len(data)-1]))); len(log.Entries) != 4 || len(log.Torn) != 0 {
		t.Error("a whole line without line feed is not read")
	}
}

// sealed makes a line with a right checksum from the members of an object.
func sealed(members string) string {
	body := `{"v":1` + members
	return fmt.Sprintf(`%s,"sum":"%08x"}`, body, crc32.Checksum([]byte(body), castagnoli))
}

const common = `,"date":"2026-07-12","at":"2026-07-12T20:00:00Z","device":"barn","seq":1`

func TestBadLines(t *testing.T) {
	for _, c := range []struct{ line, thing, remedy string }{
		{`hello`, "line", "not a line of a journal"},
		{`{"v":1}`, "line", "no checksum"},
		{`{"v":1,"sum":"00000000"}`, "line", "checksum is wrong"},
		{`[1]`, "line", "not a line"},
		{sealed(common + `,"kind":"heigth","field":"A"`), "kind", "no such kind"},
		{sealed(common + `,"kind":"height","heights":["3 in"]`), "height barn:1: field", "missing"},
		{sealed(common + `,"kind":"height","field":"A","heights":["31"]`), "height: heights", "unit is missing"},
		{sealed(common + `,"kind":"height","field":"A","heights":["-3 in"]`), "height: heights", "less than nothing"},
		{sealed(common + `,"kind":"height","field":"A"`), "height: heights", "missing"},
		{sealed(common + `,"kind":"height","field":"A","heights":["3 in"],"colour":"red"`), "height: colour", "no such value"},
		{sealed(common + `,"kind":"cut","field":"A","moisture":"130 %"`), "cut: moisture", "between 0 % and 100 %"},
		{sealed(common + `,"kind":"cut","field":"A","bales":0`), "cut: bales", "whole number"},
		{sealed(common + `,"kind":"emergence","field":"A"`), "emergence: emerged", "missing"},
		{sealed(common + `,"kind":"withdrawn"`), "withdrawn barn:1: corrects", "which entry"},
		{sealed(common + `,"kind":"drought","corrects":"barn:1"`), "drought barn:1: corrects", "itself"},
		{sealed(common + `,"kind":"drought","corrects":"barn"`), "corrects", "barn:12"},
		{sealed(`,"date":"12 July","at":"2026-07-12T20:00:00Z","device":"barn","seq":1,"kind":"drought"`), "date", "year-month-day"},
		{sealed(`,"date":"2026-07-12","at":"yesterday","device":"barn","seq":1,"kind":"drought"`), "recorded", "moment"},
		{sealed(`,"date":"2026-07-12","at":"2026-07-12T20:00:00Z","device":"my barn","seq":1,"kind":"drought"`), "drought my barn:1: device", "letters"},
		{sealed(`,"date":"2026-07-12","at":"2026-07-12T20:00:00Z","device":"barn","seq":0,"kind":"drought"`), "drought barn:0: sequence", "from 1"},
		{sealed(common + `,"seq":2,"kind":"drought"`), "line", "not a line"},
	} {
		good := string(encode(sample()[0]))
		log := must(ReadAll("f.journal", strings.NewReader(good+"\n"+c.line+"\r\n"+good+"\n\n"+good)))
		if len(log.Entries) != 3 || len(log.Problems) != 1 {
			t.Errorf("%s: %d entries, problems %v", c.line, len(log.Entries), log.Problems)
			continue
		}
		p := log.Problems[0]
		if p.File != "f.journal" || p.Line != 2 || p.Thing != c.thing || !strings.Contains(p.Remedy, c.remedy) {
			t.Errorf("%s:\n%v\nwant thing %q, remedy %q", c.line, p, c.thing, c.remedy)
		}
	}
}

// A line of a later version is kept whole, known kind or not, and so is a known
// word said in a way that this version cannot read.
func TestLaterVersion(t *testing.T) {
	for _, c := range []struct{ members, kind, fact string }{
		{`,"kind":"milk","group":"Milkers","litres":{"a": [1, 2]}`, "milk", "journal.Other"},
		{`,"kind":"height","field":"A","heights":["3 in"],"rod":"plate"`, "height", "journal.Height"},
		{`,"kind":"height","field":"A","heights":["3 chain"]`, "height", "journal.Other"},
		{`,"kind":"height","field":"A","heights":{"a":1}`, "height", "journal.Other"},
	} {
		body := `{"v":2` + common + c.members
		line := fmt.Sprintf(`%s,"sum":"%08x"}`, body, crc32.Checksum([]byte(body), castagnoli))
		log := must(ReadAll("x", strings.NewReader(line)))
		if len(log.Problems) > 0 || len(log.Entries) != 1 {
			t.Errorf("%s: %v", line, log.Problems)
			continue
		}
		e := log.Entries[0]
		if got := fmt.Sprintf("%T", e.Fact); string(e.Kind()) != c.kind || got != c.fact {
			t.Errorf("%s: kind %s, fact %s", line, e.Kind(), got)
		}
		again := must(ReadAll("x", bytes.NewReader(encode(e))))
		if len(again.Entries) != 1 || !again.Entries[0].Equal(e) {
			t.Errorf("%s: written again as %s", line, encode(e))
		}
		var was, is map[string]any
		if json.Unmarshal([]byte(line), &was) != nil || json.Unmarshal(encode(e), &is) != nil {
			t.Fatal("not JSON")
		}
		delete(was, "sum")
		delete(is, "sum")
		if !reflect.DeepEqual(was, is) {
			t.Errorf("kept %v of %v", is, was)
		}
	}
}

func TestLongLines(t *testing.T) {
	good := string(encode(sample()[0])) + "\n"
	log := must(ReadAll("x", strings.NewReader(good+strings.Repeat("x", 3<<20)+"\n"+good)))
	if len(log.Entries) != 2 || len(log.Problems) != 1 || log.Problems[0].Line != 2 {
		t.Errorf("%d entries, %v", len(log.Entries), log.Problems)
	}
	e := sample()[0]
	e.Note = strings.Repeat("\"", maxNote)
	if err := Encode(&bytes.Buffer{}, e); err == nil {
		t.Error("a line too long to be read again was written")
	}
}

// No name of a value is that of a common member or column, and one name is one
// sort of value.
func TestNamesOfValues(t *testing.T) {
	sorts := map[string]string{}
	for i := range schemas {
		_, _ = schemas[i].fill(func(slots []slot) error {
			for _, s := range slots {
				if reserved[s.name] || strings.Contains(strings.Join(append(head, tail...), " ")+" ", s.name+" ") {
					t.Errorf("%s: %s is taken", schemas[i].kind, s.name)
				}
				sort := fmt.Sprintf("%T", s.value)
				if was := sorts[s.name]; was != "" && was != sort {
					t.Errorf("%s is a %s and a %s", s.name, was, sort)
				}
				sorts[s.name] = sort
			}
			return nil
		})
	}
	if len(sorts) < 40 {
		t.Errorf("only %d values seen", len(sorts))
	}
}

// The file format is frozen: old journals must be read for ever.
func TestGoldenJournal(t *testing.T) {
	path := filepath.Join("testdata", "sample.journal")
	want := must(lines(path, sample()))
	golden(t, path, want)
	log := must(Read(path))
	if len(log.Problems)+len(log.Torn) > 0 || !reflect.DeepEqual(log.Entries, sample()) {
		t.Errorf("the sample is not read as it was written: %v %v", log.Problems, log.Torn)
	}
	seen := map[Kind]bool{}
	for _, e := range log.Entries {
		seen[e.Kind()] = true
	}
	for _, k := range Kinds() {
		if !seen[k] {
			t.Errorf("the sample holds no %s", k)
		}
	}
}

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares with a frozen file.
func golden(t *testing.T, path string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want := must(os.ReadFile(path))
	if !bytes.Equal(got, want) {
		g, w := strings.Split(string(got), "\n"), strings.Split(string(want), "\n")
		for i := range min(len(g), len(w)) {
			if g[i] != w[i] {
				t.Fatalf("%s:%d:\ngot  %s\nwant %s", path, i+1, g[i], w[i])
			}
		}
		t.Fatalf("%s: %d lines, want %d", path, len(g), len(w))
	}
}

func FuzzReader(f *testing.F) {
	f.Add(must(lines("x", sample())))
	f.Add([]byte(`{"v":1,"date":"2026-07-`))
	f.Add([]byte(sealed(common+`,"kind":"height","field":"A","heights":["31"]`) + "\n\x00\x00"))
	f.Add([]byte(sealed(common + `,"kind":"height","field":"A","heights":["1e308 in"]`)))
	f.Add([]byte(sealed(strings.Replace(common, `"seq":1`, `"seq":9223372036854775807`, 1) + `,"kind":"frost","field":"A","minimum":"-1e300 F"`)))
	f.Add([]byte(strings.Replace(sealed(common+`,"kind":"milk","x":[{"a":1}]`), `"v":1`, `"v":3`, 1)))
	f.Fuzz(func(t *testing.T, data []byte) {
		// The fuzzer cannot make checksums: lines are read with theirs and sealed.
		var all [][]byte
		for _, line := range bytes.Split(data, []byte("\n")) {
			all = append(all, line)
			if i := bytes.LastIndex(line, []byte(sumOpens)); i > 0 {
				all = append(all, seal(bytes.Clone(line[:i])))
			}
		}
		log, err := ReadAll("x", bytes.NewReader(bytes.Join(all, []byte("\n"))))
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range log.Entries {
			if p := e.faults(); len(p) > 0 {
				t.Fatalf("an entry was read that is none: %v", p)
			}
			again, err := ReadAll("x", bytes.NewReader(encode(e)))
			if err != nil || len(again.Entries) != 1 || !reflect.DeepEqual(again.Entries[0], e) {
				t.Fatalf("%s: written again as %s: %v", e, encode(e), again.Problems)
			}
		}
		Standing(log.Entries)
		Check(log.Entries, Facts{})
	})
}
