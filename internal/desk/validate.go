package desk

import (
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

// Validate holds the catalogue against the published trials, with weather from a
// folder.
func Validate(folder string, office []string) ([]validation.Result, error) {
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
	return validation.Run(c, stations, cases), nil
}
