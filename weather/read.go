package weather

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"unicode/utf8"

	"rowen/quantity"
	"rowen/say"
)

// Error is one thing wrong with a weather file.
type Error struct {
	File   string
	Line   int // 0 where the whole file is meant
	Thing  string
	Value  string
	Remedy string
}

// Error writes file, line, thing, value and what to do.
func (e *Error) Error() string {
	at := e.File
	if e.Line > 0 {
		at = fmt.Sprintf("%s:%d", e.File, e.Line)
	}
	value := e.Value
	if len(value) > 60 {
		value = value[:60] + "..."
	}
	if value != "" {
		return fmt.Sprintf("%s: %s %q: %s", at, e.Thing, strings.ToValidUTF8(value, "?"), e.Remedy)
	}
	return fmt.Sprintf("%s: %s: %s", at, e.Thing, e.Remedy)
}

// ErrFormat is wrapped by every error about a file's content.
var ErrFormat = errors.New("weather: unreadable file")

// Unwrap lets errors.Is find ErrFormat.
func (e *Error) Unwrap() error { return ErrFormat }

// Limits of what is read: more is no station's record.
const (
	maxBytes = 1 << 30
	maxLine  = 1 << 20
	maxYears = 400
)

// Read reads one weather file, plain or gzipped, or a folder that holds the
// files of one station (by year, say). The format is told by the content: GHCN-
// Daily .dly, GHCN-Daily station CSV (wide or long), US Climate Reference
// Network hourly or daily, or a CSV whose header names columns and units.
func Read(path string) (*Series, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("weather: %w", err)
	}
	names := []string{path}
	if info.IsDir() {
		names = names[:0]
		entries, err := os.ReadDir(path)
		if err != nil {
			return nil, fmt.Errorf("weather: %w", err)
		}
		for _, e := range entries {
			ext := strings.ToLower(filepath.Ext(strings.TrimSuffix(e.Name(), ".gz")))
			if !e.IsDir() && (ext == ".dly" || ext == ".csv" || ext == ".txt") {
				names = append(names, filepath.Join(path, e.Name()))
			}
		}
		sort.Strings(names)
		if len(names) == 0 {
			return nil, &Error{File: path, Thing: "folder", Remedy: "it holds no .dly, .csv or .txt file"}
		}
	}
	b := newBuilder()
	sum := sha256.New()
	for _, name := range names {
		data, err := load(name)
		if err != nil {
			return nil, err
		}
		_, _ = sum.Write(data)
		if err := b.parse(filepath.Base(name), data); err != nil {
			return nil, err
		}
	}
	s, err := b.series(filepath.Base(path))
	if err != nil {
		return nil, err
	}
	s.Hash = hex.EncodeToString(sum.Sum(nil))
	return s, nil
}

// Parse reads a weather file's bytes; name is for errors alone.
func Parse(name string, data []byte) (*Series, error) {
	b := newBuilder()
	if err := b.parse(name, data); err != nil {
		return nil, err
	}
	s, err := b.series(name)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(data)
	s.Hash = hex.EncodeToString(sum[:])
	return s, nil
}

// load reads a file whole, unpacking gzip.
func load(name string) ([]byte, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, fmt.Errorf("weather: %w", err)
	}
	if len(data) >= 2 && data[0] == 0x1f && data[1] == 0x8b {
		z, err := gzip.NewReader(bytes.NewReader(data))
		if err == nil {
			data, err = io.ReadAll(io.LimitReader(z, maxBytes))
		}
		if err != nil {
			return nil, &Error{File: filepath.Base(name), Thing: "gzip", Remedy: "the packed file is damaged (" + err.Error() + "); fetch it again"}
		}
	}
	return data, nil
}

// parse reads one file into the builder.
func (b *builder) parse(name string, data []byte) error {
	b.file = name
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	head, _, _ := bytes.Cut(data, []byte("\n"))
	if len(head) > maxLine {
		return &Error{File: name, Line: 1, Thing: "line", Remedy: "it is longer than a million characters; this is no weather file"}
	}
	text := strings.TrimRight(string(head), "\r")
	switch {
	case strings.TrimSpace(text) == "":
		return &Error{File: name, Line: 1, Thing: "file", Remedy: "it is empty or begins with an empty line"}
	case !utf8.ValidString(text):
		return &Error{File: name, Line: 1, Thing: "line", Remedy: "it is not text (invalid UTF-8); this is no weather file"}
	case looksDaily(text):
		return b.dly(data)
	case strings.Contains(text, ","):
		return b.csv(data)
	}
	switch fields := strings.Fields(text); len(fields) {
	case hourlyFields:
		return b.hourly(data)
	case dailyFields:
		return b.daily(data)
	}
	return &Error{File: name, Line: 1, Thing: "line", Value: text,
		Remedy: "not a known weather format; give GHCN-Daily .dly or CSV, USCRN hourly or daily, or a CSV with a header such as date,tmax_c,tmin_c,rain_mm"}
}

// builder gathers days in any order.
type builder struct {
	file    string
	station Station
	first   quantity.Date
	days    []Day
	notices []Notice

	bareRain, bareTemp bool // columns without a stated unit
}

func newBuilder() *builder { return &builder{} }

var missing = Day{TMin: math.NaN(), TMax: math.NaN(), Rain: math.NaN(), Solar: math.NaN(), Vapour: math.NaN(), Wind: math.NaN()}

// at gives the day of a date, growing the record; nil if the record would
// become longer than any station's.
func (b *builder) at(d quantity.Date) *Day {
	if len(b.days) == 0 {
		b.first = d
	}
	if d < b.first {
		if b.first-d > maxYears*366 {
			return nil
		}
		pre := make([]Day, int(b.first-d), int(b.first-d)+len(b.days))
		for i := range pre {
			pre[i] = missing
		}
		b.days = append(pre, b.days...)
		b.first = d
	}
	i := int(d - b.first)
	if i > maxYears*366 {
		return nil
	}
	for len(b.days) <= i {
		b.days = append(b.days, missing)
	}
	return &b.days[i]
}

func (b *builder) fail(line int, thing, value, remedy string) error {
	return &Error{File: b.file, Line: line, Thing: thing, Value: value, Remedy: remedy}
}

// series closes the record: units that were not stated are settled, values no
// instrument can have read are dropped, and traps are looked for.
func (b *builder) series(name string) (*Series, error) {
	s := &Series{Station: b.station, First: b.first, Days: b.days, Notices: b.notices}
	b.file = name
	for len(s.Days) > 0 && empty(&s.Days[len(s.Days)-1]) {
		s.Days = s.Days[:len(s.Days)-1]
	}
	for len(s.Days) > 0 && empty(&s.Days[0]) {
		s.Days, s.First = s.Days[1:], s.First+1
	}
	if len(s.Days) == 0 {
		return nil, b.fail(0, "file", "", "it holds no usable day: every value is missing or failed quality control")
	}
	if s.Station.Name == "" {
		s.Station.Name = strings.TrimSuffix(strings.TrimSuffix(name, ".gz"), filepath.Ext(strings.TrimSuffix(name, ".gz")))
	}
	if b.bareTemp {
		if err := b.settleTemperature(s); err != nil {
			return nil, err
		}
	}
	if b.bareRain {
		if err := b.settleRain(s); err != nil {
			return nil, err
		}
	}
	s.check()
	for i := range s.Days {
		if !empty(&s.Days[i]) {
			return s, nil
		}
	}
	return nil, b.fail(0, "file", "", "it holds no usable day: every value lies outside anything ever measured")
}

func empty(d *Day) bool { return math.IsNaN(d.TMin) && math.IsNaN(d.TMax) && math.IsNaN(d.Rain) }

// settleTemperature decides between Celsius and Fahrenheit where the header
// does not say: a summer maximum above 58 is no Celsius reading on this earth.
func (b *builder) settleTemperature(s *Series) error {
	hottest := math.Inf(-1)
	for i := range s.Days {
		if t := s.Days[i].TMax; t > hottest {
			hottest = t
		}
	}
	switch {
	case hottest > 58 && hottest < 140:
		for i := range s.Days {
			d := &s.Days[i]
			d.TMin, d.TMax = (d.TMin-32)*5/9, (d.TMax-32)*5/9
		}
		s.Notices = append(s.Notices, Notice{Kind: "temperature-unit", Text: say.That("the header does not state the unit of temperature; the highest value is %.0f, so it was read as °F", hottest)})
	case hottest > 15 && hottest <= 50:
		s.Notices = append(s.Notices, Notice{Kind: "temperature-unit", Text: say.That("the header does not state the unit of temperature; the highest value is %.1f, so it was read as °C", hottest)})
	default:
		return b.fail(1, "header", fmt.Sprintf("highest temperature %g", hottest), "the unit of temperature is not stated and cannot be told from the values; name the columns tmax_c and tmin_c, or tmax_f and tmin_f")
	}
	return nil
}

// settleRain tells millimetres from centimetres by the yearly total where the
// header does not say. A total that could be centimetres or inches is refused.
func (b *builder) settleRain(s *Series) error {
	var sum float64
	var n int
	for i := range s.Days {
		if r := s.Days[i].Rain; !math.IsNaN(r) {
			sum, n = sum+r, n+1
		}
	}
	year := sum / float64(max(n, 1)) * 365.25
	factor, unit := 1.0, "mm"
	switch {
	case n < 300 || year < 80 || year > 250 && year < 300 || year > 12000:
		return b.fail(1, "header", fmt.Sprintf("yearly total %.1f", year), "the unit of rain is not stated and cannot be told from the values; name the column rain_mm, rain_cm or rain_in")
	case year <= 250:
		factor, unit = 10, "cm"
	}
	for i := range s.Days {
		s.Days[i].Rain *= factor
	}
	s.Notices = append(s.Notices, Notice{Kind: "rain-unit", Text: say.That("the header does not state the unit of rain; a year adds up to %.0f, so it was read as %s", year, unit)})
	return nil
}
