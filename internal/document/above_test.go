package document_test

import (
	"slices"
	"testing"

	"rowen/internal/document"
)

// A table under a list of lists belongs to the table that stands above it.
func TestAbove(t *testing.T) {
	doc := []byte("[[group]]\n[[group.period]]\nhead = 1\n[[group.period]]\nhead = 2\n[[group]]\n[[store]]\n[[group]]\n[[group.period]]\nhead = 3\n")
	for list, want := range map[string][]int{"group.period": {0, 0, 2}, "group": nil, "field.past": nil} {
		got, err := document.Above(doc, list)
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("%s: %v, %v; want %v", list, got, err, want)
		}
	}
	if _, err := document.Above([]byte("x = ["), "group.period"); err == nil {
		t.Error("a broken document has tables")
	}
}
