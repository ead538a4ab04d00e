package report

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/pkg/twwidth"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
)

// table is what text and Markdown print as a table.
type table struct {
	columns []column
	lines   []line
}

// column is a column's heading. Of columns that do not all fit, those of the
// highest rank go first; rank 0 stays.
type column struct {
	name, unit string
	right      bool // aligned
	rank       int
}

// extra is the rank of what only a wide terminal shows, all or none of it.
const extra = 9

// line is a row of cells, or a divider: a time and what happens then, across
// the whole table.
type line struct {
	cells   []cell
	time    string // of a divider
	happens string // with a divider, else empty
}

// cell is one value. It must not contain line breaks.
type cell struct {
	text string
	tone tone
}

// tone is how a cell is set off, beyond what its text says.
type tone int

const (
	plain tone = iota
	strong
	bad
	aside
)

// cells returns the columns of a terminal that s takes. East Asian letters
// take two, the box drawing and arrows used here one: the locale, which
// tablewriter would ask, does not enter.
func cells(s string) int {
	return twwidth.WidthWithOptions(s, twwidth.Options{})
}

// widths returns those of the columns.
func (t *table) widths() []int {
	list := make([]int, len(t.columns))
	for i, c := range t.columns {
		list[i] = max(cells(c.name), cells(c.unit))
		for _, l := range t.lines {
			if l.happens == "" {
				list[i] = max(list[i], cells(l.cells[i].text))
			}
		}
	}
	return list
}

// without returns the table without column n.
func (t *table) without(n int) *table {
	cut := &table{columns: append(append([]column{}, t.columns[:n]...), t.columns[n+1:]...)}
	for _, l := range t.lines {
		if l.happens == "" {
			l.cells = append(append([]cell{}, l.cells[:n]...), l.cells[n+1:]...)
		}
		cut.lines = append(cut.lines, l)
	}
	return cut
}

// last returns the last column of the highest rank, and that rank.
func (t *table) last() (n, rank int) {
	for i, c := range t.columns {
		if c.rank >= rank {
			n, rank = i, c.rank
		}
	}
	return n, rank
}

// span returns the width of the table with a gap between columns.
func (t *table) span(gap int) int {
	sum := gap * (len(t.columns) - 1)
	for _, w := range t.widths() {
		sum += w
	}
	return sum
}

// fit returns the table with as many columns as a width takes, the gap
// between them, and the names of the columns left out, extras not counted.
func (t *table) fit(width int) (fitted *table, gap int, left []string) {
	fitted = t
	for {
		n, rank := fitted.last()
		switch {
		case fitted.span(2) <= width:
			return fitted, 2, left
		case rank < extra && fitted.span(1) <= width, rank == 0:
			return fitted, 1, left
		case rank == extra:
			for ; rank == extra; n, rank = fitted.last() {
				fitted = fitted.without(n)
			}
		default:
			c := fitted.columns[n]
			left = append([]string{strings.TrimSpace(c.name + " " + c.unit)}, left...)
			fitted = fitted.without(n)
		}
	}
}

// tableHead is how many lines a table's heading has: names, units, rule.
const tableHead = 3

// plain returns the lines of the table with a gap between columns and a rule
// under the heading; paint sets cells off.
func (t *table) plain(gap int, rule string, paint func(tone, string) string) ([]string, error) {
	between := make([]tw.Padding, len(t.columns))
	align := make([]tw.Align, len(t.columns))
	heading := make([]string, len(t.columns))
	for i, c := range t.columns {
		between[i] = tw.Padding{Right: strings.Repeat(" ", gap), Overwrite: true}
		align[i] = tw.AlignLeft
		if c.right {
			align[i] = tw.AlignRight
		}
		heading[i] = c.name + "\n" + c.unit
	}
	between[len(between)-1] = tw.PaddingNone
	var b bytes.Buffer
	w := tablewriter.NewTable(&b, asWritten(
		// The renderer comes before its rendition, or it would discard it.
		tablewriter.WithRenderer(renderer.NewBlueprint()),
		tablewriter.WithRendition(tw.Rendition{
			Borders: tw.BorderNone,
			Symbols: tw.NewSymbolCustom("rule").WithRow(rule).WithCenter(rule).WithColumn(" "),
			Settings: tw.Settings{
				Separators: tw.Separators{BetweenColumns: tw.Off, BetweenRows: tw.Off},
				Lines:      tw.Lines{ShowTop: tw.Off, ShowBottom: tw.Off, ShowHeaderLine: tw.On},
			},
		}),
		tablewriter.WithHeaderPaddingPerColumn(between),
		tablewriter.WithRowPaddingPerColumn(between),
		tablewriter.WithHeaderAlignmentConfig(tw.CellAlignment{PerColumn: align}),
		tablewriter.WithRowAlignmentConfig(tw.CellAlignment{PerColumn: align}),
	)...)
	w.Header(heading)
	for _, l := range t.lines {
		row := make([]string, len(t.columns)) // a divider keeps its place by a blank row
		for i, c := range l.cells {
			row[i] = paint(c.tone, c.text)
		}
		if err := w.Append(row); err != nil {
			return nil, err
		}
	}
	if err := w.Render(); err != nil {
		return nil, err
	}
	out := strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
	if len(out) != tableHead+len(t.lines) {
		return nil, fmt.Errorf("table of %d lines came out with %d", tableHead+len(t.lines), len(out))
	}
	span := t.span(gap)
	for i, l := range t.lines {
		if l.happens != "" {
			out[tableHead+i] = paint(aside, divider(l, span, rule))
		}
	}
	for i := range out {
		out[i] = strings.TrimRight(out[i], " ")
	}
	return out, nil
}

// divider writes a divider over a width.
func divider(l line, width int, rule string) string {
	s := l.time + " " + strings.Repeat(rule, 2) + " " + l.happens + " "
	return strings.TrimRight(s+strings.Repeat(rule, max(0, width-cells(s))), " ")
}

// markdown returns the table in pipes; escape keeps its cells from being
// taken for marks.
func (t *table) markdown(escape func(string) string) (string, error) {
	align := make([]tw.Align, len(t.columns))
	heading := make([]string, len(t.columns))
	for i, c := range t.columns {
		align[i] = tw.AlignLeft
		if c.right {
			align[i] = tw.AlignRight
		}
		heading[i] = escape(strings.TrimSpace(c.name + " " + c.unit))
	}
	var b bytes.Buffer
	w := tablewriter.NewTable(&b, asWritten(
		tablewriter.WithRenderer(renderer.NewMarkdown()),
		tablewriter.WithHeaderAlignmentConfig(tw.CellAlignment{PerColumn: align}),
		tablewriter.WithRowAlignmentConfig(tw.CellAlignment{PerColumn: align}),
	)...)
	w.Header(heading)
	for _, l := range t.lines {
		row := make([]string, len(t.columns))
		for i, c := range l.cells {
			row[i] = escape(strings.TrimSpace(c.text))
		}
		if l.happens != "" {
			row[0] = escape(l.time) + " **" + escape(l.happens) + "**"
		}
		if err := w.Append(row); err != nil {
			return "", err
		}
	}
	if err := w.Render(); err != nil {
		return "", err
	}
	return b.String(), nil
}

// asWritten adds to the options those that keep tablewriter from changing the
// cells: it would put headings in capitals, trim what aligns decimals, wrap
// and cut by its own widths, and measure by the locale.
func asWritten(options ...tablewriter.Option) []tablewriter.Option {
	return append(options,
		tablewriter.WithEastAsian(tw.Off),
		tablewriter.WithHeaderAutoFormat(tw.Off),
		tablewriter.WithTrimSpace(tw.Off),
		tablewriter.WithTrimLine(tw.Off),
		tablewriter.WithHeaderAutoWrap(tw.WrapNone),
		tablewriter.WithRowAutoWrap(tw.WrapNone),
	)
}
