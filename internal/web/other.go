package web

import (
	"cmp"
	"context"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"rowen/internal/document"
	"rowen/internal/office"
)

// otherPage is what another window saved since a form was begun, beside what this form
// says. The form stays one over the version that it was begun with; Seen is the version
// that its person has now been shown, so that Keep may put the form's changes into it.
type otherPage struct {
	Said    string
	Seen    int
	Form    bool // with a column of what this form says
	Changes []otherChange
	Again   []hidden // a single action as it was sent, to be done all the same
}

// otherChange is one value: with what both began, what the other saved, what stands here.
type otherChange struct{ Thing, Key, Was, Now, Yours string }

// hidden is a value sent along unseen.
type hidden struct{ Name, Value string }

// asBegun is a farm as it was when the request's form was begun: of the version that the
// form names, or in force where it names none.
func (s *Server) asBegun(r *http.Request, o *opened) (*opened, error) {
	given := r.PostFormValue("base")
	if given == "" || given == strconv.Itoa(o.version.Number) {
		return o, nil
	}
	v := office.Version{}
	n, err := strconv.Atoi(given)
	if err == nil {
		v, err = s.book.Version(r.Context(), o.version.Farm, n)
	}
	if err != nil {
		return nil, document.Problem{Thing: "base", Value: given, Remedy: "open the page again"}
	}
	return o.as(v), nil
}

// as is a farm in another of its versions.
func (o *opened) as(v office.Version) *opened {
	then := *o
	source := *o.source
	source.Text = v.Text
	then.version, then.source = v, &source
	then.farm, then.wrong = o.desk.Farm(then.source)
	return &then
}

// merged is a text put into what another window saved meanwhile. A form's is, once its
// person was shown the other; that of a single action at once, unless both changed one
// value. Else the error is the conflict itself.
func merged(r *http.Request, text []byte, single bool, c *office.Conflict) ([]byte, error) {
	if r.FormValue("seen") != strconv.Itoa(c.Theirs.Number) {
		if !single {
			return nil, c
		}
		yours, err1 := document.Compare(c.Base.Text, text)
		theirs, err2 := document.Compare(c.Base.Text, c.Theirs.Text)
		if err := errors.Join(err1, err2); err != nil || document.Clash(yours, theirs) {
			return nil, c
		}
	}
	return document.Merge(c.Base.Text, text, c.Theirs.Text)
}

// other tells a conflict for a page and puts the other's values beside the inputs. It is
// nil where the error is none.
func (s *Server) other(err error, all ...inputs) *otherPage {
	var c *office.Conflict
	if !errors.As(err, &c) {
		return nil
	}
	theirs, _ := document.Compare(c.Base.Text, c.Theirs.Text) // sound ones: both were kept
	p := s.told(c, theirs)
	p.Form = true
	say := s.pages.texts.say
	p.Said = say("other.form", s.savedBy(c.Theirs), c.Theirs.Number, c.Base.Number)
	yours, _ := document.Compare(c.Base.Text, c.Yours.Text) // where it fails the list says less
	for i, change := range theirs {
		line := &p.Changes[i]
		line.Yours = say("other.untouched")
		for _, y := range yours {
			if y.At == change.At && y.Key == change.Key && change.At.Index >= 0 {
				line.Yours = s.orNothing(y.Now)
			}
		}
	}
	for _, in := range all {
		for _, i := range in {
			now := i.began
			for _, change := range theirs {
				if change.At == i.at && change.Key == i.Key {
					now = change.Now
				}
			}
			if now != i.began || now != i.Value {
				i.Theirs = say("other.beside", c.Theirs.Number, s.savedBy(c.Theirs), s.orNothing(now))
			}
		}
	}
	return p
}

// otherChanges lists what another window changed since a version.
func (s *Server) otherChanges(c *office.Conflict) *otherPage {
	theirs, _ := document.Compare(c.Base.Text, c.Theirs.Text) // sound ones: both were kept
	return s.told(c, theirs)
}

// told is a conflict with the changes that the other window made.
func (s *Server) told(c *office.Conflict, theirs []document.Change) *otherPage {
	p := &otherPage{Seen: c.Theirs.Number, Said: s.pages.texts.say("other.moved", s.savedBy(c.Theirs), c.Theirs.Number)}
	for _, change := range theirs {
		line := otherChange{Thing: change.Thing, Key: cmp.Or(s.pages.texts.key(change.Key), s.pages.texts.say("other.whole")), Was: s.orNothing(change.Was), Now: s.orNothing(change.Now)}
		p.Changes = append(p.Changes, line)
	}
	return p
}

// savedBy tells who saved a version, and when.
func (s *Server) savedBy(v office.Version) string {
	who := v.Who
	if who == "" {
		who = s.pages.texts.say("other.someone")
	}
	return who + ", " + v.Saved.Format("2006-01-02 15:04")
}

func (s *Server) orNothing(v string) string {
	const most = 120 // an outline is longer than a person reads
	switch cut := []rune(v); {
	case v == "":
		return s.pages.texts.say("other.nothing")
	case len(cut) > most:
		return string(cut[:most]) + "…"
	}
	return v
}

// again is a single action that met another's change, to be sent once more by one who has
// seen both.
func (p *otherPage) again(form url.Values) *otherPage {
	if p == nil {
		return nil
	}
	for name, values := range form {
		if name == "seen" {
			continue
		}
		for _, v := range values {
			p.Again = append(p.Again, hidden{name, v})
		}
	}
	slices.SortStableFunc(p.Again, func(a, b hidden) int { return strings.Compare(a.Name, b.Name) })
	p.Again = append(p.Again, hidden{"seen", strconv.Itoa(p.Seen)})
	return p
}

// refusal is the status of a page that shows why nothing was kept.
func refusal(err error) int {
	var c *office.Conflict
	switch {
	case errors.As(err, &c):
		return http.StatusConflict
	case errors.Is(err, office.ErrNoRoom):
		return http.StatusInsufficientStorage
	}
	return http.StatusUnprocessableEntity
}

// restOf are an error's problems for a page that tells a conflict by itself.
func restOf(err error) []document.Problem {
	var c *office.Conflict
	if err == nil || errors.As(err, &c) {
		return nil
	}
	return problemsOf(err)
}

// newest opens a farm in force, for a page that goes on with what another saved.
func (s *Server) newest(ctx context.Context, o *opened) *opened {
	if now, err := s.openFarm(ctx, o.version.Farm, o.source.Units); err == nil && now.wrong == nil {
		return now
	}
	return o
}
