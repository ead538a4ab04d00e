package report

import (
	"bytes"
	"fmt"
	"strings"

	"evenfall/internal/plan"
)

// compareMarkdown writes the comparison as a document with tables in pipes.
func compareMarkdown(b *bytes.Buffer, c *Comparison, o Options) error {
	w := words{o.ASCII}
	s := c.Plan.Shoot
	markdownHeader(b, w.title(s, o), w.facts(s, w.window(c.Plan)))
	all := w.methodsTable(c.Comparison)
	for i, at := 0, 0; i < len(c.Moments); i++ {
		m := &c.Moments[i]
		n := len(m.Row.Methods)
		one := &table{columns: all.columns, lines: all.lines[at : at+n]}
		at += n
		if err := markdownTable(b, w.momentTitle(m), w.momentLight(s, m)+".", one); err != nil {
			return err
		}
		b.WriteByte('\n')
		for _, p := range w.obstacles(m) {
			fmt.Fprintf(b, "- %s\n", literal.Replace(strings.TrimSpace(p.methods+": "+p.problem+". "+p.cures)))
		}
		markdownVerdict(b, &m.Verdict, c.Why)
	}
	if err := markdownTable(b, "Totals from "+w.totalSpan(c.Plan), "", w.totalsTable(c.Comparison)); err != nil {
		return err
	}
	if list := w.slowFlashes(c.Totals); len(list) > 0 {
		b.WriteByte('\n')
		markdownItems(b, list)
	}
	if usesPanel(s) {
		if err := w.markdownPanel(b, c.Comparison); err != nil {
			return err
		}
	}
	fmt.Fprintf(b, "\n## Verdict for %s\n", w.totalSpan(c.Plan))
	markdownVerdict(b, &c.Verdict, c.Why)
	markdownList(b, "Notes", w.compareNotes(s))
	markdownList(b, "Cautions", Cautions(s))
	return nil
}

func (w words) markdownPanel(b *bytes.Buffer, c *plan.Comparison) error {
	standing := w.standingTable(c)
	if len(standing.lines) == 0 {
		standing = nil
	}
	if err := markdownTable(b, "Scrim: where it stands", "", standing); err != nil {
		return err
	}
	b.WriteByte('\n')
	markdownItems(b, w.panelLimits(c))
	if err := markdownTable(b, "Scrim: wind", "", w.windTable(c.Panel)); err != nil {
		return err
	}
	b.WriteByte('\n')
	for _, a := range advices(c.Panel) {
		fmt.Fprintf(b, "- **%s**: %s\n", a.label, literal.Replace(a.text))
	}
	return nil
}

// markdownTable writes a section with a text and a table, either of which may
// be missing.
func markdownTable(b *bytes.Buffer, title, text string, t *table) error {
	fmt.Fprintf(b, "\n## %s\n", literal.Replace(title))
	if text != "" {
		fmt.Fprintf(b, "\n%s\n", literal.Replace(text))
	}
	if t == nil {
		return nil
	}
	s, err := t.markdown(literal.Replace)
	if err != nil {
		return err
	}
	fmt.Fprintf(b, "\n%s", s)
	return nil
}

func markdownVerdict(b *bytes.Buffer, v *plan.Verdict, why bool) {
	fmt.Fprintf(b, "\n**%s**\n", literal.Replace(v.Text))
	if why {
		b.WriteByte('\n')
		markdownItems(b, v.Why)
	}
}
