package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Comparison sets the methods side by side at a few moments and says which to
// take.
type Comparison struct {
	Plan    *Plan // of the whole window
	Moments []Compared
	Totals  []Totals
	Verdict Verdict // on the whole window
}

// Compared is one moment.
type Compared struct {
	Name    string // "start", "sun at 15 deg", "sunset", "end", or the time asked for
	Row     Row
	Entries []Entry // one for each of Row.Methods
	Verdict Verdict
}

// Entry is what one method comes to at a moment, beyond its settings.
type Entry struct {
	FramesASet float64 // from a set of batteries in each unit, 0 with no flash
	// Rise is how much lighter the background comes out than under the open
	// sky at the sync speed.
	Rise  sky.Stops
	Setup *scene.Setup // of the scrim; nil where it is not up
}

// Verdict is which method to take, in one sentence, and by which rules.
type Verdict struct {
	Best shoot.Method
	None bool // no method holds the look; Best is the nearest
	Text string
	Why  []string // how each rule went, in order
}

// Named is a moment asked for.
type Named struct {
	Name string
	Time time.Time
}

// The altitudes of the sun, in degrees, at which methods are compared unless
// moments are asked for.
var comparedAltitudes = [...]float64{30, 15, 6}

// Compare plans the window and sets the asked methods side by side, at the
// moments asked for; where there are none, at the start, when the sun passes
// 30, 15 and 6 deg, at sunset and at the end. The error tells that the window
// cannot be placed in the day.
func Compare(s *shoot.Shoot, asked []Named) (*Comparison, error) {
	p, err := Make(s)
	if err != nil {
		return nil, err
	}
	n, err := newSession(s)
	if err != nil {
		return nil, err
	}
	if len(asked) == 0 {
		asked = n.moments()
	}
	v := NewSolver(s)
	c := &Comparison{Plan: p, Totals: TotalsOf(p)}
	for _, m := range asked {
		for _, r := range n.rows(nil, m.Time) {
			for _, method := range s.Methods {
				r.Methods = append(r.Methods, v.Solve(method, r.Moment()))
			}
			for i := range r.Methods {
				v.cure([]Row{r}, i)
			}
			at := Compared{Name: m.Name, Row: r}
			for i := range r.Methods {
				at.Entries = append(at.Entries, v.entry(&r, &r.Methods[i]))
			}
			at.Verdict = v.judge(candidates(v, &at))
			at.Verdict.Text = v.sentenceAt(&at)
			c.Moments = append(c.Moments, at)
		}
	}
	c.Verdict = v.judge(v.overall(c))
	c.Verdict.Text = v.sentence(c)
	return c, nil
}

// moments returns the moments that say most about the window.
func (n *session) moments() []Named {
	list := []Named{{"start", n.from}}
	add := func(name string, t time.Time) {
		// Two names of one moment are one.
		if t.Sub(list[len(list)-1].Time) > 2*time.Minute && n.to.Sub(t) > 2*time.Minute {
			list = append(list, Named{name, t})
		}
	}
	altitude := func(t time.Time) float64 { return n.observer.Sun(t).Altitude.Degrees() }
	var passed []Named
	for t := n.from; t.Before(n.to); t = t.Add(time.Minute) {
		a, b := altitude(t), altitude(t.Add(time.Minute))
		for _, h := range comparedAltitudes {
			if (a-h)*(b-h) < 0 {
				f := (h - a) / (b - a)
				passed = append(passed, Named{fmt.Sprintf("sun at %g deg", h), t.Add(time.Duration(f * float64(time.Minute)))})
			}
		}
	}
	for _, day := range [2]sky.Day{n.day, n.planned} {
		for _, e := range day.Events {
			if (e.Name == sky.Sunset || e.Name == sky.Sunrise) && e.Time.After(n.from) && e.Time.Before(n.to) {
				passed = append(passed, Named{string(e.Name), e.Time})
			}
		}
	}
	slices.SortStableFunc(passed, func(a, b Named) int { return a.Time.Compare(b.Time) })
	for _, p := range passed {
		add(p.Name, p.Time)
	}
	return append(list, Named{"end", n.to})
}

// entry works out what a solution comes to beyond its settings.
func (v *Solver) entry(r *Row, s *Solution) Entry {
	var e Entry
	unit := v.shoot.Flash.Unit
	if s.Role != None {
		e.FramesASet = unit.FlashesASet / s.Power.Fraction()
	}
	e.Rise = s.Background - v.Solve(shoot.Sync, r.Moment()).Background
	if s.ScrimUp {
		setup := v.shoot.Scrim.Setup(r.Sun, r.Facing, v.shoot.Subject.Figure)
		e.Setup = &setup
	}
	return e
}

// candidate is a method before the judge: what each rule looks at.
type candidate struct {
	method     shoot.Method
	held       float64   // share of the moments at which it holds the look
	short      sky.Stops // how far it misses where it does not
	aperture   sky.Stops // between the aperture and the wanted one
	background sky.Stops // of the sky behind from a normal exposure; 0 where the look holds it
	wait       float64   // s that recycling takes beyond the pace
	sets       float64   // of batteries
	burden     int       // what has to be carried and held
}

// rule compares two candidates: negative where the first is the better. What
// differs by less than can be seen or felt counts as equal.
type rule struct {
	name  string
	value func(*candidate) float64 // less is better
	least float64                  // difference that counts
	unit  string
}

// The rules, in the order they are asked. The least differences are common
// practice, no source.
var rules = [...]rule{
	{"holds the look", func(c *candidate) float64 { return 1 - c.held }, 0.01, "of the moments missed"},
	{"misses by less", func(c *candidate) float64 { return float64(c.short) }, 0.1, "stops short"},
	{"nearest the wanted aperture", func(c *candidate) float64 { return float64(c.aperture) }, 0.34, "stops from the wanted aperture"},
	{"sky behind nearest normal", func(c *candidate) float64 { return float64(c.background) }, 0.5, "stops from normal behind"},
	{"keeps the pace", func(c *candidate) float64 { return c.wait }, 0.5, "s longer than the pace"},
	{"fewer batteries", func(c *candidate) float64 { return c.sets }, 0.99, "battery sets a unit"},
	{"less to carry and hold", func(c *candidate) float64 { return float64(c.burden) }, 1, "to carry or hold"},
}

// judge takes the candidates through the rules: each rule drops what is worse
// than the best left by more than counts.
func (v *Solver) judge(list []candidate) Verdict {
	var d Verdict
	if len(list) == 0 {
		return d
	}
	left := slices.Clone(list)
	for _, r := range rules {
		least := math.Inf(1)
		for i := range left {
			least = min(least, r.value(&left[i]))
		}
		var kept []candidate
		var dropped []string
		for _, c := range left {
			if x := r.value(&c); x-least < r.least {
				kept = append(kept, c)
			} else {
				dropped = append(dropped, fmt.Sprintf("%s (%.2g %s)", c.method, x, r.unit))
			}
		}
		if len(dropped) > 0 {
			d.Why = append(d.Why, fmt.Sprintf("%s: not %s", r.name, strings.Join(dropped, ", ")))
		} else {
			d.Why = append(d.Why, r.name+": no difference")
		}
		if left = kept; len(left) == 1 {
			break
		}
	}
	d.Best, d.None = left[0].method, left[0].held == 0
	return d
}

// burden counts what a method makes one carry and hold: a filter, a panel with
// its stand, and the hand that keeps it.
func burden(m shoot.Method) int {
	n := 0
	if m.UsesFilter() {
		n++
	}
	if m.UsesScrim() {
		n += 3
	}
	return n
}

// candidates puts the methods of one moment before the judge.
func candidates(v *Solver, at *Compared) []candidate {
	var list []candidate
	for i := range at.Row.Methods {
		s := &at.Row.Methods[i]
		list = append(list, v.candidate(s)) // batteries of a single moment say nothing
	}
	return list
}

func (v *Solver) candidate(s *Solution) candidate {
	c := candidate{method: s.Method, burden: burden(s.Method)}
	c.aperture = sky.Stops(s.Settings.Aperture-v.shoot.Lens.Wanted).Size() / 6
	if v.shoot.Look.Kind == shoot.Ratio {
		c.background = s.Background.Size()
	}
	if s.Feasible {
		c.held = 1
	} else {
		c.short = s.Problem.Misses
		if c.short == 0 {
			c.short = sky.Stops(math.Inf(1))
		}
	}
	if s.Role != None {
		c.wait = max(0, s.Recycle-60/v.shoot.Pace.FramesPerMinute)
	}
	return c
}

// overall puts the methods of the whole window before the judge: means over
// the moments that hold the look, the worst of those that do not.
func (v *Solver) overall(c *Comparison) []candidate {
	var list []candidate
	for n, m := range v.shoot.Methods {
		sum := candidate{method: m, burden: burden(m), sets: float64(c.Totals[n].Key.Sets)}
		held := 0
		for i := range c.Plan.Rows {
			one := v.candidate(&c.Plan.Rows[i].Methods[n])
			sum.short = max(sum.short, one.short)
			if one.held > 0 {
				held++
				sum.aperture += one.aperture
				sum.background += one.background
				sum.wait = max(sum.wait, one.wait)
			}
		}
		if held > 0 {
			sum.aperture /= sky.Stops(held)
			sum.background /= sky.Stops(held)
		}
		sum.held = float64(held) / float64(max(len(c.Plan.Rows), 1))
		list = append(list, sum)
	}
	return list
}

// sentenceAt says which method to take at one moment, and what is against the
// others.
func (v *Solver) sentenceAt(at *Compared) string {
	methods := at.Row.Methods
	n := slices.IndexFunc(methods, func(s Solution) bool { return s.Method == at.Verdict.Best })
	best := &methods[n]
	text := "Take " + best.Method.String()
	if at.Verdict.None {
		text = "No method holds the look; nearest is " + best.Method.String()
	}
	text += fmt.Sprintf(" (%s, %s, ISO %s, %s)", best.Settings.Aperture, best.Settings.Shutter, best.Settings.ISO, flashText(best))
	for i := range methods {
		s := &methods[i]
		switch wider := best.Settings.Aperture - s.Settings.Aperture; {
		case i == n:
		case !s.Feasible:
			text += fmt.Sprintf("; %s: %s", s.Method, s.Problem.Text)
		case wider < -1:
			text += fmt.Sprintf("; %s closes to %s", s.Method, s.Settings.Aperture)
		case wider > 1:
			text += fmt.Sprintf("; %s opens to %s", s.Method, s.Settings.Aperture)
		case (s.Background - best.Background).Size() >= 0.3:
			text += fmt.Sprintf("; %s leaves the sky %+.1f stops against it", s.Method, s.Background-best.Background)
		}
	}
	return text + "."
}

func flashText(s *Solution) string {
	if s.Role == None {
		return "no flash"
	}
	return s.Role.String() + " " + s.Power.String()
}

// sentence says what the methods come to over the window and which to take.
func (v *Solver) sentence(c *Comparison) string {
	var parts []string
	order := slices.Clone(v.shoot.Methods)
	slices.SortStableFunc(order, func(a, b shoot.Method) int {
		return cmp.Compare(boolInt(a != c.Verdict.Best), boolInt(b != c.Verdict.Best))
	})
	for _, m := range order {
		n := slices.Index(v.shoot.Methods, m)
		parts = append(parts, v.clause(c, n))
	}
	if c.Verdict.None {
		return "No method holds the look: " + strings.Join(parts, "; ") + "."
	}
	return "Take " + strings.Join(parts, "; ") + "."
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// clause says in a few words what method number n comes to over the window.
func (v *Solver) clause(c *Comparison, n int) string {
	s := &c.Plan.Methods[n]
	rows := c.Plan.Rows
	text := s.Method.String()
	failures := failuresOf(rows, n)
	switch {
	case s.Holds == s.Of:
		text += ": it holds throughout"
	case s.Holds == 0:
		return text + " cannot: " + failures[0].worst.Text
	default:
		f := failures[0]
		text += fmt.Sprintf(": %s from %s to %s", f.worst.Text, clock(f.from), clock(f.to))
		if len(failures) > 1 {
			text += " and fails at other times too"
		}
	}
	widest, narrowest := apertures(rows, n)
	if widest == narrowest {
		text += " at " + widest
	} else {
		text += " between " + widest + " and " + narrowest
	}
	if sync := slices.Index(v.shoot.Methods, shoot.Sync); sync >= 0 && sync != n {
		if rise := meanRise(rows, n, sync); rise.Size() >= 0.3 {
			text += fmt.Sprintf(", the sky behind %+.1f stops against sync", rise)
		}
	}
	return text
}

// apertures returns the widest and the narrowest used where the look is held.
func apertures(rows []Row, n int) (widest, narrowest string) {
	first := true
	var a, b = rows[0].Methods[n].Settings.Aperture, rows[0].Methods[n].Settings.Aperture
	for i := range rows {
		if s := &rows[i].Methods[n]; s.Feasible {
			if first {
				a, b, first = s.Settings.Aperture, s.Settings.Aperture, false
			}
			a, b = min(a, s.Settings.Aperture), max(b, s.Settings.Aperture)
		}
	}
	return a.String(), b.String()
}

// meanRise is how much lighter the background comes out under one method than
// under another, where both hold the look.
func meanRise(rows []Row, n, other int) sky.Stops {
	var sum sky.Stops
	count := 0
	for i := range rows {
		if a, b := &rows[i].Methods[n], &rows[i].Methods[other]; a.Feasible && b.Feasible {
			sum += a.Background - b.Background
			count++
		}
	}
	if count == 0 {
		return 0
	}
	return sum / sky.Stops(count)
}
