package document

import "strings"

// Line is a line of one text or of both.
type Line struct {
	Mark rune // ' ' in both, '-' in the first alone, '+' in the second alone, '…' lines of both left out
	Text string
}

// near is how many lines that both texts have are shown around those that differ.
const near = 2

// mostLines bounds the work of comparing: the middle parts of texts that differ in more
// are shown whole.
const mostLines = 4 << 20

// Differing gives the lines in which two texts differ, with those around them.
func Differing(first, second string) []Line {
	a, b := strings.Split(first, "\n"), strings.Split(second, "\n")
	from := 0
	for from < len(a) && from < len(b) && a[from] == b[from] {
		from++
	}
	end := 0
	for end < len(a)-from && end < len(b)-from && a[len(a)-1-end] == b[len(b)-1-end] {
		end++
	}
	var all []Line
	add := func(mark rune, lines ...string) {
		for _, l := range lines {
			all = append(all, Line{mark, l})
		}
	}
	add(' ', a[:from]...)
	x, y := a[from:len(a)-end], b[from:len(b)-end]
	if len(x)*len(y) > mostLines {
		add('-', x...)
		add('+', y...)
		x, y = nil, nil
	}
	same := make([][]int32, len(x)+1) // lines in common from here on
	for i := range same {
		same[i] = make([]int32, len(y)+1)
	}
	for i := len(x) - 1; i >= 0; i-- {
		for j := len(y) - 1; j >= 0; j-- {
			if same[i][j] = max(same[i+1][j], same[i][j+1]); x[i] == y[j] {
				same[i][j] = same[i+1][j+1] + 1
			}
		}
	}
	for i, j := 0, 0; i < len(x) || j < len(y); {
		switch {
		case i < len(x) && j < len(y) && x[i] == y[j]:
			add(' ', x[i])
			i, j = i+1, j+1
		case j == len(y) || i < len(x) && same[i+1][j] >= same[i][j+1]:
			add('-', x[i])
			i++
		default:
			add('+', y[j])
			j++
		}
	}
	add(' ', a[len(a)-end:]...)
	return around(all)
}

// around leaves out what lies far from any difference.
func around(all []Line) (out []Line) {
	shown := make([]bool, len(all))
	for i, l := range all {
		if l.Mark != ' ' {
			for k := max(0, i-near); k <= min(len(all)-1, i+near); k++ {
				shown[k] = true
			}
		}
	}
	for i, l := range all {
		switch {
		case shown[i]:
			out = append(out, l)
		case i == 0 || shown[i-1]:
			out = append(out, Line{Mark: '…'})
		}
	}
	return out
}
