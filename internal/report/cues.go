package report

import (
	"slices"
	"strconv"
	"strings"
	"time"

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
	return &Report{Summary: words.Count(cues, "cue") + ", " + words.InShort(c.Plan),
		Document: c.document(o), Data: newCueDocument(c, o)}
}

func (c *Cues) document(o Options) Document {
	p := c.Plan
	d := Document{Title: title(p)}
	d.Add(opening(p.Shoot, o)...)
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
		name += ", " + words.Sun(r.Case)
	}
	n := p.Index(r.Method)
	if p.Lacks(n) != 0 {
		return []Block{Heading{Text: name}, Paragraph{Text: words.Sentence(words.Comes(p, n)) + "."}}
	}
	list := []Block{Heading{Text: name + ": " + runCounts(r)}}
	if r.Flashes {
		list = append(list, Facts(standFacts(p, r)))
	}
	list = append(list, cueTable(r, p.Shoot, o))
	if text := sunGoesIn(p, n); text != "" {
		list = append(list, Facts{{Label: "Sun in", Text: text}})
	}
	return list
}

// cueTable is a run's cues, a line each.
func cueTable(r *plan.Run, s *shoot.Shoot, o Options) *Table {
	columns := []Column{
		{Title: "Time", Importance: 9}, {Title: "Do", Importance: 9},
		{Title: "Flash meter", Unit: "f/", Align: Right, Importance: 7,
			Note: "what a flash meter reads at the face, pointed at the flash, flash alone"},
	}
	if r.Fill != nil {
		columns = append(columns, Column{Title: "Fill meter", Unit: "f/", Align: Right, Importance: 6,
			Note: "the same of the fill, pointed at it, fill alone"})
	}
	columns = append(columns, Column{Title: "Headroom", Unit: "stops", Align: Right, Importance: 6,
		Note: "flash power left over at full power"})
	if o.Why || o.Full {
		columns = append(columns, Column{Title: "Why", Importance: 8})
	}
	return &Table{Columns: columns, Rows: cueRows(r, s, o)}
}

// cueRows are the rows of a run's cues. While the look is missed there is
// nothing to follow: a row says so, and the next one how to set all anew. The
// full page has every cue, and so has the run that is missed throughout.
func cueRows(r *plan.Run, s *shoot.Shoot, o Options) []Row {
	var list []Row
	var failures []plan.Failure
	if !o.Full && r.Missed < len(r.Minutes) {
		failures = r.Failures()
	}
	var done time.Time // all up to here is said
	for _, one := range grouped(r.Cues(), o) {
		for ; len(failures) > 0 && !failures[0].From.After(one[0].Time); failures = failures[1:] {
			var rows []Row
			rows, done = missedRows(r, &failures[0], s, o)
			list = append(list, rows...)
		}
		for len(one) > 0 && !one[0].Time.After(done) {
			one = one[1:]
		}
		if len(one) > 0 {
			list = append(list, cueRow(one, s, o))
		}
	}
	for i := range failures {
		rows, _ := missedRows(r, &failures[i], s, o)
		list = append(list, rows...)
	}
	return list
}

// missedRows say how long the look is missed and why, and how to set all when
// it is back; and until when that is all.
func missedRows(r *plan.Run, f *plan.Failure, s *shoot.Shoot, o Options) (rows []Row, done time.Time) {
	clock := words.Clock{}
	text := "Missed until " + clock.Time(f.To) + ": " + words.Failure(f, s)
	if f.To.Equal(f.From) {
		text = "Missed: " + words.Failure(f, s)
	}
	rows = []Row{{At: f.From, Cells: []Cell{{Text: clock.Time(f.From)}, {Text: text, Tone: Bad}, {Text: words.Unknown},
		{Text: words.Unknown}}}}
	if r.Fill != nil {
		rows[0].Cells = append(rows[0].Cells, Cell{Text: words.Unknown})
	}
	if o.Why {
		rows[0].Cells = append(rows[0].Cells, Cell{})
	}
	next := slices.IndexFunc(r.Minutes, func(m plan.Minute) bool { return m.Time.After(f.To) })
	if next < 0 || !r.Minutes[next].Outcome.Succeeds() {
		return rows, f.To
	}
	m := &r.Minutes[next]
	back := plan.Cue{Time: m.Time, Set: &m.Solution, At: m.Moment, Reason: plan.Reason{Kind: plan.LookBack}}
	return append(rows, cueRow(plan.Series{back}, s, o)), m.Time
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
	headroom := words.Unknown
	if c.Set.Role != plan.None {
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
	row := Row{At: c.Time, Cells: []Cell{{Text: words.Clock{}.Time(c.Time)}, do,
		{Text: fromTo(meterOf(c.Set), meterOf(last.Set))}}}
	if c.Set.Fill != nil {
		row.Cells = append(row.Cells, Cell{Text: fromTo(fillMeterOf(c.Set), fillMeterOf(last.Set))})
	}
	row.Cells = append(row.Cells, Cell{Text: headroom})
	if o.Why || o.Full {
		row.Cells = append(row.Cells, Cell{Text: words.Reason(&c.Reason, c, s)})
	}
	return row
}

// meterOf is what a flash meter reads of the flash alone.
func meterOf(s *plan.Solution) string {
	if !s.Fires() {
		return words.Unknown
	}
	return words.Number(s.FlashReading(), 1)
}

// fillMeterOf is what it reads of the fill alone.
func fillMeterOf(s *plan.Solution) string {
	if !s.Fill.Fires() {
		return words.Unknown
	}
	return words.Number(s.Fill.Reading(s.Settings.ISO), 1)
}

// fromTo is what a value goes from and to, one where both are written alike.
func fromTo(a, b string) string {
	if a == b {
		return a
	}
	return a + " to " + b
}
