package web_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"strings"
	"testing"
)

type apiSaid struct {
	Theirs   int
	Detail   string
	Problems []struct{ Thing, Value, Remedy string }
}

type apiGaps struct {
	Middle float64 `json:"middle_kg"`
	Bad    float64 `json:"bad_kg"`
	Worst  float64 `json:"worst_kg"`
}

type apiChanged struct {
	Version       int
	Note          string
	Before, After *apiGaps
}

type members = map[string]any

// with is a body with members changed; a nil value takes one out.
func with(in members, change members) members {
	out := maps.Clone(in)
	for key, v := range change {
		if out[key] = v; v == nil {
			delete(out, key)
		}
	}
	return out
}

// version is the number of the document in force at a farm's address.
func (a *api) version(at string) int {
	a.t.Helper()
	var f struct{ Version int }
	a.call("GET", at, "", "", 200, &f)
	return f.Version
}

// text is the document in force.
func (a *api) text(at string) string {
	a.t.Helper()
	var v struct{ Text string }
	a.call("GET", at+"/document", "", "", 200, &v)
	return v.Text
}

// refused sends what cannot be taken, and wants a problem that names the member.
func (a *api) refused(path string, in members, thing string) {
	a.t.Helper()
	var said apiSaid
	a.call("POST", path, "application/json", body(a.t, in), 422, &said)
	for _, p := range said.Problems {
		if strings.Contains(p.Thing, thing) && p.Remedy != "" {
			return
		}
	}
	a.t.Errorf("POST %s %v: no problem names %q: %+v", path, in, thing, said)
}

// guards holds a change of a document against everything that is to be refused, whatever
// the change is: nothing is changed by it.
func (a *api) guards(at, what string, in members) {
	a.t.Helper()
	now := a.version(at)
	in = with(in, members{"base": now})
	a.refused(at+what, with(in, members{"base": nil}), "base")
	a.refused(at+what, with(in, members{"base": 0}), "base")
	a.refused(at+what, with(in, members{"base": now + 7}), "base")
	a.refused(at+what, with(in, members{"base": "x"}), "base")
	a.refused(at+what, with(in, members{"unheard": true}), "unheard")
	var old apiSaid
	a.call("POST", at+what, "application/json", body(a.t, with(in, members{"base": now - 1})), 409, &old)
	if old.Theirs != now || old.Detail == "" {
		a.t.Errorf("%s on an old version: %+v, want theirs %d", what, old, now)
	}
	a.call("POST", "/api/farms/99"+what, "application/json", body(a.t, in), 404, nil)
	a.call("POST", "/api/farms/x"+what, "application/json", body(a.t, in), 404, nil)
	if got := a.version(at); got != now {
		a.t.Errorf("%s: what was refused made version %d", what, got)
	}
}

// changes makes a change, and wants it to be the next version with gaps on either side.
func (a *api) changes(at, what string, in members) apiChanged {
	a.t.Helper()
	now := a.version(at)
	var got apiChanged
	a.call("POST", at+what, "application/json", body(a.t, with(in, members{"base": now, "who": "Robot"})), 200, &got)
	if got.Version != now+1 || got.Note == "" || got.Before == nil || got.After == nil {
		a.t.Errorf("%s %v: %+v, want version %d", what, in, got, now+1)
		return apiChanged{Before: &apiGaps{}, After: &apiGaps{}}
	}
	var versions []struct{ Who, Note string }
	a.call("GET", at+"/versions", "", "", 200, &versions)
	if versions[0].Who != "Robot" || versions[0].Note != got.Note {
		a.t.Errorf("%s: the version is %+v", what, versions[0])
	}
	return got
}

// shows wants a line in the document, or wants it away.
func (a *api) shows(at, line string, there bool) {
	a.t.Helper()
	if got := strings.Contains(a.text(at), line); got != there {
		a.t.Errorf("%q stands in the document: %v, want %v", line, got, there)
	}
}

// begins begins a farm by eight numbers, puts what is assumed right, and puts the valley
// away and in again.
func (a *api) begins() {
	a.t.Helper()
	const j = "application/json"
	eight := members{"name": "Sedge Lane", "organic": true, "place": "43.05, -74.48", "animals": 70, "milk": "48 lb/d", "sward": "180 ac", "cropland": "40 ac", "stored": "250 ton", "turnout": "5 May", "first_year": 2027, "who": "Ada"}
	for key, wrong := range map[string]any{"name": " ", "place": "here", "animals": 0, "milk": "much", "sward": "180 acres or so", "cropland": "-4 ac", "stored": "some", "turnout": "spring", "first_year": 3, "units": "ells", "unheard": 1, "organic": nil} {
		a.refused("/api/farms/begin", with(eight, members{key: wrong}), key)
	}
	a.refused("/api/farms/begin", with(eight, members{"sward": "x", "stored": "x"}), "stored") // each at once
	var made struct {
		ID      int64
		Name    string
		Version int
	}
	a.call("POST", "/api/farms/begin", j, body(a.t, with(eight, members{"units": "metric"})), 201, &made)
	at := fmt.Sprintf("/api/farms/%d", made.ID)
	if made.Name != "Sedge Lane" || made.Version != 1 || !strings.Contains(a.text(at), `units = "metric"`) {
		a.t.Errorf("begun: %+v\n%s", made, a.text(at))
	}

	type line struct {
		Line, Thing, Key, Value, Why string
		Single                       bool
	}
	var assumed struct {
		Version int
		Lines   []line
	}
	a.call("GET", at+"/assumed", "", "", 200, &assumed)
	find := func(key string) (l line) {
		for _, x := range assumed.Lines {
			if x.Key == key && x.Single {
				return x
			}
		}
		return l
	}
	area := find("area")
	if assumed.Version != 1 || area.Line == "" || area.Why == "" {
		a.t.Fatalf("assumed: %+v", assumed)
	}
	a.changes(at, "/assumed", members{"line": area.Line, "value": "20 ha"})
	a.shows(at, "area = \"20 ha\"\n", true)
	a.guards(at, "/assumed", members{"line": find("elevation").Line, "value": "300 m"})
	a.refused(at+"/assumed", members{"base": 2, "line": area.Line, "value": "20 ha"}, "line")
	a.refused(at+"/assumed", members{"base": 2, "line": find("elevation").Line, "value": "high"}, "elevation")
	a.refused(at+"/assumed", members{"base": 2, "line": find("elevation").Line}, "value")
	a.call("GET", "/api/farms/99/assumed", "", "", 404, nil)

	var b struct {
		Path string
		Demo bool
	}
	a.call("GET", "/api/book", "", "", 200, &b)
	if b.Path == "" || !b.Demo {
		a.t.Errorf("the book: %+v", b)
	}
	for _, method := range []string{"DELETE", "PUT", "PUT"} {
		a.call(method, "/api/book/demo", "", "", 204, nil)
		a.call("GET", "/api/book", "", "", 200, &b)
		if b.Demo != (method == "PUT") {
			a.t.Errorf("%s: the valley stands in the book: %v", method, b.Demo)
		}
	}
	var crops []struct{ Name, Title string }
	a.call("GET", "/api/crops", "", "", 200, &crops)
	if len(crops) < 10 || crops[0].Name == "" || crops[0].Title == "" {
		a.t.Errorf("crops: %+v", crops)
	}
}

// moves changes the season's plan as the page does.
func (a *api) moves(at string) {
	a.t.Helper()
	const to = "/season"
	a.guards(at, to, members{"do": "remove", "sowing": 0})
	wrong := members{"base": a.version(at)}
	for _, c := range []struct {
		in    members
		thing string
	}{
		{members{}, "do"},
		{members{"do": "sing"}, "do"},
		{members{"do": "remove"}, "sowing"},
		{members{"do": "remove", "sowing": 99}, "sowing"},
		{members{"do": "remove", "sowing": -1}, "sowing"},
		{members{"do": "remove", "sowing": 0, "weeks": 2}, "weeks"},
		{members{"do": "shift", "sowing": 0}, "weeks"},
		{members{"do": "shift", "sowing": 0, "weeks": 61}, "weeks"},
		{members{"do": "shift", "sowing": 0, "field": 99}, "field"},
		{members{"do": "part", "sowing": 0}, "tenths"},
		{members{"do": "part", "sowing": 0, "tenths": 11}, "tenths"},
		{members{"do": "part", "sowing": 0, "tenths": 0}, "tenths"},
		{members{"do": "add"}, "values"},
		{members{"do": "add", "values": members{"field": "North Six", "crop": "moonflower"}}, "crop"},
		{members{"do": "save", "sowing": 0, "values": members{"colour": "green"}}, "values.colour"},
		{members{"do": "undo", "sowing": 0}, "sowing"},
		{members{"do": "redo"}, "redo"},
	} {
		a.refused(at+to, with(wrong, c.in), c.thing)
	}
	before := a.text(at)
	gone := a.changes(at, to, members{"do": "remove", "sowing": 1})
	a.shows(at, "corn-silage-early", false)
	if *gone.Before == *gone.After {
		a.t.Errorf("a sowing less changes no gap: %+v", gone.After)
	}
	back := a.changes(at, to, members{"do": "undo"})
	if *back.After != *gone.Before || a.text(at) != before {
		a.t.Errorf("undone, the gaps are %+v, want %+v", back.After, gone.Before)
	}
	again := a.changes(at, to, members{"do": "redo"})
	if *again.After != *gone.After {
		a.t.Errorf("done again, the gaps are %+v, want %+v", again.After, gone.After)
	}
	a.changes(at, to, members{"do": "undo"})
	a.changes(at, to, members{"do": "shift", "sowing": 0, "weeks": 2})
	a.shows(at, "\non = ", true)
	a.changes(at, to, members{"do": "soil", "sowing": 0})
	a.shows(at, "\non = ", false)
	a.changes(at, to, members{"do": "part", "sowing": 0, "tenths": 5})
	a.shows(at, `part = "3.237 ha"`, true)
	a.changes(at, to, members{"do": "shift", "sowing": 0, "field": 9})
	a.shows(at, "[[sowing]]\nfield = \"Gravel Bank\"\ncrop = \"sorghum-sudangrass-bmr\"", true)
	a.changes(at, to, members{"do": "shift", "sowing": 0, "field": 7})
	a.changes(at, to, members{"do": "save", "sowing": 0, "values": members{"part": "", "rate": "40 lb/ac"}})
	a.shows(at, `rate = "40 lb/ac"`, true)
	a.shows(at, "\npart = ", false)
	a.changes(at, to, members{"do": "remove", "sowing": 2})
	a.changes(at, to, members{"do": "add", "values": members{"field": "Gravel Bank", "crop": "pearl-millet", "use": "graze"}})
	a.shows(at, "[[sowing]]\nfield = \"Gravel Bank\"\ncrop = \"pearl-millet\"\n", true)
}

// values sets, adds and drops as the forms of the pages do, and looks at what the animals
// would need.
func (a *api) values(at string) {
	a.t.Helper()
	const to = "/changes"
	type table struct {
		List   string
		Index  int
		In     *int
		Values map[string]string
	}
	var all struct {
		Version int
		Tables  []table
	}
	read := func() map[string]table {
		all.Tables = nil
		a.call("GET", at+"/values", "", "", 200, &all)
		out := map[string]table{}
		for _, x := range all.Tables {
			out[fmt.Sprintf("%s %d", x.List, x.Index)] = x
		}
		return out
	}
	step := func(in ...members) members { return members{"changes": in} }
	set := func(list string, index int, key string, v any) members {
		return members{"do": "set", "list": list, "index": index, "key": key, "value": v}
	}
	got := read()
	if p := got["group.period 2"]; p.In == nil || *p.In != 1 || p.Values["head"] == "" || got["field 0"].Values["soil.pH"] != "6.5" || got[" 0"].Values["turnout"] != "4 May" || got["store 0"].Values["capacity"] == "" {
		a.t.Errorf("values: %+v", got)
	}
	a.call("GET", "/api/farms/99/values", "", "", 404, nil)

	a.guards(at, to, step(set("field", 0, "area", "23 ac")))
	a.refused(at+to, members{"base": a.version(at), "note": "redo: as in version 1", "changes": []members{set("field", 0, "area", "23 ac")}}, "note")
	wrong := func(in members, thing string) {
		a.t.Helper()
		a.refused(at+to, members{"base": a.version(at), "changes": []members{in}}, thing)
	}
	a.refused(at+to, members{"base": a.version(at), "changes": []members{}}, "changes")
	a.refused(at+to, members{"base": a.version(at)}, "changes")
	wrong(members{"list": "field"}, "changes[0].do")
	wrong(members{"do": "sing"}, "changes[0].do")
	wrong(with(set("field", 0, "area", 1), members{"unheard": 1}), "unheard")
	wrong(set("moon", 0, "area", "1 ac"), "changes[0].list")
	wrong(set("field", 99, "area", "1 ac"), "changes[0].index")
	wrong(set("field", -1, "area", "1 ac"), "changes[0].index")
	wrong(members{"do": "set", "list": "field", "key": "area", "value": "1 ac"}, "changes[0].index")
	wrong(members{"do": "set", "list": "field", "index": 0, "value": "1 ac"}, "changes[0].key")
	wrong(members{"do": "set", "list": "field", "index": 0, "key": "area"}, "changes[0].value")
	wrong(set("field", 0, "area", []int{1}), "value")
	wrong(set("field", 0, "area", 22), "area")
	wrong(set("field", 0, "colour", "green"), "colour")
	wrong(members{"do": "drop", "list": "group"}, "changes[0].index")
	wrong(members{"do": "drop", "index": 0}, "changes[0].list")
	wrong(members{"do": "add"}, "changes[0].list")
	wrong(members{"do": "add", "list": "store", "in": 0}, "changes[0].in")
	wrong(members{"do": "add", "list": "group.period"}, "changes[0].in")
	wrong(members{"do": "add", "list": "field", "values": members{"soil.pH": 6}}, "changes[0].values")
	wrong(members{"do": "drop", "list": "field", "index": 7}, "field") // a sowing stands on it

	// Two together, or none of them.
	now := a.version(at)
	a.refused(at+to, members{"base": now, "changes": []members{set("field", 0, "area", "23 ac"), set("field", 1, "area", "wide")}}, "area")
	a.shows(at, `"23 ac"`, false)
	a.changes(at, to, step(set("field", 0, "area", "23 ac"), set("field", 0, "soil.pH", 6.4), set("group.period", 0, "head", 66), set("sowing", 1, "product", "Early \"north\"\n]]"), set("", 0, "contact", nil)))
	got = read()
	if f := got["field 0"].Values; f["area"] != "23 ac" || f["soil.pH"] != "6.4" || f["soil.texture"] != "silt loam" {
		a.t.Errorf("the field is %v", f)
	}
	if head, product := got["group.period 0"].Values["head"], got["sowing 1"].Values["product"]; head != "66" || product != "Early \"north\"\n]]" {
		a.t.Errorf("the head is %q, the product %q", head, product)
	}
	if _, there := got[" 0"].Values["contact"]; there {
		a.t.Error("the contact is still there")
	}
	groups := strings.Count(a.text(at), "[[group]]")
	noted := a.changes(at, to, members{"note": "heifers bought", "changes": []members{
		{"do": "add", "list": "group", "values": members{"class": "dairy heifer", "name": "Bought in"}},
		{"do": "add", "list": "group.period", "in": groups, "values": members{"from": "1 Nov", "head": 10, "weight": "800 lb"}},
		{"do": "add", "list": "store", "values": members{"name": "Barn", "kind": "wrapped bales", "capacity": "100 ton"}},
	}})
	a.shows(at, "[[group]]\nname = \"Bought in\"\nclass = \"dairy heifer\"\n\n[[group.period]]\nfrom = \"1 Nov\"\nhead = 10\n", true)
	if noted.Note != "heifers bought" {
		a.t.Errorf("the note is %q", noted.Note)
	}
	a.changes(at, to, step(members{"do": "drop", "list": "group", "index": groups}))
	a.shows(at, "Bought in", false)

	// What is only looked at is not kept.
	type demand = json.RawMessage
	var is, would demand
	a.call("GET", at+"/demand", "", "", 200, &is)
	look := members{"base": a.version(at), "changes": []members{set("group.period", 0, "head", 90)}}
	a.call("POST", at+"/demand", "application/json", body(a.t, look), 200, &would)
	if string(is) == string(would) {
		a.t.Error("ninety cows need what sixty-six need")
	}
	a.guards(at, "/demand", step(set("group.period", 0, "head", 90)))
	a.refused(at+"/demand", with(look, members{"changes": []members{set("group.period", 0, "head", "many")}}), "head")
}

// grounds draws fields and carries maps out and in.
func (a *api) grounds(at string) {
	a.t.Helper()
	ring := [][]float64{{-74.48, 43.05}, {-74.478, 43.05}, {-74.478, 43.052}, {-74.48, 43.052}}
	a.guards(at, "/outline", members{"name": "New Piece", "ring": ring})
	base := members{"base": a.version(at)}
	a.refused(at+"/outline", with(base, members{"ring": ring}), "field")
	a.refused(at+"/outline", with(base, members{"name": "New Piece"}), "ring")
	a.refused(at+"/outline", with(base, members{"name": "New Piece", "ring": ring[:2]}), "outline")
	a.refused(at+"/outline", with(base, members{"name": "New Piece", "ring": [][]float64{{1}, {2}, {3}}}), "ring[0]")
	a.refused(at+"/outline", with(base, members{"field": 99, "ring": ring}), "field")
	a.refused(at+"/outline", with(base, members{"field": -1, "ring": ring}), "field")
	a.changes(at, "/outline", members{"name": "New Piece", "ring": ring})
	a.shows(at, "[[field]]\nname = \"New Piece\"\noutline = ", true)
	a.changes(at, "/outline", members{"field": 0, "ring": ring, "keep_area": true})
	a.shows(at, "name = \"Barn Pasture\"\narea = \"23 ac\"\n", true)
	a.changes(at, "/outline", members{"field": 0, "ring": ring})
	a.shows(at, "name = \"Barn Pasture\"\narea", false)

	var shapes struct{ Features []json.RawMessage }
	a.call("GET", at+"/shapes", "", "", 200, &shapes)
	if len(shapes.Features) < 2 {
		a.t.Fatalf("%d shapes", len(shapes.Features))
	}
	a.call("GET", "/api/farms/99/shapes", "", "", 404, nil)
	moved := [][]float64{{-74.47, 43.05}, {-74.468, 43.05}, {-74.468, 43.053}, {-74.47, 43.053}, {-74.47, 43.05}}
	one := members{"type": "Feature", "properties": members{"name": "brook pasture"}, "geometry": members{"type": "Polygon", "coordinates": []any{moved}}}
	a.guards(at, "/shapes", members{"shapes": one})
	a.refused(at+"/shapes", members{"base": a.version(at), "shapes": members{"type": "Moon"}}, "map")
	a.refused(at+"/shapes", members{"base": a.version(at)}, "shapes")
	a.changes(at, "/shapes", members{"shapes": one})
	a.shows(at, "-74.468", true)
	// What is no field is left out and told, as on the page; the same outline twice is told too.
	tree := members{"type": "Feature", "properties": members{"name": "the oak"}, "geometry": members{"type": "Point", "coordinates": []any{-74.468, 43.05}}}
	twice := members{"type": "Feature", "properties": members{"name": "over it"}, "geometry": one["geometry"]}
	var mapped struct {
		Left     []struct{ Thing, Remedy string }
		Overlaps []struct{ A, B string }
	}
	a.call("POST", at+"/shapes", "application/json", body(a.t, members{"base": a.version(at), "shapes": members{"type": "FeatureCollection", "features": []any{tree, twice}}}), 200, &mapped)
	if len(mapped.Left) != 1 || mapped.Left[0].Remedy == "" || len(mapped.Overlaps) == 0 {
		a.t.Errorf("of a map with a tree and a field twice: %+v", mapped)
	}
	a.changes(at, "/changes", members{"changes": []members{{"do": "drop", "list": "field", "index": 11}}})
	a.changes(at, "/changes", members{"changes": []members{{"do": "drop", "list": "field", "index": 10}}})
	a.shows(at, "New Piece", false)
}

// brings looks at notes and takes them, and carries the page to a phone.
func (a *api) brings(at string) {
	a.t.Helper()
	const j = "application/json"
	var got recordAnswer
	notes := "height 9 in on Hill Pasture\nsing\n" + lines(a.t, heightOn("Barn Pasture", 77, "6 in"))
	a.call("POST", at+"/notes", j, body(a.t, members{"text": notes}), 200, &got)
	if got.Added != 0 || len(got.Entries) != 2 || len(got.Problems) != 1 || got.Problems[0].Line != 2 {
		a.t.Errorf("looked at: %+v", got)
	}
	for i, added := range []int{2, 0} { // to take the same again changes nothing
		a.call("POST", at+"/notes", j, body(a.t, members{"text": notes, "take": true}), 200, &got)
		if got.Added != added {
			a.t.Errorf("take %d: %+v, want %d added", i, got, added)
		}
	}
	a.refused(at+"/notes", members{"text": " \n"}, "text")
	a.refused(at+"/notes", members{"take": true}, "text")
	a.refused(at+"/notes", members{"text": "rowen-notes:1:0123"}, "code")
	a.refused(at+"/notes", members{"text": "x", "unheard": 1}, "unheard")
	a.call("POST", "/api/farms/99/notes", j, body(a.t, members{"text": notes}), 404, nil)

	a.call("GET", at+"/carry?date="+demoDay, "", "", 200, nil)
	a.call("GET", at+"/carry?date=soon", "", "", 422, nil)
	a.call("GET", at+"/pdf/feeder?date=soon", "", "", 422, nil)
	a.call("GET", "/api/needs?date=soon", "", "", 422, nil)
	a.call("GET", "/api/farms/99/carry", "", "", 404, nil)
}

// A body too long is refused before it is read into anything.
func TestAPITooLarge(t *testing.T) {
	server, book := serve(t, true)
	at := fmt.Sprintf("%s/api/farms/%d", server.URL, dairyOf(t, book))
	long := fmt.Sprintf(`{"base":1,"changes":[],"note":"%s"}`, strings.Repeat("x", 41<<20))
	for _, what := range []string{"/changes", "/season", "/shapes", "/outline", "/notes", "/assumed", "/demand"} {
		var said apiSaid
		if status := call(t, "POST", at+what, "application/json", long, &said); status != 413 || said.Detail == "" {
			t.Errorf("%s: forty-one megabytes: %d %+v", what, status, said)
		}
	}
	shapes := fmt.Sprintf(`{"base":1,"shapes":{"type":"%s"}}`, strings.Repeat("x", 17<<20))
	if status := call(t, "POST", at+"/shapes", "application/json", shapes, nil); status != 413 {
		t.Errorf("a map of seventeen megabytes: %d", status)
	}
}
