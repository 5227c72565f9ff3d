package report

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/xuri/excelize/v2"

	"rowen/say"
)

// WriteXLSX writes a paper's tables as a workbook, a sheet a table, numbers as numbers;
// the first sheet says what it is of and carries its text.
//
//say:words
func WriteXLSX(w io.Writer, p *Paper) (err error) {
	f := excelize.NewFile()
	defer func() { err = errors.Join(err, f.Close()) }()
	b := &workbook{File: f, tongue: p.Tongue, styles: map[string]int{}, taken: map[string]bool{}}
	first := b.name(p.Tongue.Word("About"))
	if err := f.SetSheetName("Sheet1", first); err != nil {
		return err
	}
	if err := f.SetDocProps(&excelize.DocProperties{Title: p.title(), Creator: "Rowen", Created: "1970-01-01T00:00:00Z", Modified: "1970-01-01T00:00:00Z"}); err != nil {
		return err
	}
	lines := []string{p.title(), p.Under.In(p.Tongue)}
	for i := range p.Blocks {
		if len(p.Blocks[i].Text) > 0 {
			lines = append(lines, "", p.Blocks[i].Heading.In(p.Tongue))
			for _, l := range p.Blocks[i].Text {
				lines = append(lines, l.In(p.Tongue))
			}
		}
	}
	lines = append(lines, "", p.Tongue.Word(p.Foot))
	for i, text := range lines {
		if err := f.SetCellStr(first, fmt.Sprintf("A%d", i+1), text); err != nil {
			return err
		}
	}
	bold, err := b.style(Cell{Strong: true}, false)
	if err != nil {
		return err
	}
	if err := errors.Join(f.SetCellStyle(first, "A1", "A1", bold), f.SetColWidth(first, "A", "A", 110)); err != nil {
		return err
	}
	for i := range p.Blocks {
		if t := p.Blocks[i].Table; t != nil {
			if err := b.sheet(t); err != nil {
				return err
			}
		}
	}
	return f.Write(w)
}

type workbook struct {
	*excelize.File
	tongue say.Tongue
	styles map[string]int
	taken  map[string]bool
}

// style is a cell's look, made once.
func (b *workbook) style(c Cell, head bool) (int, error) {
	key := fmt.Sprint(c.Strong, c.Number, c.Decimals, head)
	if id, ok := b.styles[key]; ok {
		return id, nil
	}
	s := &excelize.Style{Font: &excelize.Font{Bold: c.Strong || head}, Alignment: &excelize.Alignment{Vertical: "top", WrapText: true}}
	if c.Number {
		format := "#,##0"
		if c.Decimals > 0 {
			format += "." + strings.Repeat("0", c.Decimals)
		}
		s.CustomNumFmt = &format
	}
	if head {
		s.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"ECEEE6"}}
		s.Border = []excelize.Border{{Type: "bottom", Color: "3C3C3C", Style: 1}}
	}
	id, err := b.NewStyle(s)
	b.styles[key] = id
	return id, err
}

// name is a sheet's name as a workbook allows it, one of its own.
func (b *workbook) name(s string) string {
	s = strings.Map(func(c rune) rune {
		if strings.ContainsRune(`:\/?*[]'`, c) || c < ' ' {
			return ' '
		}
		return c
	}, s)
	r := []rune(strings.TrimSpace(s))
	if len(r) == 0 {
		r = []rune("Table")
	}
	name := string(r[:min(len(r), 31)])
	for k := 2; b.taken[strings.ToLower(name)]; k++ {
		end := fmt.Sprintf(" %d", k)
		name = string(r[:min(len(r), 31-len(end))]) + end
	}
	b.taken[strings.ToLower(name)] = true
	return name
}

func (b *workbook) sheet(t *Table) error {
	name := b.name(b.tongue.Word(t.Name))
	if _, err := b.NewSheet(name); err != nil {
		return err
	}
	for i, c := range t.Columns {
		col, err := excelize.ColumnNumberToName(i + 1)
		if err != nil {
			return err
		}
		head, err := b.style(Cell{}, true)
		if err := errors.Join(err, b.SetCellStr(name, col+"1", c.Head.In(b.tongue)), b.SetCellStyle(name, col+"1", col+"1", head), b.SetColWidth(name, col, col, 8+8*c.Share)); err != nil {
			return err
		}
		for k, row := range t.Rows {
			if i >= len(row) {
				continue
			}
			at := fmt.Sprintf("%s%d", col, k+2)
			style, err := b.style(row[i], false)
			if err != nil {
				return err
			}
			if row[i].Number {
				err = b.SetCellFloat(name, at, row[i].Value, -1, 64)
			} else {
				// Always as text: a name that begins with "=" is a name.
				err = b.SetCellStr(name, at, row[i].Text.In(b.tongue))
			}
			if err := errors.Join(err, b.SetCellStyle(name, at, at, style)); err != nil {
				return err
			}
		}
	}
	return b.SetPanes(name, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"})
}
