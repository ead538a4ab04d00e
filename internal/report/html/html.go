// Package html writes a report's document as part of a page. It is apart from
// package report so that programs which need no page do not carry templates.
package html

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"strings"

	"evenfall/internal/report"
	"evenfall/internal/words"
)

//go:embed blocks.html
var blocks string

var parts = template.Must(template.New("blocks").Funcs(template.FuncMap{
	"safe": words.Safe,
}).Parse(blocks))

// Pictures are the drawings that a document has places for, by their names, as
// markup that is trusted.
type Pictures map[string]template.HTML

// Render returns a document as markup: its title as the page's heading, then a
// section for each of its headings. Text is escaped, and made safe to show. A
// picture that is not there is said in words.
func Render(d *report.Document, pictures Pictures) (template.HTML, error) {
	r := renderer{pictures: pictures, caption: d.Title}
	r.write("title", d.Title)
	r.b.WriteString("<section class=\"answer\">\n")
	for _, b := range d.Blocks {
		r.block(b)
	}
	r.b.WriteString("</section>\n")
	return template.HTML(r.b.String()), r.err
}

// renderer is a document in the making.
type renderer struct {
	b        bytes.Buffer
	pictures Pictures
	caption  string // of a table: what stands over it
	sections int
	err      error
}

// write writes data by the template of a name.
func (r *renderer) write(name string, data any) {
	if err := parts.ExecuteTemplate(&r.b, name, data); err != nil && r.err == nil {
		r.err = fmt.Errorf("%s not rendered: %w", name, err)
	}
}

func (r *renderer) block(b report.Block) {
	switch b := b.(type) {
	case report.Heading:
		r.heading(&b)
	case report.Fold:
		r.fold(&b)
	case *report.Table:
		r.write("table", r.table(b))
	case report.Picture:
		r.write("picture", picture{b, r.pictures[b.Name]})
	case report.Facts:
		r.write("facts", marked(b))
	case report.Paragraph:
		r.write("paragraph", paragraph{b.Strong, toned(b.Tone, b.Text)})
	case report.List:
		r.write("list", b)
	case report.Note:
		r.note(&b)
	case report.Code:
		r.write("code", strings.Join(b.Lines(false), "\n"))
	case report.Calculation:
		r.write("calculation", b)
	}
}

// heading begins a section, or one within it.
func (r *renderer) heading(h *report.Heading) {
	r.caption = h.Text
	if h.Level > 0 {
		r.write("subheading", h.Text)
		return
	}
	r.sections++
	r.write("section", section{h.Text, h.Name, r.sections})
}

type section struct {
	Text, Name string
	Number     int
}

func (r *renderer) fold(f *report.Fold) {
	was := r.caption
	r.caption = f.Summary
	r.write("fold", toned(f.Tone, f.Summary))
	for _, b := range f.Blocks {
		r.block(b)
	}
	r.b.WriteString("</details>\n")
	r.caption = was
}

func (r *renderer) note(n *report.Note) {
	r.write("note", toned(n.Tone, n.Said()))
}

type paragraph struct {
	Strong bool
	tonedText
}

// tonedText is text with what sets its tone off: a sign, the word for it, and
// a class.
type tonedText struct{ Text, Sign, Word, Class string }

func toned(t report.Tone, text string) tonedText {
	class := map[report.Tone]string{report.Warn: "warn", report.Bad: "bad"}[t]
	return tonedText{Text: strings.TrimSpace(text), Sign: report.ToneSign(t), Word: report.ToneWord(t), Class: class}
}

type fact struct {
	Label string
	tonedText
}

func marked(facts report.Facts) []fact {
	var list []fact
	for _, f := range facts {
		list = append(list, fact{f.Label, toned(f.Tone, f.Text)})
	}
	return list
}

type picture struct {
	report.Picture
	SVG template.HTML
}

type table struct {
	Caption string
	Columns []column
	Rows    []row
}

// column is a heading, with the classes of the cells under it.
type column struct{ Title, Unit, Class string }

type row struct {
	Across string
	Span   int
	Cells  []cell
}

// cell is a value and what stands below it; the sign of its tone goes with what
// comes first below.
type cell struct {
	Text  tonedText
	Below []tonedText
	Class string
}

func (r *renderer) table(t *report.Table) table {
	out := table{Caption: r.caption}
	for i := range t.Columns {
		c := &t.Columns[i]
		var classes []string
		if c.Align == report.Right {
			classes = append(classes, "right")
		}
		if c.Minor() {
			classes = append(classes, "minor")
		}
		title := strings.TrimSpace(c.Group + " " + c.Title)
		out.Columns = append(out.Columns, column{title, c.Unit, strings.Join(classes, " ")})
	}
	for i := range t.Rows {
		to := row{Across: t.Rows[i].Across, Span: len(t.Columns)}
		if to.Across == "" {
			for k := range t.Rows[i].Cells {
				to.Cells = append(to.Cells, cellOf(&t.Rows[i].Cells[k], out.Columns[k].Class))
			}
		}
		out.Rows = append(out.Rows, to)
	}
	return out
}

func cellOf(from *report.Cell, class string) cell {
	if len(from.Below) == 0 {
		return cell{Text: toned(from.Tone, from.Text), Class: class}
	}
	to := cell{Text: toned(report.Neutral, from.Text), Class: class}
	for i, text := range from.Below {
		below := toned(from.Tone, text)
		if i > 0 {
			below.Sign, below.Word = "", ""
		}
		to.Below = append(to.Below, below)
	}
	return to
}
