package report

import (
	"bytes"
	"fmt"
)

// cuesMarkdown writes the cues as a document with tables in pipes.
func cuesMarkdown(b *bytes.Buffer, c *Cues, o Options) error {
	w := words{o.ASCII}
	markdownHeader(b, w.title(c.Shoot, o), w.facts(c.Shoot, w.cueSpan(c)))
	if text := w.choice(c); text != "" {
		fmt.Fprintf(b, "\n%s\n", literal.Replace(text))
	}
	for i := range c.Runs {
		r := &c.Runs[i]
		t := &table{columns: []column{{name: "time"}, {name: "move"}, {name: "then"}, {name: "why"}}}
		for _, cue := range w.tellCues(c.Shoot, r) {
			label := cue.time.Format("15:04")
			if !cue.held {
				label += w.fails()
			}
			t.lines = append(t.lines, line{cells: plainCells([]string{label, cue.move, cue.state, cue.why})})
		}
		if len(t.lines) == 0 {
			t = nil
		}
		if err := markdownTable(b, w.runTitle(c, r), w.runSummary(r), t); err != nil {
			return err
		}
	}
	markdownList(b, "Notes", w.cueNotes(c.Shoot))
	markdownList(b, "Cautions", Cautions(c.Shoot))
	return nil
}
