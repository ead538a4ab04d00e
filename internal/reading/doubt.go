package reading

import (
	"fmt"
	"time"

	"evenfall/internal/exposure"
	"evenfall/sky"
)

// What no sky gives, in stops beyond the brightest and below the darkest that a
// word means, and the true altitude of the sun, in degrees, below which no
// daylight is known well enough. Judgement: of the measured minutes none lies
// beyond, the farthest by 1.1 and 3.0 stops.
const (
	beyondBrightest sky.Stops = 1.5
	belowDarkest    sky.Stops = 4
	lowestSun                 = -12
)

// possible returns a Fault for a reading that no sky could give.
func (g *sight) possible(w *Weighed) error {
	if w.Sun.TrueAltitude < sky.Degrees(lowestSun) {
		return Fault{Line: w.Line, Hint: g.expected(&w.Reading),
			What: fmt.Sprintf("%s: the sun is %.0f° below the horizon then, too far for any daylight to read",
				w.String(), -w.Sun.TrueAltitude.Degrees())}
	}
	var least, most sky.Lux
	for _, c := range skies() {
		for k := range sky.Case(c.Cases()) {
			l := g.light(c, k, sky.Correction{})
			e := w.Plane.on(&l)
			if least == 0 || e < least {
				least = e
			}
			most = max(most, e)
		}
	}
	over, under := sky.StopsOf(float64(w.Light/most)), sky.StopsOf(float64(least/w.Light))
	text := ""
	switch {
	case over > beyondBrightest:
		text = fmt.Sprintf("%v brighter than the clearest sky gives there", over)
	case under > belowDarkest:
		text = fmt.Sprintf("%v darker than the heaviest cloud leaves there", under)
	default:
		return nil
	}
	return Fault{Line: w.Line, Hint: g.expected(&w.Reading), What: w.String() + " is " + text +
		": check date, place and how the meter was held"}
}

// skies are those that a reading may be of.
func skies() []sky.Condition {
	list := []sky.Condition{sky.WithTurbidity(sky.LowestTurbidity)}
	for _, w := range sky.Words {
		list = append(list, sky.Described(w))
	}
	return list
}

// expected is the reading that the plan has for a time; with the sun too low,
// for when it has set.
func (g *sight) expected(r *Reading) string {
	is := *r
	if sunset, ok := g.day.First(sky.Sunset); ok && g.sun.TrueAltitude < sky.Degrees(lowestSun) {
		is.Time = sunset.Time.In(g.shoot.Place.Zone).Truncate(time.Minute)
	}
	at := g.at(is.Time)
	l := at.light(g.shoot.ConditionAt(is.Time, g.day), sky.SunOut, sky.Correction{})
	is.Given = fmt.Sprintf("ev%.1f", float64(exposure.Incident(is.Plane.on(&l))))
	return is.String()
}

// How a reading has to lie for another sky to be named: so many times outside
// the band of its own, and that much nearer to the other; and how much nearer
// than that a word with less sun has to be.
const (
	outside           = 1.5
	nearer            = 0.5
	least   sky.Stops = 0.4 // off the plan, for a word to be in question
	clearly sky.Stops = 0.2
)

// fit returns the sky that a reading is of far more likely than of the one it
// was taken for, whose light is given; nil where there is none.
func (g *sight) fit(w *Weighed, l *sky.Light) *Fit {
	band := w.Plane.band(l)
	end := max(-band.Low, 0.1)
	if w.Offset > 0 {
		end = max(band.High, 0.1)
	}
	if w.Offset.Abs() < max(least, outside*end) || g.isHaze(w) {
		return nil
	}
	var best *Fit
	for _, word := range sky.Words {
		c := sky.Described(word)
		for k := range sky.Case(c.Cases()) {
			other := g.light(c, k, sky.Correction{})
			off := sky.StopsOf(float64(w.Light / w.Plane.on(&other)))
			if c == w.Under || off.Abs() > nearer*w.Offset.Abs() {
				continue
			}
			if best == nil || off.Abs() < best.Offset.Abs()-clearly {
				best = &Fit{word, k, off}
			}
		}
	}
	return best
}

// thickest is the turbidity of the thickest haze that a reading under a
// cloudless sky is put down to without asking for another sky: medians of days
// at one place vary from 2.1 to 3.9.
const thickest = 5

// isHaze reports whether a reading under a cloudless sky is no darker than the
// thickest haze makes it.
func (g *sight) isHaze(w *Weighed) bool {
	if !w.Under.Cloudless() || w.Offset > 0 {
		return false
	}
	l := g.light(sky.WithTurbidity(thickest), sky.SunOut, sky.Correction{})
	return w.Light >= w.Plane.on(&l)
}

// Readings within so long of each other are of one light: of one plane under
// one sky they may not lie further apart than that, and shade may not be so much
// brighter than the lit side. Judgement: the light under cloud moves less.
const (
	together                = 10 * time.Minute
	apart         sky.Stops = 1.5
	shadeBrighter sky.Stops = 0.5
)

// contradictions are the faults of readings that cannot both be right.
func contradictions(list []Weighed) Faults {
	var faults Faults
	for i := range list {
		for j := range list[:i] {
			a, b := &list[j], &list[i]
			if b.Time.Sub(a.Time) > together || a.Under != b.Under || a.Case != b.Case {
				continue
			}
			if f := contradiction(a, b); f != nil {
				faults = append(faults, *f)
			}
		}
	}
	return faults
}

// contradiction returns the fault of two readings of one light.
func contradiction(a, b *Weighed) *Fault {
	lit, shade := a, b
	if a.Plane == Shade {
		lit, shade = b, a
	}
	more := sky.StopsOf(float64(shade.Light / lit.Light))
	miss := (b.Offset - a.Offset).Abs()
	f := Fault{Line: b.Line, Hint: a.String()}
	switch {
	case a.Plane == b.Plane && miss > apart:
		f.What = fmt.Sprintf("%s and %s contradict each other by %v: leave one out", a, b, miss)
	case lit.Plane == Lit && shade.Plane == Shade && more > shadeBrighter:
		swapped := *a
		swapped.Plane = b.Plane
		f.Hint = swapped.String()
		f.What = fmt.Sprintf("%s and %s contradict each other: the shade reads %v brighter than the lit side",
			a, b, more)
	default:
		return nil
	}
	return &f
}
