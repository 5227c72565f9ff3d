package steer_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"rowen/farm"
	"rowen/journal"
	"rowen/quantity"
	"rowen/steer"
	"rowen/weather"
)

// wide is the dairy example's ten fields divided into sixty, each with a name of its
// own.
func wide(t testing.TB) *farm.Farm {
	t.Helper()
	path := filepath.Join("..", "examples", "dairy.toml")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	f, err := farm.Parse(path, text, catalogue)
	if err != nil {
		t.Fatal(err)
	}
	const times = 6
	fields, sowings := f.Fields, f.Plan.Sowings
	f.Fields, f.Plan.Sowings = nil, nil
	for k := range times {
		for i, x := range fields {
			x.Area /= times
			x.Name = fmt.Sprintf("%s %d", x.Name, k+1)
			f.Fields = append(f.Fields, x)
			for _, s := range sowings {
				if s.Field == i {
					s.Field = k*len(fields) + i
					f.Plan.Sowings = append(f.Plan.Sowings, s)
				}
			}
		}
	}
	return f
}

// diary is what a busy clerk writes until August: every standing field cut or grazed
// in June and measured, those of the plan sown, measured and dressed. It is cut off
// at so many entries.
func diary(f *farm.Farm, year, most int) (out []journal.Entry) {
	on := func(month time.Month, day int) quantity.Date {
		return quantity.MonthDay{Month: month, Day: day}.In(year)
	}
	add := func(d quantity.Date, field string, k journal.Fact) {
		out = append(out, journal.Entry{ID: journal.ID{Device: "barn", Sequence: uint64(len(out) + 1)}, Date: d, Recorded: d.Time().Add(18 * time.Hour), Field: field, Fact: k})
	}
	height := func(i int, in float64) journal.Height {
		var h journal.Height
		for s := range 3 {
			h.Heights = append(h.Heights, journal.MustSay[quantity.Length](fmt.Sprintf("%.1f in", in+float64((i+s)%5)-2)))
		}
		return h
	}
	for i := range f.Fields {
		x := &f.Fields[i]
		if len(x.Stands.Parts) > 0 {
			add(on(6, 1+i%9), x.Name, journal.Cut{Use: journal.UseWrap, Moisture: journal.MustSay[quantity.Fraction]("55 %"), Pieces: journal.Pieces{Bales: 20, Each: journal.MustSay[quantity.Mass]("900 lb")}})
			add(on(6, 25), x.Name, height(i, 8))
			add(on(7, 12), x.Name, journal.GrazingOut{Residual: journal.MustSay[quantity.Length]("4 in")})
			add(on(8, 10), x.Name, height(i+2, 9))
			continue
		}
		for s := range f.Plan.Sowings {
			if p := &f.Plan.Sowings[s]; p.Field == i {
				add(on(6, 3+i%7), x.Name, journal.Sown{Crop: p.Mix.Name})
				break
			}
		}
		add(on(7, 10), x.Name, height(i, 20))
		add(on(7, 20), x.Name, height(i+1, 30))
	}
	return out[:min(most, len(out))]
}

// sixty is a request over thirty futures.
func sixty(t testing.TB) *steer.Request {
	t.Helper()
	f := wide(t)
	s := weather.Valley(32, 2027)
	s.Prepare()
	today := quantity.MonthDay{Month: 8, Day: 14}.In(2027)
	years, known, err := s.Present(f.FeedYear, today)
	if err != nil {
		t.Fatal(err)
	}
	years = append(years[:1:1], years[len(years)-30:]...)
	return &steer.Request{Farm: f, Catalogue: catalogue, Entries: journal.Standing(diary(f, 2027, 200)), Years: years, Known: known, Today: today, Seed: 1, Workers: 2}
}

func BenchmarkDay60(b *testing.B) {
	r := sixty(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := steer.Read(context.Background(), r); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(r.Entries)), "entries")
}

// One field of them alone, measured three times.
func BenchmarkDay1(b *testing.B) {
	r := sixty(b)
	one := *r.Farm
	one.Fields = one.Fields[:1]
	one.Plan.Sowings = nil
	r.Farm = &one
	b.ReportAllocs()
	for b.Loop() {
		if _, err := steer.Read(context.Background(), r); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkStock60(b *testing.B) {
	r := sixty(b)
	d, err := steer.Read(context.Background(), r)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := steer.StockOf(context.Background(), r, d); err != nil {
			b.Fatal(err)
		}
	}
}
