package validation

import (
	"embed"
	"encoding/csv"
	"fmt"
	"io"
	"sort"
	"strconv"
	"strings"

	"rowen/quantity"
)

// trials are the published observations: facts, each with where it was printed and
// whether it was read there.
//
//go:embed trials/*.csv
var trials embed.FS

// columns are the columns of a trial file, in order.
var columns = []string{"case", "class", "crop", "use", "station", "years", "sown", "cuts", "height_in", "stage", "residual_in",
	"nitrogen_lb_ac", "soil", "age", "grade", "measure", "against", "value", "unit", "low", "high", "reading", "source", "note"}

// Trials are the cases that come with the program.
func Trials() ([]Case, error) {
	entries, err := trials.ReadDir("trials")
	if err != nil {
		return nil, err
	}
	var all []Case
	for _, e := range entries {
		f, err := trials.Open("trials/" + e.Name())
		if err != nil {
			return nil, err
		}
		cases, err := Read(e.Name(), f)
		_ = f.Close()
		if err != nil {
			return nil, err
		}
		all = append(all, cases...)
	}
	sort.SliceStable(all, func(a, b int) bool { return all[a].Class < all[b].Class })
	return all, nil
}

// Read reads cases from a CSV with the columns of the program's own trial files;
// the error tells file, line and what is wrong.
func Read(name string, r io.Reader) ([]Case, error) {
	in := csv.NewReader(r)
	head, err := in.Read()
	if err != nil {
		return nil, fmt.Errorf("%s:1: %w", name, err)
	}
	if strings.Join(head, ",") != strings.Join(columns, ",") {
		return nil, fmt.Errorf("%s:1: the columns must be %s", name, strings.Join(columns, ","))
	}
	var out []Case
	for {
		row, err := in.Read()
		if err == io.EOF {
			return out, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		line, _ := in.FieldPos(0)
		k, err := caseOf(row)
		if err != nil {
			return nil, fmt.Errorf("%s:%d: %w", name, line, err)
		}
		out = append(out, k)
	}
}

func caseOf(row []string) (Case, error) {
	at := map[string]string{}
	for i, c := range columns {
		at[c] = row[i]
	}
	var bad error
	number := func(key string) float64 {
		if at[key] == "" {
			return 0
		}
		v, err := strconv.ParseFloat(at[key], 64)
		if err != nil || v != v {
			bad = fmt.Errorf("%s: %q is not a number", key, at[key])
		}
		return v
	}
	k := Case{
		Name: at["case"], Class: at["class"], Crop: at["crop"], Use: at["use"], Station: at["station"], Sown: at["sown"],
		Height: number("height_in"), Stage: number("stage"), Residual: number("residual_in"), Nitrogen: numbers(at["nitrogen_lb_ac"]),
		Soil: at["soil"], Age: number("age"), Site: at["grade"] == "site", Measure: at["measure"], Against: at["against"],
		Value: number("value"), Low: number("low"), High: number("high"), Unit: at["unit"],
		Reading: at["reading"], Source: at["source"], Note: at["note"],
	}
	if at["cuts"] != "" {
		k.Cuts = strings.Split(at["cuts"], ";")
	}
	for _, d := range append([]string{k.Sown}, k.Cuts...) {
		if _, err := quantity.ParseDate("2001-" + d); d != "" && err != nil {
			bad = fmt.Errorf("%q is no month and day; write 06-05", d)
		}
	}
	if first, last, ok := strings.Cut(at["years"], "-"); at["years"] != "" {
		if !ok {
			last = first
		}
		k.First, _ = strconv.Atoi(first)
		k.Last, _ = strconv.Atoi(last)
		if k.First < 1800 || k.Last < k.First {
			bad = fmt.Errorf("years: %q; write 2015 or 2013-2016", at["years"])
		}
	}
	if k.Name == "" || k.Source == "" || k.Reading == "" {
		bad = fmt.Errorf("case, source and reading must be given")
	}
	return k, bad
}

// numbers reads "60;50"; an empty text is none, which means the usual manure.
func numbers(text string) []float64 {
	if text == "" {
		return nil
	}
	out := []float64{}
	for _, p := range strings.Split(text, ";") {
		v, _ := strconv.ParseFloat(p, 64)
		out = append(out, v)
	}
	return out
}

func dateOf(i int) quantity.Date { return quantity.Date(i) }
