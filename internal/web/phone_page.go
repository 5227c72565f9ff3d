package web

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strings"

	"rowen/internal/office"
	"rowen/internal/report"
	"rowen/quantity"
	"rowen/say"
)

// pocketPage is the field page: what each field is doing, and a note of it in two taps
// and a number. It is served on this machine, or carried to a phone as one file.
type pocketPage struct {
	Date    string // the day of the checks
	Made    string // the moment, where the farm lies
	Alarms  []say.Line
	Fields  []pocketField
	Carried bool
	Data    pocketData

	// Of the carried file alone: everything stands inside it.
	Style  template.CSS
	Script template.JS
	Policy string
}

// pocketField is a field with the gates that matter to a screen.
type pocketField struct {
	report.TodayField
	Shown []report.Named
}

// pocketData is what the page's script works with.
type pocketData struct {
	Farm    int64             `json:"farm"`
	Key     string            `json:"key"`
	Name    string            `json:"name"`
	Date    string            `json:"date"`
	Carried bool              `json:"carried"`
	Zone    string            `json:"zone"` // in which the farm's days begin
	Metric  bool              `json:"metric"`
	Fields  []string          `json:"fields"`
	Groups  []string          `json:"groups"`
	Words   map[string]string `json:"words"`
}

// farmKey tells a farm apart from those of other books, for notes that come back: by
// its first version, which never changes.
func farmKey(first office.Version) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%s %d", first.Hash, first.Saved.UnixMilli()))
	return hex.EncodeToString(sum[:8])
}

func (s *Server) keyOf(ctx context.Context, farm int64) (string, error) {
	first, err := s.book.Version(ctx, farm, 1)
	return farmKey(first), err
}

// pocket makes the field page's model.
func (s *Server) pocket(r *http.Request, o *opened) (*pocketPage, error) {
	on, err := dateOf(r)
	if err != nil {
		return nil, err
	}
	day, err := made(o.desk.Today(r.Context(), o.source, on))
	if err != nil {
		return nil, err
	}
	key, err := s.keyOf(r.Context(), o.version.Farm)
	if err != nil {
		return nil, err
	}
	p := &pocketPage{
		Date: day.Page.Date, Made: s.today().UTC().Format("2006-01-02T15:04:05Z"), Alarms: day.Page.Alarms,
		Data: pocketData{Farm: o.version.Farm, Key: key, Name: o.farm.Name, Date: day.Page.Date, Zone: o.farm.TimeZone, Metric: o.source.Units == quantity.Metric, Words: map[string]string{}},
	}
	for _, f := range day.Page.Fields {
		x := pocketField{TodayField: f}
		for _, g := range f.Gates {
			if x.Shows(g.Name) {
				x.Shown = append(x.Shown, g)
			}
		}
		p.Fields = append(p.Fields, x)
		p.Data.Fields = append(p.Data.Fields, f.Name)
	}
	slices.Sort(p.Data.Fields)
	for i := range o.farm.Groups {
		p.Data.Groups = append(p.Data.Groups, o.farm.Groups[i].Name)
	}
	for key, text := range s.pages.texts.words {
		if name, ok := strings.CutPrefix(key, "phone."); ok {
			p.Data.Words[name] = text
		}
	}
	return p, nil
}

// phone shows the field page.
func (s *Server) phone(w http.ResponseWriter, r *http.Request) {
	o := s.must(w, r)
	if o == nil {
		return
	}
	p, err := s.pocket(r, o)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.showPart(w, r, http.StatusOK, "phone.html", "pocket", page{Title: s.pages.texts.say("phone.title"), Farm: o.head(), Tab: "phone", Body: p})
}

// carry gives the field page as one file with everything inside, to be carried to a
// phone by its owner's own means. It can load nothing and send nothing: its policy says
// so, and names the one script and the one style by their hashes.
func (s *Server) carry(w http.ResponseWriter, r *http.Request) {
	o := s.must(w, r)
	if o == nil {
		return
	}
	if err := s.giveCarried(w, r, o); err != nil {
		s.fail(w, r, err)
	}
}

// giveCarried answers with the file; nothing is written yet where it gives an error.
func (s *Server) giveCarried(w http.ResponseWriter, r *http.Request, o *opened) error {
	p, err := s.pocket(r, o)
	if err != nil {
		return err
	}
	text, err := s.carried(p, page{Title: s.pages.texts.say("phone.title"), Person: s.person(r), Farm: o.head(), Tab: "phone", Body: p})
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", fileName(o.farm.Name)+"-"+p.Date+".html"))
	_, _ = w.Write(text)
	return nil
}

func (s *Server) carried(p *pocketPage, pg page) ([]byte, error) {
	p.Carried, p.Data.Carried = true, true
	var style, script []byte
	for _, name := range []string{"rowen.css", "phone.css"} {
		text, err := assetFiles.ReadFile("assets/" + name)
		if err != nil {
			return nil, err
		}
		style = append(style, text...)
	}
	script, err := assetFiles.ReadFile("assets/phone.js")
	if err != nil {
		return nil, err
	}
	p.Style, p.Script = template.CSS(style), template.JS(script)
	p.Policy = "default-src 'none'; script-src " + sourceHash(script) + "; style-src " + sourceHash(style) + "; base-uri 'none'; form-action 'none'"
	t, err := s.pages.set("phone.html", unitsOf(pg.Person), pg.Farm.Currency)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = t.ExecuteTemplate(&b, "pocket", pg)
	return b.Bytes(), err
}

// sourceHash names an inline script or style in a policy.
func sourceHash(text []byte) string {
	sum := sha256.Sum256(text)
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// fileName makes a name for a file of what a person wrote.
func fileName(name string) string {
	clean := strings.Map(func(c rune) rune {
		if c >= 'a' && c <= 'z' || c >= '0' && c <= '9' {
			return c
		}
		return '-'
	}, strings.ToLower(name))
	if clean = strings.Trim(clean, "-"); clean == "" {
		return "farm"
	}
	return clean[:min(len(clean), 40)]
}

// phoneManifest lets a browser install the field page beside other programs.
func (s *Server) phoneManifest(w http.ResponseWriter, r *http.Request) {
	o, err := s.open(r)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	at := fmt.Sprintf("/farms/%d/phone", o.version.Farm)
	name := o.head().Name
	text, err := json.Marshal(map[string]any{
		"name": name + " · Rowen", "short_name": name, "id": at, "start_url": at, "scope": at, "display": "standalone", "background_color": "#fbf9f3", "theme_color": "#2f5233",
		"icons": []map[string]string{{"src": "/assets/rowen.svg?v=" + s.pages.hashes["rowen.svg"], "sizes": "any", "type": "image/svg+xml"}},
	})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/manifest+json")
	_, _ = w.Write(text)
}

// worker is the field page's service worker: it changes with the files that it keeps, so
// that a new program's page is taken at the next visit.
func (s *Server) worker(w http.ResponseWriter, r *http.Request) {
	text, err := assetFiles.ReadFile("assets/phone-worker.js")
	if err != nil {
		s.fail(w, r, err)
		return
	}
	var keep []string
	version := sha256.New()
	for _, name := range []string{"phone.css", "phone.js", "phone-worker.js", "rowen.css", "rowen.svg"} {
		at := "/assets/" + name + "?v=" + s.pages.hashes[name]
		keep = append(keep, at)
		version.Write([]byte(at))
	}
	list, err := json.Marshal(keep)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	_, _ = strings.NewReplacer(`"VERSION"`, fmt.Sprintf("%q", hex.EncodeToString(version.Sum(nil)[:6])), `["KEEP"]`, string(list)).WriteString(w, string(text))
}
