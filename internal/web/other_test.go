package web_test

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"rowen/internal/office"
)

// newestText is the dairy's document in force.
func newestText(t *testing.T, book *office.Book) string {
	t.Helper()
	v, err := book.Document(t.Context(), farmID(t, book))
	if err != nil {
		t.Fatal(err)
	}
	return string(v.Text)
}

var inputTag = regexp.MustCompile(`<input type="hidden" name="(base|seen)" value="([0-9]+)"`)

// asAnswered are the versions that an answered form names.
func asAnswered(body string) url.Values {
	out := url.Values{}
	for _, m := range inputTag.FindAllStringSubmatch(body[strings.Index(body, `role="alert"`):], -1) {
		out.Set(m[1], m[2])
	}
	return out
}

// Two windows with one form: the second is told, sees the other's values beside its own,
// and Keep puts in what it changed and nothing else.
func TestTwoWindowsOfAForm(t *testing.T) {
	for _, c := range []struct {
		page          string
		first, second url.Values // over version 1; all of the form would be sent, here what differs
		untouched     url.Values // sent by the second as it was begun
		shows         []string
		kept          []string
	}{
		{"/ground", url.Values{"field": {"0"}, "f0.distance": {"350 ft"}}, url.Values{"field": {"0"}, "f0.area": {"23 ac"}}, url.Values{"f0.distance": {"300 ft"}},
			[]string{"field Barn Pasture distance", "<td>300 ft</td><td>350 ft</td><td>as it is now</td>", `value="23 ac"`, "Version 2 (Ada, "}, []string{`area = "23 ac"`, `distance = "350 ft"`}},
		{"/ground", url.Values{"field": {"0"}, "f0.soil.pH": {"6.8"}}, url.Values{"field": {"0"}, "f0.soil.pH": {"6.2"}}, nil,
			[]string{"<td>6.5</td><td>6.8</td><td>6.2</td>"}, []string{"pH = 6.2"}},
		{"/animals", url.Values{"p0.head": {"81"}}, url.Values{"g0.name": {"The cows"}}, nil,
			[]string{"<td>81</td>", "head"}, []string{"head = 81", `name = "The cows"`}},
		{"/store", url.Values{"store0.capacity": {"333 ton"}}, url.Values{"stock0.amount": {"99 ton"}}, nil,
			[]string{"333 ton"}, []string{`"333 ton"`, `"99 ton"`}},
		{"/season", url.Values{"do": {"save"}, "sowing": {"0"}, "rate": {"21 lb/ac"}}, url.Values{"do": {"save"}, "sowing": {"0"}, "part": {"5 ac"}}, nil,
			[]string{"21 lb/ac", `value="5 ac"`, `name="do" value="save"`}, []string{`"21 lb/ac"`, `part = "5 ac"`}},
	} {
		server, book := serve(t, true)
		if err := book.PutPerson(t.Context(), office.Person{Name: "Ada", Units: "us", Theme: "auto"}); err != nil {
			t.Fatal(err)
		}
		page := server.URL + dairy(t, book) + c.page
		c.first.Set("base", "1")
		if status, body := post(t, page, c.first); status != http.StatusSeeOther {
			t.Fatalf("%s: the first window: status %d %.300s", c.page, status, body)
		}
		for name, v := range c.untouched {
			c.second[name] = v
		}
		c.second.Set("base", "1")
		after := newestText(t, book)
		status, body := post(t, page, c.second)
		if status != http.StatusConflict || newestText(t, book) != after {
			t.Errorf("%s: the second window: status %d", c.page, status)
			continue
		}
		for _, want := range append(c.shows, "Changed by another window") {
			if !strings.Contains(body, want) {
				t.Errorf("%s: the page does not say %s", c.page, want)
			}
		}
		for name, v := range asAnswered(body) {
			c.second[name] = v
		}
		if status, body = post(t, page, c.second); status != http.StatusSeeOther {
			t.Errorf("%s: kept after both were seen: status %d %.300s", c.page, status, body)
		}
		text := newestText(t, book)
		for _, want := range c.kept {
			if !strings.Contains(text, want) {
				t.Errorf("%s: the document does not have %s", c.page, want)
			}
		}
	}
}

// A third version that nobody was shown is not merged into unseen.
func TestSeenIsOfOneVersion(t *testing.T) {
	server, book := serve(t, true)
	page := server.URL + dairy(t, book) + "/ground"
	for i, area := range []string{"23 ac", "24 ac"} {
		if status, _ := post(t, page, url.Values{"field": {"0"}, "f0.area": {area}, "base": {string(rune('1' + i))}}); status != http.StatusSeeOther {
			t.Fatalf("status %d", status)
		}
	}
	status, body := post(t, page, url.Values{"field": {"0"}, "f0.area": {"25 ac"}, "base": {"1"}, "seen": {"2"}})
	if status != http.StatusConflict || !strings.Contains(body, "<td>22 ac</td><td>24 ac</td><td>25 ac</td>") {
		t.Errorf("status %d", status)
	}
}

// A single action goes in beside what another changed; where both changed one value it
// asks, and can be done all the same.
func TestTwoWindowsOfAnAction(t *testing.T) {
	server, book := serve(t, true)
	page := server.URL + dairy(t, book) + "/ground"
	if status, _ := post(t, page, url.Values{"field": {"1"}, "f1.area": {"23 ac"}, "base": {"1"}}); status != http.StatusSeeOther {
		t.Fatalf("status %d", status)
	}
	ring := "[[-74.48,43.0],[-74.479,43.0],[-74.479,43.001],[-74.48,43.001]]"
	outline := url.Values{"do": {"outline"}, "field": {"0"}, "ring": {ring}, "base": {"1"}}
	if status, body := post(t, page, outline); status != http.StatusSeeOther || !strings.Contains(newestText(t, book), `area = "23 ac"`) {
		t.Errorf("an outline of another field: status %d %.300s", status, body)
	}
	drop := url.Values{"do": {"drop"}, "field": {"1"}, "base": {"1"}}
	status, body := post(t, page, drop)
	if status != http.StatusConflict || !strings.Contains(body, "Make my change all the same") || !strings.Contains(newestText(t, book), "Brook Pasture") {
		t.Errorf("a field taken out that another changed: status %d", status)
	}
	drop.Set("seen", asAnswered(body).Get("seen"))
	if status, _ := post(t, page, drop); status != http.StatusSeeOther || strings.Contains(newestText(t, book), `name = "Brook Pasture"`) {
		t.Errorf("taken out all the same: status %d", status)
	}
}

// A refused move says what the other window changed, and its board is the newest.
func TestTwoWindowsOfTheBoard(t *testing.T) {
	server, book := serve(t, true)
	farm := server.URL + dairy(t, book)
	if status, _ := post(t, farm+"/season", url.Values{"do": {"part"}, "sowing": {"1"}, "tenths": {"4"}, "base": {"1"}}); status != http.StatusSeeOther {
		t.Fatalf("status %d", status)
	}
	status, body := post(t, farm+"/season", url.Values{"do": {"shift"}, "sowing": {"0"}, "weeks": {"1"}, "base": {"1"}})
	if status != http.StatusConflict || !strings.Contains(body, `data-base="2"`) || !strings.Contains(body, "Changed by another window") || !strings.Contains(body, "sowing ") || !strings.Contains(body, "<td>nothing</td>") {
		t.Errorf("status %d", status)
	}
	text := newestText(t, book) + "\n# mine\n"
	status, body = post(t, farm+"/document", url.Values{"text": {strings.Replace(text, `"22 ac"`, `"29 ac"`, 1)}, "base": {"1"}})
	if status != http.StatusConflict || !strings.Contains(body, "\n&#43; area = &#34;29 ac&#34;") || !strings.Contains(body, "\n- area = &#34;22 ac&#34;") || strings.Count(body, "contact = ") != 1 {
		t.Errorf("the document's lines: status %d", status)
	}
}

// An own farm that is planned on the invented valley's weather is told so, with the way
// to a station; the invented farms are at home there.
func TestInventedWeatherIsTold(t *testing.T) {
	server, book := serve(t, true)
	eight := url.Values{"name": {"Sedge Lane"}, "place": {"36.1, -95.9"}, "animals": {"70"}, "milk": {"48 lb/d"}, "sward": {"180 ac"}, "cropland": {"40 ac"}, "stored": {"250 ton"}, "turnout": {"5 May"}, "first_year": {"2027"}}
	if status, body := post(t, server.URL+"/farms/new", eight); status != http.StatusSeeOther {
		t.Fatalf("status %d: %.300s", status, body)
	}
	farms, err := book.Farms(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range farms {
		_, body := get(t, fmt.Sprintf("%s/farms/%d/season", server.URL, f.ID))
		if got, want := bytes.Contains(body, []byte("Choose a station")), f.Name == "Sedge Lane"; got != want {
			t.Errorf("%s: told of invented weather: %v, want %v", f.Name, got, want)
		}
	}
}

// A refused form of one field says nothing beside the fields that were not sent.
func TestOtherFieldsStayQuiet(t *testing.T) {
	server, book := serve(t, true)
	farm := server.URL + dairy(t, book)
	first := fieldArea(t, book, "Barn Pasture").Acres()
	if first == 0 {
		t.Fatal("the field has no area")
	}
	if status, _ := post(t, farm+"/ground", url.Values{"base": {"1"}, "field": {"0"}, "f0.soil.pH": {"6.1"}}); status != http.StatusSeeOther {
		t.Fatalf("the first window: status %d", status)
	}
	status, body := post(t, farm+"/ground", url.Values{"base": {"1"}, "field": {"0"}, "f0.soil.pH": {"5.5"}})
	if status != http.StatusConflict {
		t.Fatalf("the second window: status %d", status)
	}
	if n := strings.Count(body, "Version 2"); n == 0 || n > 3 {
		t.Errorf("version 2 is told %d times", n)
	}
	if !regexp.MustCompile(`id="field-0" open`).MatchString(body) || strings.Count(body, `<details class="fieldform"`) < 5 || regexp.MustCompile(`id="field-[1-9]" open`).MatchString(body) {
		t.Error("another field than the one that was sent stands open")
	}
}

// A store with stock takes a new name, and its stock lies there.
func TestStoreRenamed(t *testing.T) {
	server, book := serve(t, true)
	farm := server.URL + dairy(t, book)
	if status, body := post(t, farm+"/store", url.Values{"base": {"1"}, "store0.name": {"Long row"}}); status != http.StatusSeeOther {
		t.Fatalf("status %d: %.400s", status, body)
	}
	text := newestText(t, book)
	if strings.Contains(text, `"Bale row"`) || strings.Count(text, `"Long row"`) < 2 {
		t.Errorf("the store's stock did not come along:\n%s", text)
	}
}
