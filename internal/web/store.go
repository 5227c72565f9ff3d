package web

import (
	"net/http"

	"rowen/feed"
	"rowen/internal/document"
	"rowen/internal/report"
)

// storePage is what lies in store, how good it is and how long it lasts; and the stores
// themselves as a form.
type storePage struct {
	Today  *report.Today
	Lasts  string // why the outlook is wanting
	Base   int
	Other  *otherPage
	Stores []inputs
	Stock  []inputs
	Kinds  []string // of stores
	Feeds  []string // that a store can hold when the year begins
	Names  []string // of the stores
	Wrong  []document.Problem
}

var (
	storeSpecs = []spec{{"name", text}, {"kind", text}, {"capacity", text}}
	stockSpecs = []spec{{"store", text}, {"feed", text}, {"amount", text}, {"crude_protein", text}, {"ndf", text}}
)

func storeForm(o *opened) (*storePage, error) {
	doc := o.version.Text
	body := &storePage{Base: o.version.Number, Kinds: feed.StoreNames(), Feeds: feed.StoredNames()}
	var err error
	if body.Stores, err = forms(doc, "store", "store", storeSpecs); err != nil {
		return nil, err
	}
	for _, in := range body.Stores {
		body.Names = append(body.Names, in.By("name").Value)
	}
	body.Stock, err = forms(doc, "stock", "stock", stockSpecs)
	return body, err
}

func (s *Server) store(w http.ResponseWriter, r *http.Request) {
	o, body := begun(s, w, r, storeForm)
	if o == nil {
		return
	}
	s.showStore(w, r, http.StatusOK, o, body)
}

func (s *Server) showStore(w http.ResponseWriter, r *http.Request, status int, o *opened, body *storePage) {
	on, err := dateOf(r)
	if err != nil { // what was typed stays, beside the stores of today
		status = http.StatusUnprocessableEntity
		body.Wrong = append(body.Wrong, problemsOf(err)...)
	}
	if day, err := o.desk.Today(r.Context(), o.source, on); err != nil {
		body.Lasts = err.Error()
	} else {
		body.Today = day.Page
	}
	s.show(w, r, status, "store.html", page{Title: s.pages.texts.say("store.title"), Farm: o.head(), Tab: "store", Body: body})
}

// renamed lets stock lie in its store under the store's new name.
func renamed(doc []byte, body *storePage) ([]byte, error) {
	for _, store := range body.Stores {
		name := store.By("name")
		if name.Value == name.began || name.began == "" {
			continue
		}
		for _, stock := range body.Stock {
			in := stock.By("store")
			if in.Value != name.began {
				continue
			}
			in.Value = name.Value
			var err error
			if doc, err = document.Set(doc, in.at, in.Key, document.Quote(in.Value)); err != nil {
				return nil, err
			}
		}
	}
	return doc, nil
}

// saveStore keeps the stores as their form has them.
func (s *Server) saveStore(w http.ResponseWriter, r *http.Request) {
	o, body := begun(s, w, r, storeForm)
	if o == nil {
		return
	}
	all := append(append([]inputs(nil), body.Stores...), body.Stock...)
	doc, err := apply(o.version.Text, r, all...)
	if err == nil {
		doc, err = renamed(doc, body)
	}
	if err == nil && r.FormValue("do") == "store" {
		doc, err = document.Append(doc, "store", document.Pair{Key: "name", Value: document.Quote(s.pages.texts.say("store.new"))}, document.Pair{Key: "kind", Value: `"wrapped bales"`}, document.Pair{Key: "capacity", Value: `"100 ton"`})
	}
	if err == nil {
		err = s.keep(r, o, doc, s.pages.texts.say("store.note"))
	}
	if err != nil {
		body.Other = s.other(err, all...)
		body.Wrong = judge(doc, restOf(err), all...)
		s.showStore(w, r, refusal(err), o, body)
		return
	}
	http.Redirect(w, r, r.URL.Path, http.StatusSeeOther)
}
