package desk

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"rowen/internal/document"
	"rowen/internal/files"
	"rowen/quantity"
	plots "rowen/trial"
)

// PlotsRequest is a field plot trial to lay out, as written on a command line.
type PlotsRequest struct {
	Design             string // block, split, latin or strip
	Treatments, Second []string
	Blocks             int
	Plot               string // "5 ft x 20 ft": width across, length away from the front
	Alley, Border      string // lengths; empty for none
	Guards             int
	Seed               uint64
}

// Plots lays out a trial. Errors are document.Problems, all at once.
func Plots(r PlotsRequest) (*plots.Map, error) {
	var wrong document.Problems
	report := func(thing string, err error) {
		p := document.Problem{File: "design", Thing: thing, Remedy: err.Error()}
		var unread *quantity.ParseError
		if errors.As(err, &unread) {
			p.Value, p.Remedy = unread.Value, unread.Remedy
		}
		wrong = append(wrong, p)
	}
	// What could not be read takes a size that is in order, so that each slip is
	// told once.
	length := func(thing, text string, otherwise quantity.Length) quantity.Length {
		l, err := quantity.ParseLength(strings.TrimSpace(text))
		if err != nil {
			report(thing, err)
			return otherwise
		}
		return l
	}
	d := plots.Design{Treatments: r.Treatments, Second: r.Second, Blocks: r.Blocks, Seed: r.Seed, Guards: r.Guards, PlotWidth: quantity.Metre, PlotLength: quantity.Metre}
	kind, err := plots.ParseKind(r.Design)
	var unknown document.Problem
	if errors.As(err, &unknown) {
		// Without its kind a design cannot be held to anything.
		return nil, document.Problems{unknown}
	}
	d.Kind = kind
	if width, long, ok := strings.Cut(r.Plot, "x"); ok {
		d.PlotWidth, d.PlotLength = length("plot width", width, d.PlotWidth), length("plot length", long, d.PlotLength)
	} else {
		report("plot", &quantity.ParseError{Value: r.Plot, Remedy: `write width x length, such as "5 ft x 20 ft"`})
	}
	if r.Alley != "" {
		d.Alley = length("alley", r.Alley, 0)
	}
	if r.Border != "" {
		d.Border = length("border", r.Border, 0)
	}
	m, err := plots.Lay(d)
	var more document.Problems
	if errors.As(err, &more) {
		wrong = append(wrong, more...)
	} else if err != nil {
		return nil, err
	}
	if len(wrong) > 0 {
		return nil, wrong
	}
	return m, nil
}

// harvestSheet is the file that a crew fills in.
const harvestSheet = "harvest.csv"

// SavePlots writes map.txt, map.html and harvest.csv into a folder, all or none.
// Another harvest sheet that lies there is never written over: it may be filled
// in.
func SavePlots(dir string, m *plots.Map, u quantity.System) error {
	set := map[string][]byte{}
	for name, write := range map[string]func(*bytes.Buffer) error{
		"map.txt":    func(b *bytes.Buffer) error { return plots.WriteMap(b, m, u) },
		"map.html":   func(b *bytes.Buffer) error { return plots.WriteHTML(b, m, u) },
		harvestSheet: func(b *bytes.Buffer) error { return plots.WriteHarvestSheet(b, m) },
	} {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			return err
		}
		set[name] = b.Bytes()
	}
	path := filepath.Join(dir, harvestSheet)
	before, err := os.ReadFile(path)
	switch {
	case err == nil && !bytes.Equal(before, set[harvestSheet]):
		return fmt.Errorf("%s is another harvest sheet and may be filled in; move it away or give another folder with --out", path)
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("cannot look at %s: %w; give another folder with --out", path, err)
	}
	return files.Write(dir, set)
}

// Harvest reads a filled harvest sheet.
func Harvest(path string) ([]plots.Harvested, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("%w; give the harvest.csv that rowen plots wrote, filled in", err)
	}
	defer func() { _ = f.Close() }()
	return plots.ReadHarvest(path, f)
}
