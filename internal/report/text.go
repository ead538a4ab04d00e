package report

import (
	"bytes"
	"strings"

	"evenfall/internal/plan"
)

// page is a screenful of text in the making.
type page struct {
	words
	b     *bytes.Buffer
	width int
	color bool
}

// newPage begins a page at a title.
func newPage(b *bytes.Buffer, title string, facts []fact, o Options) *page {
	width := o.Width
	if width <= 0 {
		width = usualWidth
	}
	g := &page{words{o.ASCII}, b, max(width, narrowestWidth), o.Color}
	for _, l := range wrap(title, g.width) {
		g.line(g.paint(strong, l))
	}
	for _, f := range facts {
		g.hang(f.label, 9, f.text)
	}
	return g
}

// list writes a section of sentences.
func (g *page) list(title string, items []string) {
	g.head(title)
	g.items(items)
}

func (g *page) items(items []string) {
	for _, s := range items {
		g.hang("-", 2, s)
	}
}

// writeText writes the plan for a terminal.
func writeText(b *bytes.Buffer, p *plan.Plan, o Options) error {
	w := words{o.ASCII}
	g := newPage(b, w.title(p.Shoot, o), w.facts(p.Shoot, w.window(p)), o)

	g.head("Light")
	if len(p.Rows) == 0 {
		g.line("The window holds no moment.")
	} else if err := g.tables(p); err != nil {
		return err
	}

	g.head("Events of " + date(p.Day.Start))
	// An event stays in one piece with its time.
	const glue = "\u00a0"
	events := g.events(p)
	for i := range events {
		events[i] = strings.ReplaceAll(events[i], " ", glue)
	}
	g.hang("", 0, strings.Join(events, ", "))

	g.list("Notes", g.notes(p))
	g.list("Cautions", Cautions(p.Shoot))
	return nil
}

// tables writes the light and the methods.
func (g *page) tables(p *plan.Plan) error {
	if err := g.table(g.lightTable(p)); err != nil {
		return err
	}
	marked := false // the signs are explained under the first table that has them
	for i := range p.Methods {
		m := &p.Methods[i]
		g.head(m.Method.String() + ": " + aboutMethod(m.Method))
		g.hang("", 0, g.summary(m))
		if t := g.methodTable(p, i); t != nil {
			g.line("")
			if err := g.table(t); err != nil {
				return err
			}
			if !marked {
				g.hang("", 0, g.marks(hasCases(p)))
			}
			marked = true
		}
		g.troubles(p, i)
	}
	return nil
}

// troubles writes where method number n fails, and what would cure it.
func (g *page) troubles(p *plan.Plan, n int) {
	list := plan.Failures(p.Rows, n)
	for i := range list {
		problem, cures := g.tell(&list[i], clockIn(p.Shoot.When.Step))
		g.hang(g.fails(), 2, problem)
		if cures != "" {
			g.hang("", 2, cures)
		}
	}
}

// table writes a table as wide as the page allows.
func (g *page) table(t *table) error {
	fitted, gap, left := t.fit(g.width)
	lines, err := fitted.plain(gap, g.rule(), g.paint)
	if err != nil {
		return err
	}
	for _, l := range lines {
		g.line(l)
	}
	g.leftOut(left)
	return nil
}

// leftOut names the columns that there was no room for.
func (g *page) leftOut(columns []string) {
	if len(columns) > 0 {
		g.hang("", 0, "Left out for want of width: "+strings.Join(columns, ", ")+".")
	}
}

func (g *page) line(s string) {
	g.b.WriteString(s)
	g.b.WriteByte('\n')
}

// head writes the heading of a section.
func (g *page) head(s string) {
	g.line("")
	lead := strings.Repeat(g.rule(), 2) + " "
	lines := wrap(s, g.width-cells(lead))
	for i, line := range lines {
		line = lead + line
		if i == len(lines)-1 {
			line += " "
			line = strings.TrimRight(line+strings.Repeat(g.rule(), max(0, g.width-cells(line))), " ")
		}
		g.line(g.paint(strong, line))
		lead = strings.Repeat(" ", cells(lead))
	}
}

// hang writes text beside a label, its further lines indented alike.
func (g *page) hang(label string, indent int, text string) {
	for i, l := range wrap(text, g.width-indent) {
		if i == 0 {
			g.line(label + strings.Repeat(" ", max(0, indent-cells(label))) + l)
		} else {
			g.line(strings.Repeat(" ", indent) + l)
		}
	}
}

// paint sets text off by colour, where there is colour.
func (g *page) paint(t tone, s string) string {
	if !g.color || t == plain || strings.TrimSpace(s) == "" {
		return s
	}
	codes := [...]string{strong: "1", bad: "31", aside: "36"}
	return "\x1b[" + codes[t] + "m" + s + "\x1b[0m"
}

// wrap breaks text into lines of at most width columns: at spaces, and within
// a word only where it is longer than a line. Spaces that do not break become
// plain ones.
func wrap(text string, width int) []string {
	var lines []string
	var line strings.Builder
	used := 0
	flush := func() {
		lines = append(lines, strings.ReplaceAll(line.String(), "\u00a0", " "))
		line.Reset()
		used = 0
	}
	for _, word := range strings.Split(text, " ") {
		if word == "" {
			continue
		}
		w := cells(word)
		if used > 0 && used+1+w > width {
			flush()
		}
		if used > 0 {
			line.WriteByte(' ')
			used++
		}
		if w <= width {
			line.WriteString(word)
			used += w
			continue
		}
		for _, r := range word {
			n := cells(string(r))
			if used > 0 && used+n > width {
				flush()
			}
			line.WriteRune(r)
			used += n
		}
	}
	if used > 0 || len(lines) == 0 {
		flush()
	}
	return lines
}
