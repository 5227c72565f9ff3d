package account

import (
	"fmt"

	"rowen/crop"
	"rowen/farm"
)

// Succession tells what may not follow what: a mixture on a field after what stands
// there and after the earlier years that the document tells. Nothing said means that
// no rule known here speaks against it; what says Stop forbids it.
func Succession(f *farm.Farm, field int, mix *crop.Mix) (out []Advice) {
	p := sower{
		f: f, field: &f.Fields[field], sow: &farm.Sowing{Field: field, Mix: *mix}, stood: []*crop.Mix{&f.Fields[field].Stands},
		say: func(stop bool, source, format string, args ...any) *Advice {
			out = append(out, Advice{Field: field, Text: fmt.Sprintf(format, args...), Source: source, Stop: stop})
			return &out[len(out)-1]
		},
	}
	p.succeeds()
	return out
}
