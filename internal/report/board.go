package report

import (
	"cmp"
	"slices"
	"time"

	"rowen/crop"
	"rowen/farm"
	"rowen/quantity"
	"rowen/say"
	"rowen/season"
)

// Weeks is how many columns a season's board has: a feed year and its last day or two.
const Weeks = 53

// Board is a season plan as a board of fields by weeks. Weeks count from the first day
// of the planned feed year, from 0.
type Board struct {
	First  string // its first day
	Year   int    // the middle year, whose grazings and cuts are marked
	Months []BoardMonth
	Rows   []BoardRow
}

// BoardMonth heads the weeks of a month.
type BoardMonth struct {
	Name     string
	From, To int // weeks, To not in it
}

// BoardRow is one field.
type BoardRow struct {
	Field     string
	Index     int // in the document
	Area      float64
	Soil      string
	Grazeable bool
	Yield     float64 // grazed and stored in the middle year, kg DM/m²
	Figure    string  // key of the yield, to be opened
	Bars      []BoardBar
	Marks     []BoardMark
	Said      say.Line // the marks in words
}

// BoardBar is one stand on a field: what stood there, or a sowing.
type BoardBar struct {
	Sowing   int // among the document's sowings, from 0; -1 for what stood there
	Title    string
	Use      string
	From, To int     // weeks, To not in it
	Share    float64 // of the field, 0..1
	Tenths   int     // the same in tenths, 1 to 10
	Top      int     // the tenth of the row where it begins, from 1: parts lie under one another from the upper edge down
	High     int     // tenths of the row that it is drawn over: three at least, so that it can be read and hit
	Date     quantity.Date
	Day      string // the same as people say it
	Fixed    bool   // on a day of the document; else the soil decides
	Missed   bool   // not sown in the middle year
	Dropped  int    // years of all in which it is not sown
	Held     bool   // some use of it was held by a gate in the middle year
	End      quantity.Date
	Window   [2]quantity.Date // first and last day of a sowing that the soil decides; 0 where the crop's own hold
}

// BoardMark is one grazing or cut of the middle year.
type BoardMark struct {
	Week int
	Kind string // "graze", "cut" or "held"
}

// SowingsOf groups a plan's sowings by their table of the document: a staggered sowing
// is one table and several sowings.
func SowingsOf(f *farm.Farm) (tables [][]int) {
	for i := range f.Plan.Sowings {
		last := len(tables) - 1
		if last >= 0 && f.Plan.Sowings[tables[last][0]].Line == f.Plan.Sowings[i].Line {
			tables[last] = append(tables[last], i)
			continue
		}
		tables = append(tables, []int{i})
	}
	return tables
}

// BuildBoard lays a plan's result on the board.
func BuildBoard(f *farm.Farm, r *season.Result) *Board {
	first := f.FirstDay()
	middle := &r.Years[r.Middle]
	b := &Board{First: first.String(), Year: int(middle.ID)}
	b.months(first)
	tables := SowingsOf(f)
	for i := range f.Fields {
		x := &f.Fields[i]
		row := BoardRow{Field: x.Name, Index: i, Area: float64(x.Area), Soil: x.Soil.Text, Grazeable: x.Grazeable, Figure: "yield." + slug(x.Name) + ".middle"}
		if y := &middle.Fields[i]; x.Area > 0 {
			row.Yield = (y.Grazed + y.Stored) / float64(x.Area)
		}
		ends := Weeks
		for k := len(tables) - 1; k >= 0; k-- {
			s := &f.Plan.Sowings[tables[k][0]]
			if s.Field != i {
				continue
			}
			bar := b.sowing(f, r, k, tables[k])
			if bar.Share > 0.999 {
				bar.To = max(bar.From+1, min(bar.To, ends))
				ends = bar.From
			}
			row.Bars = append(row.Bars, bar)
		}
		if x.Stands.Title != "" && ends > 0 {
			row.Bars = append(row.Bars, BoardBar{Sowing: -1, Title: x.Stands.Title, Use: useWords(x.Use), To: ends, Share: 1})
		}
		slices.SortStableFunc(row.Bars, func(a, b BoardBar) int { return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.Sowing, b.Sowing)) })
		row.stack()
		row.marks(middle)
		b.Rows = append(b.Rows, row)
	}
	return b
}

func weekOf(day quantity.Date, first quantity.Date) int {
	return max(0, min(Weeks-1, int(day-first)/7))
}

func (b *Board) months(first quantity.Date) {
	year, month, _ := first.Civil()
	for range 12 {
		from := max(first, quantity.NewDate(year, month, 1))
		if month++; month > time.December {
			year, month = year+1, time.January
		}
		_, m, _ := from.Civil()
		b.Months = append(b.Months, BoardMonth{Name: m.String()[:3], From: weekOf(from, first)})
	}
	for i := range b.Months {
		b.Months[i].To = Weeks
		if i+1 < len(b.Months) {
			b.Months[i].To = b.Months[i+1].From
		}
	}
}

// sowing is the bar of one table, over all its blocks.
func (b *Board) sowing(f *farm.Farm, r *season.Result, table int, blocks []int) BoardBar {
	first, middle := f.FirstDay(), &r.Years[r.Middle]
	s := &f.Plan.Sowings[blocks[0]]
	bar := BoardBar{Sowing: table, Title: s.Mix.Title, Use: useWords(s.Use), Fixed: s.On != 0, To: Weeks, Window: [2]quantity.Date{s.From, s.By}}
	for _, i := range blocks {
		bar.Share += float64(f.Ground(&f.Plan.Sowings[i])) / float64(f.Fields[s.Field].Area)
	}
	bar.Share = min(1, bar.Share)
	for y := range r.Years {
		if r.Years[y].Sowings[blocks[0]].Sown == 0 {
			bar.Dropped++
		}
	}
	day := middle.Sowings[blocks[0]].Sown - middle.First
	if middle.Sowings[blocks[0]].Sown == 0 {
		bar.Missed = true
		day = begins(f, s) - first
	}
	bar.Date = first + day
	bar.Day = shortDate(bar.Date)
	bar.From = weekOf(bar.Date, first)
	if s.Mix.Parts[0].Crop.Life == crop.Annual && !bar.Missed {
		for i := range middle.Events {
			e := &middle.Events[i]
			if int(e.Field) == s.Field && e.Kind == season.FrostKilled && e.Date-middle.First > day {
				bar.End = first + (e.Date - middle.First)
				bar.To = max(bar.From+1, weekOf(bar.End, first)+1)
				break
			}
		}
	}
	return bar
}

// stack lays parts of a field under one another, from the upper edge down: a part whose
// lower edge is pulled stays where the hand left it.
func (row *BoardRow) stack() {
	used := 0
	for i := range row.Bars {
		bar := &row.Bars[i]
		bar.Tenths, bar.Top, bar.High = max(1, min(10, int(10*bar.Share+0.5))), 1, 10
		if bar.Tenths < 10 {
			bar.High = max(leastHigh, bar.Tenths)
			bar.Top = min(11-bar.High, 1+used)
			used = min(10, used+bar.High)
		}
	}
}

// leastHigh is how many tenths of a row the smallest part is drawn over.
const leastHigh = 3

// begins is the first day on which a sowing may be made.
func begins(f *farm.Farm, s *farm.Sowing) quantity.Date {
	if s.On != 0 {
		return s.On
	}
	if s.From != 0 {
		return s.From
	}
	return s.Mix.Parts[0].Crop.Sowing.Earliest.OnOrAfter(f.FirstDay())
}

// cutOn is a cut in words.
type cutOn struct {
	on  quantity.Date
	use string
}

// marks gathers the middle year's uses of a field, each kind once a week.
func (row *BoardRow) marks(y *season.YearResult) {
	count := map[string]int{}
	var firstGraze, lastGraze quantity.Date
	var cuts []cutOn
	for i := range y.Events {
		e := &y.Events[i]
		if int(e.Field) != row.Index {
			continue
		}
		kind := ""
		switch e.Kind {
		case season.GrazingStarted:
			kind = "graze"
			if firstGraze == 0 {
				firstGraze = e.Date
			}
			lastGraze = e.Date
		case season.Cut:
			kind = "cut"
			cuts = append(cuts, cutOn{e.Date, useWords(e.Use)})
		case season.Held:
			kind = "held"
		default:
			continue
		}
		m := BoardMark{Week: weekOf(e.Date, y.First), Kind: kind}
		if !slices.Contains(row.Marks, m) {
			row.Marks = append(row.Marks, m)
			count[kind]++
		}
	}
	var uses []say.Line
	if firstGraze != 0 {
		grazed := say.That("grazed in %d weeks from %s to %s", count["graze"], firstGraze.MonthDay(), lastGraze.MonthDay())
		if count["graze"] == 1 {
			grazed = say.That("grazed in one week, from %s", firstGraze.MonthDay())
		}
		uses = append(uses, grazed)
	}
	if len(cuts) > 0 {
		slices.SortFunc(cuts, func(a, b cutOn) int { return cmp.Or(cmp.Compare(a.on, b.on), cmp.Compare(a.use, b.use)) })
		var days []say.Line
		for _, c := range slices.Compact(cuts) {
			days = append(days, say.That("%s %s", c.on.MonthDay(), c.use))
		}
		uses = append(uses, say.That("cut %s", say.And(days...)))
	}
	if count["held"] > 0 {
		held := say.That("held in %d weeks", count["held"])
		if count["held"] == 1 {
			held = say.That("held in one week")
		}
		uses = append(uses, held)
	}
	row.Said = say.Join("; ", uses...)
}
