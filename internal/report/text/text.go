// Package text writes a report's document for a terminal. It alone knows the
// library that prints tables.
package text

import (
	"bytes"
	"fmt"
	"io"
	"reflect"
	"strconv"
	"strings"

	"evenfall/internal/report"
	"evenfall/internal/words"
)

// The width in columns: what is taken for 0, and the range that pages are laid
// out for.
const (
	UsualWidth     = 80
	NarrowestWidth = 60
	WidestWidth    = 200
)

// Options say how a document is shown.
type Options struct {
	// Width in columns: 0 is UsualWidth, others are brought into the range of
	// NarrowestWidth to WidestWidth. No line is wider, but for code to be
	// pasted.
	Width int
	// ASCII keeps to characters below 0x80.
	ASCII bool
	// Plain has no rules, one-line headings with units, and words in place of
	// signs: for screen readers, and terminals that can do little.
	Plain bool
	// Colour adds bold and colours. Nothing is told by them alone.
	Colour bool
	// Full adds what the columns mean.
	Full bool
}

// Write writes a document, all of it or nothing. The error is the writer's.
func Write(w io.Writer, d *report.Document, o Options) error {
	p := newPage(o)
	if err := p.document(d); err != nil {
		return fmt.Errorf("%s not written: %w", d.Title, err)
	}
	n, err := w.Write(p.b.Bytes())
	if err == nil && n < p.b.Len() {
		err = io.ErrShortWrite
	}
	if err != nil {
		return fmt.Errorf("text not written: %w", err)
	}
	return nil
}

// page is a document in the making.
type page struct {
	Options
	b       bytes.Buffer
	last    report.Block
	hidden  bool // columns have been hidden, and the way to see them told
	defined map[string]bool
}

func newPage(o Options) *page {
	if o.Width <= 0 {
		o.Width = UsualWidth
	}
	o.Width = min(max(o.Width, NarrowestWidth), WidestWidth)
	return &page{Options: o, defined: map[string]bool{}}
}

func (p *page) document(d *report.Document) error {
	for _, l := range wrap(p.text(d.Title), p.Width) {
		p.line(p.paint(title, l))
	}
	return p.blocks(d.Blocks)
}

func (p *page) blocks(blocks []report.Block) error {
	for _, b := range blocks {
		if p.apart(b) {
			p.line("")
		}
		if err := p.block(b); err != nil {
			return err
		}
		p.last = b
	}
	return nil
}

// apart reports whether a blank line comes before a block.
func (p *page) apart(b report.Block) bool {
	switch b := b.(type) {
	case report.Heading, report.Fold:
		return true
	case *report.Table, report.Code, report.Picture:
		return p.last != nil && !p.after(report.Heading{})
	case report.Paragraph, report.Note:
		if n, ok := b.(report.Note); ok && n.Kind != report.Remark {
			break
		}
		return p.after(report.Facts{}) || p.after(&report.Table{}) || p.after(report.List{}) || p.after(report.Code{})
	}
	return p.after(report.Code{})
}

// after reports whether the last block was of some kind.
func (p *page) after(kind report.Block) bool { return reflect.TypeOf(p.last) == reflect.TypeOf(kind) }

func (p *page) block(b report.Block) error {
	switch b := b.(type) {
	case report.Facts:
		p.facts(b)
	case report.Heading:
		p.heading(&b)
	case report.Paragraph:
		p.paragraph(&b)
	case *report.Table:
		return p.table(b)
	case report.List:
		p.list(&b)
	case report.Note:
		p.note(&b)
	case report.Picture:
		p.hang("", 0, p.text("Picture: "+b.Alt), report.Neutral)
	case report.Calculation:
		p.calculation(b)
	case report.Fold:
		p.hang("", 0, p.toned(b.Tone, b.Summary), b.Tone)
		return p.blocks(b.Blocks)
	case report.Code:
		for _, l := range b.Lines(p.ASCII) {
			p.line(l)
		}
	}
	return nil
}

// widestLabel is the most columns that labels take beside their values.
const widestLabel = 20

// facts writes labels in a column and their values beside them.
func (p *page) facts(facts report.Facts) {
	indent := 0
	for _, f := range facts {
		indent = max(indent, min(Columns(p.text(f.Label)), widestLabel)+2)
	}
	for _, f := range facts {
		label, text := p.text(f.Label), p.toned(f.Tone, f.Text)
		if p.Plain {
			p.hang("", 0, label+": "+text, f.Tone)
			continue
		}
		if Columns(label)+2 > indent {
			p.hang("", 0, label, report.Neutral)
			label = ""
		}
		p.hang(label, indent, text, f.Tone)
	}
}

// heading writes the heading of a section.
func (p *page) heading(h *report.Heading) {
	text := p.text(h.Text)
	if p.Plain || h.Level > 0 {
		for _, l := range wrap(text, p.Width) {
			p.line(p.paint(title, l))
		}
		return
	}
	lines := wrap(text, p.Width-4)
	for i, l := range lines {
		if i == len(lines)-1 {
			l += " " + strings.Repeat(p.rule(), p.Width-Columns(l)-1)
		}
		p.line(p.paint(title, l))
	}
}

func (p *page) paragraph(g *report.Paragraph) {
	set := styleOf(g.Tone)
	if g.Strong && set == none {
		set = title
	}
	for _, l := range wrap(p.toned(g.Tone, g.Text), p.Width) {
		p.line(p.paint(set, l))
	}
}

func (p *page) list(l *report.List) {
	for i, s := range l.Items {
		mark := "-"
		if l.Ordered {
			mark = strconv.Itoa(i+1) + "."
		}
		if p.Plain && !l.Ordered {
			p.hang("", 0, p.text(s), report.Neutral)
			continue
		}
		p.hang(mark, len(mark)+1, p.text(s), report.Neutral)
	}
}

func (p *page) note(n *report.Note) {
	switch text := p.toned(n.Tone, n.Text); n.Kind {
	case report.Definition:
		p.define(p.text(n.Term), text)
	case report.Caution:
		p.hang("", 0, "Caution: "+text, n.Tone)
	default:
		p.hang("", 0, text, n.Tone)
	}
}

// define writes what a term means.
func (p *page) define(term, text string) {
	lines := wrap(term+": "+text, p.Width-2)
	for i, l := range lines {
		if i > 0 {
			l = "  " + l
		}
		p.line(l)
	}
}

// calculation writes numbered steps, what belongs to each under it.
func (p *page) calculation(steps report.Calculation) {
	for i := range steps {
		s := &steps[i]
		number := fmt.Sprintf("%3d ", s.Number)
		indent := len(number)
		if p.Plain {
			number, indent = strings.TrimLeft(number, " "), 0
		}
		lines := [...]string{p.text(s.Title + ": " + s.Result), p.formula(s.Formula, s.Meaning),
			p.formula("= "+s.Numbers, ""),
			p.text(s.Source)}
		if s.Numbers == "" {
			lines[2] = ""
		}
		for j, l := range lines {
			switch {
			case j == 0 && p.Plain:
				p.hang("", 0, number+l, report.Neutral)
			case j == 0:
				p.hang(number, indent, l, report.Neutral)
			case l != "":
				p.hang("", indent, l, report.Neutral)
			}
		}
	}
}

// formula writes one with what its symbols mean. Its signs are those of
// calculators and stay.
func (p *page) formula(formula, meaning string) string {
	formula = words.Safe(formula)
	if p.ASCII {
		formula = words.ASCII(formula)
	}
	if meaning != "" {
		formula = strings.TrimSpace(formula + "  [" + p.text(meaning) + "]")
	}
	return formula
}

// text makes what others wrote safe to show, in the form that is asked for.
func (p *page) text(s string) string {
	s = words.Safe(s)
	if p.Plain {
		s = words.Plain(s)
	}
	if p.ASCII {
		s = words.ASCII(s)
	}
	return s
}

// toned returns text behind the sign of its tone, or the word for it.
func (p *page) toned(t report.Tone, s string) string { return p.mark(t) + p.text(s) }

// mark is what sets a tone off, with the blank behind it; empty for those that
// need none.
func (p *page) mark(t report.Tone) string {
	sign := report.ToneSign(t)
	switch {
	case sign == "":
		return ""
	case p.Plain:
		return report.ToneWord(t) + " "
	}
	return p.text(sign) + " "
}

// rule is what lines are drawn with.
func (p *page) rule() string {
	if p.ASCII {
		return "-"
	}
	return "─"
}

func (p *page) line(s string) {
	p.b.WriteString(s)
	p.b.WriteByte('\n')
}

// hang writes text beside a label, its further lines indented alike.
func (p *page) hang(label string, indent int, text string, t report.Tone) {
	for i, l := range wrap(text, p.Width-indent) {
		l = p.paint(styleOf(t), l)
		if i == 0 {
			head := label + strings.Repeat(" ", max(0, indent-Columns(label)))
			p.line(strings.TrimRight(p.paint(title, head)+l, " "))
		} else {
			p.line(strings.TrimRight(strings.Repeat(" ", indent)+l, " "))
		}
	}
}
