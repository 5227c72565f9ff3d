package cli

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"rowen/farm"
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
	of   desk.Question
}

// Run asks what was not given and writes the document.
func (c startCommand) Run(f *face) error {
	var e farm.Eight
	var err error
	if e.Units, err = quantity.ParseSystem(c.Units); err != nil {
		return fmt.Errorf("--units %w", err)
	}
	e.Name, e.Organic, e.Class = c.Name, c.Organic, c.Class
	if c.Weight != "" {
		c.Milk = c.Weight
	}
	questions := []question{
		{"Place, latitude and longitude (43.05,-74.48)", &c.Place, desk.AskPlace},
		{"How many animals (70)", &c.Animals, desk.AskAnimals},
		{"Milk of a cow a day (48 lb/d), or the weight of an animal that is not milked (1,300 lb)", &c.Milk, desk.AskMilk},
		{"Area in sward (180 ac)", &c.Sward, desk.AskSward},
		{"Area of cropland (40 ac)", &c.Cropland, desk.AskCropland},
		{"Stored feed on hand, dry matter (250 ton)", &c.Stored, desk.AskStored},
		{"Turn-out (5 May)", &c.Turnout, desk.AskTurnout},
		{"Year in which the planned feed year ends (2027)", &c.FirstYear, desk.AskFirstYear},
	}
	in := bufio.NewReader(f.in)
	for _, q := range questions {
		if err := answer(f, in, &e, q); err != nil {
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
func answer(f *face, in *bufio.Reader, e *farm.Eight, q question) error {
	if *q.into != "" {
		if err := desk.Answer(e, q.of, *q.into); err != nil {
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
		problem := desk.Answer(e, q.of, text)
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
