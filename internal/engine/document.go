package engine

import (
	"fmt"
	"strings"

	"evenfall/internal/picture"
	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/words"
)

// block is a block of a report's document, or one within another. Its texts are
// safe to show.
type block struct {
	// Kind is facts, heading, paragraph, table, list, note, picture, fold or code.
	Kind string `json:"kind"`
	cell
	Name    string   `json:"name,omitempty"` // of a section
	Level   int      `json:"level,omitempty"`
	Strong  bool     `json:"strong,omitempty"`
	Ordered bool     `json:"ordered,omitempty"`
	Facts   []fact   `json:"facts,omitempty"`
	Items   []string `json:"items,omitempty"`
	Columns []column `json:"columns,omitempty"`
	Rows    []row    `json:"rows,omitempty"`
	SVG     string   `json:"svg,omitempty"`
	Blocks  []block  `json:"blocks,omitempty"`
}

type fact struct {
	Label string `json:"label"`
	cell
}

// cell is a text with what sets its tone off: a sign, and the word for it.
type cell struct {
	Text  string `json:"text"`
	Below []cell `json:"below,omitempty"`
	Tone  string `json:"tone,omitempty"` // warn or bad
	Sign  string `json:"sign,omitempty"`
	Word  string `json:"word,omitempty"`
}

type column struct {
	Title string `json:"title"`
	Unit  string `json:"unit,omitempty"`
	Right bool   `json:"right,omitempty"`
	Minor bool   `json:"minor,omitempty"` // may go where there is little room
}

type row struct {
	Cells  []cell `json:"cells,omitempty"`
	Across string `json:"across,omitempty"`
	At     int64  `json:"at,omitempty"` // seconds since 1970, in a table of times
}

// blocksOf are the blocks of a document of a plan, its pictures drawn. The error
// is of a kind that a page has no form for.
func blocksOf(p *plan.Plan, of []report.Block) ([]block, error) {
	var list []block
	for _, one := range of {
		b, err := blockOf(p, one)
		if err != nil {
			return nil, err
		}
		list = append(list, b)
	}
	return list, nil
}

func blockOf(p *plan.Plan, one report.Block) (out block, err error) {
	switch b := one.(type) {
	case report.Facts:
		out.Kind = "facts"
		for _, f := range b {
			out.Facts = append(out.Facts, fact{words.Safe(f.Label), toned(f.Tone, f.Text)})
		}
	case report.Heading:
		out = block{Kind: "heading", cell: toned(report.Neutral, b.Text), Level: b.Level, Name: b.Name}
	case report.Paragraph:
		out = block{Kind: "paragraph", cell: toned(b.Tone, b.Text), Strong: b.Strong}
	case report.List:
		out = block{Kind: "list", Ordered: b.Ordered, Items: safe(b.Items)}
	case report.Note:
		out = block{Kind: "note", cell: toned(b.Tone, b.Said())}
	case *report.Table:
		out = tableOf(b)
	case report.Picture:
		out = block{Kind: "picture", cell: toned(report.Neutral, b.Alt), SVG: picture.Draw(p, &b)}
	case report.Fold:
		out = block{Kind: "fold", cell: toned(b.Tone, b.Summary)}
		out.Blocks, err = blocksOf(p, b.Blocks)
	case report.Code:
		out = block{Kind: "code", cell: toned(report.Neutral, strings.Join(b.Lines(false), "\n"))}
	default:
		err = fmt.Errorf("%T has no form on a page that plans", one)
	}
	return out, err
}

func tableOf(t *report.Table) block {
	out := block{Kind: "table"}
	for i := range t.Columns {
		c := &t.Columns[i]
		out.Columns = append(out.Columns, column{words.Safe(strings.TrimSpace(c.Group + " " + c.Title)),
			words.Safe(c.Unit), c.Align == report.Right, c.Minor()})
	}
	for i := range t.Rows {
		from := &t.Rows[i]
		to := row{Across: words.Safe(from.Across)}
		if !from.At.IsZero() {
			to.At = from.At.Unix()
		}
		for _, c := range from.Cells {
			to.Cells = append(to.Cells, cellOf(&c))
		}
		out.Rows = append(out.Rows, to)
	}
	return out
}

// cellOf is a cell of a table; the sign of its tone goes with what comes first
// below.
func cellOf(from *report.Cell) cell {
	if len(from.Below) == 0 {
		return toned(from.Tone, from.Text)
	}
	to := toned(report.Neutral, from.Text)
	for i, text := range from.Below {
		below := toned(from.Tone, text)
		if i > 0 {
			below.Sign, below.Word = "", ""
		}
		to.Below = append(to.Below, below)
	}
	return to
}

func safe(texts []string) []string {
	list := make([]string, len(texts))
	for i, text := range texts {
		list[i] = words.Safe(text)
	}
	return list
}

func toned(t report.Tone, text string) cell {
	c := cell{Text: words.Safe(strings.TrimSpace(text)), Sign: report.ToneSign(t), Word: report.ToneWord(t)}
	switch t {
	case report.Warn:
		c.Tone = "warn"
	case report.Bad:
		c.Tone = "bad"
	}
	return c
}
