package desk

import (
	"bytes"
	"cmp"
	"context"

	"rowen/farm"
	"rowen/internal/report"
	"rowen/quantity"
)

// VisitRequest is what one farm's visit sheet is made from.
type VisitRequest struct {
	Farm      string // path of the document
	On        quantity.Date
	Units     string // empty: the document's
	Catalogue []string
}

// Visit makes one farm's visit sheet. It asks no consent: the sheet is for the farm
// itself and its adviser.
func Visit(ctx context.Context, r VisitRequest) (*report.Visit, error) {
	c, err := Catalogue(r.Catalogue)
	if err != nil {
		return nil, err
	}
	f, err := farm.Read(r.Farm, c)
	if err != nil {
		return nil, err
	}
	if f.Units, err = pageUnits(r.Units, []*farm.Farm{f}); err != nil {
		return nil, err
	}
	s := stations{known: map[Station]*station{}}
	week, err := s.farmWeek(ctx, f, r.On, 0)
	if err != nil {
		return nil, err
	}
	week.Visit.Slug = cmp.Or(week.Visit.Slug, nameless)
	return week.Visit, nil
}

// VisitFiles makes the page of a visit sheet.
func VisitFiles(v *report.Visit) (map[string][]byte, error) {
	var b bytes.Buffer
	if err := report.WriteVisit(&b, v); err != nil {
		return nil, err
	}
	return map[string][]byte{"visit-" + v.Slug + ".html": b.Bytes()}, nil
}

// BulletinFiles makes every file of a bulletin. The comparison is written even
// where it is withheld, so that no older figures stay in the folder.
func BulletinFiles(o *Outreach) (map[string][]byte, error) {
	set := map[string][]byte{}
	for name, write := range map[string]func(*bytes.Buffer) error{
		"bulletin.html":        func(b *bytes.Buffer) error { return report.WriteBulletin(b, o.Bulletin) },
		"bulletin.txt":         func(b *bytes.Buffer) error { return report.WriteBulletinText(b, o.Bulletin) },
		"seed-by-supplier.csv": func(b *bytes.Buffer) error { return report.WriteSuppliers(b, o.Bulletin) },
		"seed-by-farm.csv":     func(b *bytes.Buffer) error { return report.WriteSeedByFarm(b, o.Bulletin) },
		"comparison.html":      func(b *bytes.Buffer) error { return report.WriteAnonymous(b, o.Bulletin) },
		"comparison.csv":       func(b *bytes.Buffer) error { return report.WriteAnonymousCSV(b, o.Bulletin) },
	} {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			return nil, err
		}
		set[name] = b.Bytes()
	}
	for _, v := range o.Visits {
		one, err := VisitFiles(v)
		if err != nil {
			return nil, err
		}
		for name, text := range one {
			set[name] = text
		}
	}
	return set, nil
}
