package weather

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"rowen/handbook/evapo"
	"rowen/quantity"
)

// column is what a CSV column holds.
type column struct {
	field  field
	factor float64 // to the engine's unit
	offset float64
	flag   int // index of the column that holds GHCN attributes, -1 none
	bare   bool
}

type field uint8

const (
	ignored field = iota
	theDate
	theYear
	theMonth
	theDay
	tmax
	tmin
	tmean
	rain
	solar
	vapour
	humidity
	wind
	latitude
	longitude
	elevation
	stationID
	stationName
	elementName
	dataValue
	qualityFlag
)

// columnNames are the names a header may use, without unit.
var columnNames = map[string]field{
	"date": theDate, "year": theYear, "yyyy": theYear, "month": theMonth, "mm": theMonth, "day": theDay, "dd": theDay,
	"tmax": tmax, "tmin": tmin, "tmean": tmean, "tavg": tmean,
	"prcp": rain, "rain": rain, "precip": rain, "precipitation": rain,
	"solar": solar, "radiation": solar, "vapour": vapour, "vapor": vapour, "humidity": humidity, "rh": humidity, "wind": wind, "awnd": wind,
	"latitude": latitude, "lat": latitude, "longitude": longitude, "long": longitude, "lon": longitude, "elevation": elevation,
	"station": stationID, "id": stationID, "name": stationName,
	"element": elementName, "data_value": dataValue, "value": dataValue, "q_flag": qualityFlag, "qflag": qualityFlag,
}

// columnUnits are the units that may follow a name: tmax_c, rain_mm, "tmax (°F)".
var columnUnits = map[string]struct {
	of             []field
	factor, offset float64
}{
	"c": {[]field{tmax, tmin, tmean}, 1, 0}, "°c": {[]field{tmax, tmin, tmean}, 1, 0}, "degc": {[]field{tmax, tmin, tmean}, 1, 0},
	"f": {[]field{tmax, tmin, tmean}, 5.0 / 9, -160.0 / 9}, "°f": {[]field{tmax, tmin, tmean}, 5.0 / 9, -160.0 / 9}, "degf": {[]field{tmax, tmin, tmean}, 5.0 / 9, -160.0 / 9},
	"mm": {[]field{rain}, 1, 0}, "cm": {[]field{rain}, 10, 0}, "in": {[]field{rain}, 25.4, 0},
	"mj": {[]field{solar}, 1, 0}, "mj/m2": {[]field{solar}, 1, 0}, "w/m2": {[]field{solar}, 0.0864, 0},
	"kpa": {[]field{vapour}, 1, 0}, "%": {[]field{humidity}, 1, 0}, "pct": {[]field{humidity}, 1, 0},
	"m/s": {[]field{wind}, 1, 0}, "ms": {[]field{wind}, 1, 0}, "mph": {[]field{wind}, 0.44704, 0}, "km/h": {[]field{wind}, 1 / 3.6, 0},
	"m": {[]field{elevation}, 1, 0}, "ft": {[]field{elevation}, 0.3048, 0},
}

// heading reads one header cell.
func heading(cell string) (c column, unitProblem string) {
	c = column{factor: 1, flag: -1}
	name := strings.ToLower(strings.Trim(strings.TrimSpace(cell), `"`))
	unit := ""
	if i := strings.IndexAny(name, "(["); i > 0 {
		unit = strings.Trim(name[i:], "()[] ")
		name = strings.TrimSpace(name[:i])
	} else if columnNames[name] == ignored {
		if i := strings.LastIndex(name, "_"); i > 0 {
			if _, ok := columnUnits[name[i+1:]]; ok || columnNames[name[:i]] != ignored {
				name, unit = name[:i], name[i+1:]
			}
		}
	}
	c.field = columnNames[name]
	if c.field == ignored || unit == "attributes" {
		return column{flag: -1}, ""
	}
	if unit == "" {
		c.bare = true
		return c, ""
	}
	u, ok := columnUnits[unit]
	if ok {
		for _, f := range u.of {
			if f == c.field {
				c.factor, c.offset = u.factor, u.offset
				return c, ""
			}
		}
	}
	return c, unit
}

// csv reads a CSV of any of the known headers.
func (b *builder) csv(data []byte) error {
	if i := longLine(data); i > 0 {
		return b.fail(i, "line", "", "it is longer than a million characters; the file is damaged")
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = -1
	r.LazyQuotes = true
	r.TrimLeadingSpace = true
	r.ReuseRecord = true
	head, err := r.Read()
	if err != nil {
		return b.fail(1, "header", "", "unreadable: "+err.Error())
	}
	columns := make([]column, len(head))
	has := map[field]bool{}
	names := map[string]int{}
	for i, cell := range head {
		c, problem := heading(cell)
		if problem != "" {
			return b.fail(1, "column", cell, "unit "+strconv.Quote(problem)+" does not fit; use tmax_c or tmax_f, rain_mm, rain_cm or rain_in, solar_mj, humidity_pct, wind_ms")
		}
		columns[i] = c
		has[c.field] = true
		names[strings.ToUpper(strings.TrimSpace(cell))] = i
	}
	if has[elementName] && has[dataValue] {
		return b.long(r, columns)
	}
	// The wide GHCN-Daily CSV: attributes beside each element, values in tenths.
	ghcn := false
	for i := range columns {
		name := strings.ToUpper(strings.TrimSpace(head[i]))
		if j, ok := names[name+"_ATTRIBUTES"]; ok && columns[i].field != ignored {
			columns[i].flag, columns[i].bare = j, false
			columns[i].factor = 0.1
			ghcn = true
		}
	}
	if !has[theDate] && !(has[theYear] && has[theMonth] && has[theDay]) {
		return b.fail(1, "header", strings.Join(head, ","), "no date; name a column date (year-month-day), or three columns year, month and day")
	}
	if !has[tmax] || !has[tmin] {
		return b.fail(1, "header", strings.Join(head, ","), "the day's highest and lowest temperatures are needed; name columns tmax_c and tmin_c (or _f)")
	}
	if !has[rain] {
		return b.fail(1, "header", strings.Join(head, ","), "rain is needed; name a column rain_mm, rain_cm or rain_in")
	}
	for i := range columns {
		switch c := &columns[i]; {
		case ghcn:
			c.bare = false
		case c.bare && (c.field == tmax || c.field == tmin):
			b.bareTemp = true
		case c.bare && c.field == rain:
			b.bareRain = true
		}
	}
	return b.rows(r, func(line int, row []string) error { return b.row(line, row, columns) })
}

// rows gives every row of a CSV that is not blank, with its line.
func (b *builder) rows(r *csv.Reader, each func(line int, row []string) error) error {
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return nil
		}
		line, _ := r.FieldPos(0)
		if err != nil {
			return b.fail(line, "row", "", "unreadable: "+err.Error())
		}
		if len(row) == 1 && strings.TrimSpace(row[0]) == "" {
			continue
		}
		if err := each(line, row); err != nil {
			return err
		}
	}
}

// longLine gives the number of the first line that no weather file has; 0 if
// there is none.
func longLine(data []byte) int {
	for line := 1; len(data) > 0; line++ {
		i := bytes.IndexByte(data, '\n')
		if i < 0 {
			i = len(data)
		}
		if i > maxLine {
			return line
		}
		data = data[min(i+1, len(data)):]
	}
	return 0
}

// row reads one day of a wide CSV.
func (b *builder) row(line int, row []string, columns []column) error {
	var year, month, day int
	date := quantity.Date(math.MinInt32)
	for i, c := range columns {
		if i >= len(row) {
			break
		}
		cell := strings.TrimSpace(row[i])
		var err error
		switch c.field {
		case theDate:
			if date, err = quantity.ParseDate(cell); err != nil {
				return b.fail(line, "date", cell, `write year-month-day, such as "2017-06-05"`)
			}
		case theYear:
			year, err = strconv.Atoi(cell)
		case theMonth:
			month, err = strconv.Atoi(cell)
		case theDay:
			day, err = strconv.Atoi(cell)
		}
		if err != nil {
			return b.fail(line, "date", cell, "not a whole number")
		}
	}
	if date == math.MinInt32 {
		date = quantity.NewDate(year, time.Month(month), day)
		if y, m, d := date.Civil(); year < 1700 || year > 2200 || y != year || int(m) != month || d != day {
			return b.fail(line, "date", strings.Join(row[:min(3, len(row))], "-"), "no such day")
		}
	}
	d := b.at(date)
	if d == nil {
		return b.fail(line, "date", date.String(), "the record would be longer than any station's; the date is wrong")
	}
	rh := math.NaN()
	for i, c := range columns {
		if i >= len(row) || c.field < tmax {
			continue
		}
		cell := strings.TrimSpace(row[i])
		switch c.field {
		case stationID:
			if b.station.ID == "" {
				b.station.ID = cell
			}
			continue
		case stationName:
			if b.station.Name == "" {
				b.station.Name = cell
			}
			continue
		case elementName, dataValue, qualityFlag:
			continue
		}
		v, ok, err := value(cell)
		if err != nil {
			return b.fail(line, "value", cell, "not a number; leave missing values empty, or write NA or -9999")
		}
		if !ok || c.flag >= 0 && c.flag < len(row) && flagged(row[c.flag]) {
			continue
		}
		v = v*c.factor + c.offset
		switch c.field {
		case tmax:
			d.TMax = v
		case tmin:
			d.TMin = v
		case rain:
			d.Rain = v
		case solar:
			d.Solar = v
		case vapour:
			d.Vapour = v
		case humidity:
			rh = v
		case wind:
			d.Wind = v
		case latitude:
			b.station.Latitude = v / c.factor
		case longitude:
			b.station.Longitude = v / c.factor
		case elevation:
			b.station.Elevation = quantity.Length(v)
		}
	}
	if rh >= 0 && rh <= 100 && !math.IsNaN(d.TMin+d.TMax) {
		d.Vapour = evapo.VapourFromMeanHumidity(d.TMin, d.TMax, rh)
	}
	return nil
}

// flagged tells whether a GHCN attribute list "M,Q,S" carries a quality flag.
func flagged(attributes string) bool {
	parts := strings.Split(attributes, ",")
	return len(parts) > 1 && strings.TrimSpace(parts[1]) != ""
}

// value reads a cell; ok is false for the ways of writing "missing", and a trace
// of rain is none.
func value(cell string) (v float64, ok bool, err error) {
	switch strings.ToUpper(cell) {
	case "", "NA", "N/A", "NAN", "M", "-", "-9999", "-9999.0", "-999", "-999.0", "-99.9", "-999.9", "-9999.9":
		return 0, false, nil
	case "T":
		return 0, true, nil
	}
	v, err = strconv.ParseFloat(cell, 64)
	if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
		return 0, false, nil
	}
	return v, err == nil && v > -9990, err
}

// long reads GHCN-Daily's long CSV: one element of one day a line, in tenths.
func (b *builder) long(r *csv.Reader, columns []column) error {
	at := func(row []string, f field) string {
		for i := range columns {
			if columns[i].field == f && i < len(row) {
				return strings.TrimSpace(row[i])
			}
		}
		return ""
	}
	return b.rows(r, func(line int, row []string) error {
		text := at(row, theDate)
		if len(text) == 8 && digits(text) {
			text = text[:4] + "-" + text[4:6] + "-" + text[6:]
		}
		date, err := quantity.ParseDate(text)
		if err != nil {
			return b.fail(line, "date", text, "write the day as 20170605 or 2017-06-05")
		}
		id := at(row, stationID)
		if b.station.ID == "" {
			b.station.ID = id
		} else if id != "" && id != b.station.ID {
			return b.fail(line, "station", id, "the file already holds station "+b.station.ID+"; give one station")
		}
		v, ok, err := value(at(row, dataValue))
		if err != nil {
			return b.fail(line, "value", at(row, dataValue), "not a number")
		}
		if !ok || at(row, qualityFlag) != "" {
			return nil
		}
		d := b.at(date)
		if d == nil {
			return b.fail(line, "date", text, "the record would be longer than any station's; the date is wrong")
		}
		d.set([]byte(at(row, elementName)), v/10)
		return nil
	})
}
