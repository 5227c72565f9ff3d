package journal

import (
	"strings"

	"rowen/internal/document"
)

// suggest is "; did you mean North Six?" for a mistyped name, or nothing.
func suggest(name string, among []string) string {
	// One slip in a short name, three in a long one.
	best, found := 2+min(2, len(name)/4), ""
	for _, k := range among {
		if d := document.Distance(strings.ToLower(name), strings.ToLower(k)); d < best {
			best, found = d, k
		}
	}
	if found == "" {
		return ""
	}
	return "; did you mean " + found + "?"
}
