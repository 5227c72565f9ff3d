package journal

import (
	"slices"
	"strings"
)

// names are the known names of a place.
func (p *phrase) names(pl place) []string {
	return [][]string{p.known.Fields, p.known.Groups, p.known.Stores, p.known.Lots}[pl]
}

// match is the longest name that the words from a place on spell.
func (p *phrase) match(from int, among []string) (name string, words int) {
	for _, candidate := range among {
		parts := strings.Fields(strings.ToLower(candidate))
		if len(parts) > words && from+len(parts) <= len(p.lower) && slices.Equal(parts, p.lower[from:from+len(parts)]) {
			name, words = candidate, len(parts)
		}
	}
	return name, words
}

// cropNames are the crops and the same with spaces for hyphens.
func cropNames(crops []string) []string {
	out := slices.Clone(crops)
	for _, c := range crops {
		if spaced := strings.ReplaceAll(c, "-", " "); spaced != c {
			out = append(out, spaced)
		}
	}
	return out
}

// canonical is the crop that a name with spaces stands for.
func canonical(name string, crops []string) string {
	for _, c := range crops {
		if c == name {
			return c
		}
	}
	for _, c := range crops {
		if strings.ReplaceAll(c, "-", " ") == name {
			return c
		}
	}
	return name
}
