package weather

import (
	"bytes"
	"time"

	"rowen/handbook/evapo"
	"rowen/quantity"
)

// A .dly line is 269 characters: station 1-11, year 12-15, month 16-17, element
// 18-21, then 31 groups of value (5), measurement, quality and source flags (1
// each). Tenths of a degree, tenths of a millimetre; -9999 is missing.
//
// Source: NOAA, GHCN-Daily readme (Menne, Durre, Vose, Gleason & Houston 2012,
// J. Atmos. Oceanic Technol. 29:897-910).
const dlyLine = 269

// looksDaily tells a .dly line from its head.
func looksDaily(s string) bool {
	return len(s) >= 21 && digits(s[11:17]) && element(s[17:21]) && !bytes.ContainsRune([]byte(s[:21]), ',')
}

func digits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return len(s) > 0
}

func element(s string) bool {
	for i := range len(s) {
		if !(s[i] >= 'A' && s[i] <= 'Z' || s[i] >= '0' && s[i] <= '9') {
			return false
		}
	}
	return true
}

// dly reads GHCN-Daily's fixed-width file. A value whose quality flag is not
// blank is missing.
func (b *builder) dly(data []byte) error {
	for line := 1; len(data) > 0; line++ {
		var row []byte
		row, data, _ = bytes.Cut(data, []byte("\n"))
		row = bytes.TrimRight(row, "\r")
		if len(bytes.TrimSpace(row)) == 0 {
			continue
		}
		if len(row) < 21 || !looksDaily(string(row[:21])) {
			return b.fail(line, "line", string(row), "not a GHCN-Daily line; the file is damaged, fetch it again")
		}
		switch string(row[17:21]) {
		case "TMAX", "TMIN", "PRCP", "AWND":
		default:
			continue
		}
		// Blanks at the end of a line are often trimmed; a value cut in half is
		// damage.
		if len(row) > dlyLine || (len(row)-21)%8 != 0 && (len(row)-21)%8 < 5 {
			return b.fail(line, "line", string(row[:21]), "its length is not that of a GHCN-Daily line; the file is damaged, fetch it again")
		}
		if b.station.ID == "" {
			b.station.ID = string(row[:11])
			b.station.Name = b.station.ID
		} else if b.station.ID != string(row[:11]) {
			return b.fail(line, "station", string(row[:11]), "the file already holds station "+b.station.ID+"; give one station")
		}
		year, _ := integer(row[11:15])
		month, _ := integer(row[15:17])
		if year < 1700 || year > 2200 || month < 1 || month > 12 {
			return b.fail(line, "month", string(row[11:17]), "no such month; the file is damaged, fetch it again")
		}
		first := quantity.NewDate(year, time.Month(month), 1)
		length := int(quantity.NewDate(year, time.Month(month)+1, 1) - first)
		for day := 0; day < length; day++ {
			at := 21 + 8*day
			if at+5 > len(row) {
				break
			}
			v, ok := integer(row[at : at+5])
			if !ok {
				return b.fail(line, "value", string(row[at:at+5]), "not a whole number; the file is damaged, fetch it again")
			}
			if v == -9999 || at+6 < len(row) && row[at+6] != ' ' {
				continue
			}
			d := b.at(first + quantity.Date(day))
			if d == nil {
				return b.fail(line, "year", string(row[11:15]), "the record would be longer than any station's; the file is damaged")
			}
			d.set(row[17:21], float64(v)/10)
		}
	}
	return nil
}

// set puts a value of a GHCN element into its place.
func (d *Day) set(element []byte, v float64) {
	switch string(element) {
	case "TMAX":
		d.TMax = v
	case "TMIN":
		d.TMin = v
	case "PRCP":
		d.Rain = v
	case "AWND":
		// Measured at about 10 m (airport masts); brought to 2 m above grass.
		d.Wind = evapo.WindAt2m(v, 10)
	}
}

// integer reads a right-aligned whole number.
func integer(b []byte) (int, bool) {
	for len(b) > 0 && b[0] == ' ' {
		b = b[1:]
	}
	neg := false
	if len(b) > 0 && b[0] == '-' {
		neg, b = true, b[1:]
	}
	if len(b) == 0 || len(b) > 9 {
		return 0, false
	}
	n := 0
	for _, c := range b {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = 10*n + int(c-'0')
	}
	if neg {
		n = -n
	}
	return n, true
}
