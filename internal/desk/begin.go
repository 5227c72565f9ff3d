package desk

import (
	"fmt"
	"strconv"
	"strings"

	"rowen/farm"
	"rowen/herd"
	"rowen/quantity"
)

// Question is one of the eight numbers by which a farm begins.
type Question string

// The questions, in the order in which they are asked.
const (
	AskPlace     Question = "place"
	AskAnimals   Question = "animals"
	AskMilk      Question = "milk" // of a dairy cow, or the weight of any other animal
	AskSward     Question = "sward"
	AskCropland  Question = "cropland"
	AskStored    Question = "stored"
	AskTurnout   Question = "turnout"
	AskFirstYear Question = "first_year"
)

// Questions are all of them.
var Questions = []Question{AskPlace, AskAnimals, AskMilk, AskSward, AskCropland, AskStored, AskTurnout, AskFirstYear}

// usualUnits are the units of a bare number, by the system of units: those of the hints
// beside the questions. A bare number after milk may be a weight and is asked again.
var usualUnits = map[Question][2]string{
	AskSward:    {quantity.US: "ac", quantity.Metric: "ha"},
	AskCropland: {quantity.US: "ac", quantity.Metric: "ha"},
	AskStored:   {quantity.US: "ton", quantity.Metric: "t"},
}

// withUnit gives a bare number its unit, and leaves all else as it was typed.
func withUnit(text, unit string) string {
	if _, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", ""), 64); err != nil {
		return text
	}
	return text + " " + unit
}

// Answer reads an answer into the eight numbers. The error says what to write.
func Answer(e *farm.Eight, q Question, text string) (err error) {
	text = strings.TrimSpace(text)
	if usual := usualUnits[q]; usual != [2]string{} {
		text = withUnit(text, usual[e.Units])
	}
	switch q {
	case AskPlace:
		return answerPlace(text, e)
	case AskAnimals:
		if e.Head, err = strconv.ParseFloat(text, 64); err != nil || !(e.Head >= 0.1 && e.Head <= 1e5) {
			return fmt.Errorf("%q: write a number of animals, such as 70", text)
		}
	case AskMilk:
		return answerMilk(text, e)
	case AskSward:
		if e.Sward, err = quantity.ParseArea(text); err == nil && e.Sward <= 0 {
			return fmt.Errorf("%q: it must be more than nothing", text)
		}
	case AskCropland:
		if e.Cropland, err = quantity.ParseArea(text); err == nil && e.Cropland < 0 {
			return fmt.Errorf("%q: an area cannot be less than nothing", text)
		}
	case AskStored:
		if e.Stored, err = quantity.ParseMass(text); err == nil && e.Stored < 0 {
			return fmt.Errorf("%q: an amount cannot be less than nothing", text)
		}
	case AskTurnout:
		e.Turnout, err = quantity.ParseMonthDay(text)
	case AskFirstYear:
		if e.FirstYear, err = strconv.Atoi(text); err != nil || e.FirstYear < quantity.FirstYear || e.FirstYear > quantity.LastYear {
			return fmt.Errorf("%q: write a year, such as 2027", text)
		}
	}
	return err
}

func answerPlace(s string, e *farm.Eight) error {
	a, b, ok := strings.Cut(s, ",")
	var err1, err2 error
	e.Latitude, err1 = strconv.ParseFloat(strings.TrimSpace(a), 64)
	e.Longitude, err2 = strconv.ParseFloat(strings.TrimSpace(b), 64)
	if !ok || err1 != nil || err2 != nil || !(e.Latitude >= -60 && e.Latitude <= 60 && e.Longitude >= -180 && e.Longitude <= 180) {
		return fmt.Errorf("%q: write latitude and longitude in degrees, such as 43.05,-74.48", s)
	}
	return nil
}

// answerMilk reads milk a day or a weight, and takes the class of animal from which it is.
func answerMilk(s string, e *farm.Eight) error {
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
