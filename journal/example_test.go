package journal_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"rowen/journal"
	"rowen/quantity"
)

// at is an evening in July.
var at = time.Date(2026, time.July, 12, 22, 0, 0, 0, time.UTC)

func height(device string, n uint64, spots ...string) journal.Entry {
	var h journal.Height
	for _, s := range spots {
		h.Heights = append(h.Heights, journal.MustSay[quantity.Length](s))
	}
	return journal.Entry{
		ID: journal.ID{Device: device, Sequence: n}, Recorded: at, Date: quantity.NewDate(2026, time.July, 12), Field: "North Six", Fact: h,
	}
}

func ExampleAppend() {
	dir, err := os.MkdirTemp("", "journal")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer func() { _ = os.RemoveAll(dir) }()
	path := filepath.Join(dir, "farm.journal")
	if err := journal.Append(path, height("barn", 1, "31 in", "28 in")); err != nil {
		fmt.Println(err)
		return
	}
	text, _ := os.ReadFile(path)
	fmt.Print(string(text))
	// Output:
	// {"v":1,"date":"2026-07-12","at":"2026-07-12T22:00:00Z","device":"barn","seq":1,"kind":"height","field":"North Six","heights":["31 in","28 in"],"sum":"c2783754"}
}

func ExampleRecord() {
	dir, err := os.MkdirTemp("", "journal")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer func() { _ = os.RemoveAll(dir) }()
	names := journal.Names{Fields: []string{"North Six"}, Today: quantity.NewDate(2026, time.July, 12)}
	e, err := journal.ParsePhrase("frost 30 F North Six", names)
	if err != nil {
		fmt.Println(err)
		return
	}
	path := filepath.Join(dir, "farm.journal")
	for range 2 {
		kept, err := journal.Record(path, "barn", at, e)
		fmt.Println(kept[0], err)
	}
	// Output:
	// 2026-07-12 frost, North Six: minimum 30 F (barn:1) <nil>
	// 2026-07-12 frost, North Six: minimum 30 F (barn:2) <nil>
}

func ExampleReadAll() {
	var file bytes.Buffer
	if err := journal.Encode(&file, height("barn", 1, "31 in"), height("barn", 2, "28 in")); err != nil {
		fmt.Println(err)
		return
	}
	file.Truncate(file.Len() - 30) // the power failed
	log, err := journal.ReadAll("farm.journal", &file)
	fmt.Println(len(log.Entries), len(log.Problems), err)
	fmt.Println(log.Entries[0].Fact.(journal.Height).Mean())
	fmt.Println(log.Torn)
	// Output:
	// 1 0 <nil>
	// 31 in
	// farm.journal:2: torn line: "{\"v\":1,\"date\":\"2026-07-12\",\"at\":\"2026-07-12T22:00:00Z\",\"devi": cut off while it was written, and never confirmed; nothing else is lost: look whether its fact is missing, and enter it again; the next entry will begin on a line of its own
}

func ExampleMerge() {
	phone := []journal.Entry{height("phone", 1, "31 in"), height("barn", 1, "3 in")}
	barn := []journal.Entry{height("barn", 1, "28 in"), height("phone", 1, "31 in")}
	entries, conflicts := journal.Merge(phone, barn)
	for _, e := range entries {
		fmt.Println(e)
	}
	for _, c := range conflicts {
		fmt.Println(c.Error())
	}
	// Output:
	// 2026-07-12 height, North Six: heights 28 in (barn:1)
	// 2026-07-12 height, North Six: heights 3 in (barn:1)
	// 2026-07-12 height, North Six: heights 31 in (phone:1)
	// two devices go by one name, or a file was changed: entry barn:1 is
	//   2026-07-12 height, North Six: heights 28 in (barn:1), recorded 2026-07-12T22:00:00Z
	//   2026-07-12 height, North Six: heights 3 in (barn:1), recorded 2026-07-12T22:00:00Z
	// all are kept; withdraw barn:1, which takes back all of them, and enter again what is true; give each device a name of its own
}

func ExampleStanding() {
	wrong, right := height("barn", 1, "31 in"), height("barn", 2, "13 in")
	right.Corrects = wrong.ID
	for _, e := range journal.Standing([]journal.Entry{wrong, right}) {
		fmt.Println(e)
	}
	// Output:
	// 2026-07-12 height, North Six: heights 13 in, corrects barn:1 (barn:2)
}

func ExampleReadCSV() {
	entries, problems := journal.ReadCSV("heights.csv", strings.NewReader(`date,kind,field,heights
2026-07-12,height,North Six,31 in; 28 in
2026-07-13,height,North Six,33
`))
	fmt.Println(entries)
	fmt.Println(problems)
	// Output:
	// [2026-07-12 height, North Six: heights 31 in; 28 in]
	// heights.csv:3: height: heights: "33": a unit is missing; write "33 in" or "33 ft"
}

func ExampleWriteCSV() {
	var sheet bytes.Buffer
	if err := journal.WriteCSV(&sheet, []journal.Entry{height("barn", 1, "31 in", "28 in")}); err != nil {
		fmt.Println(err)
		return
	}
	for i, line := range strings.Split(sheet.String(), "\r\n")[:2] {
		fmt.Println(i, line[:60])
	}
	// Output:
	// 0 date,recorded,device,sequence,kind,field,group,store,lot,cro
	// 1 2026-07-12,2026-07-12T22:00:00Z,barn,1,height,North Six,,,,,
}

func ExampleCheck() {
	facts := journal.Facts{
		Today: quantity.NewDate(2026, time.July, 13),
		Stand: func(string, quantity.Date) (journal.Stand, bool) {
			return journal.Stand{Crop: "teff", Limit: 48 * quantity.Inch}, true
		},
	}
	for _, q := range journal.Check([]journal.Entry{height("barn", 1, "9 ft")}, facts) {
		fmt.Println(q.Severity, q.Text)
	}
	// Output:
	// asked 9 ft is taller than teff grows (about 48 in); is that 9 in?
}

func ExampleParsePhrase() {
	names := journal.Names{
		Fields: []string{"North Six", "Mill Flat"}, Groups: []string{"Milkers"}, Today: quantity.NewDate(2026, time.July, 20),
	}
	for _, phrase := range []string{
		"cut Mill Flat wrap 36 bales 980 lb 52 % stubble 4 in yesterday",
		"grazed North Six in Milkers 62",
		"height 31 on Nroth Six",
	} {
		e, err := journal.ParsePhrase(phrase, names)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(e)
	}
	// Output:
	// 2026-07-19 cut, Mill Flat: use wrap, stubble 4 in, moisture 52 %, bales 36, each 980 lb
	// 2026-07-20 grazing-in, North Six, Milkers: head 62
	// phrase: understood: height: "31": what is it a number of? a unit is missing, or it is one number too many; write such as "height 31 in 28 in 33 in on North Six 12 July"
	// phrase: understood: height: "Nroth Six": this is no name, amount or word that is known here; did you mean North Six?; known are North Six, Mill Flat; write such as "height 31 in 28 in 33 in on North Six 12 July"
}
