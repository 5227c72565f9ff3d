package cli_test

import (
	"fmt"
	"hash/crc32"
	"strings"
	"testing"

	"rowen/internal/cli"
)

// sealed is a line of a journal with its checksum, as another program may have written it.
func sealed(seq int, date, members string) string {
	body := fmt.Sprintf(`{"v":1,"date":%q,"at":"2025-07-09T20:00:00Z","device":"barn","seq":%d,%s`, date, seq, members)
	return fmt.Sprintf("%s,\"sum\":\"%08x\"}\n", body, crc32.Checksum([]byte(body), crc32.MakeTable(crc32.Castagnoli)))
}

// What no farm can have is not written down, however sure one is; where it lies in a
// journal already, every page still speaks, and asks about it.
func TestImpossibleFacts(t *testing.T) {
	record, path, file := book(t)
	for _, phrase := range []string{"height 1e308 in on Barn Pasture", "frost -1e300 F Barn Pasture", "fertilised Barn Pasture urea nitrogen 1e300 lb/ac"} {
		if text, problems, code := record(phrase, "--sure"); code != cli.Problem || !strings.Contains(problems, "no farm has so much or so little") {
			t.Errorf("%s: %d %s%s", phrase, code, text, problems)
		}
	}
	if mustRead(t, path) != "" {
		t.Error("something was written")
	}
	file("farm.journal", sealed(1, "2025-07-08", `"kind":"height","field":"Barn Pasture","heights":["1e308 in"]`)+
		sealed(2, "2025-06-01", `"kind":"cut","field":"Upper Meadow","use":"wrap","moisture":"50 %","bales":10000000,"each":"1e300 lb"`)+
		sealed(3, "2025-05-01", `"kind":"fertiliser","field":"North Six","product":"urea","nitrogen":"1e308 lb/ac"`)+
		sealed(4, "2025-07-01", `"kind":"label","field":"Hill Pasture","product":"X","grazing_wait":"1e300 d"`)+
		sealed(5, "2025-07-02", `"kind":"fed","store":"Bunker","amount":"1e300 ton"`))
	for _, command := range []string{"today", "review"} {
		text, problems, code := run(t, command, "examples/dairy.toml", "--journal", path, "--date", "2025-07-10")
		if code != cli.OK {
			t.Fatalf("%s ends with %d: %s", command, code, problems)
		}
		if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
			t.Errorf("%s says what is no number:\n%s", command, text)
		}
		if command == "today" && strings.Count(text, "no farm has so much or so little") != 5 {
			t.Errorf("the impossible facts are not asked about:\n%s", text)
		}
	}
	// Withdrawn, it is asked about no more.
	if _, problems, code := record("withdraw barn:1", "--sure"); code != cli.OK {
		t.Fatal(problems)
	}
	if text, _, _ := run(t, "today", "examples/dairy.toml", "--journal", path, "--date", "2025-07-10", "--no-stock"); strings.Count(text, "no farm has so much or so little") != 4 {
		t.Errorf("the withdrawn one is still asked about:\n%s", text)
	}
}
