package report

import (
	"io"
	"math"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"rowen/quantity"
	"rowen/say"
)

// PaperSizes are the sizes of paper that can be printed on.
var PaperSizes = []string{"A4", "Letter"}

// A page in mm, and the sizes of its type in points.
const (
	margin               = 15.0
	typeBody, typeTable  = 9.5, 8.0
	leading, tableLead   = 4.6, 3.7
	paperHead, paperFoot = 9.0, 12.0
)

// pdf writes a paper page by page.
type pdf struct {
	*fpdf.Fpdf
	wide, bottom float64
	u            quantity.System
	tongue       say.Tongue
}

// WritePDF writes a paper for A4 or Letter. The fonts lie inside it, and the same paper
// gives the same bytes.
func WritePDF(w io.Writer, p *Paper, size string, u quantity.System) error {
	f := fpdf.New("P", "mm", size, "")
	f.AddUTF8FontFromBytes("go", "", goregular.TTF)
	f.AddUTF8FontFromBytes("go", "B", gobold.TTF)
	f.SetTitle(drawn(p.title()), true)
	f.SetCreator("Rowen", true)
	f.SetLang(p.Tongue.Word("en"))
	f.SetCreationDate(time.Unix(0, 0).UTC())
	f.SetModificationDate(time.Unix(0, 0).UTC())
	f.SetCatalogSort(true)
	f.SetMargins(margin, margin, margin)
	f.SetAutoPageBreak(false, margin)
	f.AliasNbPages("{pages}")
	pageWide, pageHigh := f.GetPageSize()
	d := &pdf{Fpdf: f, wide: pageWide - 2*margin, bottom: pageHigh - margin - paperFoot, u: u, tongue: p.Tongue}
	f.SetHeaderFunc(func() {
		if f.PageNo() > 1 {
			d.font("", 8)
			d.ink(90)
			f.SetXY(margin, margin-6)
			d.CellFormat(d.wide, 4, p.title(), "", 0, "L", false, 0, "")
			f.SetXY(margin, margin+1)
		}
	})
	f.SetFooterFunc(func() {
		d.font("", 7)
		d.ink(90)
		f.SetXY(margin, pageHigh-margin-paperFoot+3)
		d.MultiCell(d.wide-25, 3.1, p.Tongue.Word(p.Foot), "", "L", false)
		f.SetXY(pageWide-margin-22, pageHigh-margin-paperFoot+3)
		d.CellFormat(22, 3.1, say.That("%d of {pages}", f.PageNo()).In(p.Tongue), "", 0, "R", false, 0, "")
	})
	f.AddPage()
	d.ink(20)
	d.font("B", 18)
	d.MultiCell(d.wide, 8, p.title(), "", "L", false)
	d.font("", 8.5)
	d.ink(80)
	d.MultiCell(d.wide, 4, p.Under.In(p.Tongue), "", "L", false)
	for i := range p.Blocks {
		d.block(&p.Blocks[i])
	}
	return f.Output(w)
}

func (d *pdf) font(style string, size float64) { d.SetFont("go", style, size) }
func (d *pdf) ink(grey int)                    { d.SetTextColor(grey, grey, grey) }

// room begins a page where so much height is not left.
func (d *pdf) room(high float64) {
	if d.GetY()+high > d.bottom {
		d.AddPage()
	}
}

func (d *pdf) block(b *Block) {
	need := 14.0
	if b.Together {
		need = min(d.height(b), d.bottom-margin)
	}
	d.room(need)
	d.SetY(d.GetY() + 4)
	d.ink(20)
	d.font("B", 12)
	d.MultiCell(d.wide, 6, b.Heading.In(d.tongue), "", "L", false)
	d.SetDrawColor(60, 60, 60)
	d.SetLineWidth(0.4)
	d.Line(margin, d.GetY(), margin+d.wide, d.GetY())
	d.SetY(d.GetY() + 1.5)
	for _, l := range b.Text {
		t := l.In(d.tongue)
		d.font("", typeBody)
		d.room(leading * float64(len(d.SplitText(t, d.wide-4))))
		d.SetX(margin)
		d.MultiCell(d.wide, leading, "· "+t, "", "L", false)
	}
	if b.Table != nil {
		d.SetY(d.GetY() + 1)
		d.table(b.Table)
	}
	if len(b.Years) > 0 {
		d.years(b.Years, b.Top)
	}
}

// height is what a block takes, mm.
func (d *pdf) height(b *Block) float64 {
	h := 14.0
	d.font("", typeBody)
	for _, t := range b.Text {
		h += leading * float64(len(d.SplitText("· "+t.In(d.tongue), d.wide-2)))
	}
	if b.Table != nil {
		widths := d.widths(b.Table)
		for i := range b.Table.Rows {
			h += d.rowHeight(b.Table.Rows[i], widths)
		}
		h += paperHead
	}
	if len(b.Years) > 0 {
		h += 58
	}
	return h
}

func (d *pdf) widths(t *Table) []float64 {
	sum := 0.0
	for _, c := range t.Columns {
		sum += c.Share
	}
	out := make([]float64, len(t.Columns))
	for i, c := range t.Columns {
		out[i] = d.wide * c.Share / sum
	}
	return out
}

// cellPad is the room beside a cell's text.
const cellPad = 1.0

func (d *pdf) lines(c Cell, width float64) []string {
	style := ""
	if c.Strong {
		style = "B"
	}
	d.font(style, typeTable)
	return d.SplitText(c.In(d.tongue), width-2*cellPad-0.5)
}

func (d *pdf) rowHeight(row []Cell, widths []float64) float64 {
	most := 1
	for i := range row {
		most = max(most, len(d.lines(row[i], widths[i])))
	}
	return tableLead*float64(most) + 1.6
}

func (d *pdf) table(t *Table) {
	widths := d.widths(t)
	head := make([]Cell, len(t.Columns))
	for i, c := range t.Columns {
		head[i] = told(c.Head).strong()
	}
	numbers := make([]bool, len(t.Columns))
	for _, row := range t.Rows {
		for i := range row {
			numbers[i] = numbers[i] || row[i].Number
		}
	}
	headHigh := d.rowHeight(head, widths)
	top := func() {
		d.SetFillColor(236, 238, 230)
		d.Rect(margin, d.GetY(), d.wide, headHigh, "F")
		d.row(head, widths, numbers, headHigh)
	}
	d.room(headHigh + 8)
	top()
	for _, row := range t.Rows {
		high := d.rowHeight(row, widths)
		if d.GetY()+high > d.bottom {
			d.AddPage()
			top()
		}
		d.row(row, widths, numbers, high)
		d.SetDrawColor(205, 205, 195)
		d.SetLineWidth(0.15)
		d.Line(margin, d.GetY(), margin+d.wide, d.GetY())
	}
}

func (d *pdf) row(row []Cell, widths []float64, numbers []bool, high float64) {
	x, y := margin, d.GetY()
	d.ink(25)
	for i := range row {
		align := "L"
		if numbers[i] {
			align = "R"
		}
		for k, text := range d.lines(row[i], widths[i]) {
			d.SetXY(x+cellPad, y+0.8+tableLead*float64(k))
			d.CellFormat(widths[i]-2*cellPad, tableLead, text, "", 0, align, false, 0, "")
		}
		x += widths[i]
	}
	d.SetXY(margin, y+high)
}

// shades are the layers of the years' charts, as light as they differ in grey too.
var shades = [][3]int{{111, 155, 87}, {201, 168, 92}, {230, 220, 193}, {181, 107, 77}, {50, 45, 42}}

// years draws charts side by side on one scale.
//
//say:words
func (d *pdf) years(years []*Outcome, top float64) {
	const high, gap = 40.0, 6.0
	d.room(high + 18)
	y0 := d.GetY() + 4
	wide := (d.wide - gap*float64(len(years)-1)) / float64(len(years))
	names := []string{"Middle year", "Bad year, 1 in 5", "Worst year"}
	for k, o := range years {
		x0 := margin + float64(k)*(wide+gap)
		d.font("B", typeTable)
		d.ink(25)
		d.SetXY(x0, y0)
		d.CellFormat(wide, 4, say.That("%s, %d", names[min(k, 2)], o.Year).In(d.tongue), "", 0, "L", false, 0, "")
		left, base := x0+8, y0+5+high
		scale := high / (top * 1.05)
		step := (wide - 8) / float64(len(o.Rows))
		d.font("", 6.5)
		for i := range 3 {
			v := top * float64(i) / 2
			d.SetDrawColor(215, 212, 200)
			d.SetLineWidth(0.15)
			d.Line(left, base-v*scale, x0+wide, base-v*scale)
			d.SetXY(x0-1, base-v*scale-1.6)
			d.CellFormat(8, 3, shortMass(v, d.u), "", 0, "R", false, 0, "")
		}
		for i := range o.Rows {
			from := 0.0
			for l := range yearLayers {
				v := yearLayers[l].of(&o.Rows[i])
				if v <= 0 {
					continue
				}
				d.SetFillColor(shades[l][0], shades[l][1], shades[l][2])
				d.Rect(left+step*float64(i)+0.2, base-(from+v)*scale, step-0.4, v*scale, "F")
				from += v
			}
			if i%4 == 0 {
				_, month, _ := strings.Cut(o.Rows[i].Name, " ")
				d.SetXY(left+step*float64(i)-1, base+0.6)
				d.CellFormat(step*4, 3, d.tongue.Word(month), "", 0, "L", false, 0, "")
			}
		}
		d.SetDrawColor(20, 20, 20)
		d.SetLineWidth(0.4)
		last := math.NaN()
		for i := range o.Rows {
			v := base - o.Rows[i].Demand*scale
			if !math.IsNaN(last) {
				d.Line(left+step*float64(i), last, left+step*float64(i), v)
			}
			d.Line(left+step*float64(i), v, left+step*float64(i+1), v)
			last = v
		}
	}
	d.SetXY(margin, y0+5+high+5)
	d.font("", 7.5)
	x := margin
	for l := range yearLayers {
		d.SetFillColor(shades[l][0], shades[l][1], shades[l][2])
		d.Rect(x, d.GetY()+0.6, 3, 2.6, "F")
		d.SetXY(x+3.5, d.GetY())
		name := d.tongue.Word(yearLayers[l].name)
		d.CellFormat(d.GetStringWidth(name)+3, 4, name, "", 0, "L", false, 0, "")
		x = d.GetX() + 3
	}
	d.Line(x, d.GetY()+2, x+4, d.GetY()+2)
	d.SetX(x + 4.5)
	unit := "t"
	if d.u == quantity.US {
		unit = "ton"
	}
	d.CellFormat(60, 4, say.That("what the animals need; %s of dry matter by half-month", unit).In(d.tongue), "", 0, "L", false, 0, "")
	d.SetXY(margin, d.GetY()+6)
}
