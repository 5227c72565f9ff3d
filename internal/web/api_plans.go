package web

import (
	"net/http"

	"rowen/internal/report"
	"rowen/say"
)

// apiSearch is a search for plans as it stands.
type apiSearch struct {
	Running bool               `json:"running"`
	Step    say.Line           `json:"step"`
	Version int                `json:"version" jsonschema:"of the document that it is for; 0 where nothing was looked for"`
	Wrong   []apiFault         `json:"wrong"`
	Found   *report.Suggestion `json:"found,omitempty"`
}

func (s *Server) apiPlans(r *http.Request, _ nothing) (apiSearch, error) {
	o, err := s.soundFarm(r)
	if err != nil {
		return apiSearch{}, err
	}
	return searchOf(s.looking.find(o.version.Farm)), nil
}

func searchOf(x *lookout) apiSearch {
	out := apiSearch{Wrong: []apiFault{}}
	if x == nil {
		return out
	}
	_, done, said, found, err := x.state()
	out.Running, out.Step, out.Version = !done, said, x.Version
	if found != nil {
		out.Found = found.Page
	}
	if err != nil {
		out.Wrong = faults(problemsOf(err))
	}
	return out
}

func (s *Server) apiLook(r *http.Request, a asked) (apiSearch, error) {
	o, err := s.soundFarm(r)
	if err == nil {
		err = a.check()
	}
	if err != nil {
		return apiSearch{}, err
	}
	return searchOf(s.looking.look(o, a)), nil
}

// apiStop ends a search that runs. What was found before it is gone already.
func (s *Server) apiStop(r *http.Request, _ nothing) (apiSearch, error) {
	o, err := s.soundFarm(r)
	if err != nil {
		return apiSearch{}, err
	}
	x := s.looking.find(o.version.Farm)
	if x != nil {
		x.stop()
	}
	return searchOf(x), nil
}

// apiTaken says which plan is taken.
type apiTaken struct {
	Plan int `json:"plan" jsonschema:"1 for the first"`
}

func (s *Server) apiTake(r *http.Request, t apiTaken) (apiSearch, error) {
	o, err := s.soundFarm(r)
	if err == nil {
		err = s.takePlan(r, o, t.Plan)
	}
	if err != nil {
		return apiSearch{}, err
	}
	return searchOf(s.looking.find(o.version.Farm)), nil
}
