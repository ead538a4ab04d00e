package season

import (
	"cmp"
	"slices"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// weather is one sky that there may be.
type weather struct {
	condition sky.Condition
	own       bool // the shoot's own, which may change through the day
	shoot     *shoot.Shoot
}

// changes reports whether the sky does through the day.
func (w *weather) changes() bool { return len(w.shoot.Sky) > 1 }

// outlook is what skies there may be, and how likely each is at a time.
type outlook struct {
	wishes   *shoot.Wishes
	skies    []weather
	daylight *sky.Daylight
	observer sky.Observer
}

func newOutlook(q *Question) outlook {
	s, w := q.Shoot, &q.Wishes
	o := outlook{wishes: w, observer: s.Observer(), daylight: sky.NewDaylight(s.Place.Site, s.Place.Ground, s.Place.Horizon)}
	if len(w.Odds) == 0 {
		o.skies = append(o.skies, weather{condition: s.Sky[0].Condition, own: true, shoot: s})
	}
	for _, odds := range w.Odds {
		if odds.Share > 0 {
			o.add(s, odds.Condition)
		}
	}
	if len(w.Forecast) > 0 {
		o.add(s, sky.Described(sky.Clear))
		o.add(s, sky.Described(sky.Overcast))
	}
	return o
}

// add adds a sky that is not there yet.
func (o *outlook) add(s *shoot.Shoot, c sky.Condition) {
	if slices.ContainsFunc(o.skies, func(w weather) bool { return !w.changes() && w.condition == c }) {
		return
	}
	under := *s
	under.Sky = []shoot.SkySpan{{Condition: c}}
	o.skies = append(o.skies, weather{condition: c, shoot: &under})
}

// odds is how likely a sky is at a time, 0 to 1. Of so many oktas forecast the
// sun is out for a share of the time; out counts as clear, in as overcast.
func (o *outlook) odds(n int, t time.Time) float64 {
	w := &o.skies[n]
	if oktas, ok := o.wishes.Forecast.At(t); ok {
		out := o.daylight.SunOut(oktas, o.observer.Sun(t))
		switch {
		case w.changes():
			return 0
		case w.condition == sky.Described(sky.Clear):
			return out
		case w.condition == sky.Described(sky.Overcast):
			return 1 - out
		}
		return 0
	}
	if w.own {
		return 1
	}
	for _, odds := range o.wishes.Odds {
		if odds.Condition == w.condition {
			return odds.Share
		}
	}
	return 0
}

// possible reports whether a sky may come within so many minutes of a time.
func (o *outlook) possible(n int, from time.Time, minutes int) bool {
	if len(o.wishes.Forecast) == 0 {
		return true
	}
	for i := 0; i <= minutes; i += 60 {
		if o.odds(n, from.Add(time.Duration(i)*time.Minute)) > 0 {
			return true
		}
	}
	return false
}

// over is how likely a sky is through a span, minute by minute.
type over struct {
	minutes []float64
	mean    float64
}

// oddsOver returns how likely a sky is through a span.
func (o *outlook) oddsOver(n int, at span) over {
	v := over{minutes: make([]float64, at.length()+1)}
	for i := range v.minutes {
		v.minutes[i] = o.odds(n, at.from.Add(time.Duration(i)*time.Minute))
		v.mean += v.minutes[i] / float64(len(v.minutes))
	}
	return v
}

// of returns the share of the minutes at which an account meets all, and the same
// weighed by the odds of each.
func (v *over) of(a *plan.Account) (holds, useful float64) {
	for i, u := range a.Unmet {
		if u == plan.AllMet {
			holds += 1 / float64(len(v.minutes))
			useful += v.minutes[i] / float64(len(v.minutes))
		}
	}
	return holds, useful
}

// expected is how useful a span is expected to be by what was found under each sky.
func (o *outlook) expected(at span, found [][]candidate) float64 {
	useful := 0.0
	for n := range found {
		best := longestWithin(found[n], at)
		odds := o.oddsOver(n, at)
		for i, share := range odds.minutes {
			if best.holds(at.from.Add(time.Duration(i) * time.Minute)) {
				useful += share / float64(len(odds.minutes))
			}
		}
	}
	return useful
}

// byOdds sorts chances, the likeliest first.
func byOdds(list []Chance) {
	slices.SortStableFunc(list, func(a, b Chance) int { return cmp.Compare(b.Odds, a.Odds) })
}

// span is a time from one minute to another, both included.
type span struct{ from, to time.Time }

func (s span) holds(t time.Time) bool { return !t.Before(s.from) && !t.After(s.to) }

// length is how many minutes lie between its ends.
func (s span) length() int { return int(s.to.Sub(s.from) / time.Minute) }

// holdsAll reports whether another span lies within s.
func (s span) holdsAll(o span) bool { return s.holds(o.from) && s.holds(o.to) }

// within is the part of s that lies in another; it ends before it begins where
// there is none.
func (s span) within(o span) span {
	if o.from.After(s.from) {
		s.from = o.from
	}
	if o.to.Before(s.to) {
		s.to = o.to
	}
	return s
}

// longestWithin returns the longest part of any candidate within a span: under one
// sky the flash stands at one place.
func longestWithin(list []candidate, at span) span {
	best := span{at.to, at.from}
	for _, c := range list {
		if in := c.within(at); in.to.Sub(in.from) > best.to.Sub(best.from) || best.to.Before(best.from) {
			best = in
		}
	}
	return best
}
