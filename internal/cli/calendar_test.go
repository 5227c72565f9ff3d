package cli_test

import (
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-ical"

	"rowen/internal/cli"
)

// event is a calendar's event by the names of its properties.
type event map[string]string

// events reads an iCalendar file by RFC 5545's own rules, and nothing of ours: lines
// end in CR LF, none is longer than 75 octets, a space folds one onto the last.
func events(t *testing.T, path string) map[string]event {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]event{}
	var stack []string
	var now event
	for _, line := range strings.Split(strings.ReplaceAll(unfold(t, string(text)), "\r\n", "\n"), "\n") {
		name, value, ok := strings.Cut(line, ":")
		name, _, _ = strings.Cut(name, ";")
		switch {
		case line == "":
		case !ok:
			t.Errorf("no property: %q", line)
		case name == "BEGIN":
			if stack = append(stack, value); value == "VEVENT" {
				now = event{}
			}
		case name == "END":
			if len(stack) == 0 || stack[len(stack)-1] != value {
				t.Fatalf("END:%s closes %v", value, stack)
			}
			if stack = stack[:len(stack)-1]; value == "VEVENT" {
				if _, twice := out[now["UID"]]; twice || now["UID"] == "" {
					t.Errorf("the UID %q comes twice or is none", now["UID"])
				}
				out[now["UID"]] = now
			}
		case len(stack) > 0 && stack[len(stack)-1] == "VEVENT":
			if _, twice := now[name]; twice {
				t.Errorf("%s comes twice in %s", name, now["UID"])
			}
			now[name] = value
		}
	}
	if len(stack) != 0 || len(out) == 0 {
		t.Errorf("%d events, still open: %v", len(out), stack)
	}
	read(t, string(text), out)
	return out
}

// read holds the events against what a reader of another house makes of the file.
func read(t *testing.T, text string, want map[string]event) {
	t.Helper()
	cal, err := ical.NewDecoder(strings.NewReader(text)).Decode()
	if err != nil {
		t.Fatalf("another reader: %v", err)
	}
	got := cal.Events()
	if len(got) != len(want) {
		t.Errorf("another reader finds %d events, not %d", len(got), len(want))
	}
	for i := range got {
		uid, err := got[i].Props.Text(ical.PropUID)
		if err != nil || want[uid] == nil {
			t.Errorf("another reader finds an event %q (%v)", uid, err)
			continue
		}
		start, err := got[i].DateTimeStart(time.UTC)
		if err != nil || start.Format("20060102") != want[uid]["DTSTART"] {
			t.Errorf("%s: another reader has it begin on %v (%v), not %s", uid, start, err, want[uid]["DTSTART"])
		}
	}
}

func unfold(t *testing.T, text string) string {
	t.Helper()
	if strings.Contains(strings.ReplaceAll(text, "\r\n", ""), "\n") {
		t.Error("a line does not end in CR LF")
	}
	for _, line := range strings.Split(text, "\r\n") {
		if len(line) > 75 {
			t.Errorf("%d octets: %q", len(line), line)
		}
	}
	return strings.NewReplacer("\r\n ", "", "\r\n\t", "").Replace(text)
}

var stamp = regexp.MustCompile(`^\d{8}T000000Z$`)

// whole tells whether every event has what an update needs.
func whole(t *testing.T, all map[string]event) {
	t.Helper()
	for uid, e := range all {
		if !stamp.MatchString(e["DTSTAMP"]) || e["LAST-MODIFIED"] != e["DTSTAMP"] || e["SEQUENCE"] == "" || e["SUMMARY"] == "" || len(e["DTSTART"]) != 8 || e["DTEND"] <= e["DTSTART"] {
			t.Errorf("%s: %v", uid, e)
		}
	}
}

// moved is how many events of both calendars lie on another day in the second.
func moved(a, b map[string]event) (n int) {
	for uid, e := range a {
		if f, ok := b[uid]; ok && f["DTSTART"] != e["DTSTART"] {
			n++
		}
	}
	return n
}

// A plan made again with moved dates moves events, and doubles none: also where one
// field is sown in blocks and two names read alike.
func TestCalendarKeepsUIDs(t *testing.T) {
	out := root(t)
	dir := village(t, map[string][]string{"dairy": {
		`name = "Mill Flat"`, `name = "North-Six"`, `field = "Mill Flat"`, `field = "North-Six"`,
		"field = \"Gravel Bank\"\n", "field = \"Gravel Bank\"\nblocks = 3\nstagger = \"10 d\"\n"}})
	var both []map[string]event
	for _, years := range []string{"1998-2007", "2008-2017"} {
		if _, problems, code := run(t, "plan", filepath.Join(dir, "dairy.toml"), "--years", years, "--out", filepath.Join(out, years)); code != cli.OK {
			t.Fatal(problems)
		}
		all := events(t, filepath.Join(out, years, "calendar.ics"))
		whole(t, all)
		both = append(both, all)
	}
	// How many loads of manure a field gets follows from the years: those may differ.
	named := func(all map[string]event) []string {
		return slices.DeleteFunc(slices.Sorted(maps.Keys(all)), func(uid string) bool { return strings.Contains(uid, "-spread-") })
	}
	a, b := named(both[0]), named(both[1])
	if !slices.Equal(a, b) || len(a) < 12 {
		t.Errorf("%d and %d events; the first has\n%s\nthe second\n%s", len(a), len(b), strings.Join(a, "\n"), strings.Join(b, "\n"))
	}
	if n := moved(both[0], both[1]); n < 3 {
		t.Errorf("only %d events moved: the plans are too alike to show anything", n)
	}
}

// The season's calendar moves the plan's events, and each later day's is a later
// revision of the same.
func TestSeasonCalendar(t *testing.T) {
	out := root(t)
	dir := village(t, map[string][]string{"dairy": {"first_year = 2027", "first_year = 2025",
		"field = \"Gravel Bank\"\n", "field = \"Gravel Bank\"\nblocks = 3\nstagger = \"10 d\"\n"}})
	farm := filepath.Join(dir, "dairy.toml")
	if _, problems, code := run(t, "plan", farm, "--years", "1998-2017", "--out", out); code != cli.OK {
		t.Fatal(problems)
	}
	plan := events(t, filepath.Join(out, "calendar.ics"))
	season := func(date string) map[string]event {
		path := filepath.Join(out, date+".ics")
		if _, problems, code := run(t, "today", farm, "--date", date, "--no-stock", "--calendar", path); code != cli.OK {
			t.Fatal(problems)
		}
		first, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if _, _, code := run(t, "today", farm, "--date", date, "--no-stock", "--calendar", path); code != cli.OK {
			t.Fatal("not written again")
		}
		if again, _ := os.ReadFile(path); string(again) != string(first) {
			t.Errorf("%s: the same day gives other bytes", date)
		}
		all := events(t, path)
		whole(t, all)
		return all
	}
	shared := func(kind string, all map[string]event) (found []string) {
		for _, uid := range slices.Sorted(maps.Keys(all)) {
			if _, ok := plan[uid]; ok && strings.Contains(uid, "-"+kind+"-") {
				found = append(found, uid)
			}
		}
		return found
	}
	may := season("2025-05-10")
	if sow := shared("sow", may); len(sow) != 3 || len(shared("turnout", may)) != 1 || len(shared("housing", may)) != 1 || moved(plan, may) == 0 {
		t.Errorf("shared with the plan: %q", sow)
	}
	writeDown(t, farm, "2025-06-14 sowed North Six sorghum-sudangrass-bmr 42 lb/ac", "2025-07-01 label Gravel Bank Weedaway plant-back 20 d")
	july := season("2025-07-10")
	sown := shared("sow-north-six", july)
	if len(sown) != 1 || july[sown[0]]["DTSTART"] != "20250614" || !strings.HasPrefix(july[sown[0]]["SUMMARY"], "Sown: ") || july[sown[0]]["DTSTAMP"] != "20250710T000000Z" {
		t.Errorf("sown on North Six: %v", july[sown[0]])
	}
	if len(shared("measure-north-six", july)) != 1 {
		t.Error("the look at North Six is another event than the plan's")
	}
	for uid, e := range july {
		if was, ok := plan[uid]; ok && (was["SEQUENCE"] != "0" || e["SEQUENCE"] != "251" || may[uid]["SEQUENCE"] != "" && may[uid]["SEQUENCE"] != "190" || e["DTSTAMP"] <= was["DTSTAMP"]) {
			t.Errorf("%s: revision %s of %s", uid, e["SEQUENCE"], was["SEQUENCE"])
		}
	}
	count := func(kind string) (n int) {
		for uid, e := range july {
			if strings.Contains(uid, "-"+kind+"-") {
				n++
				if kind == "ready" && !strings.Contains(e["DESCRIPTION"], "middle") && !strings.Contains(e["DESCRIPTION"], "Ready ") {
					t.Errorf("no spread: %q", e["DESCRIPTION"])
				}
			}
		}
		return n
	}
	if count("ready") != 8 || count("planting-wait") != 1 {
		t.Errorf("%d ready dates, %d waits", count("ready"), count("planting-wait"))
	}
	// Wrapped sorghum that was cut short waits eight weeks in store, and then a test.
	writeDown(t, farm, "2025-07-20 cut North Six wrap 20 bales 900 lb 55 % stubble 4 in", "2025-07-12 sowed Gravel Bank pearl-millet 16 lb/ac")
	waits, august := 0, season("2025-08-10")
	// The first block is sown; the second is the plan's second, and still to come.
	if blocks := shared("sow-gravel-bank", august); len(blocks) != 2 || strings.HasPrefix(august[blocks[0]]["SUMMARY"], "Sown: ") == strings.HasPrefix(august[blocks[1]]["SUMMARY"], "Sown: ") {
		t.Errorf("blocks on Gravel Bank: %q", blocks)
	}
	for uid, e := range august {
		if strings.Contains(uid, "-lot-wait-") {
			if waits++; e["DTSTART"] != "20250914" || !strings.Contains(e["DESCRIPTION"], "before the result is read") {
				t.Errorf("lot wait: %v", e)
			}
		}
	}
	if waits != 1 {
		t.Errorf("%d lots wait in store", waits)
	}
}
