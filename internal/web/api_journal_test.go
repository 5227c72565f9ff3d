package web_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"rowen/journal"
	"rowen/quantity"
)

// call asks the API and reads its answer.
func call(t *testing.T, method, url, kind, body string, into any) int {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), method, url, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if kind != "" {
		r.Header.Set("Content-Type", kind)
	}
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	if into != nil {
		if err := json.Unmarshal(text, into); err != nil {
			t.Fatalf("%s %s: %d %s: %v", method, url, answer.StatusCode, text, err)
		}
	}
	return answer.StatusCode
}

func heightOn(field string, n uint64, inches string) journal.Entry {
	return journal.Entry{
		ID: journal.ID{Device: "tester", Sequence: n}, Date: quantity.NewDate(2025, time.July, 8), Recorded: time.Date(2025, 7, 8, 18, int(n), 0, 0, time.UTC),
		Field: field, Fact: journal.Height{Heights: []journal.Amount[quantity.Length]{journal.MustSay[quantity.Length](inches)}},
	}
}

func lines(t *testing.T, entries ...journal.Entry) string {
	t.Helper()
	var b bytes.Buffer
	if err := journal.Encode(&b, entries...); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

type recordAnswer struct {
	Added   int
	Entries []struct {
		ID, State, Why string
		Asked          []string
	}
	Problems []struct {
		Line   int
		Remedy string
	}
	Detail string
}

// Entries sent twice count once, and what is wrong with one holds no other up.
func TestAPIRecord(t *testing.T) {
	server, book := serve(t, true)
	farm := dairyOf(t, book)
	url := fmt.Sprintf("%s/api/farms/%d/journal", server.URL, farm)
	one, two, other := heightOn("Barn Pasture", 1, "7 in"), heightOn("Hill Pasture", 2, "8 in"), heightOn("Barn Pasture", 1, "9 in")
	for i, c := range []struct {
		body   string
		added  int
		states string
	}{
		{lines(t, one, two), 2, "new new"},
		{lines(t, one, two), 0, "already already"},
		{lines(t, other, two) + "torn {\n", 1, "conflict already"},
		{"", 0, ""},
	} {
		var got recordAnswer
		if status := call(t, "POST", url, "application/x-ndjson", c.body, &got); status != http.StatusOK {
			t.Fatalf("%d: %d %+v", i, status, got)
		}
		var states []string
		for _, e := range got.Entries {
			states = append(states, e.State)
		}
		if got.Added != c.added || strings.Join(states, " ") != c.states {
			t.Errorf("%d: %d added, %v; want %d, %s", i, got.Added, states, c.added, c.states)
		}
		if i == 2 && (len(got.Problems) != 1 || got.Problems[0].Line != 3 || got.Entries[0].Why == "") {
			t.Errorf("%d: %+v", i, got)
		}
	}
	if _, conflicts := entriesOf(t, book, farm, "tester"); len(conflicts) != 1 {
		t.Errorf("conflicts %v", conflicts)
	}
	var hostile recordAnswer
	for _, members := range []string{`"seq":9,"kind":"height","field":"Barn Pasture","heights":["1e308 in"]`, `"seq":9223372036854775807,"kind":"drought","field":"Barn Pasture"`} {
		body := `{"v":1,"date":"2025-07-08","at":"2025-07-08T20:00:00Z","device":"tester",` + members
		line := fmt.Sprintf("%s,\"sum\":\"%08x\"}\n", body, crc32.Checksum([]byte(body), crc32.MakeTable(crc32.Castagnoli)))
		if call(t, "POST", url, "application/x-ndjson", line, &hostile); hostile.Added != 0 || len(hostile.Entries) != 1 || hostile.Entries[0].State != "refused" {
			t.Errorf("%s: %+v", members, hostile)
		}
	}
	var asked recordAnswer
	call(t, "POST", url, "", lines(t, heightOn("Barn Pasture", 9, "60 ft")), &asked)
	if len(asked.Entries) != 1 || len(asked.Entries[0].Asked) == 0 {
		t.Errorf("nothing is asked of a height of 60 feet: %+v", asked)
	}
	for what, status := range map[string]int{
		server.URL + "/api/farms/999/journal": http.StatusNotFound,
		server.URL + "/api/farms/x/journal":   http.StatusNotFound,
	} {
		var p recordAnswer
		if got := call(t, "POST", what, "", lines(t, one), &p); got != status || p.Detail == "" {
			t.Errorf("%s: %d %+v, want %d", what, got, p, status)
		}
	}
	if got := call(t, "POST", url, "", strings.Repeat("x", 5<<20), nil); got != http.StatusRequestEntityTooLarge {
		t.Errorf("five megabytes: %d", got)
	}
	r, _ := http.NewRequestWithContext(t.Context(), "POST", url, strings.NewReader(lines(t, two)))
	r.Header.Set("Rowen-Farm", "ffffffffffffffff")
	answer, err := http.DefaultClient.Do(r)
	if err != nil || answer.StatusCode != http.StatusConflict {
		t.Errorf("another book's farm: %v, %v", answer, err)
	}
	_ = answer.Body.Close()
}
