package web_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"

	"rowen/farm"
	"rowen/internal/desk"
	"rowen/internal/office"
	"rowen/internal/web"
	"rowen/quantity"
)

func farmID(t testing.TB, book *office.Book) int64 {
	t.Helper()
	var id int64
	if _, err := fmt.Sscanf(dairy(t, book), "/farms/%d", &id); err != nil {
		t.Fatal(err)
	}
	return id
}

// fieldArea is a field's area as the dairy's document has it now.
func fieldArea(t *testing.T, book *office.Book, name string) quantity.Area {
	t.Helper()
	v, err := book.Document(t.Context(), farmID(t, book))
	if err != nil {
		t.Fatal(err)
	}
	c, err := desk.Catalogue(nil)
	if err != nil {
		t.Fatal(err)
	}
	f, err := farm.Parse("farm", v.Text, c)
	if err != nil {
		t.Fatal(err)
	}
	for i := range f.Fields {
		if f.Fields[i].Name == name {
			return f.Fields[i].Area
		}
	}
	t.Fatalf("there is no field %q", name)
	return 0
}

// post sends a form and gives status and body; redirects are not followed.
func post(t *testing.T, to string, form url.Values) (int, string) {
	t.Helper()
	c := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	r, err := c.PostForm(to, form)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = r.Body.Close() }()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r.StatusCode, string(body)
}

// What a foreign page, a foreign name or a foreign frame could do.
func TestGuard(t *testing.T) {
	server, book := serve(t, true)
	farm := dairy(t, book)
	try := func(change func(*http.Request), method, path string) *http.Response {
		t.Helper()
		r, err := http.NewRequest(method, server.URL+path, strings.NewReader("do=undo"))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		change(r)
		answer, err := http.DefaultTransport.RoundTrip(r)
		if err != nil {
			t.Fatal(err)
		}
		_ = answer.Body.Close()
		return answer
	}
	for _, c := range []struct {
		name   string
		change func(*http.Request)
		want   int
	}{
		{"another site's form", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, 403},
		{"another origin", func(r *http.Request) { r.Header.Set("Origin", "https://elsewhere.example") }, 403},
		{"another name", func(r *http.Request) { r.Host = "elsewhere.example" }, 421},
		{"another name with our port", func(r *http.Request) { r.Host = "127.0.0.1.elsewhere.example:80" }, 421},
		{"an outer address", func(r *http.Request) { r.Host = "192.168.1.10" }, 421},
		{"no name", func(r *http.Request) { r.Host = "[::1" }, 421},
		{"our own page", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-origin") }, 422},
	} {
		if got := try(c.change, "POST", farm+"/season").StatusCode; got != c.want {
			t.Errorf("%s: status %d, want %d", c.name, got, c.want)
		}
	}
	h := try(func(*http.Request) {}, "GET", "/").Header
	for name, want := range map[string]string{"Content-Security-Policy": "frame-ancestors 'none'", "X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin", "Cache-Control": "no-store"} {
		if !strings.Contains(h.Get(name), want) {
			t.Errorf("%s is %q, want %q", name, h.Get(name), want)
		}
	}
	if strings.Contains(h.Get("Content-Security-Policy"), "unsafe") {
		t.Errorf("the policy lets something unsafe through: %s", h.Get("Content-Security-Policy"))
	}
}

func TestLoopbackOnly(t *testing.T) {
	for listen, ok := range map[string]bool{"127.0.0.1:0": true, "localhost:80": true, "[::1]:80": true, "127.9.9.9:1": true, "0.0.0.0:80": false, ":80": false, "192.168.0.1:80": false, "farm.example:80": false, "[::]:80": false, "80": false} {
		if at, err := web.Loopback(listen); (err == nil) != ok {
			t.Errorf("%s: %q, %v", listen, at, err)
		}
	}
}

// Paths that try to lead out, and farms that are not there, are not found.
func TestNothingThere(t *testing.T) {
	server, _ := serve(t, true)
	for _, path := range []string{"/assets/../server.go", "/assets/%2e%2e/server.go", "/assets/", "/farms/99/season", "/farms/x/season", "/farms/-1/today", "/farms/1/figures/nothing", "/farms/9223372036854775808/season", "/etc/passwd"} {
		status, body := get(t, server.URL+path)
		if status != http.StatusNotFound || bytes.Contains(body, []byte("package web")) {
			t.Errorf("%s: status %d", path, status)
		}
	}
	if status, body := get(t, server.URL+"/healthz"); status != 200 || string(body) != "ok\n" {
		t.Errorf("health: %d %q", status, body)
	}
}

// Every form that is wrong says so beside the field and keeps what was typed.
func TestWrongForms(t *testing.T) {
	server, book := serve(t, true)
	farm := dairy(t, book)
	for _, c := range []struct {
		name, path string
		form       url.Values
		says       []string
	}{
		{"a new farm", "/farms/new", url.Values{"name": {"<b>Sedge</b>"}, "animals": {"many"}, "sward": {"-3 ac"}}, []string{`value="many"`, `id="w-animals"`, `id="w-place"`, "&lt;b&gt;Sedge&lt;/b&gt;", "more than nothing"}},
		{"animals", farm + "/animals", url.Values{"p0.weight": {"1250"}, "p0.head": {"lots"}}, []string{`value="1250"`, `id="w-p0.weight"`, `id="w-p0.head"`}},
		{"stores", farm + "/store", url.Values{"store0.capacity": {"big"}}, []string{`value="big"`, `id="w-store0.capacity"`}},
		{"a field", farm + "/ground", url.Values{"field": {"0"}, "f0.area": {"22"}, "f0.soil.pH": {"40"}}, []string{`value="22"`, `id="w-f0.area"`, `id="w-f0.soil.pH"`}},
		{"a document", farm + "/document", url.Values{"text": {"rowen = 1\nname = \"A\"\nareas = 3\n"}}, []string{"areas", "latitude", `data-line="3"`}},
		{"a sowing", farm + "/season", url.Values{"do": {"add"}, "field": {"North Six"}, "crop": {"triffid"}}, []string{"triffid", `id="w-crop"`}},
		{"a new sowing", farm + "/season", url.Values{"do": {"add"}, "field": {"North Six"}, "crop": {"oats"}, "use": {"wrap"}, "part": {"4"}, "on": {"May"}}, []string{`value="4"`, `id="w-part"`, `value="May"`, `id="w-on"`}},
		{"a sowing changed", farm + "/season", url.Values{"do": {"save"}, "sowing": {"1"}, "field": {"Mill Flat"}, "crop": {"corn-silage-early"}, "use": {"graze"}, "rate": {"much"}}, []string{`value="much"`, `id="w-rate"`, `id="w-use"`}},
		{"a move of nothing", farm + "/season", url.Values{"do": {"shift"}, "sowing": {"77"}, "weeks": {"1"}}, []string{"no such sowing"}},
		{"nothing to undo", farm + "/season", url.Values{"do": {"undo"}}, []string{"nothing to undo"}},
		{"a phrase", farm + "/today", url.Values{"phrase": {"danced on North Six"}}, []string{`value="danced on North Six"`, `role="alert"`}},
		{"a drawn line", farm + "/ground", url.Values{"do": {"outline"}, "field": {"0"}, "ring": {"[[-74.4,43],[-74.41,43]]"}}, []string{"four points"}},
		{"settings", "/settings", url.Values{"name": {""}, "units": {"us"}, "theme": {"dark"}}, []string{`id="w-name"`}},
	} {
		status, body := post(t, server.URL+c.path, c.form)
		if status != http.StatusUnprocessableEntity {
			t.Errorf("%s: status %d, want 422", c.name, status)
		}
		for _, want := range c.says {
			if !strings.Contains(body, want) {
				t.Errorf("%s: the page does not say %s", c.name, want)
			}
		}
	}
	if v, err := book.Document(t.Context(), farmID(t, book)); err != nil || v.Number != 1 {
		t.Errorf("something wrong was kept as version %d, %v", v.Number, err)
	}
}

// Two windows change one farm: the second is told and loses nothing of the first.
func TestTwoWindows(t *testing.T) {
	server, book := serve(t, true)
	farm := server.URL + dairy(t, book)
	if status, _ := post(t, farm+"/season", url.Values{"do": {"shift"}, "sowing": {"0"}, "weeks": {"1"}, "base": {"1"}}); status != http.StatusSeeOther {
		t.Fatalf("the first window: status %d", status)
	}
	status, body := post(t, farm+"/season", url.Values{"do": {"remove"}, "sowing": {"1"}, "base": {"1"}})
	if status != http.StatusConflict || !strings.Contains(body, "version 2") {
		t.Errorf("the second window: status %d", status)
	}
	v, err := book.Document(t.Context(), farmID(t, book))
	if err != nil || v.Number != 2 || !strings.Contains(string(v.Text), "corn-silage-early") {
		t.Errorf("version %d, %v", v.Number, err)
	}
	status, body = post(t, farm+"/document", url.Values{"text": {string(v.Text) + "\n# mine\n"}, "base": {"1"}})
	if status != http.StatusConflict || !strings.Contains(body, "# mine") || !strings.Contains(body, `name="base" value="2"`) {
		t.Errorf("a document saved over another's: status %d", status)
	}
}

// Undo goes back as far as there are changes, redo forward again, to the letter; a new
// change ends what could be redone.
func TestUndoRedo(t *testing.T) {
	server, book := serve(t, true)
	farm, id := server.URL+dairy(t, book), farmID(t, book)
	text := func() string {
		v, err := book.Document(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		return string(v.Text)
	}
	do := func(want int, form url.Values) {
		t.Helper()
		if status, body := post(t, farm+"/season", form); status != want {
			t.Fatalf("%v: status %d\n%.300s", form, status, body)
		}
	}
	states := []string{text()}
	for _, form := range []url.Values{
		{"do": {"shift"}, "sowing": {"0"}, "weeks": {"-1"}},
		{"do": {"part"}, "sowing": {"1"}, "tenths": {"4"}},
		{"do": {"remove"}, "sowing": {"2"}},
	} {
		do(303, form)
		states = append(states, text())
	}
	for i := len(states) - 2; i >= 0; i-- {
		do(303, url.Values{"do": {"undo"}})
		if text() != states[i] {
			t.Errorf("undo did not come back to state %d", i)
		}
	}
	do(422, url.Values{"do": {"undo"}})
	for i := 1; i < len(states); i++ {
		do(303, url.Values{"do": {"redo"}})
		if text() != states[i] {
			t.Errorf("redo did not come forward to state %d", i)
		}
	}
	do(303, url.Values{"do": {"undo"}})
	do(303, url.Values{"do": {"soil"}, "sowing": {"0"}})
	do(422, url.Values{"do": {"redo"}})
}

// A fact is asked about before it is kept, and is kept once.
func TestWriteDown(t *testing.T) {
	server, book := serve(t, true)
	farm, id := server.URL+dairy(t, book)+"/today?date="+demoDay, farmID(t, book)
	before, _, err := book.Journal(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	if status, body := post(t, farm, url.Values{"phrase": {"height 7 in 8 in 6 in on Barn Pasture 8 July"}}); status != http.StatusSeeOther {
		t.Fatalf("status %d: %.400s", status, body)
	}
	status, body := post(t, farm, url.Values{"phrase": {"height 70 in on Barn Pasture"}})
	if status != http.StatusUnprocessableEntity || !strings.Contains(body, `name="sure"`) {
		t.Errorf("seventy inches of pasture: status %d", status)
	}
	after, _, err := book.Journal(t.Context(), id)
	if err != nil || len(after) != len(before)+1 {
		t.Errorf("%d entries before, %d after, %v", len(before), len(after), err)
	}
}

// A map brought in gives fields their outlines by name and makes new ones of others.
func TestMapBroughtIn(t *testing.T) {
	server, book := serve(t, true)
	farm := server.URL + dairy(t, book)
	send := func(data string) (int, string) {
		var b bytes.Buffer
		m := multipart.NewWriter(&b)
		w, err := m.CreateFormFile("map", "../../fields.geojson")
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(w, data); err != nil {
			t.Fatal(err)
		}
		if err := m.Close(); err != nil {
			t.Fatal(err)
		}
		c := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
		r, err := c.Post(farm+"/ground/shapes", m.FormDataContentType(), &b)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = r.Body.Close() }()
		body, _ := io.ReadAll(r.Body)
		return r.StatusCode, string(body)
	}
	square := `{"type":"Polygon","coordinates":[[[-74.48,43.0],[-74.479,43.0],[-74.479,43.001],[-74.48,43.001],[-74.48,43.0]]]}`
	status, body := send(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"north six"},"geometry":` + square + `},{"type":"Feature","properties":{"name":"Far Corner"},"geometry":` + strings.ReplaceAll(square, "-74.4", "-74.3") + `}]}`)
	if status != http.StatusSeeOther {
		t.Fatalf("status %d: %.600s", status, body)
	}
	for _, name := range []string{"North Six", "Far Corner"} {
		if got := fieldArea(t, book, name); got < 9050 || got > 9065 {
			t.Errorf("%s measures %.0f m², want 9,059", name, float64(got))
		}
	}
	for what, data := range map[string]string{"a point": `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"Well"},"geometry":{"type":"Point","coordinates":[1,2]}}]}`, "no map": "hello", "an empty map": `{"type":"FeatureCollection","features":[]}`} {
		if status, body := send(data); status != http.StatusUnprocessableEntity || !strings.Contains(body, `role="alert"`) {
			t.Errorf("%s: status %d", what, status)
		}
	}
	status, out := get(t, farm+"/ground/shapes.geojson")
	var c struct{ Features []json.RawMessage }
	if err := json.Unmarshal(out, &c); err != nil || status != 200 || len(c.Features) != 11 {
		t.Errorf("given away: status %d, %d fields, %v", status, len(c.Features), err)
	}
}

// A body without end is cut off with a sentence.
func TestTooLarge(t *testing.T) {
	server, book := serve(t, true)
	r, err := http.Post(server.URL+dairy(t, book)+"/document", "application/x-www-form-urlencoded", io.MultiReader(strings.NewReader("text="), io.LimitReader(zeros{}, 45<<20)))
	if err != nil {
		t.Skip("the connection was closed before the answer was read: ", err)
	}
	defer func() { _ = r.Body.Close() }()
	if body, _ := io.ReadAll(r.Body); r.StatusCode != http.StatusRequestEntityTooLarge || !bytes.Contains(body, []byte("larger than")) {
		t.Errorf("status %d", r.StatusCode)
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = 'a'
	}
	return len(p), nil
}

// First start, an empty book a click away, and the valley back again.
func TestDemoAndEmptyBook(t *testing.T) {
	server, book := serve(t, true)
	if status, body := get(t, server.URL+"/?date="+demoDay); status != 200 || !bytes.Contains(body, []byte("Begin with an empty book")) {
		t.Errorf("status %d", status)
	}
	// The list asks again until every farm is read.
	for range 60 {
		_, list := get(t, server.URL+"/farms/list?date="+demoDay)
		if bytes.Contains(list, []byte("hx-get")) {
			continue // each asking waits for them a while
		}
		for _, name := range []string{"Fallow Brook", "Stone Gate", "Thorn Bank"} {
			if !bytes.Contains(list, []byte(name)) {
				t.Errorf("%s is not in the list", name)
			}
		}
		break
	}
	if status, _ := post(t, server.URL+"/book/empty", nil); status != http.StatusSeeOther {
		t.Errorf("status %d", status)
	}
	if _, body := get(t, server.URL+"/"); !bytes.Contains(body, []byte("no farm yet")) {
		t.Error("the book is not empty")
	}
	if status, _ := post(t, server.URL+"/book/demo", nil); status != http.StatusSeeOther {
		t.Errorf("status %d", status)
	}
	farms, err := book.Farms(t.Context())
	if err != nil || len(farms) != 3 {
		t.Errorf("%d farms, %v: the valley is to come back, not to come twice", len(farms), err)
	}
}

// What was assumed is put right one value at a time, and is then assumed no more.
func TestAssumedPutRight(t *testing.T) {
	server, book := serve(t, false)
	status, _ := post(t, server.URL+"/farms/new", url.Values{"name": {"Sedge Lane"}, "place": {"43.05, -74.48"}, "animals": {"70"}, "milk": {"48 lb/d"}, "sward": {"180 ac"}, "cropland": {"40 ac"}, "stored": {"250 ton"}, "turnout": {"5 May"}, "first_year": {"2027"}})
	if status != http.StatusSeeOther {
		t.Fatalf("status %d", status)
	}
	page := server.URL + "/farms/1/assumed"
	_, before := get(t, page)
	for line, value := range map[string]string{"field 0 area": "51 ac", " 0 elevation": "900 ft", "field 0 distance": "200 ft", " 0 prices.grain": "400 USD/ton", " 0 custom.baling": "14 USD each", " 0 prices.bought_hay": "250 USD/ton", " 0 limits.grain": "14 lb/d"} {
		if !bytes.Contains(before, []byte(`value="`+line+`"`)) {
			t.Fatalf("%q is not among what is assumed", line)
		}
		if status, body := post(t, page, url.Values{"line": {line}, "value": {value}}); status != http.StatusSeeOther {
			t.Errorf("%s: status %d %.300s", line, status, body)
		}
		if _, after := get(t, page); bytes.Contains(after, []byte(`value="`+line+`"`)) {
			t.Errorf("%q is still assumed", line)
		}
	}
	if status, body := post(t, page, url.Values{"line": {"field 1 area"}, "value": {"51"}}); status != http.StatusUnprocessableEntity || !strings.Contains(body, `value="51"`) || !strings.Contains(body, "a unit is missing") {
		t.Errorf("an area without a unit: status %d", status)
	}
	v, err := book.Document(t.Context(), 1)
	if err != nil || !strings.Contains(string(v.Text), "area = \"51 ac\"\n") {
		t.Errorf("%v\n%s", err, v.Text)
	}
}

// A person's units hold on every page and in what is printed.
func TestUnits(t *testing.T) {
	server, book := serve(t, true)
	farm := server.URL + dairy(t, book)
	if err := book.PutPerson(t.Context(), office.Person{Name: "Ada", Units: "metric", Theme: "dark"}); err != nil {
		t.Fatal(err)
	}
	_, body := get(t, farm+"/season")
	if !bytes.Contains(body, []byte("8.9 ha")) || bytes.Contains(body, []byte("22.0 ac")) || !bytes.Contains(body, []byte(`data-theme="dark"`)) {
		t.Error("the season is not in hectares, or not dark")
	}
}

var (
	used    = regexp.MustCompile(`\bt "([a-z_]+\.[A-Za-z_]+)"`)
	spoken  = regexp.MustCompile(`say\("([a-z_]+\.[A-Za-z_]+)"[,)]`)
	refused = regexp.MustCompile(`[^/]"(refused\.[a-z]+)"[,)]`)
	actions = regexp.MustCompile(`(?s)\{\{.*?\}\}|<[^>]*>|&[a-z#0-9]+;`)
	letters = regexp.MustCompile(`[A-Za-z]{3,}`)
)

// Every word of a page stands among the texts, every text that a page or program asks
// for is there, and no page carries words of its own.
func TestTexts(t *testing.T) {
	data, err := os.ReadFile("texts/en.toml")
	if err != nil {
		t.Fatal(err)
	}
	var sections map[string]map[string]string
	if err := toml.Unmarshal(data, &sections); err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob("pages/*.html")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d pages, %v", len(files), err)
	}
	sources, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	asked := 0
	for _, path := range append(files, sources...) {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, re := range []*regexp.Regexp{used, spoken, refused} {
			for _, m := range re.FindAllStringSubmatch(string(text), -1) {
				section, key, _ := strings.Cut(m[1], ".")
				asked++
				if key == "html" { // a page's file
					continue
				}
				if _, ok := sections[section][key]; !ok {
					t.Errorf("%s asks for the text %s, which is not there", path, m[1])
				}
			}
		}
		if strings.HasSuffix(path, ".html") {
			if words := letters.FindAllString(actions.ReplaceAllString(string(text), " "), -1); len(words) > 0 {
				t.Errorf("%s carries words of its own: %v", path, words)
			}
		}
	}
	if asked < 200 {
		t.Errorf("only %d texts are asked for: the test looks in the wrong place", asked)
	}
}

// BenchmarkChange is a sowing changed on the invented dairy: saved, planned over all
// years and drawn. Every change is another, so that none is answered from what is kept.
func BenchmarkChange(b *testing.B) {
	book, err := office.Open(b.Context(), filepath.Join(b.TempDir(), "bench.book"))
	if err != nil {
		b.Fatal(err)
	}
	defer func() { _ = book.Close() }()
	s, err := web.New(book, web.Options{})
	if err != nil {
		b.Fatal(err)
	}
	if err := s.OpenDemo(b.Context()); err != nil {
		b.Fatal(err)
	}
	h := s.Handler()
	rate := 1600
	for b.Loop() {
		rate++
		form := url.Values{"do": {"save"}, "sowing": {"0"}, "rate": {fmt.Sprintf("%.2f lb/ac", float64(rate)/100)}}
		r := httptest.NewRequest("POST", "http://127.0.0.1/farms/2/season", strings.NewReader(form.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("HX-Request", "true")
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code != http.StatusOK {
			b.Fatalf("status %d: %.300s", w.Code, w.Body)
		}
	}
}

// A guess that is right is kept as it stands: every one of them can be, until none is
// left but what no form holds.
func TestAssumedKeptAsTheyAre(t *testing.T) {
	server, book := serve(t, true)
	page := server.URL + dairy(t, book) + "/assumed"
	line := regexp.MustCompile(`name="line" value="([^"]*)"><input name="value" value="([^"]*)"`)
	for n := 0; ; n++ {
		_, body := get(t, page)
		m := line.FindSubmatch(body)
		if m == nil {
			if n < 15 {
				t.Errorf("only %d were assumed", n)
			}
			return
		}
		if status, answer := post(t, page, url.Values{"line": {html.UnescapeString(string(m[1]))}, "value": {html.UnescapeString(string(m[2]))}}); status != http.StatusSeeOther {
			t.Fatalf("%s as %s: status %d %s", m[1], m[2], status, regexp.MustCompile(`class="wrong"[^<]*<`).FindString(answer))
		}
		if n > 200 {
			t.Fatal("it never ends")
		}
	}
}
