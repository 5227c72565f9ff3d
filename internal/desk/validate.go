package desk

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"

	"rowen/internal/validation"
	"rowen/quantity"
	"rowen/weather"
)

// northeast and albany are where the stations of the published trials lie in a
// folder of weather data, each with the note of where it came from.
const (
	northeast = "weather-daily-northeast-2000-2018"
	albany    = "weather-daily-albany-ny/USW00014735.csv"
)

// Stations gives the feed years of the stations in a folder of weather data,
// morning readings put right by Albany. A station that is not there has no years.
func Stations(folder string) (validation.Stations, error) {
	neighbour, err := weather.Read(filepath.Join(folder, filepath.FromSlash(albany)))
	if err != nil {
		return nil, fmt.Errorf("the stations of the trials are not in %s: %w", folder, err)
	}
	read := map[string][]weather.Year{}
	return func(id string) []weather.Year {
		if y, ok := read[id]; ok {
			return y
		}
		var years []weather.Year
		if s, err := weather.Read(filepath.Join(folder, northeast, id+".csv")); err == nil {
			s.MoveBack(neighbour)
			s.Prepare()
			years, _ = s.FeedYears(quantity.MonthDay{Month: 11, Day: 1}, 0)
		}
		read[id] = years
		return years
	}, nil
}

// hourlyIthaca is the folder of the station that measured radiation and soil, and
// ithaca the daily station near it.
const (
	hourlyIthaca = "weather-hourly-ithaca-uscrn"
	ithaca       = "USC00304174"
)

// twinYears is how many years of the invented valley hidden truths are grown in.
const twinYears = 18

// Validate holds the catalogue against the published trials, and the estimates
// against hourly measurement, with weather from a folder; it gives the page.
func Validate(folder string, office []string) ([]byte, error) {
	c, err := Catalogue(office)
	if err != nil {
		return nil, err
	}
	if _, err := os.Stat(folder); err != nil {
		return nil, fmt.Errorf("--data %s: no such folder; it must hold %s and %s", folder, northeast, albany)
	}
	stations, err := Stations(folder)
	if err != nil {
		return nil, err
	}
	cases, err := validation.Trials()
	if err != nil {
		return nil, err
	}
	hourly, err := validation.Hourly(filepath.Join(folder, hourlyIthaca), c)
	if err != nil {
		return nil, err
	}
	winnock, _ := valley(twinYears).FeedYears(quantity.MonthDay{Month: 11, Day: 1}, 0)
	twins, err := validation.Twins(context.Background(), c, []validation.Place{{Name: "Winnock valley (invented)", Years: winnock}, {Name: "Ithaca NY", Years: stations(ithaca)}})
	if err != nil {
		return nil, err
	}
	var page bytes.Buffer
	if err := validation.Write(&page, hourly, twins, validation.Run(c, stations, cases)); err != nil {
		return nil, err
	}
	return page.Bytes(), nil
}
