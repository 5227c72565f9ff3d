package desk

import (
	"bytes"
	"encoding/json"

	"rowen/internal/files"
	"rowen/internal/report"
	"rowen/quantity"
)

// PlanFiles makes every file of a plan.
func PlanFiles(p *report.Plan, u quantity.System) (map[string][]byte, error) {
	text, err := json.MarshalIndent(p, "", " ")
	if err != nil {
		return nil, err
	}
	set := map[string][]byte{"plan.json": append(text, '\n')}
	for name, write := range map[string]func(*bytes.Buffer) error{
		"plan.html":      func(b *bytes.Buffer) error { return report.WriteHTML(b, p, u) },
		"ledger.csv":     func(b *bytes.Buffer) error { return report.WriteLedger(b, p) },
		"seed-order.csv": func(b *bytes.Buffer) error { return report.WriteSeed(b, p, u) },
		"calendar.ics":   func(b *bytes.Buffer) error { return report.WriteCalendar(b, p) },
		"lots.csv":       func(b *bytes.Buffer) error { return report.WriteLots(b, p) },
		"nutrients.csv":  func(b *bytes.Buffer) error { return report.WriteNutrients(b, p) },
		"money.csv":      func(b *bytes.Buffer) error { return report.WriteMoney(b, p) },
		"record.html":    func(b *bytes.Buffer) error { return report.WriteRecord(b, p, u) },
	} {
		if name == "record.html" && p.Account.Record == nil {
			continue // no organic ground, no inspector
		}
		var b bytes.Buffer
		if err := write(&b); err != nil {
			return nil, err
		}
		set[name] = b.Bytes()
	}
	return set, nil
}

// Save writes a plan's files into a folder, all or none.
func Save(dir string, set map[string][]byte) error { return files.Write(dir, set) }
