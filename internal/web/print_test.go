package web_test

import (
	"bytes"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// get fetches a page and gives its status and body.
func get(t *testing.T, url string) (int, []byte) {
	t.Helper()
	r, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = r.Body.Close() }()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r.StatusCode, body
}

// Every paper on every size of paper, read by a reader that is not ours; and the same
// twice, byte for byte.
func TestPapers(t *testing.T) {
	server, book := serve(t, true)
	farm := server.URL + dairy(t, book)
	wanted := map[string][]string{
		"plan":   {"Fallow Brook: farm plan", "Ledger by half-month", "North Six", "Sorghum-sudangrass"},
		"field":  {"Fallow Brook: field sheet", "Mill Flat", "0.75 in", "silt loam"},
		"feeder": {"Fallow Brook: feeder's sheet", "Bale row", "Days left", "Milkers"},
		"seed":   {"Fallow Brook: seed order", "Alder brown midrib", "Mill Lane Seeds", "Whole bags"},
	}
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Log("no pdftotext on this machine: the papers were made and not read")
	}
	for name, words := range wanted {
		for size, points := range map[string]string{"A4": "595.28 x 841.89", "Letter": "612 x 792"} {
			url := farm + "/print/" + name + ".pdf?date=" + demoDay + "&paper=" + size
			status, pdf := get(t, url)
			if status != http.StatusOK || !bytes.HasPrefix(pdf, []byte("%PDF-")) {
				t.Errorf("%s on %s: status %d, %.60q", name, size, status, pdf)
				continue
			}
			if _, again := get(t, url); !bytes.Equal(pdf, again) {
				t.Errorf("%s on %s is not the same twice", name, size)
			}
			path := filepath.Join(t.TempDir(), "paper.pdf")
			if err := os.WriteFile(path, pdf, 0o600); err != nil {
				t.Fatal(err)
			}
			if tool == "" {
				continue
			}
			text, err := exec.Command(tool, "-layout", path, "-").Output()
			if err != nil {
				t.Errorf("%s on %s: %v", name, size, err)
			}
			for _, w := range words {
				if !strings.Contains(string(text), w) {
					t.Errorf("%s on %s does not say %q", name, size, w)
				}
			}
			if info, err := exec.Command("pdfinfo", path).Output(); err == nil && !strings.Contains(string(info), points) {
				t.Errorf("%s on %s has another size:\n%s", name, size, info)
			}
		}
	}
}

// Numbers in a workbook are numbers, and text is never a formula.
func TestWorkbooks(t *testing.T) {
	server, book := serve(t, true)
	farm := server.URL + dairy(t, book)
	for name, want := range map[string]struct{ sheet, head, cell string }{
		"plan": {"Ledger", "From", "1 Nov"}, "field": {"Mill Flat", "What", "Corn for silage, 75 to 88 days"}, "feeder": {"Feeding", "From", "1 Nov"}, "seed": {"Seed order", "Seed", "Pearl millet"},
	} {
		status, data := get(t, farm+"/print/"+name+".xlsx")
		f, err := excelize.OpenReader(bytes.NewReader(data))
		if err != nil {
			t.Errorf("%s: status %d, %v", name, status, err)
			continue
		}
		head, _ := f.GetCellValue(want.sheet, "A1")
		first, _ := f.GetCellValue(want.sheet, "A2")
		if head != want.head || first != want.cell {
			t.Errorf("%s: sheet %q begins %q, %q; its sheets are %v", name, want.sheet, head, first, f.GetSheetList())
		}
		numbers := 0
		for _, at := range []string{"B2", "C2", "D2"} {
			kind, err := f.GetCellType(want.sheet, at)
			if err != nil {
				t.Error(err)
			}
			if kind == excelize.CellTypeNumber || kind == excelize.CellTypeUnset {
				numbers++
			}
			if formula, _ := f.GetCellFormula(want.sheet, at); formula != "" {
				t.Errorf("%s: %s is the formula %q", name, at, formula)
			}
		}
		if numbers == 0 {
			t.Errorf("%s: no number among the first cells", name)
		}
		if err := f.Close(); err != nil {
			t.Error(err)
		}
	}
}

func TestNoSuchPaper(t *testing.T) {
	server, book := serve(t, true)
	farm := server.URL + dairy(t, book)
	for _, path := range []string{"/print/plan.doc", "/print/plan", "/print/..%2fplan.pdf", "/print/x.pdf"} {
		if status, _ := get(t, farm+path); status != http.StatusNotFound {
			t.Errorf("%s: status %d, want 404", path, status)
		}
	}
}
