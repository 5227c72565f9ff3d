// Package handbook is the root of Rowen's published equations: what a source
// is, what a formula is, what a figure that knows its own origin is, and what
// a gate answers. The topics beneath it (evapo, growth, nutrition, conserve,
// machine, hazard, grazing, fertility, stats) hold the equations themselves:
// pure functions without state or I/O, each citing its source and tested on
// that source's own worked example.
//
// The package may import quantity, say and nothing else of Rowen's.
package handbook

import (
	"fmt"

	"rowen/say"
)

// Reading tells how a value came to us.
type Reading uint8

// The ways a value can have come to us, best first.
const (
	// Read: seen in the source, or in a copy of it.
	Read Reading = iota + 1
	// Memory: written down from memory, not yet held against the source.
	Memory
	// CommonPractice: a rule of the trade with no single source.
	CommonPractice
	// Fitted: set here so that results fall into a published range; the range's
	// source stands beside it.
	Fitted
)

// String names the reading as it is printed behind a citation.
//
//say:words
func (r Reading) String() string {
	switch r {
	case Read:
		return "read in the source"
	case Memory:
		return "from memory"
	case CommonPractice:
		return "common practice"
	case Fitted:
		return "fitted here to the published range"
	}
	return "unread"
}

// Source is a citation: enough for a stranger to find the page.
type Source struct {
	Key     string  // short and unique: "fao56"
	Author  string  // "Allen, Pereira, Raes, Smith"
	Year    int     // 0 where undated
	Title   string  // of the work
	Where   string  // journal and pages, publisher, or office
	Place   string  // equation, table or page within it: "eq 6"
	Reading Reading // how its value came to us
}

// At is the same work at another place in it.
func (s Source) At(place string) Source { s.Place = place; return s }

// String writes the citation on one line, its reading last.
func (s Source) String() string {
	if s.Reading == CommonPractice && (s.Title == "" || s.Title == "common practice") {
		return "common practice"
	}
	year := ""
	if s.Year != 0 {
		year = fmt.Sprintf(" %d", s.Year)
	}
	text := s.Author + year
	if text != "" {
		text += ", "
	}
	text += s.Title
	if s.Where != "" {
		text += ", " + s.Where
	}
	if s.Place != "" {
		text += ", " + s.Place
	}
	return text + " (" + s.Reading.String() + ")"
}

// Input is one symbol of a formula.
type Input struct {
	Symbol string // as in the source
	Name   string // in words
	Unit   string // the source's unit
}

// Formula is a published expression as a static value: what a page shows when
// a figure is opened, and what a replay evaluates. Eval takes the inputs in
// order and must agree with the function the engine calls.
type Formula struct {
	Key        string
	Name       string
	Expression string // in the source's symbols
	Unit       string // of the result
	Inputs     []Input
	Valid      string // range of validity, in words
	Sources    []Source
	Eval       func(in []float64) float64
}

// Figure is a value that knows its formula, its inputs and, through the
// formula, its sources.
type Figure struct {
	Key     string
	Label   say.Line
	Value   float64
	Unit    string
	Formula *Formula // nil for an input taken from a document
	Origin  say.Line // for an input: where it stands, such as "farm.toml:41"
	Inputs  []Figure // in the formula's order
}

// Check replays the figure's formula on its inputs and reports whether the
// result agrees with the value to a relative 1e-9. A figure without formula
// agrees with itself.
func (f Figure) Check() error {
	for _, in := range f.Inputs {
		if err := in.Check(); err != nil {
			return err
		}
	}
	if f.Formula == nil {
		return nil
	}
	args := make([]float64, len(f.Inputs))
	for i, in := range f.Inputs {
		args[i] = in.Value
	}
	got := f.Formula.Eval(args)
	if diff, scale := got-f.Value, 1e-9*max(1, abs(f.Value)); !(diff <= scale && -diff <= scale) {
		return fmt.Errorf("figure %q: formula %q gives %g, the figure shown is %g", f.Key, f.Formula.Key, got, f.Value)
	}
	return nil
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

// Answer is what a gate says. The order is the order of severity, so that the
// worst of several answers is their maximum.
type Answer uint8

// The three answers.
const (
	Clear Answer = iota
	Caution
	Hold
)

// String names the answer.
//
//say:words
func (a Answer) String() string {
	switch a {
	case Clear:
		return "Clear"
	case Caution:
		return "Caution"
	}
	return "Hold" // an unknown answer fails to the safe side
}

// Gate is an answer put into words at the edge: one safety or readiness check
// with its reasons, what was missing, and when it may change.
type Gate struct {
	Name    string // "prussic acid"
	Answer  Answer
	Reasons []Reason
	Missing []string // facts that would be needed
	Until   say.Line // when the answer may change, in words; empty if unknown
}

// Reason is one rule that spoke.
type Reason struct {
	Text   string
	Source Source
}
