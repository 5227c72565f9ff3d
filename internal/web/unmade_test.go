package web_test

import (
	"bytes"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"rowen/internal/office"
)

// station is a plain weather file from a year's first day to another's last.
func station(from, to int) []byte {
	var b bytes.Buffer
	b.WriteString("date,tmax_c,tmin_c,rain_mm\n")
	for d := time.Date(from, 1, 1, 0, 0, 0, 0, time.UTC); d.Year() <= to; d = d.AddDate(0, 0, 1) {
		warm := 12 - 14*math.Cos(2*math.Pi*float64(d.YearDay())/365)
		rain := 0.0
		if d.YearDay()%3 == 0 {
			rain = 9
		}
		_, _ = fmt.Fprintf(&b, "%s,%.1f,%.1f,%.1f\n", d.Format("2006-01-02"), warm+6, warm-6, rain)
	}
	return b.Bytes()
}

// withStation gives the invented dairy a weather file of the book.
func withStation(t *testing.T, book *office.Book, name string, file []byte) {
	t.Helper()
	if err := book.PutWeather(t.Context(), name, file); err != nil {
		t.Fatal(err)
	}
	v, err := book.Document(t.Context(), farmID(t, book))
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(string(v.Text), "rowen = 1\n", "rowen = 1\nweather = \""+name+"\"\n", 1)
	if _, err := book.Save(t.Context(), v.Farm, v.Number, []byte(text), "", ""); err != nil {
		t.Fatal(err)
	}
}

// A farm whose weather ends too soon, or cannot be read, says so where its day is asked
// for, and leads to where that is mended.
func TestWeatherThatDoesNotReach(t *testing.T) {
	server, book := serve(t, true)
	farm := dairy(t, book)
	withStation(t, book, "old.csv", station(2018, 2023))
	for _, page := range []string{"/today", "/phone", "/phone/carry"} {
		status, body := get(t, server.URL+farm+page)
		for _, want := range []string{"2023-12-31", farm + "/ground#weather", `href="` + farm + page + `?date=2023-12-31"`} {
			if status != http.StatusUnprocessableEntity || !bytes.Contains(body, []byte(want)) {
				t.Errorf("%s: status %d, it does not say %s", page, status, want)
			}
		}
		if status, _ := get(t, server.URL+farm+page+"?date=2023-12-31"); status != http.StatusOK {
			t.Errorf("%s on the last day: status %d", page, status)
		}
	}
	if status, body := post(t, server.URL+farm+"/today", url.Values{"phrase": {"danced on North Six"}}); status != http.StatusUnprocessableEntity || !strings.Contains(body, `value="danced on North Six"`) || !strings.Contains(body, "does not reach") {
		t.Errorf("a phrase beside a day that is not known: status %d", status)
	}
	if status, body := get(t, server.URL+"/api"+farm+"/today"); status != http.StatusUnprocessableEntity || !bytes.Contains(body, []byte("does not reach")) {
		t.Errorf("the day for programs: status %d", status)
	}
	if err := book.PutWeather(t.Context(), "old.csv", []byte("hello\n")); err != nil {
		t.Fatal(err)
	}
	for _, page := range []string{"/animals", "/phone", "/print/plan.pdf", "/season/sowing/0", "/figures/gap.bad"} {
		if status, body := get(t, server.URL+farm+page); status != http.StatusUnprocessableEntity || !bytes.Contains(body, []byte(farm+"/ground#weather")) || bytes.Contains(body, []byte("?date=")) {
			t.Errorf("%s without readable weather: status %d", page, status)
		}
	}
	for _, page := range []string{"/plan", "/demand", "/today", "/figures", "/figures/gap.bad", "/pdf/plan"} {
		if status, _ := get(t, server.URL+"/api"+farm+page); status != http.StatusUnprocessableEntity {
			t.Errorf("%s for programs without readable weather: status %d", page, status)
		}
	}
	if status, _ := get(t, server.URL+farm+"/ground"); status != http.StatusOK {
		t.Errorf("the page where it is mended: status %d", status)
	}
}

// A weather file is read before it is kept, and a good one stays where the new one is
// none.
func TestWeatherIsReadBeforeItIsKept(t *testing.T) {
	server, book := serve(t, false)
	at := server.URL + "/api/weather/a.csv"
	good := station(2020, 2021)
	if status, body, _ := sent(t, "PUT", at, "text/csv", string(good)); status != http.StatusNoContent {
		t.Fatalf("status %d %s", status, body)
	}
	for what, file := range map[string]string{
		"no weather":   "hello\n",
		"nothing":      "",
		"no such heat": "date,tmax_c,tmin_c,rain_mm\n2020-01-01,1e308,-1e308,NaN\n2020-01-02,61,-91,2001\n",
		"a bad day":    "date,tmax_c,tmin_c,rain_mm\n2020-13-01,1,0,0\n",
	} {
		if status, body, _ := sent(t, "PUT", at, "text/csv", file); status != http.StatusUnprocessableEntity || !strings.Contains(body, `"problems":[{"line":`) {
			t.Errorf("%s: status %d %s", what, status, body)
		}
	}
	if kept, err := book.WeatherFile(t.Context(), "a.csv"); err != nil || !bytes.Equal(kept, good) {
		t.Errorf("the good file is gone, %v", err)
	}
}

// A field cannot be given weather that the book does not have.
func TestWeatherOfTheBook(t *testing.T) {
	server, book := serve(t, true)
	if status, body := post(t, server.URL+dairy(t, book)+"/ground", url.Values{"do": {"weather"}, "field": {"-1"}, "weather": {"nofile"}}); status != http.StatusUnprocessableEntity || !strings.Contains(body, "nofile") {
		t.Errorf("status %d", status)
	}
}
