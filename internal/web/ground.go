package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/internal/document"
	"rowen/internal/report"
)

// groundPage is the fields as a map, and each as a form.
type groundPage struct {
	Map      *report.Ground
	Base     int
	Other    *otherPage
	Forms    []inputs
	Texture  []string
	Drainage []string
	Stands   []cropChoice
	Uses     []string
	Wrong    []document.Problem
	Station  string         // the farm's weather file; empty: the invented valley
	Stations []string       // of the book
	Open     int            // field whose form stands open; -1 none
	Brought  *broughtShapes // what is to be said of a map just brought in
	Drawn    string         // how the outline that was kept a moment ago differs from the written area
}

var fieldSpecs = []spec{
	{"name", text}, {"area", text}, {"soil.texture", text}, {"soil.drainage", text}, {"soil.pH", number}, {"soil.organic_matter", text}, {"soil.depth", text},
	{"stand", text}, {"use", text}, {"first_cut", text}, {"age", number}, {"grazeable", truth}, {"distance", text},
}

// textures are the soil texture classes of the US Department of Agriculture.
//
//say:words
var textures = []string{"sand", "loamy sand", "sandy loam", "loam", "silt loam", "silt", "sandy clay loam", "clay loam", "silty clay loam", "sandy clay", "silty clay", "clay"}

func groundForm(o *opened) (*groundPage, error) {
	doc := o.version.Text
	body := &groundPage{Map: report.BuildGround(o.farm), Base: o.version.Number, Texture: textures, Open: -1, Stands: cropsOf(o)}
	for name := range crop.DrainageClasses {
		body.Drainage = append(body.Drainage, name)
	}
	slices.SortFunc(body.Drainage, func(a, b string) int {
		return int(crop.DrainageClasses[a]) - int(crop.DrainageClasses[b])
	})
	for u := crop.Graze; u < crop.Uses; u++ {
		body.Uses = append(body.Uses, u.String())
	}
	var err error
	if body.Forms, err = forms(doc, "field", "f", fieldSpecs); err != nil {
		return nil, err
	}
	for _, in := range body.Forms {
		if g := in.By("grazeable"); g.Value == "" {
			g.Value, g.began = "true", "true"
		}
	}
	return body, nil
}

func (s *Server) ground(w http.ResponseWriter, r *http.Request) {
	o, body := begun(s, w, r, groundForm)
	if o == nil {
		return
	}
	body.Drawn = s.drawnSaid(r, o, body)
	s.showGround(w, r, http.StatusOK, o, body)
}

// drawnQuery carries over the next page that a field's outline was kept, with the area
// that was written before, m²; it is empty where none was.
func drawnQuery(r *http.Request, o *opened) string {
	i, err := strconv.Atoi(r.FormValue("field"))
	if r.FormValue("do") != "outline" || err != nil || i < 0 || i >= len(o.farm.Fields) {
		return ""
	}
	values, err := document.Values(o.version.Text, document.Place{List: "field", Index: i})
	if err != nil || values["area"] == "" {
		return ""
	}
	return fmt.Sprintf("?drawn=%d&was=%.0f", i, float64(o.farm.Fields[i].Area))
}

// drawnSaid says how the outline that was kept a moment ago differs from the area that
// was written, and which of the two is used.
func (s *Server) drawnSaid(r *http.Request, o *opened, body *groundPage) string {
	i, err1 := strconv.Atoi(r.URL.Query().Get("drawn"))
	was, err2 := strconv.ParseFloat(r.URL.Query().Get("was"), 64)
	if err1 != nil || err2 != nil || i < 0 || i >= len(body.Map.Fields) || was <= 0 {
		return ""
	}
	f, u := &body.Map.Fields[i], unitsOf(s.person(r))
	key := "ground.replaced"
	if body.Forms[i].By("area").Value != "" {
		key = "ground.kept_area"
	}
	return s.pages.texts.say(key, f.Name, report.Area(was, u), report.Area(f.Drawn, u))
}

func (s *Server) showGround(w http.ResponseWriter, r *http.Request, status int, o *opened, body *groundPage) {
	files, err := s.book.Weather(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	body.Station = o.farm.Weather
	for _, f := range files {
		body.Stations = append(body.Stations, f.Name)
	}
	s.show(w, r, status, "ground.html", page{Title: s.pages.texts.say("ground.title"), Farm: o.head(), Tab: "ground", Body: body})
}

// saveGround keeps a field's form, an outline drawn by hand, a new field, or takes one
// out.
func (s *Server) saveGround(w http.ResponseWriter, r *http.Request) {
	o, body := begun(s, w, r, groundForm)
	if o == nil {
		return
	}
	single := r.FormValue("do") != "" // else a field's form
	drawn := drawnQuery(r, o)         // of the farm as it was
	doc, err := s.reground(r, o, body)
	if err == nil {
		err = s.keepInto(r, o, doc, s.pages.texts.say("ground.note"), single)
	}
	if err != nil {
		body.Other = s.other(err, body.Forms...)
		if single && body.Other != nil { // what was done is no form: the page goes on with the other's
			other := body.Other.again(r.PostForm)
			o = s.newest(r.Context(), o)
			if body, err = groundForm(o); err != nil {
				s.fail(w, r, err)
				return
			}
			body.Other = other
			s.showGround(w, r, http.StatusConflict, o, body)
			return
		}
		body.Wrong = judge(doc, restOf(err), body.Forms...)
		for i, in := range body.Forms {
			if slices.ContainsFunc(in, func(x *input) bool { return x.Wrong != "" || body.Other != nil && x.Value != x.began }) {
				body.Open = i
			}
		}
		s.showGround(w, r, refusal(err), o, body)
		return
	}
	http.Redirect(w, r, r.URL.Path+drawn, http.StatusSeeOther)
}

// reground is the document after what a form of the page asks for.
func (s *Server) reground(r *http.Request, o *opened, body *groundPage) ([]byte, error) {
	doc := o.version.Text
	i, ok := numbered(r.FormValue("field"), len(o.farm.Fields))
	if r.FormValue("field") == "-1" { // a field that is not there yet, or the farm
		i, ok = -1, true
	}
	if !ok {
		return doc, document.Problem{Thing: "field", Value: r.FormValue("field"), Remedy: "the farm has no such field; it may have changed in another window: open the page again"}
	}
	at := document.Place{List: "field", Index: i}
	switch do := r.FormValue("do"); {
	case do == "outline":
		var ring [][2]float64
		if err := json.Unmarshal([]byte(r.FormValue("ring")), &ring); err != nil {
			return doc, document.Problem{Thing: "outline", Remedy: "the drawn points cannot be read; draw them again"}
		}
		return s.outlined(doc, at, ring, r.FormValue("name"), r.FormValue("keep_area") != "")
	case do == "weather":
		if name := r.FormValue("weather"); name != "" {
			if _, err := s.book.WeatherFile(r.Context(), name); err != nil {
				return doc, document.Problem{Thing: "weather", Value: name, Remedy: s.pages.texts.say("ground.no_weather")}
			}
			return document.Set(doc, document.Place{}, "weather", document.Quote(name))
		}
		return document.Unset(doc, document.Place{}, "weather")
	case do == "drop" && i >= 0:
		return document.Delete(doc, at)
	case i >= 0:
		return apply(doc, r, body.Forms[i])
	}
	return doc, nil
}

// outlined gives a field its drawn outline, or makes a field of it. The field's area is
// the outline's from then on, unless the person keeps the one written.
func (s *Server) outlined(doc []byte, at document.Place, ring [][2]float64, name string, keepArea bool) ([]byte, error) {
	if at.Index < 0 {
		if name = strings.TrimSpace(name); name == "" {
			return doc, document.Problem{Thing: "field", Remedy: s.pages.texts.say("ground.no_name")}
		}
		outline, err := farm.OutlineOf(ring, "")
		if err != nil {
			return doc, document.Problem{Thing: "outline", Remedy: err.Error()}
		}
		return document.Append(doc, "field", document.Pair{Key: "name", Value: document.Quote(name)}, document.Pair{Key: "outline", Value: document.Quote(outline)})
	}
	values, err := document.Values(doc, at)
	if err != nil {
		return doc, err
	}
	outline, err := farm.OutlineOf(ring, values["outline"])
	if err != nil {
		return doc, document.Problem{Thing: "outline", Remedy: err.Error()}
	}
	if doc, err = document.Set(doc, at, "outline", document.Quote(outline)); err == nil && !keepArea {
		doc, err = document.Unset(doc, at, "area")
	}
	return doc, err
}

// shapes gives the outlines away as GeoJSON.
func (s *Server) shapes(w http.ResponseWriter, r *http.Request) {
	o := s.must(w, r)
	if o == nil {
		return
	}
	if err := giveShapes(w, o); err != nil {
		s.fail(w, r, err)
	}
}

// giveShapes answers with the outlines; nothing is written yet where it gives an error.
func giveShapes(w http.ResponseWriter, o *opened) error {
	data, err := farm.WriteShapes(o.farm)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/geo+json")
	w.Header().Set("Content-Disposition", `attachment; filename="fields.geojson"`)
	_, _ = w.Write(data)
	return nil
}

// mostShapes is the largest map taken in.
const mostShapes = 16 << 20

// bringShapes takes outlines from a GeoJSON file: those of fields by their names, others
// as new fields.
func (s *Server) bringShapes(w http.ResponseWriter, r *http.Request) {
	data, name, err := upload(w, r, "map", mostShapes)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	o := s.must(w, r)
	if o == nil {
		return
	}
	shapes, left := farm.ReadShapes(name, data)
	if len(shapes) > 0 {
		doc, err := withShapes(o.version.Text, o.farm, shapes, r.FormValue("keep_area") != "")
		if err == nil {
			err = s.keep(r, o, doc, s.pages.texts.say("ground.note_map", len(shapes)))
		}
		if err != nil {
			left, shapes = problemsOf(err), nil
		}
	}
	if len(shapes) == 0 {
		s.showShapes(w, r, http.StatusUnprocessableEntity, o, nil, firstFew(left))
		return
	}
	brought, err := lookedAt(r.Context(), o, shapes, left)
	switch {
	case err != nil:
		s.fail(w, r, err)
	case brought != nil:
		s.showShapes(w, r, http.StatusOK, o, brought, nil)
	default:
		http.Redirect(w, r, fmt.Sprintf("/farms/%d/ground", o.version.Farm), http.StatusSeeOther)
	}
}

// showShapes shows the page after a map was brought in, or refused.
func (s *Server) showShapes(w http.ResponseWriter, r *http.Request, status int, o *opened, brought *broughtShapes, wrong []document.Problem) {
	body, err := groundForm(o)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	body.Brought, body.Wrong = brought, wrong
	s.showGround(w, r, status, o, body)
}
