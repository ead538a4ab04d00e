package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Verdict is which method to take, in one sentence, and by which rules.
type Verdict struct {
	Best shoot.Method
	Held float64 // share of the moments at which Best holds the look, 0 to 1
	Text string
	Why  []string // how each rule went, in order
}

// candidate is a method before the judge: what each rule looks at.
type candidate struct {
	method     shoot.Method
	held       float64   // share of the moments at which it holds the look
	short      sky.Stops // how far it misses where it does not
	inFrame    float64   // share of those moments at which the scrim stands in the picture
	aperture   sky.Stops // between the aperture and the wanted one
	background sky.Stops // of the sky behind from a normal exposure; 0 where the look holds it
	wait       float64   // s that recycling takes beyond the pace
	sets       float64   // of batteries
	burden     int       // what has to be carried and held
	carries    string    // the same in words
}

// rule looks at candidates from one side. What differs by less than can be
// seen or felt counts as equal.
type rule struct {
	name  string
	value func(*candidate) float64 // less is better
	least float64                  // difference that counts
	says  func(*candidate) string  // of one that the rule drops
}

// The rules, in the order they are asked. The least differences are common
// practice, no source.
var rules = [...]rule{
	{"holds the look", func(c *candidate) float64 { return 1 - c.held }, 0.01, func(c *candidate) string {
		if c.held == 0 {
			return "does not"
		}
		return fmt.Sprintf("at %.0f %% of the moments", 100*c.held)
	}},
	{"misses by less", func(c *candidate) float64 { return float64(c.short) }, 0.1, func(c *candidate) string {
		if math.IsInf(float64(c.short), 1) {
			return "not to be had"
		}
		return fmt.Sprintf("%s short", stops(c.short))
	}},
	{"out of the picture", func(c *candidate) float64 { return c.inFrame }, 0.01, func(c *candidate) string {
		return fmt.Sprintf("the panel stands in it %.0f %% of the time", 100*c.inFrame)
	}},
	{"nearest the wanted aperture", func(c *candidate) float64 { return float64(c.aperture) }, 0.34, func(c *candidate) string {
		return stops(c.aperture) + " from it"
	}},
	{"sky behind nearest normal", func(c *candidate) float64 { return float64(c.background) }, 0.5, func(c *candidate) string {
		return stops(c.background) + " from it"
	}},
	{"keeps the pace", func(c *candidate) float64 { return c.wait }, 0.5, func(c *candidate) string {
		return fmt.Sprintf("recycles %.1f s beyond it", c.wait)
	}},
	{"fewer batteries", func(c *candidate) float64 { return c.sets }, 0.99, func(c *candidate) string {
		return fmt.Sprintf("%.0f sets a unit", c.sets)
	}},
	{"less to carry and hold", func(c *candidate) float64 { return float64(c.burden) }, 1, func(c *candidate) string {
		return c.carries
	}},
}

// judge takes the candidates, of which there is at least one, through the
// rules: each rule drops what is worse than the best left by more than counts.
func (v *Solver) judge(list []candidate) Verdict {
	var d Verdict
	left := slices.Clone(list)
	for _, r := range rules {
		least := math.Inf(1)
		for i := range left {
			least = min(least, r.value(&left[i]))
		}
		var kept []candidate
		var dropped []string
		for _, c := range left {
			// Two that cannot be had at all are infinitely short, and equal.
			if x := r.value(&c); x == least || x-least < r.least {
				kept = append(kept, c)
			} else {
				dropped = append(dropped, fmt.Sprintf("%s (%s)", c.method, r.says(&c)))
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
	d.Best, d.Held = left[0].method, left[0].held
	return d
}

// burden counts what a method makes one carry and hold, and names it: a
// filter, a panel with its stand, and the hand that keeps it.
func burden(m shoot.Method) (n int, names string) {
	var parts []string
	if m.UsesFilter() {
		n++
		parts = append(parts, "a filter")
	}
	if m.UsesScrim() {
		n += 3
		parts = append(parts, "a panel, its stand and a hand on it")
	}
	return n, strings.Join(parts, ", ")
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

// unseen is a shortage of flash that nobody sees; a verdict must not hang on
// it. Common practice, no source.
const unseen sky.Stops = 0.1

func (v *Solver) candidate(s *Solution) candidate {
	c := candidate{method: s.Method}
	c.burden, c.carries = burden(s.Method)
	c.aperture = sky.Stops(s.Settings.Aperture-v.shoot.Lens.Wanted).Size() / 6
	if v.shoot.Look.Kind == shoot.Ratio {
		c.background = s.Background.Size()
	}
	if s.ScrimInFrame {
		c.inFrame = 1
	}
	switch {
	case s.Feasible:
		c.held = 1
	case s.Problem.Kind == TooWeak && s.Problem.Misses < unseen:
		c.held, c.short = 1, s.Problem.Misses
	default:
		c.short = s.Problem.Misses
		if c.short == 0 {
			c.short = sky.Stops(math.Inf(1))
		}
	}
	if s.Role != None {
		c.short = max(c.short, -s.Headroom) // the problem may be another
		c.wait = max(0, s.Recycle-60/v.shoot.Pace.FramesPerMinute)
	}
	return c
}

// overall puts the methods of the whole window before the judge: means over
// the moments that hold the look, the worst of those that do not.
func (v *Solver) overall(c *Comparison) []candidate {
	var list []candidate
	for n, m := range v.shoot.Methods {
		sum := candidate{method: m, sets: float64(c.Totals[n].Key.Sets)}
		sum.burden, sum.carries = burden(m)
		held := 0
		for i := range c.Plan.Rows {
			one := v.candidate(&c.Plan.Rows[i].Methods[n])
			sum.short = max(sum.short, one.short)
			sum.inFrame += one.inFrame / float64(len(c.Plan.Rows))
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
	if at.Verdict.Held == 0 {
		text = "No method holds the look; nearest is " + best.Method.String()
	}
	text += fmt.Sprintf(" (%s, %s, ISO %s, %s)", best.Settings.Aperture, best.Settings.Shutter, best.Settings.ISO, flashText(best))
	if at.Verdict.Held == 0 {
		return text + ": " + best.Problem.Text + "."
	}
	var others clauses
	for i := range methods {
		s := &methods[i]
		switch wider := best.Settings.Aperture - s.Settings.Aperture; {
		case i == n:
		case !s.Feasible:
			others.add(s.Method, ": "+s.Problem.Text)
		case s.ScrimInFrame && !best.ScrimInFrame:
			others.add(s.Method, ": its panel stands in the picture")
		case wider < -1:
			others.add(s.Method, ": closes to "+s.Settings.Aperture.String())
		case wider > 1:
			others.add(s.Method, ": opens to "+s.Settings.Aperture.String())
		case (s.Background - best.Background).Size() >= 0.3:
			others.add(s.Method, ": leaves the sky "+lighter(s.Background-best.Background))
		}
	}
	return text + others.String() + "."
}

// clauses say something of one method after the other; of what is said of
// several the methods are named together.
type clauses []struct{ names, says string }

func (c *clauses) add(m shoot.Method, says string) {
	for i := range *c {
		if one := &(*c)[i]; one.says == says {
			one.names += ", " + m.String()
			return
		}
	}
	*c = append(*c, struct{ names, says string }{m.String(), says})
}

// String returns each clause behind a semicolon.
func (c clauses) String() string {
	text := ""
	for _, one := range c {
		text += "; " + one.names + one.says
	}
	return text
}

// lighter tells an offset between two backgrounds in words.
func lighter(by sky.Stops) string {
	if by < 0 {
		return stops(-by) + " darker"
	}
	return stops(by) + " lighter"
}

func flashText(s *Solution) string {
	if s.Role == None {
		return "no flash"
	}
	return s.Role.String() + " " + s.Power.String()
}

// sentence says what the methods come to over the window and which to take.
func (v *Solver) sentence(c *Comparison) string {
	best := slices.Index(v.shoot.Methods, c.Verdict.Best)
	text := "Take "
	switch held := c.Verdict.Held; {
	case held == 0:
		text = "No method holds the look at any time; nearest is "
	case held < 1:
		text = "No method holds the look throughout; take "
	}
	text += c.Verdict.Best.String() + v.clause(c, best)
	var others clauses
	for n, m := range v.shoot.Methods {
		if n != best {
			others.add(m, v.clause(c, n))
		}
	}
	return text + others.String() + "."
}

// clause says in a few words, behind its name, what method number n comes to
// over the window.
func (v *Solver) clause(c *Comparison, n int) string {
	s := &c.Plan.Methods[n]
	rows := c.Plan.Rows
	text := ""
	failures := Failures(rows, n)
	switch {
	case s.Holds == s.Of:
		text = ": holds throughout"
	case s.Holds == 0:
		return ": " + failures[0].reason()
	default:
		f := failures[0]
		text = ": not " + f.when() + " (" + f.reason() + ")"
		if len(failures) > 1 {
			text += " nor at some other times"
		}
		text += ", else"
	}
	widest, narrowest := apertures(rows, n)
	if widest == narrowest {
		text += " at " + widest
	} else {
		text += " between " + widest + " and " + narrowest
	}
	if sync := slices.Index(v.shoot.Methods, shoot.Sync); sync >= 0 && sync != n {
		if rise := meanRise(rows, n, sync); rise.Size() >= 0.3 {
			text += ", the sky behind " + lighter(rise) + " than with sync"
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
