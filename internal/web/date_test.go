package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// A day that is none is refused with a sentence wherever one can be asked for, and what
// was typed stays.
func TestNoSuchDay(t *testing.T) {
	server, book := serve(t, true)
	farm := dairy(t, book)
	for _, date := range []string{"bad", "0001-01-01", "1899-12-31", "2201-01-01", "2026-02-30"} {
		for _, page := range []string{"/", "/farms/list", farm + "/store", farm + "/today", farm + "/phone", farm + "/phone/carry", farm + "/print/feeder.pdf", farm + "/print/feeder.xlsx", "/api/needs", "/api" + farm + "/today", "/api" + farm + "/pdf/feeder", "/api" + farm + "/xlsx/feeder"} {
			if status, body := get(t, server.URL+page+"?date="+date); status != http.StatusUnprocessableEntity || !strings.Contains(string(body), "write year-month-day") {
				t.Errorf("%s on %s: status %d", page, date, status)
			}
			if date != "bad" && !strings.HasPrefix(page, "/api") {
				break
			}
		}
	}
	if status, body := post(t, server.URL+farm+"/today?date=bad", url.Values{"phrase": {"height 7 in on Barn Pasture"}}); status != http.StatusUnprocessableEntity || !strings.Contains(body, `value="height 7 in on Barn Pasture"`) {
		t.Errorf("a phrase on no day: status %d", status)
	}
	if status, body := post(t, server.URL+farm+"/store?date=bad", url.Values{"store0.capacity": {"7 stone and a half"}}); status != http.StatusUnprocessableEntity || !strings.Contains(body, `value="7 stone and a half"`) {
		t.Errorf("stores on no day: status %d", status)
	}
	if status, _, _ := sent(t, "POST", server.URL+"/api"+farm+"/phrases?date=bad", "application/json", `{"phrase":"rain 1 in"}`); status != http.StatusUnprocessableEntity {
		t.Errorf("a program's phrase: status %d", status)
	}
}
