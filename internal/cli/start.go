package cli

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"rowen/farm"
	"rowen/herd"
	"rowen/internal/desk"
	"rowen/quantity"
)

type startCommand struct {
	Place     string `help:"Latitude and longitude in degrees: 43.05,-74.48."`
	Animals   string `help:"How many animals."`
	Milk      string `help:"Milk of a cow, for a dairy: 48 lb/d."`
	Weight    string `help:"Weight of an animal, for any other herd: 1,300 lb."`
	Sward     string `help:"Area in sward: 180 ac."`
	Cropland  string `help:"Area of cropland: 40 ac."`
	Stored    string `help:"Stored feed on hand, dry matter: 250 ton."`
	Turnout   string `help:"Turn-out: 5 May."`
	FirstYear string `help:"Calendar year in which the planned feed year ends: 2027."`

	Name    string `help:"The farm's name." default:"Our farm"`
	Class   string `help:"Class of the animals; default dairy cow in milk with milk, beef cow with weight."`
	Organic bool   `help:"An organic farm."`
	Units   string `help:"us or metric." default:"us"`
	Out     string `help:"File to write; default: print." placeholder:"FILE"`
}

// Help shows examples.
func (startCommand) Help() string {
	return "What is not given as a flag is asked. " + examples("start")
}

// question is one of the eight.
type question struct {
	ask  string
	into *string
	read func(string) error
}

// Run asks what was not given and writes the document.
func (c startCommand) Run(f *face) error {
	var e farm.Eight
	var err error
	if e.Units, err = quantity.ParseSystem(c.Units); err != nil {
		return fmt.Errorf("--units %w", err)
	}
	e.Name, e.Organic, e.Class = c.Name, c.Organic, c.Class
	if c.Weight != "" && c.Milk == "" {
		c.Milk = "-"
	}
	questions := []question{
		{"Place, latitude and longitude (43.05,-74.48)", &c.Place, func(s string) error { return place(s, &e) }},
		{"How many animals (70)", &c.Animals, func(s string) (err error) {
			if e.Head, err = strconv.ParseFloat(s, 64); err != nil || !(e.Head > 0 && e.Head < 1e5) {
				return fmt.Errorf("%q: write a number of animals, such as 70", s)
			}
			return nil
		}},
		{`Milk of a cow a day (48 lb/d), or the weight of an animal that is not milked (1,300 lb)`, &c.Milk, func(s string) error { return milk(s, c.Weight, &e) }},
		{"Area in sward (180 ac)", &c.Sward, func(s string) (err error) {
			e.Sward, err = quantity.ParseArea(s)
			return positive(s, float64(e.Sward), err)
		}},
		{"Area of cropland (40 ac)", &c.Cropland, func(s string) (err error) {
			e.Cropland, err = quantity.ParseArea(s)
			if err == nil && e.Cropland < 0 {
				err = fmt.Errorf("%q: an area cannot be less than nothing", s)
			}
			return err
		}},
		{"Stored feed on hand, dry matter (250 ton)", &c.Stored, func(s string) (err error) {
			e.Stored, err = quantity.ParseMass(s)
			if err == nil && e.Stored < 0 {
				err = fmt.Errorf("%q: an amount cannot be less than nothing", s)
			}
			return err
		}},
		{"Turn-out (5 May)", &c.Turnout, func(s string) (err error) { e.Turnout, err = quantity.ParseMonthDay(s); return err }},
		{"Year in which the planned feed year ends (2027)", &c.FirstYear, func(s string) (err error) {
			if e.FirstYear, err = strconv.Atoi(s); err != nil || e.FirstYear < 1900 || e.FirstYear > 2200 {
				return fmt.Errorf("%q: write a year, such as 2027", s)
			}
			return nil
		}},
	}
	in := bufio.NewReader(f.in)
	for _, q := range questions {
		if err := answer(f, in, q); err != nil {
			return err
		}
	}
	text := e.Document()
	cat, err := desk.Catalogue(nil)
	if err != nil {
		return err
	}
	if _, err := farm.Parse("new farm", []byte(text), cat); err != nil {
		return err
	}
	if c.Out == "" {
		_, err = io.WriteString(f.out, text)
		return err
	}
	if _, err := os.Stat(c.Out); err == nil {
		return fmt.Errorf("%s is already there; give another --out", c.Out)
	}
	if err := desk.Save(filepath.Dir(c.Out), map[string][]byte{filepath.Base(c.Out): []byte(text)}); err != nil {
		return err
	}
	_, err = fmt.Fprintf(f.out, "Written to %s. Now: rowen plan %s --out out\n", c.Out, c.Out)
	return err
}

// answer takes a question's answer from its flag, or asks until it can be read.
func answer(f *face, in *bufio.Reader, q question) error {
	if *q.into != "" {
		if err := q.read(*q.into); err != nil {
			return fmt.Errorf("%s: %w", q.ask, err)
		}
		return nil
	}
	for {
		if _, err := fmt.Fprintf(f.err, "%s: ", q.ask); err != nil {
			return err
		}
		line, err := in.ReadString('\n')
		text := strings.TrimSpace(line)
		if text == "" && err != nil {
			return fmt.Errorf("%s: no answer; give it as a flag", q.ask)
		}
		problem := q.read(text)
		if problem == nil {
			return nil
		}
		if _, err := fmt.Fprintf(f.err, "  %v\n", problem); err != nil {
			return err
		}
		if err != nil {
			return problem
		}
	}
}

func place(s string, e *farm.Eight) error {
	a, b, ok := strings.Cut(s, ",")
	var err1, err2 error
	e.Latitude, err1 = strconv.ParseFloat(strings.TrimSpace(a), 64)
	e.Longitude, err2 = strconv.ParseFloat(strings.TrimSpace(b), 64)
	if !ok || err1 != nil || err2 != nil || !(e.Latitude >= -60 && e.Latitude <= 60 && e.Longitude >= -180 && e.Longitude <= 180) {
		return fmt.Errorf("%q: write latitude and longitude in degrees, such as 43.05,-74.48", s)
	}
	return nil
}

func milk(s, weight string, e *farm.Eight) error {
	if s == "-" || weight != "" {
		s = weight
	}
	if m, err := quantity.ParseMassPerTime(s); err == nil && m > 0 {
		e.Milk = m
		if e.Class == "" {
			e.Class = herd.DairyLactating.String()
		}
		return nil
	}
	w, err := quantity.ParseMass(s)
	if err != nil || w <= 0 {
		return fmt.Errorf("%q: write milk a day, such as 48 lb/d, or a weight, such as 1,300 lb", s)
	}
	e.Weight = w
	if e.Class == "" {
		e.Class = herd.BeefCow.String()
	}
	return nil
}

func positive(s string, v float64, err error) error {
	if err == nil && !(v > 0) {
		return fmt.Errorf("%q: it must be more than nothing", s)
	}
	return err
}
