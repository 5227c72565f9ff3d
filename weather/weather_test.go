package weather_test

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rowen/quantity"
	"rowen/weather"
)

// shared is where real station records lie beside the project; tests that need
// them skip where they are absent.
func shared(t testing.TB, path string) string {
	t.Helper()
	full := filepath.Join("..", "..", "shared", "data", path)
	if _, err := os.Stat(full); err != nil {
		t.Skipf("real data %s is not here: skipped", path)
	}
	return full
}

func read(t testing.TB, path string) *weather.Series {
	t.Helper()
	s, err := weather.Read(shared(t, path))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// NOAA GHCN-Daily, Central Park, New York: counts and extremes as its source
// note gives them.
func TestReadDly(t *testing.T) {
	s := read(t, "weather-daily-newyork-dly/USW00094728.dly")
	var tmax, tmin, rain int
	hottest, coldest, wettest := -100.0, 100.0, 0.0
	for _, d := range s.Days {
		if !math.IsNaN(d.TMax) {
			tmax++
			hottest = max(hottest, d.TMax)
		}
		if !math.IsNaN(d.TMin) {
			tmin++
			coldest = min(coldest, d.TMin)
		}
		if !math.IsNaN(d.Rain) {
			rain++
			wettest = max(wettest, d.Rain)
		}
	}
	if s.First.String() != "1869-01-01" || tmin != 55147 || rain != 55154 {
		t.Errorf("first %v, %d minima, %d rain", s.First, tmin, rain)
	}
	if math.Abs(float64(tmax)-55145) > 2 {
		t.Errorf("%d maxima, 55,145 less the two that failed quality control", tmax)
	}
	if hottest != 41.1 || coldest != -26.1 || wettest != 210.3 {
		t.Errorf("extremes %v %v %v", hottest, coldest, wettest)
	}
}

// Ithaca's table gives rain in centimetres without saying so, stores missing
// rain as nothing, and was read in the morning.
func TestTraps(t *testing.T) {
	s := read(t, "weather-daily-northeast-2000-2018/USC00304174.csv")
	kinds := map[string]bool{}
	for _, n := range s.Notices {
		kinds[n.Kind] = true
	}
	for _, k := range []string{"rain-unit", "missing-rain", "observation-day"} {
		if !kinds[k] {
			t.Errorf("no notice of kind %s", k)
		}
	}
	neighbour := read(t, "weather-daily-albany-ny/USW00014735.csv")
	if years := s.MoveBack(neighbour); len(years) != 19 {
		t.Errorf("moved back %v, want all of 2000-2018", years)
	}
	midnight := read(t, "weather-hourly-ithaca-uscrn")
	if years := midnight.MoveBack(neighbour); len(years) != 0 {
		t.Errorf("a midnight record was moved: %v", years)
	}
}

// US Climate Reference Network near Ithaca: 13 whole calendar years, radiation
// 11.5 to 13.6 MJ/m²/d by its source note; estimated radiation is held against
// measured.
func TestHourlyAndEstimates(t *testing.T) {
	s := read(t, "weather-hourly-ithaca-uscrn")
	measured := make([]weather.Day, len(s.Days))
	copy(measured, s.Days)
	for i := range s.Days {
		s.Days[i].Solar, s.Days[i].Vapour = math.NaN(), math.NaN()
	}
	s.Prepare()
	var n, nv, square, bias, vapour float64
	for i, d := range s.Days {
		_, month, _ := (s.First + quantity.Date(i)).Civil()
		if month < 4 || month > 10 || math.IsNaN(measured[i].Solar) || math.IsNaN(d.Solar) {
			continue
		}
		e := d.Solar - measured[i].Solar
		n, square, bias = n+1, square+e*e, bias+e
		if !math.IsNaN(measured[i].Vapour) && s.First+quantity.Date(i) >= quantity.NewDate(2012, 1, 1) {
			e := d.Vapour - measured[i].Vapour
			nv, vapour = nv+1, vapour+e*e
		}
	}
	rmse := math.Sqrt(square / n)
	t.Logf("radiation: RMSE %.2f, bias %.2f MJ/m²/d over %.0f days; vapour pressure: RMSE %.3f kPa over %.0f", rmse, bias/n, n, math.Sqrt(vapour/nv), nv)
	if rmse > 4.8 || math.Abs(bias/n) > 0.4 || math.Sqrt(vapour/nv) > 0.2 {
		t.Error("estimates are worse than the handbook's")
	}
}

func TestFeedYears(t *testing.T) {
	s := read(t, "weather-daily-northeast-2000-2018/USC00304174.csv")
	s.Prepare()
	years, skipped := s.FeedYears(quantity.MonthDay{Month: 11, Day: 1}, 0)
	if len(years)+len(skipped) != 18 {
		t.Errorf("%d years and %d skipped", len(years), len(skipped))
	}
	gone := map[weather.YearID]bool{}
	for _, k := range skipped {
		gone[k.ID] = true
		if !strings.Contains(k.Reason, "days without temperature or rain") {
			t.Errorf("%d skipped without a reason: %q", k.ID, k.Reason)
		}
	}
	// April 2005 and February 2008 are absent from the file.
	if !gone[2005] || !gone[2008] {
		t.Errorf("years with a missing month were kept: %v", skipped)
	}
	for _, y := range years {
		if n := len(y.Days); n != 365 && n != 366 || (n == 366) != (y.ID%4 == 0) {
			t.Errorf("%d has %d days", y.ID, n)
		}
	}
}

func TestBadFiles(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"empty":          {"", "it is empty"},
		"binary":         {"\xff\xfe\x00", "invalid UTF-8"},
		"prose":          {"hello", "not a known weather format"},
		"no date":        {"tmax_c,tmin_c,rain_mm\n1,2,3\n", "no date"},
		"no rain":        {"date,tmax_c,tmin_c\n2017-01-01,2,1\n", "rain is needed"},
		"wrong unit":     {"date,tmax_mm,tmin_c,rain_mm\n2017-01-01,2,1,0\n", `unit "mm" does not fit`},
		"bad day":        {"date,tmax_c,tmin_c,rain_mm\n2017-02-29,2,1,0\n", "write year-month-day"},
		"word":           {"date,tmax_c,tmin_c,rain_mm\n2017-02-01,warm,1,0\n", "not a number"},
		"no unit":        {"date,tmax,tmin,rain\n2017-02-01,3,1,0\n", "unit of temperature is not stated"},
		"nothing usable": {"date,tmax_c,tmin_c,rain_mm\n2017-02-01,,,\n", "no usable day"},
		"cut dly":        {"USW00094728201701TMAX  1", "length"},
		"long line":      {"date,tmax_c,tmin_c,rain_mm\n" + strings.Repeat("1", 10<<20), "longer than a million"},
	} {
		_, err := weather.Parse(name, []byte(c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) || !errors.Is(err, weather.ErrFormat) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}

func TestPlainCSV(t *testing.T) {
	s, err := weather.Parse("mine.csv", []byte("date,tmax_f,tmin_f,rain_in\n2017-06-05,77,50,0.5\n2017-06-07,NA,,T\n2017-06-08,68,41,0\n"))
	if err != nil {
		t.Fatal(err)
	}
	if d := s.Days[0]; math.Abs(d.TMax-25) > 1e-9 || math.Abs(d.TMin-10) > 1e-9 || math.Abs(d.Rain-12.7) > 1e-9 {
		t.Errorf("%+v", d)
	}
	if len(s.Days) != 4 || !math.IsNaN(s.Days[1].TMax) || s.Days[2].Rain != 0 || !math.IsNaN(s.Days[2].TMax) {
		t.Errorf("%+v", s.Days)
	}
}

// First hard freeze of autumn at Albany: the probabilities rise with the date,
// and the two-part form gives no date where too few years froze.
func TestFreezes(t *testing.T) {
	f := weather.FreezeDates{Years: 30, With: 30, Mean: 278, SD: 9}
	for p, want := range map[float64]float64{0.10: 266.5, 0.20: 270.4, 0.50: 278.0, 0.80: 285.6, 0.90: 289.5} {
		if got := f.Day(p); math.Abs(got-want) > 0.06 {
			t.Errorf("day(%v) = %.1f, want %.1f", p, got, want)
		}
	}
	f.With = 15
	if !math.IsNaN(f.Day(0.6)) {
		t.Error("a date where fewer years froze")
	}
	s := read(t, "weather-daily-albany-ny/USW00014735.csv")
	last := 0.0
	for _, threshold := range weather.FreezeThresholds {
		_, autumn := s.Freezes(threshold)
		if autumn.Mean < last {
			t.Errorf("a colder threshold comes earlier: %v", autumn)
		}
		last = autumn.Mean
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte("date,tmax_c,tmin_c,rain_mm\n2017-06-05,25,10,1\n"))
	f.Add([]byte("YYYY,MM,DD,TMAX,TMIN,PRCP\n2017,06,05,25,10,1\n"))
	f.Add([]byte("USW00094728201701TMAX  100  W   50  W\n"))
	f.Add([]byte("ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG\nX,20170605,TMAX,250,,,\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := weather.Parse("fuzz", data)
		if err != nil {
			return
		}
		s.Prepare()
		for i, d := range s.Days {
			if d.TMin > d.TMax || d.Rain < 0 || d.Solar < 0 {
				t.Fatalf("day %d: %+v", i, d)
			}
		}
		s.FeedYears(quantity.MonthDay{Month: 11, Day: 1}, 30)
	})
}

func BenchmarkReadDly(b *testing.B) {
	data, err := os.ReadFile(shared(b, "weather-daily-newyork-dly/USW00094728.dly"))
	if err != nil {
		b.Fatal(err)
	}
	// The latest 50 years: lines of 1970 and after.
	var keep []byte
	for line := range strings.Lines(string(data)) {
		if len(line) > 15 && line[11:15] >= "1970" {
			keep = append(keep, line...)
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := weather.Parse("x.dly", keep); err != nil {
			b.Fatal(err)
		}
	}
}

// US Climate Reference Network, daily01: field 2 the date, 6 and 7 maximum and
// minimum, 10 precipitation, 11 solar; -9999.0 is missing.
func TestNetworkDaily(t *testing.T) {
	line := func(day, tmax, tmin, rain, solar string) string {
		f := make([]string, 28)
		for i := range f {
			f[i] = "-9999.0"
		}
		f[0], f[1], f[3], f[4], f[5], f[6], f[9], f[10] = "64758", day, "-76.25", "42.44", tmax, tmin, rain, solar
		return strings.Join(f, " ") + "\n"
	}
	s, err := weather.Parse("CRND.txt", []byte(line("20170605", "24.1", "9.8", "3.2", "21.5")+line("20170606", "-9999.0", "8.0", "0.0", "-9999.0")))
	if err != nil {
		t.Fatal(err)
	}
	if d := s.Days[0]; d.TMax != 24.1 || d.TMin != 9.8 || d.Rain != 3.2 || d.Solar != 21.5 || s.Station.Latitude != 42.44 {
		t.Errorf("%+v %+v", d, s.Station)
	}
	if d := s.Days[1]; !math.IsNaN(d.TMax) || !math.IsNaN(d.Solar) || d.TMin != 8 {
		t.Errorf("a missing value was read as a number: %+v", d)
	}
}

// GHCN-Daily station CSV, wide and long, in tenths, a failed quality flag dropped.
func TestStationCSV(t *testing.T) {
	wide := "STATION,DATE,LATITUDE,LONGITUDE,ELEVATION,NAME,PRCP,PRCP_ATTRIBUTES,TMAX,TMAX_ATTRIBUTES,TMIN,TMIN_ATTRIBUTES\n" +
		"\"USW1\",\"2017-06-05\",\"42.7\",\"-73.8\",\"85.0\",\"A, B\",\"   32\",\",,W\",\"  241\",\",,W\",\"   98\",\",I,W\"\n"
	s, err := weather.Parse("w.csv", []byte(wide))
	if err != nil {
		t.Fatal(err)
	}
	if d := s.Days[0]; d.TMax != 24.1 && math.Abs(d.TMax-24.1) > 1e-9 || math.Abs(d.Rain-3.2) > 1e-9 || !math.IsNaN(d.TMin) || s.Station.Elevation != 85 {
		t.Errorf("%+v %+v", d, s.Station)
	}
	long := "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\nUSW1,20170605,TMAX,241,,,W,\nUSW1,20170605,TMIN,98,,I,W,\nUSW1,20170605,PRCP,32,,,W,\n"
	s, err = weather.Parse("l.csv", []byte(long))
	if err != nil {
		t.Fatal(err)
	}
	if d := s.Days[0]; math.Abs(d.TMax-24.1) > 1e-9 || math.Abs(d.Rain-3.2) > 1e-9 || !math.IsNaN(d.TMin) {
		t.Errorf("%+v", d)
	}
}
