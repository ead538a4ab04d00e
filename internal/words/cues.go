package words

import (
	"math"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/plan"
	"evenfall/sky"
)

// Rule says cues that come close together as one: ISO up 2/3 stop, every 3
// minutes until 19:41: ISO 3200.
func Rule(s plan.Series) string {
	first, last := &s[0], &s[len(s)-1]
	var moves, ends []string
	for n := range first.Changes {
		c := &first.Changes[n]
		least, most := s.Range(n)
		moves = append(moves, move(c, first.Set, stepsFrom(least, most)))
		ends = append(ends, moveTo(c.Control, last.Was, last.Set))
	}
	return Sentence(strings.Join(moves, ", ")) + ", every " + everyMinutes(s.Gaps()) + " until " + Clock{}.Time(last.Time) +
		": " + strings.Join(ends, ", ")
}

// stepsFrom writes a range of stops.
func stepsFrom(least, most sky.Stops) string {
	if most-least < 1e-6 {
		return Fraction(most)
	}
	return strings.TrimSuffix(strings.TrimSuffix(Fraction(least), "s"), " stop") + " to " + Fraction(most)
}

// everyMinutes says how far apart cues come.
func everyMinutes(shortest, longest time.Duration) string {
	a, b := Number(shortest.Minutes(), 0), Number(longest.Minutes(), 0)
	switch {
	case a != b:
		return a + " to " + b + " minutes"
	case a == "1":
		return "minute"
	}
	return a + " minutes"
}

// move says which way a control of a picture is moved, and by the amount given.
func move(c *plan.Change, of *plan.Solution, amount string) string {
	more, less := "up ", "down "
	name := string(c.Control)
	switch c.Control {
	case plan.ApertureControl:
		more, less = "opened ", "closed "
	case plan.ShutterControl:
		more, less = "slower by ", "faster by "
	case plan.PowerControl:
		name = flashName(of)
	case plan.FillControl:
		name = "fill"
	case plan.RimControl:
		name = "rim flash"
	}
	if c.By < 0 {
		return name + " " + less + amount
	}
	return name + " " + more + amount
}

// Fraction writes stops that are whole sixths as a dial has them: 2/3 stop, 1
// stop, 1 1/3 stops; others with one decimal.
func Fraction(s sky.Stops) string {
	sixths := float64(s) * 6
	n := int(math.Round(sixths))
	if math.Abs(sixths-float64(n)) > 1e-6 || n <= 0 {
		return Stops(s)
	}
	rest := [...]string{"", "1/6", "1/3", "1/2", "2/3", "5/6"}[n%6]
	switch whole := strconv.Itoa(n / 6); {
	case n < 6:
		return rest + " stop"
	case n == 6:
		return "1 stop"
	case rest == "":
		return whole + " stops"
	default:
		return whole + " " + rest + " stops"
	}
}

// SunGoesIn says what to change when the sun goes in, at the start and at the
// end of the time that it may.
func SunGoesIn(start, end *plan.Cue) string {
	a, b := differing(start), differing(end)
	text := "at " + Clock{}.Time(start.Time) + " " + a + "; at " + Clock{}.Time(end.Time) + " " + b
	if a == b {
		text = a
	}
	if a == b && a == nothing {
		return text
	}
	return text + "; back when it comes out"
}

// nothing is said where there is nothing to change.
const nothing = "nothing"

// differing lists what a cue moves, to what and by how much.
func differing(c *plan.Cue) string {
	var parts []string
	for i := range c.Changes {
		text := moveTo(c.Changes[i].Control, c.Was, c.Set)
		if by := c.Changes[i].By; by != 0 {
			text += " (" + OffsetStops(by) + ")"
		}
		parts = append(parts, text)
	}
	text := strings.Join(parts, ", ")
	if text == "" {
		text = nothing
	}
	if c.Set.Outcome == plan.Missed {
		text += ", and missed even so (" + ProblemShort(c.Set.Problem) + ")"
	}
	return text
}
