package season

import (
	"slices"
	"time"

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

// chances are what a span of a day comes to under each sky, the likeliest first,
// and how useful it is expected to be. found holds, for each sky, the spans of the
// day at which all holds.
func (o *outlook) chances(from, to time.Time, found [][]span) (list []Chance, useful float64) {
	minutes := int(to.Sub(from)/time.Minute) + 1
	for n := range o.skies {
		best := longestWithin(found[n], from, to)
		c := Chance{Condition: o.skies[n].condition}
		held := 0
		for i := range minutes {
			t := from.Add(time.Duration(i) * time.Minute)
			odds := o.odds(n, t) / float64(minutes)
			c.Odds += odds
			if best.holds(t) {
				held++
				useful += odds
			}
		}
		c.Holds = float64(held) / float64(minutes)
		list = append(list, c)
	}
	slices.SortStableFunc(list, func(a, b Chance) int {
		switch {
		case a.Odds > b.Odds:
			return -1
		case a.Odds < b.Odds:
			return 1
		}
		return 0
	})
	return slices.DeleteFunc(list, func(c Chance) bool { return c.Odds == 0 }), useful
}

// span is a time from one minute to another, both included.
type span struct{ from, to time.Time }

func (s span) holds(t time.Time) bool { return !t.Before(s.from) && !t.After(s.to) }

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

// longestWithin returns the longest part of any span within a window: under one
// sky the flash stands at one place.
func longestWithin(list []span, from, to time.Time) span {
	best := span{to, from}
	for _, s := range list {
		if in := s.within(span{from, to}); in.to.Sub(in.from) > best.to.Sub(best.from) || best.to.Before(best.from) {
			best = in
		}
	}
	return best
}
