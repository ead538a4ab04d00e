package report

import (
	"strings"
	"time"
)

// Document is a report as people read it, described once for all renderers.
//
// Its text is proper Unicode without markup. It may hold names as others wrote
// them: renderers make them safe to show.
type Document struct {
	Title  string
	Blocks []Block
}

// Add appends blocks.
func (d *Document) Add(blocks ...Block) { d.Blocks = append(d.Blocks, blocks...) }

// Block is a part of a document: Facts, Heading, Paragraph, *Table, List,
// Note, Picture, Code, Calculation or Fold.
type Block interface{ block() }

func (Facts) block()     {}
func (Heading) block()   {}
func (Paragraph) block() {}
func (*Table) block()    {}
func (List) block()      {}
func (Note) block()      {}
func (Picture) block()   {}
func (Code) block()      {}

func (Calculation) block() {}
func (Fold) block()        {}

// Tone is how good what stands there is. Renderers always set Warn and Bad off
// by a sign or a word, with colour at most on top of it.
type Tone int

// The tones.
const (
	Neutral Tone = iota
	Good         // held, comfortable
	Warn         // held for less than was asked, tight
	Bad          // missed, cannot be done
)

// Fact is a value beside its label.
type Fact struct {
	Label, Text string
	Tone        Tone
}

// Facts is a run of labelled values.
type Facts []Fact

// Heading begins a section.
type Heading struct {
	Text  string
	Level int    // 0 for a section, 1 for one within it
	Name  string // of the section, for a page that is laid out by it; may be empty
}

// Paragraph is running text.
type Paragraph struct {
	Text   string
	Strong bool // the answer, among what explains it
	Tone   Tone
}

// List is a run of short texts, each a line where it fits.
type List struct {
	Items   []string
	Ordered bool // numbered from 1
}

// NoteKind is what a note is for.
type NoteKind int

// The kinds of notes.
const (
	Remark     NoteKind = iota
	Definition          // of a term
	Caution             // of what can hurt someone
)

// Note stands beside the report rather than in it.
type Note struct {
	Kind NoteKind
	Term string // of a definition
	Text string
	Tone Tone
}

// Said is the note in a line, with what it is.
func (n *Note) Said() string {
	switch n.Kind {
	case Definition:
		return n.Term + ": " + n.Text
	case Caution:
		return "Caution: " + n.Text
	}
	return n.Text
}

// Picture is the place of a drawing, for renderers that can show one; the
// others print what it shows.
type Picture struct {
	Name  string // of the drawing
	Title string
	Alt   string // what it shows, in words
}

// Fold is what not everybody needs to see, under a line that says what it is.
type Fold struct {
	Summary string
	Tone    Tone
	Blocks  []Block
}

// Code is text to be pasted into a file. Its lines are never broken, whatever
// their width, since a broken one would not be read.
type Code struct {
	Language string // toml, or Console
	Text     string
}

// Console is the language of commands with what they print.
const Console = "console"

// Calculation is a run of numbered steps of arithmetic.
type Calculation []CalculationStep

// CalculationStep is one of them.
type CalculationStep struct {
	Number int
	Title  string // what is worked out
	Result string // with its unit
	// Formula, in symbols, and Numbers, the same with numbers in their place,
	// are what is typed into a calculator; empty where there is none.
	Formula, Numbers string
	Meaning          string // of the formula's symbols; or where the result comes from
	Source           string // and what else there is to say
}

// Align is the side that a column's cells are set to.
type Align int

// The sides: text to the left, numbers to the right.
const (
	Left Align = iota
	Right
)

// Table is rows of cells under headed columns.
type Table struct {
	Columns []Column
	Rows    []Row
	// Series is the first of the columns that are read side by side, 0 for
	// none. Where they do not all fit, and in plain form, each row is listed:
	// its first cell alone, then a line for each of these columns.
	Series int
}

// Column is a column's heading, and how it is treated.
type Column struct {
	Title string
	Unit  string // in a line of its own under the title
	Group string // heading over this and its neighbours of the same group
	Align Align
	// Importance is what stays where not all columns fit: the least important
	// goes first, of equal ones the last. The first column always stays.
	Importance int
	Least      int    // columns that its text keeps before others are hidden; 0 for the usual
	Note       string // what the column means, printed once with the full report
}

// Name is the column's heading in one line, each part as show makes it.
func (c *Column) Name(show func(string) string) string {
	name := show(c.Title)
	if c.Group != "" {
		name = show(c.Group) + " " + name
	}
	if c.Unit != "" {
		name += " (" + show(c.Unit) + ")"
	}
	return name
}

// Minor reports whether a page leaves the column out where there is little room.
func (c *Column) Minor() bool {
	const most = 6 // of the importance
	return c.Importance <= most
}

// Row is a row of cells, one for each column; or, where Across is not empty,
// what happens between two rows, written across the table.
type Row struct {
	Cells  []Cell
	Across string
	At     time.Time // when it is, in a table of times; else zero
}

// Cell is one value. Blanks at its ends count, so that decimals can align.
type Cell struct {
	Text string
	Tone Tone
	// Below is what follows on lines of its own where the table has little
	// room, else behind the text. The sign of the tone goes with the last.
	Below []string
	// Alone says the same where no heading stands over it, in a table that is
	// listed; empty for the text with what is below.
	Alone string
}

// Joined is all of a cell in one line.
func (c *Cell) Joined() string { return strings.Join(append([]string{c.Text}, c.Below...), ", ") }

// Listed is all of a cell where no heading stands over it.
func (c *Cell) Listed() string {
	if c.Alone != "" {
		return c.Alone
	}
	return c.Joined()
}

// Cells returns a row of neutral cells.
func Cells(texts ...string) Row {
	row := Row{Cells: make([]Cell, len(texts))}
	for i, s := range texts {
		row.Cells[i].Text = s
	}
	return row
}

// Add appends a row of neutral cells.
func (t *Table) Add(texts ...string) { t.Rows = append(t.Rows, Cells(texts...)) }
