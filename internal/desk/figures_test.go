package desk_test

import (
	"strings"
	"testing"

	"rowen/internal/desk"
	"rowen/internal/report"
)

// Every cell of the ledger and every line of the account opens, and its formula gives
// what is shown: the engine books the parts and the whole apart from one another.
func TestLedgerOpens(t *testing.T) {
	c, err := desk.Catalogue(nil)
	if err != nil {
		t.Fatal(err)
	}
	d := desk.NewDesk(c)
	for _, name := range []string{"dairy.toml", "sheep.toml", "beef.toml"} {
		s := source(t, name)
		var keys []string
		for _, year := range report.YearKeys {
			for row := range 24 {
				for _, column := range []string{"need", "pasture", "gap", "store"} {
					keys = append(keys, report.LedgerCell(year, column, row))
				}
			}
			for _, line := range []string{"spent", "roughage", "concentrate"} {
				keys = append(keys, report.AccountLine(year, line))
			}
		}
		nought := 0
		for _, key := range keys {
			fig, err := d.Figure(t.Context(), s, key)
			if err != nil {
				t.Errorf("%s: %v", name, err)
			}
			if fig.Formula == nil || len(fig.Formula.Sources) == 0 || len(fig.Label) == 0 {
				t.Errorf("%s: %s has no formula, source or label", name, key)
			}
			if fig.Value == 0 {
				nought++
			}
			for _, in := range fig.Inputs {
				if strings.HasPrefix(in.Key, "ledger.") {
					if inner, err := d.Figure(t.Context(), s, in.Key); err != nil || inner.Value != in.Value {
						t.Errorf("%s: %s opens to %g where %g is shown, %v", name, in.Key, inner.Value, in.Value, err)
					}
				}
			}
		}
		if nought > len(keys)*2/3 {
			t.Errorf("%s: %d of %d cells are nought: this proves little", name, nought, len(keys))
		}
		for _, key := range []string{"ledger.middle.gap.0", "ledger.middle.gap.25", "ledger.middle.hope.1", "ledger.best.gap.1", "account.middle.luck", "ledger.middle.gap.x"} {
			if _, err := d.Figure(t.Context(), s, key); err == nil {
				t.Errorf("%s: %s opened", name, key)
			}
		}
	}
}
