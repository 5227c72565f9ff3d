package web_test

import (
	"net/http"
	"net/url"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"rowen/internal/solver"
)

func TestMain(m *testing.M) {
	if solver.IsChild() {
		os.Exit(solver.RunChild())
	}
	os.Exit(m.Run())
}

// A person looks for plans, sees them side by side, and takes one, which can be undone.
func TestPlansPage(t *testing.T) {
	server, book := serve(t, true)
	farms, err := book.Farms(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	at := ""
	for _, f := range farms {
		if strings.Contains(f.Name, "Stone Gate") {
			at = server.URL + "/farms/" + strconv.FormatInt(f.ID, 10)
		}
	}
	if at == "" {
		t.Fatal("the suckler herd is not in the book")
	}
	if status, page := get(t, at+"/plans"); status != http.StatusOK || !strings.Contains(string(page), `value="look"`) {
		t.Fatalf("the page: %d", status)
	}
	status, body := post(t, at+"/plans", url.Values{"do": {"look"}, "risk": {"much"}, "plans": {"99"}, "avoid": {"kept words"}})
	if status != http.StatusUnprocessableEntity || !strings.Contains(body, `value="much"`) || !strings.Contains(body, `value="kept words"`) || !strings.Contains(body, "from 1 to 8") {
		t.Errorf("a wrong form: %d", status)
	}
	if status, _ = post(t, at+"/plans", url.Values{"do": {"take"}, "plan": {"1"}}); status != http.StatusUnprocessableEntity {
		t.Errorf("a plan was taken before there was one: %d", status)
	}
	if status, _ = post(t, at+"/plans", url.Values{"do": {"look"}, "risk": {"0.5"}, "plans": {"2"}}); status != http.StatusSeeOther {
		t.Fatalf("looking: %d", status)
	}
	for wait := time.Now(); ; time.Sleep(300 * time.Millisecond) {
		_, page := get(t, at+"/plans")
		if body = string(page); !strings.Contains(body, `value="stop"`) {
			break
		}
		if time.Since(wait) > 4*time.Minute {
			t.Fatal("the search does not end")
		}
	}
	for _, want := range []string{"<svg", "the present plan", "Take plan 1", "Ruled out", "veterinarian"} {
		if !strings.Contains(body, want) {
			t.Errorf("the plans do not show %q", want)
		}
	}
	if strings.Contains(body, "[plans.") || strings.Contains(body, "%!") {
		t.Error("a text is wanting or has the wrong arguments")
	}
	t.Run("in a browser", func(t *testing.T) {
		b := open(t, server.URL)
		for _, view := range []struct {
			name  string
			width int64
			dark  bool
		}{{"desk", 1280, false}, {"hand-dark", 390, true}} {
			b.size(view.width, 900, view.dark)
			b.visit(strings.TrimPrefix(at, server.URL) + "/plans")
			if ask[bool](b, `document.querySelector("svg") === null`) {
				t.Error("no plan is drawn")
			}
			b.shoot("plans-found-" + view.name)
			b.sound("plans found, " + view.name)
			b.audit("plans found, " + view.name)
		}
	})
	if status, _ = post(t, at+"/plans", url.Values{"do": {"take"}, "plan": {"1"}, "base": {"1"}}); status != http.StatusSeeOther {
		t.Fatalf("taking: %d", status)
	}
	if status, _ = post(t, at+"/season", url.Values{"do": {"undo"}}); status != http.StatusSeeOther {
		t.Errorf("a plan taken cannot be undone: %d", status)
	}
}
