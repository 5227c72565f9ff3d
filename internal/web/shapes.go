package web

import (
	"context"
	"fmt"
	"strings"

	"rowen/farm"
	"rowen/internal/document"
)

// withShapes puts outlines into a document: those of fields by their names, others as
// new fields. The document is read twice, however many there are.
func withShapes(doc []byte, f *farm.Farm, shapes []farm.Shape, keepArea bool) ([]byte, error) {
	there := map[string]int{} // fields of the document, by their names in small letters
	for i := len(f.Fields) - 1; i >= 0; i-- {
		there[strings.ToLower(f.Fields[i].Name)] = i
	}
	brought := map[string]bool{}
	for _, shape := range shapes {
		name := strings.ToLower(shape.Name)
		if name != "" && brought[name] {
			return nil, document.Problem{File: "map", Thing: "feature", Value: shape.Name, Remedy: "two outlines of the map have this name; give each field a name of its own"}
		}
		brought[name] = true
	}
	var edits []document.Edit
	var added [][]document.Pair
	next := len(f.Fields)
	for _, shape := range shapes {
		name := shape.Name
		for name == "" {
			next++
			name = fmt.Sprintf("Field %d", next)
			if _, taken := there[strings.ToLower(name)]; taken || brought[strings.ToLower(name)] {
				name = ""
			}
		}
		outline := document.Quote(shape.Outline)
		i, known := there[strings.ToLower(name)]
		if !known {
			added = append(added, []document.Pair{{Key: "name", Value: document.Quote(name)}, {Key: "outline", Value: outline}})
			continue
		}
		at := document.Place{List: "field", Index: i}
		edits = append(edits, document.Edit{At: at, Key: "outline", Value: outline})
		if !keepArea {
			edits = append(edits, document.Edit{At: at, Key: "area"})
		}
	}
	doc, err := document.Apply(doc, edits...)
	if err != nil || len(added) == 0 {
		return doc, err
	}
	return document.AppendAll(doc, "field", added...)
}

// broughtShapes is what is to be said of a map that was brought in.
type broughtShapes struct {
	Taken    int
	Left     []document.Problem // features that are no fields
	Overlaps []overlapTold
	More     int  // overlaps that are not told
	Whole    bool // no overlap was left unlooked for
}

type overlapTold struct {
	A, B string
	Area float64 // m²
}

// lookedAt tells what of a map was left out, and which of its outlines lie over one
// another or over fields that were there; nil where there is nothing to tell.
func lookedAt(ctx context.Context, o *opened, shapes []farm.Shape, left []document.Problem) (*broughtShapes, error) {
	fields, err := document.ValuesOf(o.version.Text, "field")
	if err != nil {
		return nil, err
	}
	brought := map[string]bool{}
	for _, shape := range shapes {
		brought[shape.Outline] = true
	}
	var all []farm.Shape
	for _, values := range fields {
		if outline := values["outline"]; outline != "" {
			_, area, err := farm.Outline(outline)
			if err != nil {
				return nil, err
			}
			all = append(all, farm.Shape{Name: values["name"], Outline: outline, Area: area})
		}
	}
	found, whole, err := farm.Overlaps(ctx, all, func(i int) bool { return brought[all[i].Outline] })
	if err != nil || len(left)+len(found) == 0 && whole {
		return nil, err
	}
	out := &broughtShapes{Taken: len(shapes), Left: firstFew(left), More: max(0, len(found)-mostTold), Whole: whole}
	for _, f := range found[:min(len(found), mostTold)] {
		out.Overlaps = append(out.Overlaps, overlapTold{f.A, f.B, float64(f.Area)})
	}
	return out, nil
}

// mostTold is how many things of one kind a page lists; of the others it says how many.
const mostTold = 20

// firstFew is a long list of problems as a page shows it.
func firstFew(problems []document.Problem) []document.Problem {
	if len(problems) <= mostTold {
		return problems
	}
	first := problems[:mostTold:mostTold]
	return append(first, document.Problem{File: problems[0].File, Thing: fmt.Sprintf("%d more", len(problems)-mostTold), Remedy: "put these right first"})
}
