package web_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/pb33f/libopenapi"
	validator "github.com/pb33f/libopenapi-validator"
)

var writeAgain = flag.Bool("write", false, "write the files that are made of the program anew")

// api calls a server and holds every request and answer against its OpenAPI document,
// by a validator that is not ours.
type api struct {
	t     *testing.T
	at    string
	check validator.Validator
	seen  map[string]bool
}

func newAPI(t *testing.T, at string) *api {
	t.Helper()
	answer, err := http.Get(at + "/api/openapi.json")
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join("..", "..", "docs", "openapi.json")
	if *writeAgain {
		if err := os.WriteFile(path, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if kept, err := os.ReadFile(path); err != nil || !bytes.Equal(kept, text) {
		t.Errorf("docs/openapi.json is not what the program says (%v); run: go test ./internal/web -run API -write", err)
	}
	doc, err := libopenapi.NewDocument(text)
	if err != nil {
		t.Fatal(err)
	}
	check, errs := validator.NewValidator(doc)
	if len(errs) > 0 {
		t.Fatal(errs)
	}
	if ok, wrong := check.ValidateDocument(); !ok {
		for _, w := range wrong {
			t.Errorf("the OpenAPI document: %s: %s %+v", w.Message, w.Reason, w.SchemaValidationErrors)
		}
	}
	return &api{t, at, check, map[string]bool{}}
}

func (a *api) call(method, path, kind, body string, want int, into any) {
	a.t.Helper()
	request := func() *http.Request {
		r, err := http.NewRequestWithContext(a.t.Context(), method, a.at+path, strings.NewReader(body))
		if err != nil {
			a.t.Fatal(err)
		}
		if kind != "" {
			r.Header.Set("Content-Type", kind)
		}
		return r
	}
	answer, err := http.DefaultClient.Do(request())
	if err != nil {
		a.t.Fatal(err)
	}
	text, err := io.ReadAll(answer.Body)
	_ = answer.Body.Close()
	if err != nil || answer.StatusCode != want {
		a.t.Errorf("%s %s: %d %v, want %d: %.300s", method, path, answer.StatusCode, err, want, text)
		return
	}
	answer.Body = io.NopCloser(bytes.NewReader(text))
	if ok, wrong := a.check.ValidateHttpResponse(request(), answer); !ok {
		for _, w := range wrong {
			a.t.Errorf("%s %s: the answer is not what the document says: %s: %s", method, path, w.Message, w.Reason)
			for _, s := range w.SchemaValidationErrors {
				a.t.Errorf("  %+v", s)
			}
		}
	}
	if want < 300 {
		if ok, wrong := a.check.ValidateHttpRequest(request()); !ok {
			for _, w := range wrong {
				a.t.Errorf("%s %s: a request that is taken is not what the document says: %s: %s", method, path, w.Message, w.Reason)
			}
		}
		parts := strings.Split(strings.SplitN(path, "?", 2)[0], "/")
		for i, p := range parts {
			if strings.Trim(p, "0123456789") == "" && p != "" {
				parts[i] = "{id}"
			}
		}
		a.seen[method+" "+strings.Join(parts, "/")] = true
	}
	if into != nil {
		if err := json.Unmarshal(text, into); err != nil {
			a.t.Errorf("%s %s: %v: %.300s", method, path, err, text)
		}
	}
}

func body(t *testing.T, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// suggests looks for plans on the smallest farm and takes one; without the solver's file
// it is told so.
func (a *api) suggests(farm int64) {
	a.t.Helper()
	path := fmt.Sprintf("/api/farms/%d/plans", farm)
	var got struct {
		Running bool
		Version int
		Wrong   []struct{ Remedy string }
		Found   *struct{ Plans []struct{ Suggested bool } }
	}
	a.call("POST", path, "application/json", `{"risk":2,"plans":99,"hold":[],"avoid":[],"brief":true}`, 422, nil)
	a.call("POST", path+"/take", "application/json", `{"plan":1}`, 422, nil)
	a.call("POST", path, "application/json", `{"risk":0.3,"plans":1,"hold":[],"avoid":[],"brief":true}`, 200, &got)
	for got.Running {
		time.Sleep(200 * time.Millisecond)
		a.call("GET", path, "", "", 200, &got)
	}
	if got.Found == nil || len(got.Found.Plans) < 2 {
		a.t.Fatalf("no plans: %+v", got)
	}
	a.call("DELETE", path, "", "", 200, nil) // nothing runs: what was found stays
	a.call("DELETE", "/api/farms/99/plans", "", "", 404, nil)
	a.call("POST", path+"/take", "application/json", `{"plan":1}`, 200, &got)
	var doc struct{ Number int }
	a.call("GET", fmt.Sprintf("/api/farms/%d/document", farm), "", "", 200, &doc)
	if doc.Number != got.Version+1 {
		a.t.Errorf("the plan was made for version %d, and the document in force is %d", got.Version, doc.Number)
	}
	a.call("POST", path+"/take", "application/json", `{"plan":1}`, 422, nil) // of a document that has changed
	a.call("POST", path, "application/json", `{"risk":0.3,"plans":8,"hold":[],"avoid":[],"brief":false}`, 200, &got)
	a.call("DELETE", path, "", "", 200, &got)
	for got.Found = nil; got.Running; {
		time.Sleep(50 * time.Millisecond)
		a.call("GET", path, "", "", 200, &got)
	}
	if got.Found != nil || len(got.Wrong) == 0 {
		a.t.Errorf("stopped, it has found %+v, %+v", got.Found, got.Wrong)
	}
}

// Everything that the pages do can be done by a program, and every answer is what the
// document says.
func TestAPI(t *testing.T) {
	server, book := serve(t, true)
	a := newAPI(t, server.URL)
	const j = "application/json"
	type m = map[string]any

	var farms []struct {
		ID   int64
		Name string
	}
	a.call("GET", "/api/farms", "", "", 200, &farms)
	if len(farms) != 3 {
		t.Fatalf("farms: %+v", farms)
	}
	at := fmt.Sprintf("/api/farms/%d", dairyOf(t, book))
	var document struct {
		Number int
		Text   string
	}
	a.call("GET", at+"/document", "", "", 200, &document)
	a.call("GET", at+"/document?version=1", "", "", 200, nil)
	a.call("GET", at+"/document?version=x", "", "", 422, nil)
	a.call("GET", at+"/document?version=77", "", "", 404, nil)
	a.call("GET", at, "", "", 200, nil)
	a.call("GET", "/api/farms/99", "", "", 404, nil)
	a.call("GET", "/api/farms/x", "", "", 404, nil)

	next := document.Text + "# seen\n"
	a.call("PUT", at+"/document", j, body(t, m{"base": 1, "text": next, "who": "Ada"}), 200, &document)
	if document.Number != 2 {
		t.Errorf("version %d", document.Number)
	}
	var conflict struct{ Theirs int }
	a.call("PUT", at+"/document", j, body(t, m{"base": 1, "text": next + "# his\n"}), 409, &conflict)
	if conflict.Theirs != 2 {
		t.Errorf("conflict: %+v", conflict)
	}
	var wrong struct{ Problems []struct{ Line int } }
	a.call("PUT", at+"/document", j, body(t, m{"base": 2, "text": strings.Replace(next, `area = "22 ac"`, "area = 22", 1)}), 422, &wrong)
	if len(wrong.Problems) != 1 || wrong.Problems[0].Line == 0 {
		t.Errorf("problems: %+v", wrong)
	}
	a.call("PUT", at+"/document", j, `{"base": 2, "txt": ""}`, 422, nil)
	a.call("PUT", at+"/document", j, body(t, m{"base": 7, "text": next}), 422, nil)
	a.call("PUT", at+"/document", j, body(t, m{"base": 2, "text": next + "#\n", "note": "undo: as in version 1"}), 422, nil)
	a.call("PUT", at+"/document", j, `{"base": 2`, 422, nil)
	a.call("PUT", at+"/document", j, body(t, m{"base": 2, "text": next})+"{}", 422, nil)
	a.call("GET", at+"/versions", "", "", 200, nil)
	a.call("POST", "/api/check", j, body(t, m{"document": next}), 200, nil)
	a.call("POST", "/api/check", j, body(t, m{"document": "rowen = 1\n"}), 200, &wrong)
	if len(wrong.Problems) == 0 {
		t.Error("an empty document is in order")
	}
	var made struct{ ID int64 }
	a.call("POST", "/api/farms", j, body(t, m{"document": next, "who": "Ada"}), 201, &made)
	a.call("POST", "/api/farms", j, body(t, m{"document": "x"}), 422, nil)
	a.call("PATCH", fmt.Sprintf("/api/farms/%d", made.ID), j, `{"archived": true}`, 200, nil)
	a.call("PATCH", "/api/farms/99", j, `{"archived": false}`, 404, nil)

	a.call("GET", at+"/plan", "", "", 200, nil)
	var figures []struct{ Key string }
	a.call("GET", at+"/figures", "", "", 200, &figures)
	if len(figures) < 20 {
		t.Errorf("%d figures", len(figures))
	}
	var figure struct {
		Expression string
		Sources    []string
	}
	a.call("GET", at+"/figures/gap.bad", "", "", 200, &figure)
	if figure.Expression == "" || len(figure.Sources) == 0 {
		t.Errorf("the figure is %+v", figure)
	}
	a.call("GET", at+"/figures/none", "", "", 404, nil)
	for _, f := range farms {
		if f.ID != dairyOf(t, book) {
			a.suggests(f.ID)
			break
		}
	}
	a.call("GET", at+"/pdf/plan?paper=A4", "", "", 200, nil)
	a.call("GET", at+"/pdf/poem", "", "", 404, nil)
	a.call("GET", at+"/xlsx/seed", "", "", 200, nil)
	a.call("GET", at+"/demand", "", "", 200, nil)
	a.call("GET", at+"/today?date="+demoDay, "", "", 200, nil)
	a.call("GET", at+"/today?date=soon", "", "", 422, nil)
	a.call("GET", "/api/needs?date="+demoDay, "", "", 200, nil)

	var kept struct {
		Kept  bool
		Asked []string
	}
	a.call("POST", at+"/phrases?date="+demoDay, j, body(t, m{"phrase": "height 7 in on Barn Pasture", "device": "robot"}), 200, &kept)
	if !kept.Kept {
		t.Errorf("not kept: %+v", kept)
	}
	a.call("POST", at+"/phrases?date="+demoDay, j, body(t, m{"phrase": "height 60 ft on Barn Pasture"}), 200, &kept)
	if kept.Kept || len(kept.Asked) == 0 {
		t.Errorf("kept: %+v", kept)
	}
	a.call("POST", at+"/phrases", j, body(t, m{"phrase": "sing"}), 422, nil)
	a.call("POST", at+"/phrases?date="+demoDay, j, body(t, m{"phrase": "height 7 in on Barn Pasture", "device": "my phone", "sure": true}), 422, nil)
	a.call("POST", at+"/journal", "application/x-ndjson", lines(t, heightOn("Barn Pasture", 1, "7 in")), 200, nil)
	var journal struct {
		Entries []struct{ ID, Line string }
	}
	a.call("GET", at+"/journal", "", "", 200, &journal)
	if n := len(journal.Entries); n < 3 || !strings.HasPrefix(journal.Entries[n-1].Line, `{"v":1`) {
		t.Errorf("%d entries", n)
	}

	name := url.PathEscape("Albany 1/2 %.csv")
	a.call("PUT", "/api/weather/"+name, "application/octet-stream", valleyFile(1), 204, nil)
	a.call("PUT", "/api/weather/"+name, "application/octet-stream", "date,tmax_c\n", 422, nil)
	a.call("GET", "/api/weather", "", "", 200, nil)
	a.call("GET", "/api/weather/"+name, "", "", 200, nil)
	a.call("DELETE", "/api/weather/"+name, "", "", 204, nil)
	a.call("DELETE", "/api/weather/"+name, "", "", 404, nil)
	a.call("PUT", "/api/catalogue/ours", j, body(t, m{"text": "nonsense = ["}), 422, nil)
	a.call("PUT", "/api/catalogue/ours", j, body(t, m{"text": "rowen = 1\n"}), 204, nil)
	a.call("GET", "/api/catalogue", "", "", 200, nil)
	a.call("DELETE", "/api/catalogue/ours", "", "", 204, nil)
	a.call("PUT", "/api/people/Ada", j, body(t, m{"units": "metric", "device": "ada-1"}), 204, nil)
	a.call("PUT", "/api/people/Ben", j, body(t, m{"units": "ells"}), 422, nil)
	a.call("GET", "/api/people", "", "", 200, nil)

	a.call("GET", "/api/book/copy", "", "", 200, nil)
	a.call("GET", "/api/book/plain", "", "", 200, nil)
	a.moves(at)
	a.values(at)
	a.grounds(at)
	a.brings(at)
	a.begins()

	// Nothing that the document offers was left untried.
	text, err := os.ReadFile(filepath.Join("..", "..", "docs", "openapi.json"))
	if err != nil {
		t.Fatal(err)
	}
	var offered struct {
		Paths map[string]map[string]any
	}
	if err := json.Unmarshal(text, &offered); err != nil {
		t.Fatal(err)
	}
	tried := func(method, path string) bool {
		for seen := range a.seen {
			m, p, _ := strings.Cut(seen, " ")
			one, two := strings.Split(p, "/"), strings.Split(path, "/")
			same := m == strings.ToUpper(method) && len(one) == len(two)
			for i := range one {
				same = same && i < len(two) && (one[i] == two[i] || strings.HasPrefix(two[i], "{"))
			}
			if same {
				return true
			}
		}
		return false
	}
	n := 0
	for path, methods := range offered.Paths {
		for method := range methods {
			n++
			if !tried(method, path) {
				t.Errorf("%s %s was not tried", method, path)
			}
		}
	}
	if n < 20 {
		t.Errorf("the document offers %d operations", n)
	}
}
