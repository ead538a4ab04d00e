package report

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
)

// Comparison is what is told of one.
type Comparison struct {
	*plan.Comparison
	Why bool // tell how each rule of the verdicts went; JSON always does
}

// Compare writes the methods side by side. The error is the writer's, or that
// of a format that is none.
func Compare(w io.Writer, c *Comparison, f Format, o Options) error {
	return deliver(w, "comparison", f, forms{
		Text:     func(b *bytes.Buffer) error { return compareText(b, c, o) },
		JSON:     func(b *bytes.Buffer) error { return encode(b, newComparison(c.Comparison, o), o) },
		CSV:      func(b *bytes.Buffer) error { return compareCSV(b, c.Comparison, o) },
		Markdown: func(b *bytes.Buffer) error { return compareMarkdown(b, c, o) },
	})
}

// compareText writes the comparison for a terminal.
func compareText(b *bytes.Buffer, c *Comparison, o Options) error {
	w := words{o.ASCII}
	s := c.Plan.Shoot
	g := newPage(b, w.title(s, o), w.facts(s, w.window(c.Plan)), o)
	if err := g.moments(c); err != nil {
		return err
	}
	g.head("Totals from " + g.totalSpan(c.Plan))
	if err := g.table(g.totalsTable(c.Comparison)); err != nil {
		return err
	}
	g.items(g.slowFlashes(c.Totals))
	if usesPanel(s) {
		g.head("Scrim: where it stands")
		if t := g.standingTable(c.Comparison); len(t.lines) > 0 {
			if err := g.table(t); err != nil {
				return err
			}
		}
		g.items(g.panelLimits(c.Comparison))
		g.head("Scrim: wind")
		if err := g.table(g.windTable(c.Panel)); err != nil {
			return err
		}
		for _, a := range advices(c.Panel) {
			g.hang(a.label, 11, a.text)
		}
	}
	g.head("Verdict for " + g.totalSpan(c.Plan))
	g.verdict(&c.Verdict, c.Why)
	g.list("Notes", g.compareNotes(s))
	g.list("Cautions", Cautions(s))
	return nil
}

// moments writes the methods moment by moment, in tables of the same columns.
func (g *page) moments(c *Comparison) error {
	t, gap, left := g.methodsTable(c.Comparison).fit(g.width)
	lines, err := t.plain(gap, g.rule(), g.paint)
	if err != nil {
		return err
	}
	heading, lines := lines[:tableHead], lines[tableHead:]
	for i := range c.Moments {
		m := &c.Moments[i]
		g.head(g.momentTitle(m))
		g.hang("", 0, g.momentLight(c.Plan.Shoot, m))
		g.line("")
		n := len(m.Row.Methods)
		for _, l := range append(heading[:tableHead:tableHead], lines[:n]...) {
			g.line(l)
		}
		lines = lines[n:]
		for _, p := range g.obstacles(m) {
			g.hang(g.fails(), 2, p.methods+": "+p.problem+".")
			if p.cures != "" {
				g.hang("", 2, p.cures)
			}
		}
		g.verdict(&m.Verdict, c.Why)
		if i == len(c.Moments)-1 {
			g.leftOut(left)
		}
	}
	return nil
}

// verdict writes which method to take, and by which rules.
func (g *page) verdict(v *plan.Verdict, why bool) {
	for _, l := range wrap(g.text(v.Text), g.width) {
		g.line(g.paint(strong, l))
	}
	if why {
		g.items(v.Why)
	}
}

// momentTitle names a moment.
func (w words) momentTitle(m *plan.Compared) string {
	title := m.Row.Time.Format("15:04")
	if m.Name != title {
		title += ", " + m.Name
	}
	if m.Outside {
		title += " (outside the window)"
	}
	return title + sunWord(m.Row.Condition, m.Row.Case)
}

// momentLight tells the light of a moment in one line.
func (w words) momentLight(s *shoot.Shoot, m *plan.Compared) string {
	r := &m.Row
	from := r.Bearing
	if hiddenSun(r) {
		from += ", behind the skyline"
	}
	l := &r.Light
	text := fmt.Sprintf("Sun %s, %s; sky %s; lit EV %s, shade EV %s, sky EV %s; ambient ratio %s",
		w.degrees(r.Sun.Altitude, 1), from, r.Condition, ev(exposure.Incident(l.Lit)), ev(exposure.Incident(l.Shade)),
		ev(exposure.Reflected(l.Backdrop)), ratio(float64(l.Lit/l.Shade)))
	if s.Wish.Kind != flash.AnyColour {
		// The gel goes by the light, not by the method.
		text += "; gel " + w.named(r.Methods[0].Gel.Name, "none")
	}
	return text
}

// methodsTable returns the methods of all moments, one after the other.
func (w words) methodsTable(c *plan.Comparison) *table {
	s := c.Plan.Shoot
	all := shown{apart: true, look: s.Look.Kind, rim: s.Rim != nil}
	covers := false
	for i := range c.Moments {
		for j := range c.Moments[i].Entries {
			all.nd = all.nd || c.Moments[i].Row.Methods[j].Settings.ND != 0
			covers = covers || c.Moments[i].Entries[j].Scrim != nil
		}
	}
	t := &table{}
	for i := range c.Moments {
		m := &c.Moments[i]
		for j := range m.Row.Methods {
			t.columns = nil
			var row []cell
			for _, f := range w.methodFields(&m.Row.Methods[j], &m.Entries[j], &all, covers) {
				if f.show {
					t.columns = append(t.columns, f.column)
					row = append(row, cell{f.text, f.tone})
				}
			}
			t.lines = append(t.lines, line{cells: row})
		}
	}
	return t
}

// methodFields returns the values of one method at one moment.
func (w words) methodFields(s *plan.Solution, e *plan.Entry, all *shown, covers bool) []field {
	name, tone := s.Method.String(), plain
	if s.Problem != nil {
		name, tone = name+w.fails(), bad
	}
	frames, coverage := unknown, unknown
	if e.FramesASet > 0 {
		frames = number(e.FramesASet, 0)
	}
	if e.Scrim != nil {
		coverage = percent(e.Scrim.Coverage.Share)
	}
	list := []field{at(column{name: "method"}, true, name, tone)}
	list = append(list, w.settings(s, s, all)...)
	list = append(list,
		at(column{name: "rise", unit: "stops", right: true}, true, signed(e.Rise), plain),
		at(column{name: "blur", unit: "%", right: true}, true, number(100*e.Blur, 1), plain),
		at(column{name: "depth", unit: "m", right: true}, true, metres(e.Far-e.Near), plain),
		at(column{name: "frames", unit: "a set", right: true}, true, frames, plain),
		at(column{name: "covers", unit: "%", right: true}, covers, coverage, plain),
	)
	nothing := s.Problem != nil && s.Problem.Kind.Lacks() // to be set
	for i := range list {
		f := &list[i]
		f.rank = methodRank(f.name)
		if nothing && i > 0 {
			f.text, f.tone = unknown, plain
		}
	}
	return list
}

// methodRank orders the columns by how little they say about which method to
// take: those of the highest rank go first, those of rank 0 stay.
func methodRank(name string) int {
	return map[string]int{
		"spare": 1, "sky": 2, "blur": 3, "rim": 3, "face": 3, "lit side": 3, "ratio": 4, "recycle": 5, "rise": 6, "frames": 7, "depth": 8,
		"covers": extra, "exposure": extra,
	}[name]
}

// obstacle is why methods do not do, and what would make them.
type obstacle struct{ methods, problem, cures string }

// obstacles lists them for the methods of a moment, equal ones as one.
func (w words) obstacles(m *plan.Compared) []obstacle {
	var list []obstacle
	for i := range m.Row.Methods {
		s := &m.Row.Methods[i]
		if s.Problem == nil {
			continue
		}
		one := obstacle{s.Method.String(), w.text(s.Problem.Text), w.cures(s.Cures)}
		same := slices.IndexFunc(list, func(o obstacle) bool { return o.problem == one.problem && o.cures == one.cures })
		if same >= 0 {
			list[same].methods += ", " + one.methods
			continue
		}
		list = append(list, one)
	}
	return list
}

// totalSpan names the times that the totals are for.
func (w words) totalSpan(p *plan.Plan) string {
	if len(p.Rows) == 0 {
		return "the window"
	}
	return p.Rows[0].Time.Format("15:04") + " to " + p.Rows[len(p.Rows)-1].Time.Format("15:04")
}

// totalsTable returns what the methods cost over the window.
func (w words) totalsTable(c *plan.Comparison) *table {
	rim := c.Plan.Shoot.Rim != nil
	t := &table{columns: []column{{name: "method"}}}
	if rim {
		t.columns = append(t.columns, column{name: "flash"})
	}
	t.columns = append(t.columns,
		column{name: "frames", right: true},
		column{name: "full power", unit: "flashes a unit", right: true},
		column{name: "batteries", unit: "sets a unit", right: true},
		column{name: "burst", unit: "frames", right: true, rank: 2},
		column{name: "then rest", unit: "min", right: true, rank: 2},
		column{name: "recycle", unit: "s", right: true, rank: 1},
		column{name: "pace", unit: "s", right: true, rank: 1},
	)
	add := func(name, group string, frames float64, u *plan.Use) {
		row := []string{name}
		if rim {
			row = append(row, group)
		}
		burst, rest, recycle := unknown, unknown, unknown
		if u.BurstFrames > 0 {
			burst, rest, recycle = number(math.Floor(u.BurstFrames), 0), plainly(u.Rest, 0), number(u.Recycle, 1)
		}
		row = append(row, number(frames, 0), number(math.Ceil(u.FullFlashes), 0), number(float64(u.Sets), 0),
			burst, rest, recycle, plainly(u.Pace, 1))
		t.lines = append(t.lines, line{cells: plainCells(row)})
	}
	for i := range c.Totals {
		total := &c.Totals[i]
		add(total.Method.String(), "main", total.Frames, &total.Key)
		if total.Rim != nil && total.Frames > 0 {
			add("", "rim", total.Frames, total.Rim)
		}
	}
	return t
}

// slowFlashes says where the flash, not the photographer, sets the pace.
func (w words) slowFlashes(totals []plan.Totals) []string {
	var list []string
	slow := func(what string, u *plan.Use) {
		if u != nil && u.Recycle > u.Pace {
			list = append(list, fmt.Sprintf("%s: the flash recycles for %s s at %s and so sets the pace, not the %s s between frames.",
				what, number(u.Recycle, 1), u.At.Format("15:04"), plainly(u.Pace, 1)))
		}
	}
	for i := range totals {
		slow(totals[i].Method.String(), &totals[i].Key)
		slow(totals[i].Method.String()+", rim", totals[i].Rim)
	}
	return list
}

// usesPanel tells whether a scrim is carried and a method asks for it.
func usesPanel(s *shoot.Shoot) bool {
	return s.Scrim != nil && slices.ContainsFunc(s.Methods, shoot.Method.UsesScrim)
}

// standings returns how the scrim stands at the moments at which it is up.
func standings(c *plan.Comparison) (moments []*plan.Compared, list []*plan.Standing) {
	for i := range c.Moments {
		m := &c.Moments[i]
		n := slices.IndexFunc(m.Entries, func(e plan.Entry) bool { return e.Scrim != nil })
		if n >= 0 {
			moments, list = append(moments, m), append(list, m.Entries[n].Scrim)
		}
	}
	return moments, list
}

// standingTable returns where the scrim has to stand.
func (w words) standingTable(c *plan.Comparison) *table {
	t := &table{columns: []column{
		{name: "time"},
		{name: "sun", unit: "deg", right: true, rank: 1},
		{name: "toward", unit: "azimuth", right: true},
		{name: "tilt", unit: "deg", right: true},
		{name: "centre out", unit: "m", right: true},
		{name: "over head", unit: "m", right: true},
		{name: "over ground", unit: "m", right: true, rank: 2},
		{name: "low edge", unit: "m", right: true, rank: 3},
		{name: "covers", unit: "%", right: true},
		{name: "spare", unit: "m", right: true},
		{name: "re-aim", unit: "min", right: true},
	}}
	moments, list := standings(c)
	for i, u := range list {
		r := &moments[i].Row
		time := r.Time.Format("15:04")
		tone := plain
		if !u.Coverage.Whole {
			time, tone = time+w.fails(), bad
		}
		row := plainCells([]string{time, number(r.Sun.Altitude.Degrees(), 1), number(u.Azimuth.Normal().Degrees(), 0),
			number(u.Tilt.Degrees(), 0), metres(u.Out), metres(u.AboveHead), metres(u.AboveGround), metres(u.LowEdge),
			percent(u.Coverage.Share), number(min(u.Coverage.Spare.Across, u.Coverage.Spare.Along), 2), reaim(u)})
		row[0].tone = tone
		t.lines = append(t.lines, line{cells: row})
	}
	return t
}

// reaim writes for how long a scrim may stay as it stands.
func reaim(u *plan.Standing) string {
	switch {
	case !u.Coverage.Whole:
		return unknown
	case u.Holds >= scene.LongestHold:
		return ">" + plainly(scene.LongestHold, 0)
	}
	return number(math.Floor(u.Holds), 0)
}

// panelLimits says what the scrim can and cannot do.
func (w words) panelLimits(c *plan.Comparison) []string {
	p, figure := c.Panel, w.named(c.Plan.Shoot.Subject.Figure.Name, "the figure")
	if !p.Ever {
		return []string{"Too small to shade " + figure + " under any sun."}
	}
	list := []string{"Shades " + figure + " under any sun, however low."}
	if p.Lowest > 0 {
		list[0] = "Shades " + figure + " while the sun stands above " + w.degrees(p.Lowest, 0) + "."
	}
	how := ""
	if c.Plan.Shoot.Scrim.Distance == 0 {
		how = ", carried overhead as it is"
	}
	for _, m := range p.Misses {
		zone := c.Plan.Shoot.Place.Zone
		list = append(list, fmt.Sprintf("Cannot do so from %s to %s%s.", m.From.In(zone).Format("15:04"), m.To.In(zone).Format("15:04"), how))
	}
	return append(list, "re-aim: minutes until the shadow has left the figure, if nobody moves; people do, so re-aim sooner.")
}

// strongest is the force from which on there is nothing more to tell: all down.
const strongest scene.Beaufort = 6

// windTable returns how hard winds push the scrim.
func (w words) windTable(p *plan.Panel) *table {
	t := &table{columns: []column{
		{name: "force", right: true},
		{name: "wind"},
		{name: "up to", unit: "m/s", right: true},
		{name: "push", unit: "N", right: true},
		{name: "push", unit: "kg", right: true},
		{name: "in gusts", unit: "N", right: true},
		{name: "in gusts", unit: "kg", right: true},
	}}
	for _, l := range p.Wind {
		if l.Force > strongest {
			break
		}
		t.lines = append(t.lines, line{cells: plainCells([]string{number(float64(l.Force), 0), l.Force.String(),
			number(float64(l.High), 1), number(float64(l.Push), 0), kilograms(l.Push), number(float64(l.Gust), 0), kilograms(l.Gust)})})
	}
	return t
}

func kilograms(n scene.Newtons) string { return number(n.Kilograms(), 1) }

// advices returns what to do with the scrim by force of the wind, forces of
// one advice together.
func advices(p *plan.Panel) []fact {
	var list []fact
	first := p.Wind[0].Force
	for i, l := range p.Wind {
		if i+1 < len(p.Wind) && p.Wind[i+1].Force.ScrimAdvice() == l.Force.ScrimAdvice() {
			continue
		}
		label := "Force " + number(float64(first), 0)
		switch {
		case i == len(p.Wind)-1:
			label += "+"
		case l.Force > first:
			label += "-" + number(float64(l.Force), 0)
		}
		list = append(list, fact{label, l.Force.ScrimAdvice() + "."})
		first = l.Force + 1
	}
	return list
}

// compareNotes says what the figures mean.
func (w words) compareNotes(s *shoot.Shoot) []string {
	list := append([]string{noteEV}, settingNotes(s)...)
	behind := "far away"
	if d := s.Subject.Background.Distance; !math.IsInf(d, 1) {
		behind = plainly(d, 1) + " m behind the subject"
	}
	list = append(list,
		"rise: stops by which the sky behind comes out lighter than at sync speed under the open sky.",
		fmt.Sprintf("blur: the disc that a point %s is spread to, in %% of the frame's height; depth: of field. Both by a thin lens "+
			"of %s mm, the camera %s m away, an estimate.", behind, plainly(s.Lens.FocalLength, 0), metres(s.Subject.CameraDistance)),
		"frames a set: from one set of batteries at this power.",
		fmt.Sprintf("Totals: at %s frames a minute, in the time that the method holds the look; under broken cloud the costlier "+
			"of sun out and sun in.", plainly(s.Pace.FramesPerMinute, 1)),
	)
	if usesPanel(s) {
		list = append(list,
			"Scrim: distances from the middle of the head, at 1.6 m; centre out: toward the sun. spare: of the shadow beyond the figure, where it "+
				"is least.",
			fmt.Sprintf("Wind: mean speed as forecast, gusts taken as %s times as fast; the panel square to it, an estimate.", plainly(scene.GustFactor, 1)),
		)
	}
	return append(list, derateNote(s)...)
}
