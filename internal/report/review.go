package report

import (
	"fmt"

	"rowen/farm"
	"rowen/quantity"
	"rowen/say"
	"rowen/steer"
)

// Review is a feed year's plan beside what was written down of it, as every face
// shows it. Masses are kg DM; a missing figure is unknown.
type Review struct {
	Rowen   int             `json:"rowen"`
	Farm    string          `json:"farm"`
	First   string          `json:"feed_year_first_day"`
	Until   string          `json:"looked_at_until"`
	Whole   bool            `json:"feed_year_over"`
	Station string          `json:"weather_station"`
	Units   string          `json:"units"`
	Years   int             `json:"other_weather_years"`
	Facts   int             `json:"facts_written_down"`
	Weather []ReviewWeather `json:"weather"`
	Sowings []ReviewSowing  `json:"sowings"`
	Fields  []ReviewField   `json:"fields"`
	Stored  []ReviewStored  `json:"stored"`
	Notices []say.Line      `json:"notices"`
}

// ReviewWeather is one figure of the year's weather among the other years'.
type ReviewWeather struct {
	What  string   `json:"what"`
	Value *float64 `json:"value,omitempty"` // mm or °C
	Usual *float64 `json:"middle_of_other_years,omitempty"`
	Date  string   `json:"date,omitempty"`
	Rank  int      `json:"rank,omitempty"` // 1 the least or earliest
	Of    int      `json:"of,omitempty"`
	Words string   `json:"words"`
}

// ReviewSowing is one sowing.
type ReviewSowing struct {
	Field      string   `json:"field"`
	Stand      string   `json:"stand"`
	Window     string   `json:"window"`
	Planned    string   `json:"planned_over_years"`
	Sown       string   `json:"sown,omitempty"`
	PlannedUse string   `json:"first_use_planned_over_years"`
	FirstUse   string   `json:"first_use,omitempty"`
	Reasons    []string `json:"reasons"`
}

// ReviewField is one field.
type ReviewField struct {
	Name         string         `json:"field"`
	Area         float64        `json:"area_m2"`
	Stands       []string       `json:"stands"`
	GrazedMiddle float64        `json:"planned_grazed_middle_kg"`
	GrazedBad    float64        `json:"planned_grazed_bad_kg"`
	CutMiddle    float64        `json:"planned_stored_middle_kg"`
	CutBad       float64        `json:"planned_stored_bad_kg"`
	Grazings     int            `json:"grazings_written_down"`
	Grazed       *Range         `json:"grazed_estimated_kg,omitempty"`
	Cuts         int            `json:"cuts_written_down"`
	Weighed      int            `json:"cuts_weighed"`
	WeighedDM    *float64       `json:"weighed_kg,omitempty"`
	Estimated    *Range         `json:"unweighed_cuts_estimated_kg,omitempty"`
	Taken        *Range         `json:"taken_off_kg,omitempty"`
	Heights      []ReviewHeight `json:"heights"`
	Reasons      []string       `json:"reasons"`
}

// ReviewHeight is a measured height beside its expectation.
type ReviewHeight struct {
	Date     string  `json:"date"`
	Seen     float64 `json:"height_cm"`
	Expected Range   `json:"expected_cm"`
}

// ReviewStored is what was put up for one use.
type ReviewStored struct {
	Use     string   `json:"use"`
	Middle  float64  `json:"planned_middle_kg"`
	Bad     float64  `json:"planned_bad_kg"`
	Lots    int      `json:"lots_written_down"`
	Weighed int      `json:"lots_weighed"`
	DM      *float64 `json:"weighed_kg,omitempty"`
}

// BuildReview makes the page model of a review.
func BuildReview(f *farm.Farm, v *steer.Review, station string, notices []say.Line) *Review {
	out := &Review{Rowen: 1, Farm: f.Name, First: v.First.String(), Until: v.Until.String(), Whole: v.Whole, Station: station, Units: f.Units.String(), Years: v.Years, Facts: v.Entries, Notices: notices}
	for i := range v.Weather {
		out.Weather = append(out.Weather, reviewWeather(&v.Weather[i], f.Units))
	}
	for i := range v.Sowings {
		out.Sowings = append(out.Sowings, reviewSowing(f, &v.Sowings[i]))
	}
	for i := range v.Fields {
		out.Fields = append(out.Fields, reviewField(f, &v.Fields[i]))
	}
	for _, s := range v.Stored {
		x := ReviewStored{Use: useWords(s.Use), Middle: s.Planned.Middle, Bad: s.Planned.Bad, Lots: s.Lots, Weighed: s.Weighed}
		if s.Weighed > 0 {
			x.DM = &s.DM
		}
		out.Stored = append(out.Stored, x)
	}
	return out
}

// rankedWords name each figure, and its two ends.
var rankedWords = [...]struct{ what, least, most string }{
	steer.RainYear:    {"rain of the feed year", "driest", "wettest"},
	steer.RainGrowth:  {"rain since 1 Apr", "driest", "wettest"},
	steer.Warmth:      {"mean temperature since 1 Apr", "coolest", "warmest"},
	steer.SpringFrost: {"last frost of spring", "earliest", "latest"},
	steer.AutumnFrost: {"first frost of autumn", "earliest", "latest"},
}

func reviewWeather(x *steer.YearRank, u quantity.System) ReviewWeather {
	w := rankedWords[x.What]
	out := ReviewWeather{What: w.what, Words: "not known by the day looked at"}
	if !x.Known {
		return out
	}
	out.Rank, out.Of = x.Rank, x.Of
	rank := fmt.Sprintf("%s %s of %d years", nth(x.Rank), w.least, x.Of)
	if from := x.Of + 1 - x.Rank; from < x.Rank {
		rank = fmt.Sprintf("%s %s of %d years", nth(from), w.most, x.Of)
	}
	switch {
	case x.On != 0:
		out.Date = x.On.String()
		out.Words = fmt.Sprintf("%s, usually %s: %s", shortDate(x.On), shortDate(x.On+quantity.Date(x.Usual-x.Value)), rank)
		return out
	case x.What == steer.Warmth:
		out.Words = fmt.Sprintf("%s, usually %s: %s", thermometer(quantity.Temperature(x.Value), u), thermometer(quantity.Temperature(x.Usual), u), rank)
	default:
		out.Words = fmt.Sprintf("%s, usually %s: %s", rain(x.Value, u), rain(x.Usual, u), rank)
	}
	out.Value, out.Usual = &x.Value, &x.Usual
	return out
}

func rain(mm float64, u quantity.System) string {
	if u == quantity.US {
		return quantity.Grouped(mm/25.4, 1) + " in"
	}
	return quantity.Grouped(mm, 0) + " mm"
}

// nth is a place in an order; the first needs no word.
func nth(n int) string {
	if n == 1 {
		return "the"
	}
	end := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 2:
			end = "nd"
		case 1:
			end = "st"
		case 3:
			end = "rd"
		}
	}
	return fmt.Sprintf("%d%s", n, end)
}

func reviewSowing(f *farm.Farm, x *steer.SowingReview) ReviewSowing {
	doc := &f.Plan.Sowings[x.Sowing]
	out := ReviewSowing{Field: f.Fields[doc.Field].Name, Stand: doc.Mix.Title, Reasons: x.Reasons, Planned: overYears(x.Planned), PlannedUse: overYears(x.PlannedUse)}
	out.Window = shortDate(x.Opens)
	if x.Closes != x.Opens {
		out.Window += " to " + shortDate(x.Closes)
	}
	if x.Written {
		out.Sown = x.Sown.String()
	}
	if x.FirstUse != 0 {
		out.FirstUse = x.FirstUse.String()
	}
	return out
}

// overYears is a date over the plan's years.
func overYears(w steer.When) string {
	switch {
	case w.Share == 0:
		return "in no year"
	case w.Share < 0.995:
		return fmt.Sprintf("%s, in %.0f of 100 years", w, 100*w.Share)
	}
	return w.String()
}

func reviewField(f *farm.Farm, x *steer.FieldReview) ReviewField {
	doc := &f.Fields[x.Index]
	out := ReviewField{
		Name: doc.Name, Area: float64(doc.Area), Stands: x.Stands, GrazedMiddle: x.PlannedGrazed.Middle, GrazedBad: x.PlannedGrazed.Bad, CutMiddle: x.PlannedCut.Middle, CutBad: x.PlannedCut.Bad,
		Grazings: x.Grazings, Cuts: x.Cuts, Weighed: x.Weighed, Reasons: x.Reasons,
	}
	known := func(n int, s steer.Spread) *Range {
		if n == 0 || s == (steer.Spread{}) {
			return nil
		}
		r := rangeOf(s)
		return &r
	}
	out.Grazed, out.Estimated = known(x.Grazings, x.Grazed), known(x.Cuts-x.Weighed, x.Estimated)
	if x.Weighed > 0 {
		out.WeighedDM = &x.WeighedDM
	}
	if x.Unknown == 0 {
		out.Taken = known(x.Grazings+x.Cuts, x.Taken())
	}
	for _, h := range x.Heights {
		out.Heights = append(out.Heights, ReviewHeight{h.On.String(), h.Seen, rangeOf(h.Expected)})
	}
	for _, q := range x.Questions {
		out.Reasons = append(out.Reasons, "asked: "+q.String())
	}
	return out
}
