package journal

import "strings"

// suggest is "; did you mean North Six?" for a mistyped name, or nothing.
func suggest(name string, among []string) string {
	// One slip in a short name, three in a long one.
	best, found := 2+min(2, len(name)/4), ""
	for _, k := range among {
		if d := distance(strings.ToLower(name), strings.ToLower(k)); d < best {
			best, found = d, k
		}
	}
	if found == "" {
		return ""
	}
	return "; did you mean " + found + "?"
}

// distance is the Levenshtein distance of two names.
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		diagonal := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			diagonal, row[j] = row[j], min(row[j]+1, row[j-1]+1, diagonal+cost)
		}
	}
	return row[len(b)]
}
