package report

import (
	"bytes"
	"fmt"
	"strings"

	"evenfall/internal/plan"
)

// literal keeps text from being read as Markdown or HTML. Any of these may be
// escaped by a backslash (CommonMark 0.31.2, section 2.4); the pipe has to be
// within tables.
var literal = strings.NewReplacer(`\`, `\\`, "`", "\\`", `*`, `\*`, `_`, `\_`, `{`, `\{`, `}`, `\}`, `[`, `\[`, `]`, `\]`,
	`<`, `\<`, `>`, `\>`, `#`, `\#`, `|`, `\|`, `~`, `\~`, `&`, `\&`, `!`, `\!`)

// writeMarkdown writes the plan as a document with tables in pipes.
func writeMarkdown(b *bytes.Buffer, p *plan.Plan, o Options) error {
	w := words{o.ASCII}
	escape := literal.Replace
	markdownHeader(b, w.title(p.Shoot, o), w.facts(p.Shoot, w.window(p)))
	if len(p.Rows) > 0 {
		t, err := w.lightTable(p).markdown(escape)
		if err != nil {
			return err
		}
		fmt.Fprintf(b, "\n## Light\n\n%s", t)
		for i := range p.Methods {
			if err := w.markdownMethod(b, p, i, escape); err != nil {
				return err
			}
		}
	}
	markdownList(b, "Events of "+date(p.Day.Start), w.events(p))
	markdownList(b, "Notes", append(w.notes(p), w.marks(hasCases(p))))
	markdownList(b, "Cautions", Cautions(p.Shoot))
	return nil
}

// markdownHeader begins a document.
func markdownHeader(b *bytes.Buffer, title string, facts []fact) {
	fmt.Fprintf(b, "# %s\n\n", literal.Replace(title))
	for _, f := range facts {
		fmt.Fprintf(b, "- **%s**: %s\n", f.label, literal.Replace(f.text))
	}
}

// markdownList writes a section of sentences.
func markdownList(b *bytes.Buffer, title string, items []string) {
	fmt.Fprintf(b, "\n## %s\n\n", literal.Replace(title))
	markdownItems(b, items)
}

func markdownItems(b *bytes.Buffer, items []string) {
	for _, s := range items {
		fmt.Fprintf(b, "- %s\n", literal.Replace(s))
	}
}

func (w words) markdownMethod(b *bytes.Buffer, p *plan.Plan, n int, escape func(string) string) error {
	m := &p.Methods[n]
	fmt.Fprintf(b, "\n## %s: %s\n\n%s\n", m.Method, aboutMethod(m.Method), escape(w.summary(m)))
	if t := w.methodTable(p, n); t != nil {
		s, err := t.markdown(escape)
		if err != nil {
			return err
		}
		fmt.Fprintf(b, "\n%s", s)
	}
	list := plan.Failures(p.Rows, n)
	if len(list) > 0 {
		b.WriteByte('\n')
	}
	for i := range list {
		problem, cures := w.tell(&list[i], clockIn(p.Shoot.When.Step))
		fmt.Fprintf(b, "- %s\n", escape(strings.TrimSpace(problem+" "+cures)))
	}
	return nil
}
