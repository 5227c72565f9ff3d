package report

import (
	"rowen/farm"
	"rowen/handbook"
	"rowen/handbook/conserve"
	"rowen/quantity"
	"rowen/say"
	"rowen/steer"
)

// Mow is what mowing a field on each of the coming days would come to, as every face
// shows it. Masses per area g DM/m², moistures and shares percent.
type Mow struct {
	Rowen       int        `json:"rowen"`
	Farm        string     `json:"farm"`
	Field       string     `json:"field"`
	Date        string     `json:"date"`
	Weather     string     `json:"last_weather"`
	Station     string     `json:"weather_station"`
	Units       string     `json:"units"`
	Stand       string     `json:"stand"`
	Use         string     `json:"use"`
	Say         string     `json:"say"`
	Height      Range      `json:"height_cm"`
	Yield       Range      `json:"above_stubble_g_per_m2"`
	Moisture    Range      `json:"moisture_percent"`
	Stubble     float64    `json:"stubble_cm"`
	Swath       float64    `json:"swath_share_of_cut_width"`
	Conditioned bool       `json:"conditioned"`
	Thick       bool       `json:"thick_stems"`
	Target      float64    `json:"target_moisture_percent"`
	Wettest     float64    `json:"wettest_moisture_percent"`
	Years       int        `json:"years_looked_at"`
	Forecast    int        `json:"forecast_days"`
	Held        string     `json:"held_by,omitempty"`
	Advice      string     `json:"advice"`
	Best        string     `json:"best_day,omitempty"`
	Days        []MowDay   `json:"days"`
	Others      []MowOther `json:"made_otherwise"`     // on the best day
	Store       *MowStore  `json:"in_store,omitempty"` // mown on the best day
	Quality     MowQuality `json:"quality"`
	Gates       []Named    `json:"gates"`
	Cautions    []string   `json:"cautions"`
	Assumed     []string   `json:"assumed"`
	Notices     []say.Line `json:"notices"`
}

// MowDay is one day to mow on.
type MowDay struct {
	Day        string  `json:"mow"`
	Forecast   int     `json:"forecast_days"`
	Mown       float64 `json:"dry_enough_to_mow_percent"`
	Dry        float64 `json:"in_before_rain_percent"`
	Rescue     float64 `json:"rained_on_but_saved_before_percent"`
	Hours      Range   `json:"drying_hours"`
	Clock      Range   `json:"hours_from_mowing"`
	Early      string  `json:"in_early,omitempty"`
	Middle     string  `json:"in_middle,omitempty"`
	Late       string  `json:"in_late,omitempty"`
	Never      float64 `json:"never_in_percent"` // of the years in which it is mown
	Rain       Range   `json:"rain_on_it_mm"`
	LostDry    Range   `json:"lost_without_rain_percent"`
	LostRained Range   `json:"lost_with_rain_percent"`
	Breathed   float64 `json:"breathed_without_rain_percent"`
	BreathedIn float64 `json:"breathed_with_rain_percent"`
	Washed     float64 `json:"washed_out_with_rain_percent"`
	Gathered   float64 `json:"left_by_gathering_percent"`
}

// MowOther is the best day with the swath made otherwise.
type MowOther struct {
	What  string  `json:"what"`
	Dry   float64 `json:"in_before_rain_percent"`
	Hours Range   `json:"drying_hours"`
}

// MowStore is what comes into store. Masses kg.
type MowStore struct {
	DM        Range   `json:"dm_kg"`
	Bales     bool    `json:"bales"`
	Count     Range   `json:"bales_or_loads"`
	EachDry   float64 `json:"each_dm_kg"`
	EachFresh float64 `json:"each_as_fed_kg"`
	Diameter  float64 `json:"bale_diameter_m,omitempty"`
	Width     float64 `json:"bale_width_m,omitempty"`
	Layers    float64 `json:"film_layers,omitempty"`
	PerRoll   float64 `json:"bales_a_roll,omitempty"`
	Rolls     float64 `json:"rolls,omitempty"`
	Space     float64 `json:"space_m3"`
	Ground    float64 `json:"ground_m2,omitempty"`
	Density   float64 `json:"density_kg_dm_per_m3"`
}

// MowQuality is the analysis as it stands, in store without rain and after rain.
type MowQuality struct {
	Standing Worth  `json:"standing"`
	Dry      Worth  `json:"without_rain"`
	Rained   *Worth `json:"with_rain,omitempty"`
}

// Worth is an analysis: percent of DM, and Mcal/kg.
type Worth struct {
	CP  float64 `json:"cp_percent"`
	NDF float64 `json:"ndf_percent"`
	NEL float64 `json:"nel_mcal_per_kg"`
}

// MowFacts is what the page of a mowing is made from.
type MowFacts struct {
	Farm    *farm.Farm
	Day     *steer.Day
	Field   *steer.Field
	Swath   *steer.Swath
	Windows []steer.Window
	Others  []MowSwath
	Units   quantity.System
	Years   int
	Bale    steer.Bale
	Load    quantity.Mass
	Station string
	Notices []say.Line
}

// MowSwath is a swath made otherwise, and its windows.
type MowSwath struct {
	What    string
	Windows []steer.Window
}

// grazingOnly are gates that say nothing of mowing.
var grazingOnly = map[string]bool{"bloat": true, "brassicas": true, "roots": true}

// BuildMow makes the page model of a mowing.
func BuildMow(x *MowFacts) *Mow {
	f, d, s := x.Farm, x.Day, x.Swath
	mix, now := x.Field.History.Course.Mix, &x.Field.Now
	target, wettest := steer.TargetMoisture(s.Use)
	m := &Mow{
		Rowen: 1, Farm: f.Name, Field: f.Fields[x.Field.Index].Name, Date: d.Today.String(), Weather: d.Known.String(), Station: x.Station, Units: x.Units.String(),
		Stand: mix.Title, Use: useWords(s.Use), Say: x.Field.Say.String(), Height: rangeOf(now.Height), Yield: rangeOf(s.Yield), Moisture: percent(s.Moisture),
		Stubble: s.Residual, Swath: s.Width, Conditioned: s.Conditioned, Thick: s.Thick, Target: 100 * target, Wettest: 100 * wettest, Years: x.Years, Notices: x.Notices,
	}
	for _, g := range x.Field.Gates {
		if grazingOnly[g.Name] {
			continue
		}
		n := Named{Name: g.Name, Gate: gateOf(g), Until: g.Until}
		for _, r := range g.Reasons {
			n.Sources = append(n.Sources, r.Source.String())
		}
		m.Gates = append(m.Gates, n)
		if g.Answer == handbook.Hold && m.Held == "" {
			m.Held = g.Name
		}
	}
	for i := range x.Windows {
		m.Days = append(m.Days, mowDay(&x.Windows[i]))
		m.Forecast = max(m.Forecast, x.Windows[i].Forecast)
	}
	best := steer.BestWindow(x.Windows)
	m.Advice = mowAdvice(x, best)
	m.Quality.Standing = Worth{now.CP.Middle, now.NDF.Middle, now.NEL.Middle}
	if best >= 0 {
		w := &x.Windows[best]
		m.Best = w.Mow.String()
		m.Store = mowStore(x, w)
		for i := range x.Others {
			o := &x.Others[i]
			m.Others = append(m.Others, MowOther{o.What, 100 * o.Windows[best].Dry, rangeOf(o.Windows[best].Hours)})
		}
		m.Quality.Dry = m.Quality.Standing.after(w.KeptDry.Middle)
		if w.KeptRained.Middle > 0 {
			worse := m.Quality.Standing.after(w.KeptRained.Middle)
			m.Quality.Rained = &worse
		}
	}
	m.Cautions, m.Assumed = mowCautions(x), mowAssumed(x)
	return m
}

func percent(s steer.Spread) Range { return Range{100 * s.Low, 100 * s.Middle, 100 * s.High} }

// lostOf turns shares kept into percent lost.
func lostOf(s steer.Spread) Range {
	if s == (steer.Spread{}) {
		return Range{}
	}
	return Range{100 * (1 - s.High), 100 * (1 - s.Middle), 100 * (1 - s.Low)}
}

func mowDay(w *steer.Window) MowDay {
	out := MowDay{
		Day: w.Mow.String(), Forecast: w.Forecast, Mown: 100 * w.Mown, Dry: 100 * w.Dry, Rescue: 100 * w.Rescue,
		Hours: rangeOf(w.Hours), Clock: rangeOf(w.Clock), Rain: rangeOf(w.Rain), LostDry: lostOf(w.KeptDry), LostRained: lostOf(w.KeptRained),
		Breathed: 100 * w.Breathed, BreathedIn: 100 * w.BreathedWet, Washed: 100 * w.Leached, Gathered: 100 * w.Gathered,
	}
	if w.Mown > 0 {
		out.Never = 100 * (1 - w.In.Share)
	}
	if w.In.Share > 0 {
		out.Early, out.Middle, out.Late = w.In.Early.String(), w.In.Middle.String(), w.In.Late.String()
	}
	return out
}

// after is an analysis after a share of the dry matter was kept.
func (w Worth) after(kept float64) Worth {
	ndf, protein, energy := conserve.Weathered(kept)
	return Worth{w.CP * protein, w.NDF + ndf, w.NEL * energy}
}

func mowStore(x *MowFacts, w *steer.Window) *MowStore {
	p := steer.PutUpOf(w.Stored, x.Farm.Fields[x.Field.Index].Area, x.Swath.Use, x.Swath.Thick, x.Bale, x.Load)
	out := &MowStore{
		DM: rangeOf(p.DM), Bales: p.Bales, Count: rangeOf(p.Count), EachDry: p.EachDry, EachFresh: p.EachFresh,
		Layers: p.Layers, PerRoll: p.PerRoll, Rolls: p.Rolls, Space: p.Space, Ground: p.Ground, Density: p.Density,
	}
	if p.Bales {
		out.Diameter, out.Width = x.Bale.Diameter.Metres(), x.Bale.Width.Metres()
	}
	return out
}
