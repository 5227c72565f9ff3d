package web

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"rowen/examples"
	"rowen/farm"
	"rowen/internal/desk"
	"rowen/internal/document"
	"rowen/internal/office"
	"rowen/journal"
)

// OpenDemo puts the invented valley's farms into a book that has no farm yet.
func (s *Server) OpenDemo(ctx context.Context) error {
	all, err := s.book.Farms(ctx)
	if err != nil {
		return err
	}
	known := map[string]int64{}
	for _, f := range all {
		if s.isDemo(ctx, f.ID) {
			known[f.Name] = f.ID
		}
	}
	names, err := fs.Glob(examples.Files, "*.toml")
	if err != nil {
		return err
	}
	for _, name := range names {
		text, err := examples.Files.ReadFile(name)
		if err != nil {
			return err
		}
		d, err := s.deskOf(ctx)
		if err != nil {
			return err
		}
		f, err := d.Check(&desk.Source{Name: name, Text: text})
		if err != nil {
			return err
		}
		if shapes, err := examples.Files.ReadFile(strings.TrimSuffix(name, ".toml") + ".geojson"); err == nil {
			outlines, problems := farm.ReadShapes(name, shapes)
			if len(problems) > 0 {
				return problems
			}
			if text, err = withShapes(text, f, outlines, true); err != nil {
				return err
			}
		}
		if id, ok := known[f.Name]; ok { // put away before: taken up again
			if err := s.book.Restore(ctx, id); err != nil {
				return err
			}
			continue
		}
		made, err := s.book.Create(ctx, f.Name, text, demoOwner)
		if err != nil {
			return err
		}
		lines, err := examples.Files.Open(strings.TrimSuffix(name, ".toml") + ".journal")
		if err != nil {
			continue // this farm has written nothing down
		}
		log, err := journal.ReadAll(name, lines)
		if err := errors.Join(err, lines.Close()); err != nil {
			return err
		}
		if _, err := s.book.Record(ctx, made.ID, log.Entries...); err != nil {
			return err
		}
	}
	return nil
}

func (s *Server) openDemo(w http.ResponseWriter, r *http.Request) {
	if err := s.OpenDemo(r.Context()); err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

// closeDemo puts the invented valley away.
func (s *Server) closeDemo(ctx context.Context) error {
	farms, err := s.book.Farms(ctx)
	for _, f := range farms {
		if err == nil && !f.Archived && s.isDemo(ctx, f.ID) {
			err = s.book.Archive(ctx, f.ID)
		}
	}
	return err
}

func (s *Server) emptyBook(w http.ResponseWriter, r *http.Request) {
	if err := s.closeDemo(r.Context()); err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/farms/new", http.StatusSeeOther)
}

func (s *Server) guide(w http.ResponseWriter, r *http.Request) {
	s.show(w, r, http.StatusOK, "guide.html", page{Title: s.pages.texts.say("guide.title"), Tab: "guide"})
}

// newFarmPage is the form of eight numbers, with what was typed and what is wrong.
type newFarmPage struct {
	Name    string
	Organic bool
	Fields  []newFarmField
	Wrong   map[string]string
	Rest    []document.Problem // that no answer is about
	Bring   []document.Problem // of a document brought in
	Dropped string             // its text
}

type newFarmField struct{ Key, Label, Hint, Value, Wrong string }

func (s *Server) newFarmFields(r *http.Request) []newFarmField {
	var out []newFarmField
	units := unitsOf(s.person(r)).String()
	for _, q := range desk.Questions {
		key := string(q)
		hint := s.pages.texts.say("new.hint_" + key)
		if text, ok := s.pages.texts.words["new.hint_"+key+"_"+units]; ok {
			hint = text
		}
		out = append(out, newFarmField{Key: key, Label: s.pages.texts.say("new." + key), Hint: hint, Value: r.FormValue(key)})
	}
	return out
}

func (s *Server) newFarm(w http.ResponseWriter, r *http.Request) {
	s.showNewFarm(w, r, http.StatusOK, newFarmPage{Fields: s.newFarmFields(r), Organic: true})
}

func (s *Server) showNewFarm(w http.ResponseWriter, r *http.Request, status int, body newFarmPage) {
	if body.Wrong == nil {
		body.Wrong = map[string]string{}
	}
	s.show(w, r, status, "new.html", page{Title: s.pages.texts.say("new.title"), Tab: "new", Body: body})
}

// createFarm begins a farm by its eight numbers and opens its plan.
func (s *Server) createFarm(w http.ResponseWriter, r *http.Request) {
	body := newFarmPage{Name: strings.TrimSpace(r.FormValue("name")), Organic: r.FormValue("organic") != "", Fields: s.newFarmFields(r), Wrong: map[string]string{}}
	e := farm.Eight{Name: body.Name, Organic: body.Organic, Units: unitsOf(s.person(r))}
	wrong := s.answered(&e, r.FormValue)
	body.Wrong["name"] = wrong["name"]
	for i := range body.Fields {
		body.Fields[i].Wrong = wrong[body.Fields[i].Key]
	}
	if len(wrong) > 0 {
		s.showNewFarm(w, r, http.StatusUnprocessableEntity, body)
		return
	}
	text := []byte(e.Document())
	d, err := s.deskOf(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if _, err := d.Check(&desk.Source{Name: e.Name, Text: text}); err != nil {
		body.judge(problemsOf(err))
		s.showNewFarm(w, r, http.StatusUnprocessableEntity, body)
		return
	}
	made, err := s.book.Create(r.Context(), e.Name, text, s.person(r).Name)
	if err != nil {
		s.log.Error("a new farm", "error", err)
		body.Rest = []document.Problem{{Thing: s.pages.texts.say("new.title"), Remedy: err.Error()}}
		s.showNewFarm(w, r, refusal(err), body)
		return
	}
	http.Redirect(w, r, fmt.Sprintf("/farms/%d/season?new=1", made.ID), http.StatusSeeOther)
}

// answered reads the eight numbers by their keys into a farm that has its name; what is
// wrong is told under the key of each.
func (s *Server) answered(e *farm.Eight, value func(key string) string) (wrong map[string]string) {
	wrong = map[string]string{}
	if e.Name == "" {
		wrong["name"] = s.pages.texts.say("new.no_name")
	} else if err := office.CheckFarmName(e.Name); err != nil {
		wrong["name"] = err.Error()
	}
	for _, q := range desk.Questions {
		if err := desk.Answer(e, q, value(string(q))); err != nil {
			wrong[string(q)] = err.Error()
		}
	}
	return wrong
}

// answers are the questions by the keys of the document that is begun with them; area is
// of the cropland or of the sward, by its field.
var answers = map[string]desk.Question{
	"latitude": desk.AskPlace, "longitude": desk.AskPlace, "head": desk.AskAnimals, "milk": desk.AskMilk, "weight": desk.AskMilk,
	"area": desk.AskSward, "amount": desk.AskStored, "capacity": desk.AskStored, "turnout": desk.AskTurnout, "first_year": desk.AskFirstYear,
}

// judge puts each problem of the begun document beside the answer that it comes from.
func (p *newFarmPage) judge(problems []document.Problem) {
	for _, x := range problems {
		key := x.Thing[strings.LastIndex(x.Thing, " ")+1:]
		q := string(answers[key])
		if key == "area" && strings.Contains(x.Thing, `"Cropland"`) {
			q = string(desk.AskCropland)
		}
		said := x.Remedy
		if x.Value != "" {
			said = fmt.Sprintf("%q: %s", x.Value, x.Remedy)
		}
		i := slices.IndexFunc(p.Fields, func(f newFarmField) bool { return f.Key == q })
		switch {
		case i >= 0:
			p.Fields[i].Wrong = said
		case key == "name" && !strings.Contains(x.Thing, ":"):
			p.Wrong["name"] = said
		default:
			x.Line = 0 // nobody has seen the document yet
			p.Rest = append(p.Rest, x)
		}
	}
}

// bringFarm takes a farm document from a file, or from its text where it was wrong and
// is sent again.
func (s *Server) bringFarm(w http.ResponseWriter, r *http.Request) {
	text, name, err := upload(w, r, "document", document.MaxBytes)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	again := func(err error) { // with the text, so that it need not be found again
		s.showNewFarm(w, r, refusal(err), newFarmPage{Fields: s.newFarmFields(r), Organic: true, Bring: problemsOf(err), Dropped: string(text)})
	}
	if len(text) == 0 {
		text, name = []byte(withLineEnds(r.FormValue("text"))), "document"
	}
	d, err := s.deskOf(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	f, err := d.Check(&desk.Source{Name: name, Text: text, Station: func(name string) ([]byte, error) { return s.book.WeatherFile(r.Context(), name) }})
	if err != nil {
		again(err)
		return
	}
	made, err := s.book.Create(r.Context(), f.Name, text, s.person(r).Name)
	if err != nil {
		s.log.Error("a document brought in", "error", err)
		again(err)
		return
	}
	http.Redirect(w, r, "/farms/"+strconv.FormatInt(made.ID, 10)+"/season", http.StatusSeeOther)
}
