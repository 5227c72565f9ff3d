// Package report holds the page models of Rowen's faces: what a plan says, ready
// to be printed, drawn or sent, made once for every face; and the files made of
// it. It knows results and how figures are written; it may not know HTTP, flags
// or how anything was computed.
package report

import (
	"rowen/quantity"

	"rowen/say"
)

// Plan is a season plan as every face shows it, and as plan.json keeps it. Masses
// are kg of dry matter unless the name says otherwise, areas m², money in the
// farm's currency.
type Plan struct {
	Rowen    int         `json:"rowen"`
	Engine   string      `json:"engine"`
	Manifest Manifest    `json:"manifest"`
	Farm     FarmLine    `json:"farm"`
	Years    []YearLine  `json:"years"`
	Middle   Outcome     `json:"middle"`
	Bad      Outcome     `json:"bad"`
	Worst    Outcome     `json:"worst"`
	Bands    []Band      `json:"bands"`
	Sowings  []Sowing    `json:"sowings"`
	Seed     []SeedLine  `json:"seed"`
	Calendar []Entry     `json:"calendar"`
	Account  Account     `json:"account"`
	Warnings []say.Line  `json:"warnings"`
	Strict   bool        `json:"keeps_horses_or_sheep"` // then lots have a stricter gate beside that of cattle
	Safety   []Safety    `json:"safety"`
	Assumed  []Assumed   `json:"assumed"`
	Notices  []say.Line  `json:"notices"`
	Sources  []string    `json:"sources"`
	Figures  []FigureKey `json:"figures"`
}

// Manifest is what a plan was made from: enough to make it again.
type Manifest struct {
	Version     string `json:"version"`
	FarmPath    string `json:"farm_path"`
	FarmHash    string `json:"farm_sha256"`
	FarmText    string `json:"farm_text"`
	Weather     string `json:"weather"` // path, or "generated"
	Neighbour   string `json:"neighbour,omitempty"`
	WeatherHash string `json:"weather_hash"`
	FirstYear   int    `json:"first_weather_year"`
	LastYear    int    `json:"last_weather_year"`
	YearCount   int    `json:"weather_years"`
	Catalogue   string `json:"catalogue_hash"`
}

// FarmLine is the farm in one line.
type FarmLine struct {
	Name     string `json:"name"`
	Organic  bool   `json:"organic"`
	Currency string `json:"currency"`
	Units    string `json:"units"`
	First    string `json:"feed_year_first_day"`
	Station  string `json:"weather_station"`
}

// YearLine is one weather year of the plan.
type YearLine struct {
	Year      int     `json:"year"`
	Shortage  float64 `json:"shortage_kg"`
	Gap       float64 `json:"gap_kg"`
	Bought    float64 `json:"bought_forage_kg"`
	Closing   float64 `json:"closing_store_kg"`
	HeldDays  int     `json:"held_field_days"`
	FedCost   float64 `json:"cost_per_kg_fed"`
	Purchases float64 `json:"bought_feed_money"`
}

// Outcome is one real weather year in full.
type Outcome struct {
	Year     int         `json:"year"`
	Shortage float64     `json:"shortage_kg"`
	Gap      float64     `json:"gap_kg"`
	Demand   float64     `json:"demand_kg"`
	Rows     []Row       `json:"half_months"`
	Fields   []FieldLine `json:"fields"`
	Groups   []GroupLine `json:"groups"`
	Money    MoneyLine   `json:"money"`
	Opening  float64     `json:"opening_store_kg"`
	Market   []Purchase  `json:"purchases"`
	Events   []EventLine `json:"events"`
}

// Purchase is what was bought of one feed in a year.
type Purchase struct {
	Feed     string  `json:"feed"`
	Roughage bool    `json:"roughage"`
	Mass     float64 `json:"mass_kg"` // dry matter
	Price    float64 `json:"price_per_kg"`
}

// Row is one half-month of the ledger.
type Row struct {
	Name      string  `json:"name"` // "1 Nov"
	Demand    float64 `json:"demand_kg"`
	Pasture   float64 `json:"pasture_kg"`
	Stored    float64 `json:"stored_kg"`
	Bought    float64 `json:"bought_forage_kg"`
	Grain     float64 `json:"grain_and_protein_kg"`
	Short     float64 `json:"short_kg"`
	Beyond    float64 `json:"concentrate_beyond_habit_kg"`
	Gap       float64 `json:"gap_kg"`
	Harvested float64 `json:"harvested_kg"`
	Left      float64 `json:"ready_and_left_kg"`
	Lost      float64 `json:"lost_from_store_kg"`
	Store     float64 `json:"in_store_kg"`
	Held      float64 `json:"held_kg"`
	Energy    float64 `json:"energy_ratio"`
	Protein   float64 `json:"protein_ratio"`
}

// Band is the spread of home-grown feed eaten in a half-month over all years: a
// band drawn row by row, never to be summed.
type Band struct {
	Name string  `json:"name"`
	Low  float64 `json:"p10_kg"`
	Mid  float64 `json:"p50_kg"`
	High float64 `json:"p90_kg"`
}

// FieldLine is one field in one year.
type FieldLine struct {
	Name     string    `json:"name"`
	Area     float64   `json:"area_m2"`
	Stands   string    `json:"stands"`
	Grown    float64   `json:"grown_kg"`
	Grazed   float64   `json:"grazed_kg"`
	Stored   float64   `json:"stored_kg"`
	Lost     float64   `json:"lost_kg"`
	Uses     int       `json:"uses"`
	Supply   float64   `json:"water_supply"`
	Holds    int       `json:"held_days"`
	ByRow    []float64 `json:"taken_by_half_month_kg"`
	GrazedBy []float64 `json:"grazed_by_half_month_kg"`
}

// GroupLine is one group in one year.
type GroupLine struct {
	Name        string    `json:"name"`
	Class       string    `json:"class"`
	Demand      float64   `json:"demand_kg"`
	ByRow       []float64 `json:"demand_by_half_month_kg"`
	GrazingDays int       `json:"grazing_days"`
	Share       float64   `json:"pasture_share"`
	RuleShare   float64   `json:"rule_share,omitempty"`
	RuleDays    int       `json:"rule_days,omitempty"`
	Passes      bool      `json:"passes_rule"`
	MetYears    int       `json:"years_that_pass,omitempty"` // of all weather years; of the middle year's line only
	Energy      float64   `json:"lowest_energy_ratio"`
	Protein     float64   `json:"lowest_protein_ratio"`
	Fibre       float64   `json:"highest_fibre_fill"`                     // fibre eaten over what the animals can hold
	Nights      int       `json:"days_of_heat_grazed_by_night,omitempty"` // without shade
}

// MoneyLine is one year's account.
type MoneyLine struct {
	Seed         float64 `json:"seed"`
	Work         float64 `json:"work"`
	Nitrogen     float64 `json:"nitrogen"`
	BoughtForage float64 `json:"bought_forage"`
	Grain        float64 `json:"grain"`
	Protein      float64 `json:"protein"`
	Opening      float64 `json:"opening_stock"`
	Closing      float64 `json:"closing_stock"`
	PerKgGrown   float64 `json:"cost_per_kg_grown"`
	PerKgFed     float64 `json:"cost_per_kg_fed"`
	GivenUp      float64 `json:"sward_given_up"`
	Credit       float64 `json:"nitrogen_credit"`
	Reseeding    float64 `json:"reseeding"`
	GrownDM      float64 `json:"grown_kg"`
	FedDM        float64 `json:"fed_kg"`
}

// EventLine is one dated thing.
type EventLine struct {
	Date  string  `json:"date"`
	Field string  `json:"field,omitempty"`
	Text  string  `json:"text"`
	DM    float64 `json:"dm_kg,omitempty"`
}

// Sowing is one sowing of the plan with what the years say of it.
type Sowing struct {
	Field      string   `json:"field"`
	Crop       string   `json:"crop"`
	Area       float64  `json:"area_m2"`
	Rates      []string `json:"rates"`
	Use        string   `json:"use"`
	Depth      string   `json:"depth"`
	Rule       string   `json:"rule"`
	Early      string   `json:"sown_early"`
	Usual      string   `json:"sown_usual"`
	Late       string   `json:"sown_late"`
	FirstUse   string   `json:"first_use_usual"`
	Middle     float64  `json:"yield_middle_kg_per_m2"`
	Bad        float64  `json:"yield_bad_kg_per_m2"`
	NetMiddle  float64  `json:"net_middle"` // credit at the price of stored forage, net of cost and of what it gave up
	NetBad     float64  `json:"net_bad"`
	SownMiddle bool     `json:"sown_in_middle"`
	SownBad    bool     `json:"sown_in_bad"`
	Dropped    int      `json:"years_not_sown"`
	Nothing    int      `json:"years_that_came_to_nothing"` // sown, and never used
	Latest     string   `json:"latest_useful"`
	Goal       string   `json:"goal"` // height or stage of the first use's rule
	Reached    int      `json:"years_goal_reached"`
	Held       float64  `json:"held_days_a_year"`
	Cautions   []string `json:"cautions"`
}

// SownYears is in how many of the plan's years the sowing was made.
func (s *Sowing) SownYears(p *Plan) int { return len(p.Years) - s.Dropped }

// Misses tells whether the sowing missed its goal in any year in which it was made.
func (s *Sowing) Misses(p *Plan) bool { return s.Goal != "" && s.Reached < s.SownYears(p) }

// SeedLine is one line of the seed order: a product, for all sowings that want it.
type SeedLine struct {
	Crop       string  `json:"crop"`
	Product    string  `json:"product,omitempty"`
	Supplier   string  `json:"supplier,omitempty"`
	Area       float64 `json:"area_m2"`
	Rate       float64 `json:"rate_kg_per_m2"` // as it comes in the bag
	FromPlants bool    `json:"rate_from_target_plants"`
	PureLive   float64 `json:"pure_live_share"`
	Mass       float64 `json:"seed_kg"`
	Bag        float64 `json:"bag_kg"`
	Bags       int     `json:"bags"`
	Cost       float64 `json:"cost"` // of whole bags
	SeedsPerKg float64 `json:"seeds_per_kg"`
	Maturity   int     `json:"maturity_days,omitempty"`
	Organic    bool    `json:"organic_seed"`
	Certified  bool    `json:"for_certified_ground"` // organic if it can be had, never treated
	Inoculant  string  `json:"inoculant,omitempty"`
	Substitute string  `json:"substitute,omitempty"`
	Latest     string  `json:"latest_sowing"`
}

// Entry is one line of the calendar.
type Entry struct {
	Key  string        `json:"-"` // what it is of, whatever its date: see keyOf
	Date quantity.Date `json:"-"`
	Day  string        `json:"date"`
	Text string        `json:"text"`
	More string        `json:"more,omitempty"`
}

// Safety is one caution with its source.
type Safety struct {
	Hazard string `json:"hazard"`
	Text   string `json:"text"`
	Source string `json:"source"`
}

// Assumed is one value the document did not give.
type Assumed struct {
	Key   string `json:"key"`
	Value string `json:"value"`
	Why   string `json:"why"`
}

// FigureKey names a figure that rowen explain opens.
type FigureKey struct {
	Key   string   `json:"key"`
	Label say.Line `json:"label"`
	Value float64  `json:"value"`
	Unit  string   `json:"unit"`
}
