package web

import (
	"fmt"
	"net/http"
	"reflect"
	"slices"
)

// operation is one thing that a program may ask of the API. Routes and the OpenAPI
// document are made of the same list, so that neither says what the other does not.
type operation struct {
	method, path string
	summary      string
	query        []query
	header       []query
	in, out      content
	status       int
	handle       http.HandlerFunc
}

// query is a parameter in the address or a header.
type query struct{ name, about string }

// content is what goes in or comes out: JSON of a type, or a text of a kind.
type content struct {
	kind string       // media type; empty: nothing
	of   reflect.Type // of JSON
	like string       // what the text is
}

// nothing goes in, or comes out.
type nothing struct{}

// contentOf is JSON of a type.
func contentOf[T any]() content {
	t := reflect.TypeFor[T]()
	if t == reflect.TypeFor[nothing]() {
		return content{}
	}
	return content{kind: "application/json", of: t}
}

// op is an operation that takes JSON and gives JSON.
// A new thing that has a place of its own is answered with 201.
func op[In, Out any](s *Server, method, path, summary string, do func(r *http.Request, in In) (Out, error), more ...query) operation {
	o := operation{method: method, path: path, summary: summary, query: more, in: contentOf[In](), out: contentOf[Out](), status: http.StatusOK}
	switch {
	case method == http.MethodPost && (path == "/api/farms" || path == "/api/farms/begin"):
		o.status = http.StatusCreated
	case o.out.kind == "":
		o.status = http.StatusNoContent
	}
	o.handle = func(w http.ResponseWriter, r *http.Request) {
		var in In
		if o.in.kind != "" {
			if err := readJSON(r, &in); err != nil {
				s.apiFail(w, r, err)
				return
			}
		}
		out, err := do(r, in)
		switch {
		case err != nil:
			s.apiFail(w, r, err)
		case o.status == http.StatusNoContent:
			w.WriteHeader(o.status)
		default:
			s.apiAnswer(w, o.status, out)
		}
	}
	return o
}

// apiRoutes are what programs call.
func (s *Server) apiRoutes(m *http.ServeMux) {
	all := s.operations()
	for _, o := range all {
		m.HandleFunc(o.method+" "+o.path, s.dated(o))
	}
	text, err := openAPI(all)
	if err != nil {
		panic(fmt.Sprintf("the OpenAPI document cannot be made: %v", err)) // a test makes it
	}
	m.HandleFunc("GET /api/openapi.json", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "application/json")
		_, _ = w.Write(text)
	})
	m.HandleFunc("/api/", func(w http.ResponseWriter, r *http.Request) {
		if allow := methods(m, r); allow != "" {
			w.Header().Set("Allow", allow)
			s.apiRefuse(w, http.StatusMethodNotAllowed, "this address takes "+allow+"; /api/openapi.json lists what there is")
			return
		}
		s.apiRefuse(w, http.StatusNotFound, "no such thing here; /api/openapi.json lists what there is")
	})
}

// dated refuses a day that is none before an operation that asks for one begins.
func (s *Server) dated(o operation) http.HandlerFunc {
	if !slices.ContainsFunc(o.query, func(q query) bool { return q.name == "date" }) {
		return o.handle
	}
	return func(w http.ResponseWriter, r *http.Request) {
		if _, err := dateOf(r); err != nil {
			s.apiFail(w, r, err)
			return
		}
		o.handle(w, r)
	}
}

// soundFarm opens the farm that a request names; what is wrong with its document is the
// error.
func (s *Server) soundFarm(r *http.Request) (*opened, error) {
	o, err := s.open(r)
	if err == nil {
		err = o.wrong
	}
	return o, err
}

// operations is everything that the API does.
func (s *Server) operations() []operation {
	date := query{"date", "the day, such as 2026-07-12; without it, today where the farm lies"}
	return []operation{
		op(s, "GET", "/api/farms", "List the office's farms, the archived too", s.apiFarms),
		op(s, "POST", "/api/farms", "Take a farm in with its document", s.apiCreate),
		op(s, "POST", "/api/farms/begin", "Begin a farm by eight numbers; all else is assumed until it is put right", s.apiBegin),
		op(s, "GET", "/api/farms/{id}", "One farm", s.apiFarm),
		op(s, "PATCH", "/api/farms/{id}", "Put a farm away, or take it up again", s.apiArchive),
		op(s, "GET", "/api/farms/{id}/document", "The document in force", s.apiDocument, query{"version", "an earlier version's number"}),
		op(s, "PUT", "/api/farms/{id}/document", "Save the next version of the document; 409 where another saved meanwhile", s.apiSave),
		op(s, "GET", "/api/farms/{id}/versions", "List the document's versions without their text, the newest first", s.apiVersions),
		op(s, "GET", "/api/farms/{id}/values", "The document's values by table, as the pages' forms show them", s.apiValues),
		op(s, "POST", "/api/farms/{id}/changes", "Set values, add tables and take tables out: kept together, or not at all", s.apiSteps),
		op(s, "GET", "/api/farms/{id}/assumed", "List what is assumed of the farm, since nobody has said it", s.apiAssumed),
		op(s, "POST", "/api/farms/{id}/assumed", "Put one assumed value right", s.apiPutRight),
		{method: "GET", path: "/api/farms/{id}/shapes", summary: "The fields' outlines", status: http.StatusOK, out: content{kind: "application/geo+json", like: "a feature collection"}, handle: s.apiGetShapes},
		op(s, "POST", "/api/farms/{id}/shapes", "Take fields' outlines in from a map", s.apiBringShapes),
		op(s, "POST", "/api/farms/{id}/outline", "Draw the outline of one field, or of a new one", s.apiDraw),
		op(s, "POST", "/api/check", "Check a document and keep nothing; every problem at once", s.apiCheck),
		op(s, "GET", "/api/farms/{id}/plan", "The season's plan over the weather years", s.apiPlan),
		op(s, "POST", "/api/farms/{id}/season", "Change one thing of the season's plan, or undo the last change", s.apiMove),
		op(s, "GET", "/api/farms/{id}/plans", "The plans suggested for the document in force, and how far the search is", s.apiPlans),
		op(s, "POST", "/api/farms/{id}/plans", "Look for plans, in place of what was found before", s.apiLook),
		op(s, "DELETE", "/api/farms/{id}/plans", "Stop looking for plans", s.apiStop),
		op(s, "POST", "/api/farms/{id}/plans/take", "Take a suggested plan as the farm's: the next version of its document", s.apiTake),
		op(s, "GET", "/api/farms/{id}/figures", "List the plan's figures", s.apiFigures),
		op(s, "GET", "/api/farms/{id}/figures/{key}", "Open a figure: formula, inputs, sources, made again", s.apiFigure),
		{method: "GET", path: "/api/farms/{id}/pdf/{name}", summary: "A paper to print: plan, field, feeder or seed", status: http.StatusOK,
			query: []query{date, {"paper", "A4 or Letter; without it, as the units have it"}}, out: content{kind: paperKinds["pdf"], like: "the paper"}, handle: s.apiPaper("pdf")},
		{method: "GET", path: "/api/farms/{id}/xlsx/{name}", summary: "The same paper as a workbook", status: http.StatusOK,
			query: []query{date}, out: content{kind: paperKinds["xlsx"], like: "the workbook"}, handle: s.apiPaper("xlsx")},
		op(s, "GET", "/api/farms/{id}/demand", "What the animals need by half-month", s.apiDemand),
		op(s, "POST", "/api/farms/{id}/demand", "What the animals would need after changes, which are not kept", s.apiLookDemand),
		op(s, "GET", "/api/farms/{id}/today", "The farm as it stands on a day: gates, heights, stores", s.apiToday, date),
		op(s, "GET", "/api/needs", "What each farm needs now, the most pressing first", s.apiNeeds, date),
		op(s, "GET", "/api/farms/{id}/journal", "The journal: every entry once, and the conflicts", s.apiJournal),
		{method: "POST", path: "/api/farms/{id}/journal", summary: "Record entries; the same entry counts once, so that to send again is safe", status: http.StatusOK,
			header: []query{{farmKeyHeader, "the farm's key; 409 where it is another's"}},
			in:     content{kind: "application/x-ndjson", like: "lines of a journal, each with its checksum"}, out: contentOf[recorded](), handle: s.apiRecord},
		op(s, "POST", "/api/farms/{id}/phrases", "Write down a fact in plain words, unless a careful clerk would ask and nobody is sure", s.apiPhrase, date),
		op(s, "POST", "/api/farms/{id}/notes", "Read notes that come home from the field, and keep them where that is asked", s.apiNotes),
		{method: "GET", path: "/api/farms/{id}/carry", summary: "The field page as one file, to be carried to a phone", status: http.StatusOK, query: []query{date}, out: content{kind: "text/html", like: "the page"}, handle: s.apiCarry},
		op(s, "GET", "/api/weather", "List the weather files", s.apiWeather),
		{method: "GET", path: "/api/weather/{name}", summary: "A weather file as it was given", status: http.StatusOK, out: content{kind: "application/octet-stream", like: "the file"}, handle: s.apiWeatherFile},
		{method: "PUT", path: "/api/weather/{name}", summary: "Keep a weather file that can be read, in place of one of this name", status: http.StatusNoContent, in: content{kind: "application/octet-stream", like: "the file"}, handle: s.apiPutWeather},
		op(s, "DELETE", "/api/weather/{name}", "Take a weather file out", func(r *http.Request, _ nothing) (nothing, error) {
			return nothing{}, s.book.RemoveWeather(r.Context(), r.PathValue("name"))
		}),
		op(s, "GET", "/api/catalogue", "The office's corrections to the catalogue", s.apiCatalogue),
		op(s, "PUT", "/api/catalogue/{name}", "Keep a file of catalogue corrections", s.apiPutCatalogue),
		op(s, "DELETE", "/api/catalogue/{name}", "Take a file of catalogue corrections out", func(r *http.Request, _ nothing) (nothing, error) {
			return nothing{}, s.book.RemoveCatalogue(r.Context(), r.PathValue("name"))
		}),
		op(s, "GET", "/api/people", "People of the office", s.apiPeople),
		op(s, "PUT", "/api/people/{name}", "Keep a person", s.apiPutPerson),
		op(s, "GET", "/api/crops", "List what can be sown", s.apiCrops),
		op(s, "GET", "/api/book", "The book that is open", s.apiBook),
		{method: "GET", path: "/api/book/copy", summary: "A whole copy of the book, of one moment", status: http.StatusOK, out: content{kind: copies["book"].kind, like: "the book"}, handle: s.apiCopy("book")},
		{method: "GET", path: "/api/book/plain", summary: "The whole book as plain files in an archive", status: http.StatusOK, out: content{kind: copies["zip"].kind, like: "the archive"}, handle: s.apiCopy("zip")},
		op(s, "PUT", "/api/book/demo", "Put the invented valley's farms into the book, or take them up again", s.apiOpenDemo),
		op(s, "DELETE", "/api/book/demo", "Put the invented valley's farms away", s.apiCloseDemo),
	}
}
