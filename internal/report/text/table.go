package text

import (
	"bytes"
	"cmp"
	"fmt"
	"strings"

	"evenfall/internal/report"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
)

// gap is the columns between two of a table's.
const gap = 2

// leastText is the columns that text in a table keeps before columns are
// hidden: only what is longer goes over several lines.
const leastText = 24

// leastSeries is the same of columns that are read side by side.
const leastSeries = 12

// grid is a table in the form it is shown in.
type grid struct {
	heads []head
	rows  []gridRow
}

// head is a column's heading and how it is treated.
type head struct {
	title, unit, group string // unit and group are empty in plain form
	name               string // in one line
	right              bool
	oneLine            bool // the title is never broken up
	importance         int
	width              int
	least              int // columns it keeps before others are hidden
}

// gridRow is a row of cells, or, where there are none, what happens between two.
type gridRow struct {
	cells  []gridCell
	across string
}

type gridCell struct {
	text  string
	style style
	below []string // lines of their own, in a table that is stacked
}

// table writes a table, with what there is no room for left out and named.
func (p *page) table(t *report.Table) error {
	if len(t.Columns) == 0 {
		return nil
	}
	g := p.grid(t, false)
	if g.measure(); stacks(t) && g.span(0, len(g.heads)) > p.Width {
		g = p.grid(t, true)
	}
	g, hidden := g.fit(p.Width)
	if t.Series > 0 && (p.Plain || len(hidden) > 0) || p.Plain && len(hidden) > 0 {
		p.listed(t)
		p.definitions(t)
		return nil
	}
	lines, err := p.draw(g)
	if err != nil {
		return err
	}
	for _, l := range lines {
		p.line(l)
	}
	p.tellHidden(hidden)
	p.definitions(t)
	return nil
}

// listed writes a table that does not fit row by row: where columns are read
// side by side, each on a line of its own; else a row as one text.
func (p *page) listed(t *report.Table) {
	indent := 0
	for i := t.Series; t.Series > 0 && i < len(t.Columns); i++ {
		indent = max(indent, Columns(p.trimmed(t.Columns[i].Title))+4)
	}
	for i := range t.Rows {
		r := &t.Rows[i]
		switch {
		case len(r.Cells) == 0:
			p.hang("", 0, p.text(r.Across), report.Neutral)
		case t.Series > 0:
			for _, l := range wrap(p.text(r.Cells[0].Listed()), p.Width) {
				p.line(p.paint(title, l))
			}
			for j := t.Series; j < len(r.Cells); j++ {
				p.item(p.trimmed(t.Columns[j].Title), indent, &r.Cells[j])
			}
		default:
			p.hang("", 0, p.rowText(t, r), report.Neutral)
		}
	}
}

// item writes one cell of a table that is listed, behind its column's name.
func (p *page) item(name string, indent int, c *report.Cell) {
	text := p.toned(c.Tone, c.Listed())
	if p.Plain {
		p.hang("", 0, name+": "+text, c.Tone)
		return
	}
	p.hang("  "+name, indent, text, c.Tone)
}

// rowText is all of a row: its first cell, then the others behind the names of
// their columns.
func (p *page) rowText(t *report.Table, r *report.Row) string {
	text := p.toned(r.Cells[0].Tone, r.Cells[0].Listed())
	sep := ": "
	for j := 1; j < min(len(r.Cells), len(t.Columns)); j++ {
		c := &r.Cells[j]
		if strings.TrimSpace(c.Text) == "" {
			continue
		}
		text += sep + strings.TrimSpace(t.Columns[j].Name(p.trimmed)+" "+p.toned(c.Tone, strings.TrimSpace(c.Listed())))
		sep = "; "
	}
	return text + "."
}

// tellHidden names the columns that there was no room for, the first time with
// what to do.
func (p *page) tellHidden(columns []string) {
	if len(columns) == 0 {
		return
	}
	lead := "Hidden at this width"
	if !p.hidden {
		lead += " (widen, or --format markdown)"
	}
	p.hidden = true
	p.hang("", 0, lead+": "+strings.Join(columns, ", ")+".", report.Neutral)
}

// definitions writes what the columns mean, each once in a document.
func (p *page) definitions(t *report.Table) {
	for i := range t.Columns {
		c := &t.Columns[i]
		if key := c.Title + "\n" + c.Note; p.Full && c.Note != "" && !p.defined[key] {
			p.defined[key] = true
			p.define(p.text(c.Title), p.text(c.Note))
		}
	}
}

// stacks reports whether some cell has lines that may stand below it.
func stacks(t *report.Table) bool {
	for i := range t.Rows {
		for j := range t.Rows[i].Cells {
			if len(t.Rows[i].Cells[j].Below) > 0 {
				return true
			}
		}
	}
	return false
}

// grid brings a table into the form it is shown in: stacked, with what may
// stand below the cells there.
func (p *page) grid(t *report.Table, stacked bool) *grid {
	g := &grid{}
	for i := range t.Columns {
		c := &t.Columns[i]
		h := head{title: p.trimmed(c.Title), unit: p.trimmed(c.Unit), group: p.trimmed(c.Group),
			name:  c.Name(p.trimmed),
			right: c.Align == report.Right, importance: c.Importance, least: cmp.Or(c.Least, leastText)}
		if t.Series > 0 && i >= t.Series {
			h.least = leastSeries
		}
		if p.Plain {
			h.title, h.unit, h.group, h.oneLine = h.name, "", "", true
		}
		g.heads = append(g.heads, h)
	}
	for i := range t.Rows {
		r := &t.Rows[i]
		row := gridRow{across: p.text(r.Across)}
		if r.Across == "" {
			row.cells = make([]gridCell, len(g.heads))
			for j := range min(len(r.Cells), len(row.cells)) {
				row.cells[j] = p.stacked(t, j, &r.Cells[j], stacked)
			}
		}
		g.rows = append(g.rows, row)
	}
	return g
}

// nameless reports whether no column has a heading.
func (g *grid) nameless() bool {
	for _, h := range g.heads {
		if h.title+h.unit != "" {
			return false
		}
	}
	return true
}

// stacked returns a cell, what may stand below it there or behind its text.
func (p *page) stacked(t *report.Table, column int, c *report.Cell, stacked bool) gridCell {
	g := gridCell{style: styleOf(c.Tone)}
	if !stacked || len(c.Below) == 0 {
		g.text = p.cell(t, column, &report.Cell{Text: c.Joined(), Tone: c.Tone}, stacked)
		return g
	}
	g.text = p.text(c.Text)
	for i, below := range c.Below {
		text := p.text(below)
		if i == len(c.Below)-1 {
			text = p.toned(c.Tone, below)
		}
		g.below = append(g.below, text)
	}
	return g
}

// cell returns a cell's text behind the sign of its tone. In a column of text
// where some cell has a sign before it, the others leave room for it.
func (p *page) cell(t *report.Table, column int, c *report.Cell, stacked bool) string {
	mark := p.mark(c.Tone)
	if mark == "" && !p.Plain && t.Columns[column].Align == report.Left {
		for i := range t.Rows {
			cells := t.Rows[i].Cells
			if column < len(cells) && p.mark(cells[column].Tone) != "" && !(stacked && len(cells[column].Below) > 0) {
				return "  " + p.text(c.Text)
			}
		}
	}
	return mark + p.text(c.Text)
}

// trimmed is text without blanks at its ends.
func (p *page) trimmed(s string) string { return strings.TrimSpace(p.text(s)) }

// measure finds the width of each column by its longest cell and heading.
func (g *grid) measure() {
	for i := range g.heads {
		h := &g.heads[i]
		h.width = max(twoLines(h.title), longestWord(h.unit), 1)
		if h.oneLine {
			h.width = max(Columns(h.title), 1)
		}
		for _, r := range g.rows {
			if r.cells != nil {
				h.width = max(h.width, r.cells[i].width())
			}
		}
	}
	// A group's heading stands over its columns.
	for from := 0; from < len(g.heads); {
		to := g.groupEnd(from)
		if missing := Columns(g.heads[from].group) - g.span(from, to); g.heads[from].group != "" && missing > 0 {
			g.heads[to-1].width += missing
		}
		from = to
	}
}

func longestWord(s string) int {
	longest := 0
	for _, word := range strings.Split(s, " ") {
		longest = max(longest, Columns(word))
	}
	return longest
}

// twoLines returns the fewest columns that a title takes in at most two lines.
func twoLines(title string) int {
	columns := longestWord(title)
	for columns > 0 && len(wrap(title, columns)) > 2 {
		columns++
	}
	return columns
}

// width is that of the cell's longest line.
func (c *gridCell) width() int {
	longest := Columns(c.text)
	for _, line := range c.below {
		longest = max(longest, Columns(line))
	}
	return longest
}

// groupEnd returns the column after the group that begins at from.
func (g *grid) groupEnd(from int) int {
	to := from + 1
	for to < len(g.heads) && g.heads[to].group == g.heads[from].group {
		to++
	}
	return to
}

// span returns the width of some columns with the gaps between them.
func (g *grid) span(from, to int) int {
	sum := gap * (to - from - 1)
	for _, h := range g.heads[from:to] {
		sum += h.width
	}
	return sum
}

// fit returns the table as narrow as it must be, and the names of the columns
// that are hidden for it. Long text is broken up first; then the least
// important columns go, and of those what still has room comes back.
func (g *grid) fit(columns int) (fitted *grid, hidden []string) {
	keep := make([]bool, len(g.heads))
	for i := range keep {
		keep[i] = true
	}
	var gone []int
	for fitted = g.only(keep); !fitted.shrink(columns); fitted = g.only(keep) {
		if len(fitted.heads) == 1 {
			fitted.heads[0].width = columns
			break
		}
		n := g.leastImportant(keep)
		keep[n] = false
		gone = append(gone, n)
	}
	for i := len(gone) - 1; i >= 0; i-- {
		keep[gone[i]] = true
		if more := g.only(keep); more.shrink(columns) {
			fitted = more
		} else {
			keep[gone[i]] = false
		}
	}
	for i := range keep {
		if !keep[i] {
			hidden = append(hidden, g.heads[i].name)
		}
	}
	return fitted, hidden
}

// leastImportant returns the least important of some columns, of equal ones
// the last. The first column is always important.
func (g *grid) leastImportant(keep []bool) int {
	least := -1
	for i := 1; i < len(g.heads); i++ {
		if keep[i] && (least < 0 || g.heads[i].importance <= g.heads[least].importance) {
			least = i
		}
	}
	return least
}

// only returns the table of some columns, at its full width.
func (g *grid) only(keep []bool) *grid {
	part := &grid{}
	for i, h := range g.heads {
		if keep[i] {
			part.heads = append(part.heads, h)
		}
	}
	for _, r := range g.rows {
		row := gridRow{across: r.across}
		for i, c := range r.cells {
			if keep[i] {
				row.cells = append(row.cells, c)
			}
		}
		part.rows = append(part.rows, row)
	}
	part.measure()
	return part
}

// shrink brings a table to a width by taking columns off its longest text,
// down to a least width. It reports whether that was enough; else nothing
// changes.
func (g *grid) shrink(columns int) bool {
	excess := g.span(0, len(g.heads)) - columns
	room := 0
	for i := range g.heads {
		room += g.heads[i].room()
	}
	if excess > room {
		return false
	}
	for ; excess > 0; excess-- {
		longest := -1
		for i := range g.heads {
			if g.heads[i].room() > 0 && (longest < 0 || g.heads[i].width > g.heads[longest].width) {
				longest = i
			}
		}
		g.heads[longest].width--
	}
	return true
}

// room is how much narrower a column may be made.
func (h *head) room() int {
	least := h.least
	if h.oneLine {
		least = max(least, Columns(h.title))
	}
	if h.right {
		return 0
	}
	return max(0, h.width-least)
}

// headings returns the lines of the columns' headings: titles with their units
// below them, all down to the rule.
func (g *grid) headings() [][]string {
	if g.nameless() {
		g.heads[0].title = "-" // the library leaves blank headings out
	}
	most := 1
	stacks := make([][]string, len(g.heads))
	for i, h := range g.heads {
		stacks[i] = wrap(h.title, h.width)
		if h.unit != "" {
			stacks[i] = append(stacks[i], wrap(h.unit, h.width)...)
		}
		most = max(most, len(stacks[i]))
	}
	lines := make([][]string, most)
	for n := range lines {
		lines[n] = make([]string, len(g.heads))
		for i, stack := range stacks {
			if k := n - most + len(stack); k >= 0 {
				lines[n][i] = stack[k]
			}
		}
	}
	return lines
}

// groups returns the line of headings over groups of columns, empty where
// there are none.
func (g *grid) groups() string {
	var b strings.Builder
	for from := 0; from < len(g.heads); {
		to := g.groupEnd(from)
		span := g.span(from, to)
		name := pieces(g.heads[from].group, span)[0]
		b.WriteString(name + strings.Repeat(" ", span+gap-Columns(name)))
		from = to
	}
	return strings.TrimRight(b.String(), " ")
}

// broken returns the lines of a row, of which those before the last are full.
func (g *grid) broken(r *gridRow) [][]gridCell {
	var lines [][]gridCell
	for i, c := range r.cells {
		var parts []string
		for _, line := range append([]string{c.text}, c.below...) {
			if Columns(line) > g.heads[i].width {
				parts = append(parts, wrap(line, g.heads[i].width)...)
			} else {
				parts = append(parts, line)
			}
		}
		for n, part := range parts {
			if n == len(lines) {
				lines = append(lines, make([]gridCell, len(r.cells)))
			}
			lines[n][i] = gridCell{text: part, style: c.style}
		}
	}
	return lines
}

// draw returns the lines of the table.
func (p *page) draw(g *grid) ([]string, error) {
	heads := g.headings()
	rows := make([][]string, 0, len(g.rows))
	across := map[int]string{}
	for i := range g.rows {
		r := &g.rows[i]
		if r.cells == nil {
			for _, l := range p.between(r.across, g.span(0, len(g.heads))) {
				across[len(rows)] = l
				rows = append(rows, make([]string, len(g.heads))) // keeps its place
			}
			continue
		}
		for _, cells := range g.broken(r) {
			row := make([]string, len(cells))
			for n, c := range cells {
				row[n] = p.paint(c.style, c.text)
			}
			rows = append(rows, row)
		}
	}
	rule := p.rule()
	if p.Plain {
		rule = " " // taken out below: the library draws one at any rate
	}
	lines, err := print(g, heads, rows, rule)
	if err != nil {
		return nil, err
	}
	for n, l := range across {
		lines[len(heads)+1+n] = l
	}
	if p.Plain {
		lines = append(lines[:len(heads):len(heads)], lines[len(heads)+1:]...)
	} else {
		lines[len(heads)] = strings.Repeat(rule, g.span(0, len(g.heads)))
	}
	for i := range lines {
		lines[i] = strings.TrimRight(closed(lines[i]), " ")
	}
	if groups := g.groups(); groups != "" {
		lines = append([]string{groups}, lines...)
	}
	return lines, nil
}

// between returns the lines of what happens between two rows.
func (p *page) between(text string, columns int) []string {
	if p.Plain {
		return wrap(text, p.Width)
	}
	lead := strings.Repeat(p.rule(), 2) + " "
	lines := wrap(text, max(columns, leastText)-Columns(lead)-1)
	for i, l := range lines {
		if i == 0 {
			l = lead + l
			lines[i] = l + " " + strings.Repeat(p.rule(), max(0, columns-Columns(l)-1))
			continue
		}
		lines[i] = strings.Repeat(" ", Columns(lead)) + l
	}
	return lines
}

// print has the library set headings and rows, all of them lines already, in
// columns. It returns them with one line between the two.
func print(g *grid, heads, rows [][]string, rule string) ([]string, error) {
	padding := make([]tw.Padding, len(g.heads))
	align := make([]tw.Align, len(g.heads))
	heading := make([]string, len(g.heads))
	for i, h := range g.heads {
		padding[i] = tw.Padding{Right: strings.Repeat(" ", gap), Overwrite: true}
		align[i] = tw.AlignLeft
		if h.right {
			align[i] = tw.AlignRight
		}
		var lines []string
		for _, l := range heads {
			lines = append(lines, pad(l[i], h))
		}
		heading[i] = strings.Join(lines, "\n")
	}
	padding[len(padding)-1] = tw.PaddingNone
	var b bytes.Buffer
	w := tablewriter.NewTable(&b,
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
		tablewriter.WithHeaderPaddingPerColumn(padding),
		tablewriter.WithRowPaddingPerColumn(padding),
		tablewriter.WithHeaderAlignmentConfig(tw.CellAlignment{PerColumn: align}),
		tablewriter.WithRowAlignmentConfig(tw.CellAlignment{PerColumn: align}),
		// Left to itself the library puts headings in capitals, trims what
		// aligns decimals, wraps and cuts by its own widths, and measures by
		// the locale.
		tablewriter.WithEastAsian(tw.Off),
		tablewriter.WithHeaderAutoFormat(tw.Off),
		tablewriter.WithTrimSpace(tw.Off),
		tablewriter.WithTrimLine(tw.Off),
		tablewriter.WithHeaderAutoWrap(tw.WrapNone),
		tablewriter.WithRowAutoWrap(tw.WrapNone),
	)
	w.Header(heading)
	none := len(rows) == 0 // the library leaves the rule out
	if none {
		rows = append(rows, make([]string, len(g.heads)))
	}
	for _, row := range rows {
		if err := w.Append(row); err != nil {
			return nil, err
		}
	}
	if err := w.Render(); err != nil {
		return nil, err
	}
	lines := strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
	if want := len(heads) + 1 + len(rows); len(lines) != want {
		return nil, fmt.Errorf("a table of %d lines came out with %d", want, len(lines))
	}
	if none {
		lines = lines[:len(lines)-1]
	}
	return lines, nil
}

// pad fills a line of a heading to the column's width, so that the library
// cannot make it narrower than its cells are broken to, nor lose an empty one.
func pad(s string, h head) string {
	blank := strings.Repeat(" ", max(0, h.width-Columns(s)))
	if h.right {
		return blank + s
	}
	return s + blank
}
