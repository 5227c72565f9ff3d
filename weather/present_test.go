package weather_test

import (
	"errors"
	"math"
	"testing"

	"rowen/quantity"
	"rowen/weather"
)

func TestPresent(t *testing.T) {
	start := quantity.MonthDay{Month: 11, Day: 1}
	date := func(text string) quantity.Date {
		d, err := quantity.ParseDate(text)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	s := weather.Valley(6, 2025)
	s.Prepare()
	years, known, err := s.Present(start, date("2024-07-10"))
	if err != nil {
		t.Fatal(err)
	}
	if years[0].ID != 2024 || years[0].First+quantity.Date(known) != date("2024-07-10") {
		t.Errorf("year %d, last known %v", years[0].ID, years[0].First+quantity.Date(known))
	}
	seen := map[weather.YearID]bool{}
	for _, y := range years {
		if seen[y.ID] {
			t.Errorf("year %d twice", y.ID)
		}
		seen[y.ID] = true
	}
	for day := range known + 1 {
		if got, want := years[0].Days[day], s.Days[int(years[0].First-s.First)+day]; got != want {
			t.Fatalf("day %d is not the series' own", day)
		}
	}
	for today, first := range map[string]string{"2024-11-01": "2024-11-01", "2024-10-31": "2023-11-01"} {
		if y, _, err := s.Present(start, date(today)); err != nil || y[0].First != date(first) {
			t.Errorf("%s lies in the feed year from %v (%v)", today, y[0].First, err)
		}
	}
	// Six days after the last day the last weather still serves; a month after not.
	if y, known, err := s.Present(start, date("2026-01-06")); err != nil || y[0].First+quantity.Date(known) != date("2025-12-31") {
		t.Errorf("shortly after the end: %v", err)
	}
	s.Days[date("2025-06-01")-s.First].Rain = math.NaN()
	for _, today := range []string{"2026-02-01", "2020-01-05", "2025-06-20", "2019-05-01"} {
		if _, _, err := s.Present(start, date(today)); !errors.Is(err, weather.ErrPresent) {
			t.Errorf("%s: %v", today, err)
		}
	}
}
