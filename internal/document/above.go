package document

import "strings"

// Above tells for each table under [[list]] the index of the table that it belongs to:
// for "group.period" that of its group. It is nil for a list that belongs to none.
func Above(text []byte, list string) ([]int, error) {
	dot := strings.LastIndexByte(list, '.')
	if dot < 0 {
		return nil, nil
	}
	all, err := tables(text)
	if err != nil {
		return nil, err
	}
	var out []int
	above := -1
	for _, t := range all {
		switch t.list {
		case list[:dot]:
			above = t.index
		case list:
			out = append(out, above)
		}
	}
	return out, nil
}
