package report

import (
	"strconv"
	"strings"

	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/sky"
)

// Cues are the instructions of a plan, of one method or of all.
type Cues struct {
	Plan   *plan.Plan
	Method shoot.Method // shown alone where Chosen
	Chosen bool         // by the verdict, for nobody asked for methods
}

// shows reports whether a method's cues are told.
func (c *Cues) shows(m shoot.Method) bool { return !c.Chosen || c.Method == m }

// Report is the report of the cues: a line each.
func (c *Cues) Report(o Options) *Report {
	cues := 0
	for i := range c.Plan.Runs {
		if r := &c.Plan.Runs[i]; c.shows(r.Method) {
			cues += len(r.Cues())
		}
	}
	return &Report{What: "cues", Summary: words.Count(cues, "cue") + ", " + words.InShort(c.Plan), Document: c.document(o), Data: newCueDocument(c, o)}
}

func (c *Cues) document(o Options) Document {
	p := c.Plan
	d := Document{Title: title(p)}
	d.Add(opening(p, o)...)
	if c.Chosen {
		v := p.Verdict()
		d.Add(Paragraph{Text: "Cues for " + c.Method.String() + ", compare's pick; others: --method.", Strong: true,
			Tone: verdictTone(&v)})
	}
	for i := range p.Runs {
		// With the sun in and out by turns, cues follow it out.
		if r := &p.Runs[i]; c.shows(r.Method) && r.Case == sky.SunOut {
			d.Add(c.run(r, o)...)
		}
	}
	d.Add(estimated())
	d.Add(cautionBlocks(p)...)
	return d
}

// run is one method's cues.
func (c *Cues) run(r *plan.Run, o Options) []Block {
	p := c.Plan
	name := r.Method.String()
	if r.Split {
		name += ", " + strings.TrimPrefix(words.Case(r.Case), "with the ")
	}
	n := p.Index(r.Method)
	if p.Lacks(n) != 0 {
		return []Block{Heading{Text: name}, Paragraph{Text: words.Sentence(words.Comes(p, n)) + "."}}
	}
	list := []Block{Heading{Text: name + ": " + runCounts(r)}}
	if r.Flashes {
		list = append(list, Facts(standFacts(p, r)))
	}
	columns := []Column{
		{Title: "Time", Importance: 9}, {Title: "Do", Importance: 9},
		{Title: "Flash meter", Unit: "f/", Align: Right, Importance: 7,
			Note: "what a flash meter reads at the face, pointed at the flash, flash alone"},
		{Title: "Headroom", Unit: "stops", Align: Right, Importance: 6, Note: "flash power to spare at full power"},
	}
	if o.Why || o.Full {
		columns = append(columns, Column{Title: "Why", Importance: 8})
	}
	t := &Table{Columns: columns}
	for _, s := range grouped(r.Cues(), o) {
		t.Rows = append(t.Rows, cueRow(s, p.Shoot, o))
	}
	list = append(list, t)
	if text := sunGoesIn(p, n); text != "" {
		list = append(list, Facts{{Label: "Sun in", Text: text}})
	}
	return list
}

// grouped are cues with close ones as rules, but each alone on the full page.
func grouped(cues []plan.Cue, o Options) []plan.Series {
	if !o.Full {
		return plan.Grouped(cues)
	}
	var list []plan.Series
	for i := range cues {
		list = append(list, cues[i:i+1])
	}
	return list
}

// sunGoesIn says what to change when the sun goes in, in a line, of method
// number n; nothing under a sky with one case.
func sunGoesIn(p *plan.Plan, n int) string {
	runs := p.RunsOf(n)
	if len(runs) < 2 {
		return ""
	}
	out, in := runs[0], runs[1]
	first, last := -1, 0
	for i := range out.Minutes {
		if out.Minutes[i].Condition.Cases() > 1 {
			if last = i; first < 0 {
				first = i
			}
		}
	}
	start, end := plan.SunGoesIn(out, in, first), plan.SunGoesIn(out, in, last)
	text := words.SunGoesIn(&start, &end)
	if in.Held < len(in.Minutes) {
		text += "; then " + runCounts(in)
	}
	return text
}

// runCounts say how much of the window a run succeeds at.
func runCounts(r *plan.Run) string {
	all := len(r.Minutes)
	switch all {
	case r.Held:
		return "held throughout"
	case r.Missed:
		return "missed throughout"
	}
	parts := []string{"held " + strconv.Itoa(r.Held) + " of " + strconv.Itoa(all) + " minutes"}
	if r.Softer > 0 {
		parts = append(parts, "softer "+strconv.Itoa(r.Softer))
	}
	if r.Missed > 0 {
		parts = append(parts, "missed "+strconv.Itoa(r.Missed))
	}
	return strings.Join(parts, ", ")
}

// cueRow is one cue, or a rule for several.
func cueRow(series plan.Series, s *shoot.Shoot, o Options) Row {
	c, last := &series[0], &series[len(series)-1]
	meter, headroom := words.Unknown, words.Unknown
	if c.Set.Role != plan.None {
		meter = fromTo(words.Number(c.Set.FlashReading(), 1), words.Number(last.Set.FlashReading(), 1))
		headroom = fromTo(words.Offset(c.Set.Headroom), words.Offset(last.Set.Headroom))
	}
	do := Cell{Text: words.Cue(c, s)}
	if len(series) > 1 {
		do.Text = words.Rule(series)
	}
	switch c.Set.Outcome {
	case plan.Missed:
		if do.Tone = Bad; c.Was == nil || len(c.Changes) > 0 { // else the text says it
			do.Text += " (" + words.ProblemShort(c.Set.Problem) + ")"
		}
	case plan.Softer:
		do.Text, do.Tone = do.Text+" (softer)", Warn
	}
	row := Row{Cells: []Cell{{Text: words.Clock{}.Time(c.Time)}, do, {Text: meter}, {Text: headroom}}}
	if o.Why || o.Full {
		row.Cells = append(row.Cells, Cell{Text: words.Reason(&c.Reason, c, s)})
	}
	return row
}

// fromTo is what a value goes from and to, one where both are written alike.
func fromTo(a, b string) string {
	if a == b {
		return a
	}
	return a + " to " + b
}
