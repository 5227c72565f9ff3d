package desk

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"rowen/farm"
	"rowen/weather"
)

// manyFields is the invented dairy with its ten fields and their sowings three times
// over, and three times the animals.
func manyFields(tb testing.TB) string {
	text, err := os.ReadFile("../../examples/dairy.toml")
	if err != nil {
		tb.Fatal(err)
	}
	head, rest, _ := strings.Cut(string(text), "[[field]]")
	fields, rest, _ := strings.Cut("[[field]]"+rest, "# --- Animals")
	stock, sowings, _ := strings.Cut("# --- Animals"+rest, "[[sowing]]")
	sowings = "[[sowing]]" + sowings
	c, err := Catalogue(nil)
	if err != nil {
		tb.Fatal(err)
	}
	f, err := farm.Parse("dairy", text, c)
	if err != nil {
		tb.Fatal(err)
	}
	all, more := fields, sowings
	for k := 2; k <= 3; k++ {
		again, sown := fields, sowings
		for i := range f.Fields {
			name := fmt.Sprintf("%q", f.Fields[i].Name)
			other := fmt.Sprintf("%q", fmt.Sprintf("%s %d", f.Fields[i].Name, k))
			again, sown = strings.ReplaceAll(again, "name = "+name, "name = "+other), strings.ReplaceAll(sown, "field = "+name, "field = "+other)
		}
		all, more = all+again, more+sown
	}
	for _, n := range []string{"60", "62", "24", "8"} {
		var v int
		_, _ = fmt.Sscan(n, &v)
		stock = strings.ReplaceAll(stock, "head = "+n+"\n", fmt.Sprintf("head = %d\n", 3*v))
	}
	return head + all + stock + more
}

// BenchmarkPlan30x40 is what a moved sowing costs the desk: a farm of 30 fields read,
// compiled and run over 40 weather years, with what it is held against, and made a page
// model; the weather is known.
func BenchmarkPlan30x40(b *testing.B) {
	c, err := Catalogue(nil)
	if err != nil {
		b.Fatal(err)
	}
	text := []byte(manyFields(b))
	s := weather.Valley(42, 2025)
	s.Prepare()
	for b.Loop() {
		f, err := farm.Parse("farm", text, c)
		if err != nil {
			b.Fatal(err)
		}
		p, r, err := planOn(b.Context(), Request{Farm: "farm", Years: "1986-2025"}, c, f, s, "")
		if err != nil {
			b.Fatal(err)
		}
		if len(r.Years) != 40 || len(f.Fields) != 30 || len(p.Figures) == 0 {
			b.Fatalf("%d years, %d fields", len(r.Years), len(f.Fields))
		}
	}
}
