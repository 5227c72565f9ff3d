package validation

import (
	"bufio"
	"compress/gzip"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"rowen/crop"
	"rowen/quantity"
	"rowen/stand"
	"rowen/weather"
)

// Measured is how an estimate of the program's stands against a station that
// measured it, April to October.
type Measured struct {
	What, Unit        string
	Days              int
	Bias, RMSE, R     float64
	Estimated, Actual float64 // means
}

// soilDay is a day of the network's soil sensors.
type soilDay struct {
	water, temp [5]float64 // sums: m³/m³ and °C at 5, 10, 20, 50, 100 cm
	nw, nt      [5]int
}

// layers is the thickness of ground that each sensor stands for, mm (half-way
// between sensors, to a metre).
var layers = [5]float64{75, 75, 200, 400, 250}

// enough is the hours that make a day of a sensor.
const enough = 21

// Hourly holds radiation, humidity, soil temperature and root-zone water against a
// folder of the US Climate Reference Network's hourly files of one station.
func Hourly(folder string, c *crop.Catalogue) ([]Measured, error) {
	measured, err := weather.Read(folder)
	if err != nil {
		return nil, err
	}
	soil, err := readSoil(folder)
	if err != nil {
		return nil, err
	}
	var solar, vapour, temp, water pairs
	estimated := &weather.Series{Station: measured.Station, First: measured.First, Days: append([]weather.Day(nil), measured.Days...)}
	for i := range estimated.Days {
		estimated.Days[i].Solar, estimated.Days[i].Vapour = math.NaN(), math.NaN()
	}
	estimated.Prepare()
	for i := range measured.Days {
		if !summer(measured.First + dateOf(i)) {
			continue
		}
		solar.add(estimated.Days[i].Solar, measured.Days[i].Solar)
		vapour.add(estimated.Days[i].Vapour, measured.Days[i].Vapour)
	}
	if err := ground(c, estimated, soil, &temp, &water); err != nil {
		return nil, err
	}
	return []Measured{
		solar.measured("radiation from the range of temperature and rain", "MJ/m²/d"),
		vapour.measured("vapour pressure from the minimum", "kPa"),
		temp.measured("soil temperature at 10 cm", "°C"),
		water.measured("water in the top metre, from its own mean", "mm"),
	}, nil
}

// summer is April to October.
func summer(d quantity.Date) bool {
	_, month, _ := d.Civil()
	return month >= 4 && month <= 10
}

// ground steps a mown sward through the station's years and pairs its soil with
// the sensors'. Water is compared as the departure from its mean, since what a
// sensor calls field capacity is its own.
func ground(c *crop.Catalogue, s *weather.Series, soil map[quantity.Date]*soilDay, temp, water *pairs) error {
	mix, ok := c.Mix("unimproved-pasture")
	if !ok {
		return errors.New("the catalogue has no unimproved-pasture")
	}
	loam, err := stand.SoilOf("silt loam", crop.ModeratelyWellDrained, 6, 0, 0)
	if err != nil {
		return err
	}
	st, err := stand.Compile(mix, loam)
	if err != nil {
		return err
	}
	years, _ := s.FeedYears(quantity.MonthDay{Month: 11, Day: 1}, 0)
	var made, seen []float64
	for i := range years {
		y := &years[i]
		f := stand.NewForcing(y)
		st.Alone(st.Climate(f), &mix, stand.Schedule{Sow: stand.Standing, Use: crop.Graze}, func(day int, state *stand.State, _ *stand.Day) {
			d := soil[y.First+dateOf(day)]
			if d == nil || !summer(y.First+dateOf(day)) {
				return
			}
			if d.nt[1] >= enough {
				temp.add(f.Day(day).SoilTemp, d.temp[1]/float64(d.nt[1]))
			}
			if mm, whole := d.stored(); whole {
				made, seen = append(made, state.Water()), append(seen, mm)
			}
		})
	}
	a, b := mean(made), mean(seen)
	for i := range made {
		water.add(made[i]-a, seen[i]-b)
	}
	return nil
}

// stored is the water in the top metre, mm, where every sensor spoke.
func (d *soilDay) stored() (mm float64, whole bool) {
	for k, thick := range layers {
		if d.nw[k] < enough {
			return 0, false
		}
		mm += thick * d.water[k] / float64(d.nw[k])
	}
	return mm, true
}

// readSoil reads the soil columns of the network's hourly files.
func readSoil(folder string) (map[quantity.Date]*soilDay, error) {
	names, err := filepath.Glob(filepath.Join(folder, "CRNH0203-*.txt.gz"))
	if err != nil || len(names) == 0 {
		return nil, fmt.Errorf("%s holds no CRNH0203 files: %w", folder, fs.ErrNotExist)
	}
	days := map[quantity.Date]*soilDay{}
	for _, name := range names {
		if err := readSoilFile(name, days); err != nil {
			return nil, fmt.Errorf("%s: %w", filepath.Base(name), err)
		}
	}
	return days, nil
}

// readSoilFile reads one year's file: soil moisture in fields 29 to 33 and soil
// temperature in 34 to 38, missing values far below zero.
func readSoilFile(name string, days map[quantity.Date]*soilDay) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer func() { _ = f.Close() }()
	z, err := gzip.NewReader(f)
	if err != nil {
		return err
	}
	in := bufio.NewScanner(z)
	for line := 1; in.Scan(); line++ {
		w := strings.Fields(in.Text())
		if len(w) < 38 || len(w[3]) != 8 {
			return fmt.Errorf("line %d: %d fields, want 38", line, len(w))
		}
		date, err := quantity.ParseDate(w[3][:4] + "-" + w[3][4:6] + "-" + w[3][6:])
		if err != nil {
			return fmt.Errorf("line %d: %w", line, err)
		}
		if w[4] == "0000" {
			date-- // the time is the end of the hour
		}
		d := days[date]
		if d == nil {
			d = &soilDay{}
			days[date] = d
		}
		for k := range layers {
			if v, err := strconv.ParseFloat(w[28+k], 64); err == nil && v > 0 && v < 1 {
				d.water[k] += v
				d.nw[k]++
			}
			if v, err := strconv.ParseFloat(w[33+k], 64); err == nil && v > -60 {
				d.temp[k] += v
				d.nt[k]++
			}
		}
	}
	return in.Err()
}

// pairs gathers estimate and measurement.
type pairs struct{ made, seen []float64 }

func (p *pairs) add(made, seen float64) {
	if !math.IsNaN(made + seen) {
		p.made, p.seen = append(p.made, made), append(p.seen, seen)
	}
}

func (p *pairs) measured(what, unit string) Measured {
	m := Measured{What: what, Unit: unit, Days: len(p.made), Estimated: mean(p.made), Actual: mean(p.seen)}
	var xy, xx, yy, ee float64
	for i := range p.made {
		x, y := p.made[i]-m.Estimated, p.seen[i]-m.Actual
		xy, xx, yy = xy+x*y, xx+x*x, yy+y*y
		ee += (p.made[i] - p.seen[i]) * (p.made[i] - p.seen[i])
	}
	m.Bias, m.RMSE, m.R = m.Estimated-m.Actual, math.Sqrt(ee/float64(m.Days)), xy/math.Sqrt(xx*yy)
	return m
}
