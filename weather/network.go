package weather

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"time"

	"rowen/handbook/evapo"
	"rowen/quantity"
)

// Fields on a line of the US Climate Reference Network's hourly (hourly02) and
// daily (daily01) products.
//
// Source: Diamond et al. 2013, Bull. Amer. Meteor. Soc. 94:489-498, and the
// products' readme files.
const (
	hourlyFields = 38
	dailyFields  = 28
)

// hours gathers one local day of hourly records.
type hours struct {
	tmax, tmin, rain, solar, vapour float64
	nt, nr, ns, nv                  int
}

// hourly reads the hourly product: the time is the END of the hour in local
// standard time, so hour 0000 belongs to the day before; flag 3 is erroneous.
func (b *builder) hourly(data []byte) error {
	days := map[quantity.Date]*hours{}
	err := b.lines(data, hourlyFields, func(line int, f []string) error {
		date, ok := compact(f[3])
		hour, err := strconv.Atoi(f[4])
		if !ok || err != nil || hour < 0 || hour > 2300 {
			return b.fail(line, "time", f[3]+" "+f[4], "no such hour; the file is damaged, fetch it again")
		}
		if hour == 0 {
			date--
		}
		if err := b.place(line, f[0], f[6], f[7]); err != nil {
			return err
		}
		h := days[date]
		if h == nil {
			h = &hours{tmax: math.Inf(-1), tmin: math.Inf(1)}
			days[date] = h
		}
		var v [6]float64 // max, min, precipitation, solar, humidity, mean temperature
		for k, at := range [...]int{10, 11, 12, 13, 26, 9} {
			x, err := strconv.ParseFloat(f[at], 64)
			if err != nil {
				return b.fail(line, "value", f[at], "not a number; the file is damaged, fetch it again")
			}
			if x < -900 {
				x = math.NaN()
			}
			v[k] = x
		}
		if v[0] > -90 && v[1] > -90 {
			h.tmax, h.tmin, h.nt = max(h.tmax, v[0]), min(h.tmin, v[1]), h.nt+1
		}
		if v[2] >= 0 {
			h.rain, h.nr = h.rain+v[2], h.nr+1
		}
		if v[3] >= -5 && f[14] != "3" {
			h.solar, h.ns = h.solar+max(0, v[3])*0.0036, h.ns+1
		}
		if v[4] >= 0 && v[4] <= 100 && f[27] != "3" && v[5] > -90 {
			h.vapour, h.nv = h.vapour+v[4]/100*evapo.SaturationPressure(v[5]), h.nv+1
		}
		return nil
	})
	if err != nil {
		return err
	}
	// A day stands when at most three of its hours are missing; sums are not
	// scaled up, since a missing hour of rain is not an average one.
	const enough = 21
	for date, h := range days {
		d := b.at(date)
		if d == nil {
			return b.fail(0, "date", date.String(), "the record would be longer than any station's; the file is damaged")
		}
		if h.nt >= enough {
			d.TMax, d.TMin = h.tmax, h.tmin
		}
		if h.nr >= enough {
			d.Rain = h.rain
		}
		if h.ns >= enough {
			d.Solar = h.solar
		}
		if h.nv >= enough {
			d.Vapour = h.vapour / float64(h.nv)
		}
	}
	return nil
}

// daily reads the daily product: field 2 the local date, 4 and 5 longitude and
// latitude, 6 and 7 maximum and minimum, 10 precipitation, 11 solar MJ/m².
func (b *builder) daily(data []byte) error {
	return b.lines(data, dailyFields, func(line int, f []string) error {
		date, ok := compact(f[1])
		if !ok {
			return b.fail(line, "date", f[1], "no such day; the file is damaged, fetch it again")
		}
		if err := b.place(line, f[0], f[3], f[4]); err != nil {
			return err
		}
		d := b.at(date)
		if d == nil {
			return b.fail(line, "date", f[1], "the record would be longer than any station's; the file is damaged")
		}
		for _, c := range [...]struct {
			at   int
			into *float64
		}{{5, &d.TMax}, {6, &d.TMin}, {9, &d.Rain}, {10, &d.Solar}} {
			x, err := strconv.ParseFloat(f[c.at], 64)
			if err != nil {
				return b.fail(line, "value", f[c.at], "not a number; the file is damaged, fetch it again")
			}
			if x > -90 {
				*c.into = x
			}
		}
		return nil
	})
}

// lines gives every line that is not blank, split at white space, and refuses one
// without the product's count of fields.
func (b *builder) lines(data []byte, count int, each func(line int, f []string) error) error {
	for line := 1; len(data) > 0; line++ {
		var row []byte
		row, data, _ = bytes.Cut(data, []byte("\n"))
		f := strings.Fields(string(row))
		if len(f) == 0 {
			continue
		}
		if len(f) != count {
			return b.fail(line, "line", string(row), "not "+strconv.Itoa(count)+" fields; the file is damaged, fetch it again")
		}
		if err := each(line, f); err != nil {
			return err
		}
	}
	return nil
}

// compact reads a day written 20170605.
func compact(s string) (quantity.Date, bool) {
	if len(s) != 8 || !digits(s) {
		return 0, false
	}
	y, _ := strconv.Atoi(s[:4])
	m, _ := strconv.Atoi(s[4:6])
	d, _ := strconv.Atoi(s[6:])
	date := quantity.NewDate(y, time.Month(m), d)
	yy, mm, dd := date.Civil()
	return date, y >= 1700 && y <= 2200 && yy == y && int(mm) == m && dd == d
}

// place keeps the station's name and coordinates and refuses a second station.
func (b *builder) place(line int, id, lon, lat string) error {
	if b.station.ID == "" {
		b.station.ID, b.station.Name = id, "USCRN "+id
		b.station.Longitude, _ = strconv.ParseFloat(lon, 64)
		b.station.Latitude, _ = strconv.ParseFloat(lat, 64)
	} else if b.station.ID != id {
		return b.fail(line, "station", id, "the file already holds station "+b.station.ID+"; give one station")
	}
	return nil
}
