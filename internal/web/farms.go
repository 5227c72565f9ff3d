package web

import (
	"fmt"
	"net/http"

	"rowen/internal/document"
	"rowen/internal/office"
	"rowen/internal/report"
	"rowen/quantity"
)

// farmsPage is the office's farms, the one that needs something first.
type farmsPage struct {
	Date    string
	Asked   string // the day asked for; empty: today
	Lines   []farmLine
	Quiet   []farmLine
	Broken  []farmLine
	Away    []farmLine // farms put away
	Valley  bool       // one of them is the invented valley's
	Reading int        // farms not read yet: the list asks again
	Farms   int
}

// farmLine is one farm with the one thing it needs now.
type farmLine struct {
	ID    int64
	Name  string
	Now   *report.ClientItem
	More  []report.ClientItem
	Phone string // that a telephone can dial, of the contact's words
	Wrong string
}

func (s *Server) farms(w http.ResponseWriter, r *http.Request) {
	body, err := s.ranked(r)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if body.Farms == 0 {
		s.show(w, r, http.StatusOK, "first.html", page{Title: s.pages.texts.say("first.title"), Tab: "farms", Body: body})
		return
	}
	s.show(w, r, http.StatusOK, "farms.html", page{Title: s.pages.texts.say("farms.title"), Tab: "farms", Body: body})
}

// farmList is the list alone, asked for while farms are still being read.
func (s *Server) farmList(w http.ResponseWriter, r *http.Request) {
	body, err := s.ranked(r)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.showPart(w, r, http.StatusOK, "farms.html", "farmlist", page{Tab: "farms", Body: body})
}

// ranked reads every farm's day and ranks the farms by what each needs. Farms that take
// longer than the page can wait are read on behind it.
func (s *Server) ranked(r *http.Request) (*farmsPage, error) {
	all, err := s.book.Farms(r.Context())
	if err != nil {
		return nil, err
	}
	var farms []office.Farm
	var away []farmLine
	valley := false
	for _, f := range all {
		if !f.Archived {
			farms = append(farms, f)
			continue
		}
		away = append(away, farmLine{ID: f.ID, Name: f.Name})
		valley = valley || s.isDemo(r.Context(), f.ID)
	}
	on, err := dateOf(r)
	if err != nil {
		return nil, err
	}
	today := on
	if today == 0 {
		today = quantity.NewDate(s.today().Date())
	}
	units := unitsOf(s.person(r))
	read, wrong, err := s.clients(r.Context(), farms, units, on)
	if err != nil {
		return nil, err
	}
	body := &farmsPage{Date: today.String(), Farms: len(farms), Away: away, Valley: valley}
	if on != 0 {
		body.Asked = on.String()
	}
	var clients []*report.FarmClient
	byFarm := map[string]office.Farm{}
	for i, f := range farms {
		if wrong[i] != nil {
			body.Broken = append(body.Broken, farmLine{ID: f.ID, Name: f.Name, Wrong: wrong[i].Error()})
			continue
		}
		if read[i] == nil {
			body.Reading++
			continue
		}
		// Two farms may have one name; the list tells them apart by where they stand.
		c := *read[i]
		c.Items = append([]report.ClientItem(nil), c.Items...)
		key := f.Name
		for k := 2; ; k++ {
			if _, taken := byFarm[key]; !taken {
				break
			}
			key = fmt.Sprintf("%s (%d)", f.Name, k)
		}
		c.Farm = key
		for k := range c.Items {
			c.Items[k].Farm = key
		}
		byFarm[key] = f
		clients = append(clients, &c)
	}
	rank := report.BuildClients(today, clients, len(body.Broken))
	at := map[string]int{}
	for i := range rank.Items {
		item := rank.Items[i]
		f := byFarm[item.Farm]
		if k, ok := at[item.Farm]; ok {
			body.Lines[k].More = append(body.Lines[k].More, item)
			continue
		}
		at[item.Farm] = len(body.Lines)
		body.Lines = append(body.Lines, farmLine{ID: f.ID, Name: item.Farm, Now: &item, Phone: phoneOf(item.Contact)})
	}
	for _, name := range rank.Quiet {
		body.Quiet = append(body.Quiet, farmLine{ID: byFarm[name].ID, Name: name})
	}
	return body, nil
}

// dateOf is the day that a request asks for; zero is today. What is no day is a
// document.Problem.
func dateOf(r *http.Request) (quantity.Date, error) {
	text := r.URL.Query().Get("date")
	if text == "" {
		return 0, nil
	}
	on, err := quantity.ParseDate(text)
	if err != nil || !on.Sane() {
		return 0, document.Problem{File: "address", Thing: "date", Value: text, Remedy: fmt.Sprintf("write year-month-day, such as 2026-07-12, from %d to %d", quantity.FirstYear, quantity.LastYear)}
	}
	return on, nil
}

// phoneOf finds a number that a telephone can dial in a contact's words.
func phoneOf(contact string) string {
	start, digits := -1, 0
	for i, c := range contact + "\x00" {
		switch {
		case c >= '0' && c <= '9' || c == '+' && start < 0:
			if start < 0 {
				start = i
			}
			digits++
		case start >= 0 && (c == '-' || c == ' ' || c == '(' || c == ')' || c == '.' || c == '/'):
		default:
			if digits >= 6 {
				number := ""
				for _, d := range contact[start:i] {
					if d >= '0' && d <= '9' || d == '+' {
						number += string(d)
					}
				}
				return number
			}
			start, digits = -1, 0
		}
	}
	return ""
}
