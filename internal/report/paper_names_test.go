package report

import (
	"bytes"
	"testing"

	"github.com/xuri/excelize/v2"

	"rowen/say"
)

// A sheet's name that another language makes too long, or writes with signs that no
// workbook allows, is cut to one that it does.
func TestSheetNamesInAnyLanguage(t *testing.T) {
	for _, about := range []string{"Über dieses Papier und seine ganze Herkunft", "À propos / ce papier [1]", ""} {
		p := &Paper{Title: "farm plan", Farm: "A", Tongue: say.Tongue{"About": about}}
		var b bytes.Buffer
		if err := WriteXLSX(&b, p); err != nil {
			t.Errorf("%q: %v", about, err)
			continue
		}
		f, err := excelize.OpenReader(&b)
		if err != nil || len(f.GetSheetList()) == 0 {
			t.Errorf("%q: %v", about, err)
		}
	}
}
