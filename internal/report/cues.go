package report

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Cues is what is told of cues.
type Cues struct {
	*plan.Cues
	// Chosen is the verdict that the one method told of was taken by, nil
	// where the methods were asked for.
	Chosen *plan.Verdict
}

// WriteCues writes when to move which control. The error is the writer's, or
// that of a format that is none.
func WriteCues(w io.Writer, c *Cues, f Format, o Options) error {
	return deliver(w, "cues", f, forms{
		Text:     func(b *bytes.Buffer) error { return cuesText(b, c, o) },
		JSON:     func(b *bytes.Buffer) error { return encode(b, newCueDocument(c, o), o) },
		CSV:      func(b *bytes.Buffer) error { return cuesCSV(b, c, o) },
		Markdown: func(b *bytes.Buffer) error { return cuesMarkdown(b, c, o) },
	})
}

// cuesText writes the cues for a terminal.
func cuesText(b *bytes.Buffer, c *Cues, o Options) error {
	w := words{o.ASCII}
	g := newPage(b, w.title(c.Shoot, o), w.facts(c.Shoot, w.cueSpan(c)), o)
	if text := g.choice(c); text != "" {
		g.line("")
		g.hang("", 0, text)
	}
	for i := range c.Runs {
		r := &c.Runs[i]
		g.head(g.runTitle(c, r))
		g.hang("", 0, g.runSummary(r))
		for _, t := range g.tellCues(c.Shoot, r) {
			g.told(&t)
		}
	}
	g.list("Notes", g.cueNotes(c.Shoot))
	g.list("Cautions", Cautions(c.Shoot))
	return nil
}

// told writes one cue.
func (g *page) told(t *told) {
	label := t.time.Format("15:04")
	tone := plain
	if !t.held {
		label, tone = label+g.fails(), bad
	}
	const indent = 7
	g.hang(g.paint(tone, label)+strings.Repeat(" ", indent-cells(label)), indent, t.move)
	rest := []string{t.state, t.why}
	if both := strings.TrimSpace(t.state + " " + t.why); cells(both) <= g.width-indent {
		rest = []string{both}
	}
	for _, s := range rest {
		if s != "" {
			g.hang("", indent, s)
		}
	}
}

// cueSpan tells the times that the cues are for.
func (w words) cueSpan(c *Cues) string {
	if len(c.Runs) == 0 || len(c.Runs[0].Rows) == 0 {
		return date(c.Day.Start)
	}
	return w.span(c.Runs[0].Rows, time.Minute)
}

// choice says which method is told of, where that was not asked for, and how
// to get the others.
func (w words) choice(c *Cues) string {
	if c.Chosen == nil {
		return ""
	}
	var others []string
	for _, m := range c.Shoot.Methods {
		if m != c.Chosen.Best {
			others = append(others, m.String())
		}
	}
	best := "the method that compare takes"
	if c.Chosen.Held == 0 {
		best = "the method that comes nearest; none holds the look"
	}
	return fmt.Sprintf("These are the cues of %s, %s. For the others: --method %s", c.Chosen.Best, best, strings.Join(others, ","))
}

// runTitle names a run.
func (w words) runTitle(c *Cues, r *plan.Run) string {
	title := r.Method.String() + ": " + aboutMethod(r.Method)
	switch runCase(c, r) {
	case caseSun:
		title += ", sun out"
	case caseCloud:
		title += ", sun in"
	}
	return title
}

// runCase is the case of a run, empty where the sky has one only.
func runCase(c *Cues, r *plan.Run) string {
	switch {
	case !slices.ContainsFunc(c.Runs, func(r plan.Run) bool { return r.Case == sky.SunIn }):
		return ""
	case r.Case == sky.SunIn:
		return caseCloud
	}
	return caseSun
}

// runSummary says for how much of the time the look is held.
func (w words) runSummary(r *plan.Run) string {
	held := heldMinutes(r)
	switch {
	case held == len(r.Rows):
		return "Holds the look throughout, in " + counted(len(r.Cues)-1, "cue") + "."
	case held == 0 && cannotSet(r):
		return "Does not hold the look: " + w.text(r.Cues[0].Problem.Text) + "."
	case held == 0:
		return "Does not hold the look at any minute; the settings come nearest to it."
	}
	return fmt.Sprintf("Holds the look at %d of %d minutes; at the others the settings come nearest to it.", held, len(r.Rows))
}

func heldMinutes(r *plan.Run) int {
	n := 0
	for i := range r.Rows {
		if r.Rows[i].Methods[0].Feasible {
			n++
		}
	}
	return n
}

// cannotSet tells that the method lacks what it works with, so that there is
// nothing to set.
func cannotSet(r *plan.Run) bool {
	p := r.Cues[0].Problem
	return p != nil && p.Kind.Lacks()
}

// counted writes a count of things.
func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// told is a cue in words, in sentences each.
type told struct {
	time  time.Time
	held  bool
	move  string // what to move
	state string // everything as it stands then
	why   string
}

// tellCues tells the cues of a run in words; none where there is nothing to
// set.
func (w words) tellCues(s *shoot.Shoot, r *plan.Run) []told {
	if cannotSet(r) {
		return nil
	}
	var list []told
	held := true
	for i := range r.Cues {
		c := &r.Cues[i]
		t := told{time: c.Time, held: c.Problem == nil}
		if i == 0 {
			t.move = "Begin with " + w.setting(c.Set, true) + "."
		} else {
			var moves []string
			for _, ch := range c.Changes {
				if m := w.move(s, c, &ch); m != "" {
					moves = append(moves, m)
				}
			}
			switch {
			case len(moves) > 0:
				t.move = sentence(strings.Join(moves, ", "))
				t.state = "Now " + w.setting(c.Set, s.Wish.Kind != flash.AnyColour) + "."
			case t.held:
				t.move = "Leave everything as it is."
			default:
				t.move = "Nothing to move."
			}
			t.why = sentence(w.text(c.Reason))
		}
		if !t.held && (held || c.Problem.Text == c.Reason || i == 0) {
			t.why = "The look is not held from here: " + w.text(c.Problem.Text) + "."
		}
		held = t.held
		list = append(list, t)
	}
	return list
}

// sentence makes one of a text.
func sentence(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:] + "."
}

// setting tells everything that is set, with the gel or without.
func (w words) setting(s *plan.Solution, gel bool) string {
	parts := []string{s.Settings.Aperture.String(), s.Settings.Shutter.String(), "ISO " + s.Settings.ISO.String()}
	if s.Settings.ND != 0 {
		parts = append(parts, "ND "+inStops(s.Settings.ND))
	}
	if s.Role == plan.None {
		parts = append(parts, "no flash")
	} else {
		parts = append(parts, s.Role.String()+" "+s.Power.String())
		if gel && s.Gel.Name != "" {
			parts = append(parts, "gel "+w.text(s.Gel.Name))
		}
	}
	if s.RimFlash != nil {
		parts = append(parts, "rim "+s.RimFlash.Power.String())
	}
	if s.Method.UsesScrim() {
		up := "scrim down"
		if s.ScrimUp {
			up = "scrim up"
		}
		parts = append(parts, up)
	}
	return strings.Join(parts, ", ")
}

// move tells one change in words; empty where another says it.
func (w words) move(s *shoot.Shoot, c *plan.Cue, ch *plan.Change) string {
	from, to := w.text(ch.From), w.text(ch.To)
	arrow := from + w.pick(" → ", " -> ") + to
	by := func(click exposure.Increment, more, less string) string {
		word := more
		if ch.By < 0 {
			word = less
		}
		return " (" + strings.TrimSpace(inClicks(ch.By, click)+" "+word) + ")"
	}
	on := func(what string) string {
		switch {
		case ch.From == "none":
			return what + " " + to + " on"
		case ch.To == "none":
			return what + " " + from + " off"
		}
		return what + " " + arrow
	}
	switch ch.Control {
	case plan.ApertureControl:
		verb := "open "
		if ch.By < 0 {
			verb = "close "
		}
		return verb + arrow + by(s.Camera.Click, "", "")
	case plan.ShutterControl:
		return "shutter " + arrow + by(s.Camera.Click, "slower", "faster")
	case plan.ISOControl:
		return "ISO " + arrow + by(s.Camera.ISOClick, "up", "down")
	case plan.FilterControl:
		return on("ND")
	case plan.GelControl:
		return on("gel")
	case plan.RoleControl:
		switch c.Set.Role {
		case plan.Key:
			return "flash to the lit side as key"
		case plan.Fill:
			return "flash to the camera as fill"
		}
		return ""
	case plan.PowerControl:
		switch {
		case c.Set.Role == plan.None:
			return "flash off"
		case ch.By == 0:
			return "flash on at " + to
		}
		return "flash " + arrow + by(s.Flash.Unit.Click, "up", "down")
	case plan.RimControl:
		return "rim flash " + arrow + by(s.Rim.Unit.Click, "up", "down")
	case plan.ScrimControl:
		return "scrim " + to
	}
	return string(ch.Control) + " " + arrow
}

// inClicks writes stops as clicks of a control, as stops where it takes no
// whole number of them.
func inClicks(by sky.Stops, click exposure.Increment) string {
	n, whole := clicksOf(by, click)
	if !whole {
		return inStops(sky.Stops(by.Size()))
	}
	return counted(max(n, -n), "click")
}

// cueNotes says what the cues go by.
func (w words) cueNotes(s *shoot.Shoot) []string {
	list := []string{
		"Controls stay where they are while exposure and ratio lie within a quarter of a stop of the look; a cue comes when a " +
			"move is worth it. What moves in one minute is moved together.",
		"fill: the flash by the camera, on lit side and shade alike; key: on the lit side.",
		"All light is estimated, and no cloud is foreseen that the shoot does not state: meter on location before trusting it.",
		"What would cure a look that is not held: evenfall timeline, or evenfall compare.",
	}
	return append(list, derateNote(s)...)
}
