package season

import (
	"context"
	"slices"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// stretch is a part of a day at every minute of which all wishes hold under one
// method, by the scout's word.
type stretch struct {
	method   int // of the shoot's
	from, to int // minutes of the day, both included
	angle    int // of the flash, by the scout's number
}

// seeker looks through one day at a time, under one sky. It is for one goroutine.
type seeker struct {
	geometry
	methods []shoot.Method
	scout   *plan.Scout
	least   int  // minutes from the first of a window to its last
	blind   bool // whether the picture does not count

	start    time.Time // of the day
	sun      []sunAt
	sights   []*plan.Sight // by minute; nil where not looked at
	spare    []*plan.Sight
	from, to int // minutes that a window may begin at, and end at
	last     int // minute that it begins at, at the latest
	// bright are the spans of the day by the sun alone, once geometric.
	bright    []minutes
	geometric bool
}

// sunAt is where the sun stands at a minute.
type sunAt struct {
	known, fits bool
	sun         sky.Sun
}

// mostMinutes is how far past its start a day is looked at: a window that
// begins in the evening may end on the next morning.
const mostMinutes = 36 * 60

func newSeeker(s *shoot.Shoot, w *shoot.Wishes) *seeker {
	terms := termsOf(w)
	return &seeker{
		geometry: newGeometry(s, w), methods: s.Methods, scout: plan.NewScout(s, terms),
		least: leastMinutes(w), sun: make([]sunAt, mostMinutes+1), sights: make([]*plan.Sight, mostMinutes+1),
	}
}

// termsOf are the wishes that the picture decides.
func termsOf(w *shoot.Wishes) plan.Terms {
	return plan.Terms{Held: w.Held, Headroom: w.Headroom, KeepAperture: w.KeepAperture, Sun: w.SunVisible}
}

// leastMinutes is the least length of a window.
func leastMinutes(w *shoot.Wishes) int { return max(1, int((w.AtLeast+time.Minute-1)/time.Minute)) }

// day returns the stretches of a day, each at least as long as wished for and
// none within another of its method. The error is the context's.
func (k *seeker) day(ctx context.Context, day sky.Day) ([]stretch, error) {
	if !k.turn(day) {
		return nil, nil
	}
	var list []stretch
	for m := range k.methods {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		list = append(list, k.method(m)...)
	}
	return list, nil
}

// longest is how many minutes a window has at the most: a session that runs past
// midnight may be no longer.
const longest = int(shoot.LongestOvernight / time.Minute)

// turn turns the seeker to a day; false where it has none of the hours asked for.
func (k *seeker) turn(day sky.Day) bool {
	for i, s := range k.sights {
		if s != nil {
			k.spare, k.sights[i] = append(k.spare, s), nil
		}
	}
	clear(k.sun)
	k.start, k.geometric = day.Start, false
	if !day.End.After(day.Start) {
		return false
	}
	k.from, k.last = 0, int(day.End.Sub(day.Start)/time.Minute)-1
	k.to = mostMinutes
	if hours := k.wishes.Between; hours != nil {
		s := *k.shoot
		s.When.From, s.When.To = hours.From, hours.To
		from, to, err := s.Window(day)
		if err != nil {
			return false
		}
		k.from, k.to = k.minuteOf(from), min(k.minuteOf(to), mostMinutes)
		k.last = k.to
	}
	k.scout.Over(day)
	return k.from <= k.to
}

// minuteOf is the minute of the day nearest to a time, none before its start.
func (k *seeker) minuteOf(t time.Time) int {
	return max(0, int(t.Round(time.Minute).Sub(k.start)/time.Minute))
}

// time is that of a minute.
func (k *seeker) time(minute int) time.Time { return k.start.Add(time.Duration(minute) * time.Minute) }

// fits reports whether the sun stands as wished at a minute.
func (k *seeker) fits(minute int) bool {
	if minute < k.from || minute > k.to {
		return false
	}
	s := &k.sun[minute]
	if !s.known {
		t := k.time(minute)
		s.known, s.sun = true, k.observer.Sun(t)
		_, fails := k.fails(t, s.sun)
		s.fits = !fails
	}
	return s.fits
}

// sight is what the scout sees at a minute whose sun is known.
func (k *seeker) sight(minute int) *plan.Sight {
	if k.sights[minute] == nil {
		s := new(plan.Sight)
		if n := len(k.spare); n > 0 {
			s, k.spare = k.spare[n-1], k.spare[:n-1]
		}
		k.scout.Look(s, k.time(minute), k.sun[minute].sun)
		k.sights[minute] = s
	}
	return k.sights[minute]
}

// sampled is how many minutes lie at the most between two that pictures are looked
// at first: no window falls between them, for it is at least as long.
const sampled = 30

// method returns the stretches of one method.
func (k *seeker) method(m int) []stretch {
	var list []stretch
	for _, s := range k.spans() {
		r := ruler{k: k, method: m, span: s, by: max(1, min(k.promised(), sampled))}
		list = append(list, r.stretches()...)
	}
	return list
}

// minutes are those from one to another, both included.
type minutes struct{ from, to int }

// spans returns the parts of the day through which the sun stands as wished, each
// at least as long as a window. What begins on the next day is the next one's.
func (k *seeker) spans() []minutes {
	if k.geometric {
		return k.bright
	}
	k.geometric, k.bright = true, k.bright[:0]
	for i := k.from; i <= k.last; i++ {
		if !k.fits(i) {
			continue
		}
		s := minutes{i, i}
		for k.fits(i + 1) {
			i++
		}
		if s.to = i; s.to-s.from >= k.least {
			k.bright = append(k.bright, s)
		}
	}
	return k.bright
}

// more is how many minutes longer a run may be than a scout promises.
const more = 8

// promised is the least length of a stretch that is planned: its run may be longer.
func (k *seeker) promised() int { return max(k.least/2, k.least-more) }

// ruler lays samples over a span for one method: its two ends, and every so many
// minutes of the day between.
type ruler struct {
	k       *seeker
	method  int
	span    minutes
	by      int
	samples []int
}

// run is samples next to one another at which all holds with the flash at one
// angle, both included.
type run struct{ angle, first, last int }

// stretches returns those of the span.
func (r *ruler) stretches() []stretch {
	r.samples = append(r.samples, r.span.from)
	for i := r.span.from - r.span.from%r.by + r.by; i < r.span.to; i += r.by {
		r.samples = append(r.samples, i)
	}
	r.samples = append(r.samples, r.span.to)
	var runs []run
	for a := range r.k.angles() {
		runs = append(runs, r.runs(a)...)
	}
	var list []stretch
	for i := range runs {
		if r.within(runs, i) {
			continue
		}
		s := r.stretch(runs[i])
		if s.from <= r.k.last && s.to-s.from >= r.k.promised() {
			list = append(list, s)
		}
	}
	return outermost(list)
}

// holds reports whether all holds at a minute with the flash at an angle.
func (r *ruler) holds(minute int, p *probe) bool {
	return r.k.blind ||
		r.k.scout.Holds(r.k.methods[r.method], r.k.sight(minute), p.angle, &p.found) == plan.AllMet
}

// probe is a flash at one angle, and what was found with it last.
type probe struct {
	angle int
	found plan.Found
}

// runs returns the runs of an angle.
func (r *ruler) runs(angle int) []run {
	p := probe{angle: angle}
	var list []run
	on := false
	for i, minute := range r.samples {
		held := r.holds(minute, &p)
		if held && !on {
			list = append(list, run{angle, i, i})
		}
		if on = held; on {
			list[len(list)-1].last = i
		}
	}
	return list
}

// within reports whether a run lies within another whatever lies between samples,
// of equals the later.
func (r *ruler) within(runs []run, i int) bool {
	end := len(r.samples) - 1
	s := runs[i]
	return slices.IndexFunc(runs, func(o run) bool {
		return o != s && (o.first < s.first || o.first == 0 && s.first == 0) && (o.last > s.last || o.last == end && s.last == end) &&
			(o.first != s.first || o.last != s.last || o.angle < s.angle)
	}) >= 0
}

// stretch follows a run to the last minute at both ends: what holds at one sample
// and does not at the next changes once between them.
func (r *ruler) stretch(s run) stretch {
	out := stretch{method: r.method, angle: s.angle, from: r.span.from, to: r.span.to}
	if s.first > 0 {
		out.from = r.change(s.angle, r.samples[s.first], r.samples[s.first-1])
	}
	if s.last+1 < len(r.samples) {
		out.to = r.change(s.angle, r.samples[s.last], r.samples[s.last+1])
	}
	out.to = min(out.to, out.from+longest)
	return out
}

// change returns the last minute that holds on the way to one that does not.
func (r *ruler) change(angle, holds, fails int) int {
	p := probe{angle: angle}
	for holds-fails > 1 || fails-holds > 1 {
		if middle := (holds + fails) / 2; r.holds(middle, &p) {
			holds = middle
		} else {
			fails = middle
		}
	}
	return holds
}

// outermost returns the stretches that lie within no other, of equals the first.
func outermost(list []stretch) []stretch {
	var out []stretch
	for i, s := range list {
		if slices.IndexFunc(list, func(o stretch) bool {
			return o != s && o.from <= s.from && s.to <= o.to && (o.from != s.from || o.to != s.to)
		}) < 0 && slices.IndexFunc(list[:i], func(o stretch) bool { return o.from == s.from && o.to == s.to }) < 0 {
			out = append(out, s)
		}
	}
	return out
}

func (k *seeker) angles() int {
	if k.blind {
		return 1
	}
	return k.scout.Angles()
}
