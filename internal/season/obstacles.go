package season

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

// obstacles says what each wish costs where nothing fits: the search is made again
// without each, and what it then finds is held against the wish. Those without which
// something fits come first, then what excludes most.
func (s *search) obstacles(ctx context.Context) ([]Obstacle, error) {
	if len(s.dates) == 0 {
		o, err := s.without(ctx, Day)
		o.Excludes = 1
		return []Obstacle{o}, err
	}
	excluded, err := s.excluded(ctx)
	if err != nil {
		return nil, err
	}
	var list []Obstacle
	for _, w := range s.asked() {
		o, err := s.without(ctx, w)
		if err != nil {
			return nil, err
		}
		o.Excludes = excluded[w]
		list = append(list, o)
	}
	slices.SortStableFunc(list, func(a, b Obstacle) int {
		if (a.Without > 0) != (b.Without > 0) {
			return cmp.Compare(min(b.Without, 1), min(a.Without, 1))
		}
		return cmp.Compare(b.Excludes, a.Excludes)
	})
	return list, nil
}

// asked lists the wishes that are asked for, in the order in which they are told.
func (s *search) asked() []Wish {
	var list []Wish
	for _, w := range [...]Wish{Length, Look, Day, Hours, Light, SunHeight, SunAzimuth, SunSide, SunVisible, Headroom, Aperture} {
		if w.Asked(&s.question.Wishes) {
			list = append(list, w)
		}
	}
	return list
}

// Asked reports whether a wish is among some; of Day, whether days of the week are.
func (w Wish) Asked(of *shoot.Wishes) bool {
	switch w {
	case Day:
		return len(of.On) > 0
	case Hours:
		return of.Between != nil
	case Light:
		return of.Light != shoot.AnyLight
	case SunHeight:
		return of.SunAltitude != nil
	case SunAzimuth:
		return of.SunAzimuth != nil
	case SunSide:
		return len(of.SunFrom) > 0
	case SunVisible:
		return of.SunVisible
	case Headroom:
		return of.Headroom > 0
	case Aperture:
		return of.KeepAperture
	}
	return true // of the look, and of some length
}

// shortest is the least length that a window is looked for with where none is as
// long as wished for: shorter ones are of no use.
const shortest = 5 * time.Minute

// lacking are the wishes without one of them.
func lacking(w shoot.Wishes, one Wish) shoot.Wishes {
	switch one {
	case Day:
		w.On = nil
	case Hours:
		w.Between = nil
		if w.Light == shoot.AnyLight && w.SunAltitude == nil {
			w.SunAltitude = &daylight
		}
	case Light:
		w.Light = shoot.AnyLight
	case SunHeight:
		w.SunAltitude = nil
	case SunAzimuth:
		w.SunAzimuth = nil
	case SunSide:
		w.SunFrom = nil
	case SunVisible:
		w.SunVisible = false
	case Headroom:
		w.Headroom = 0
	case Aperture:
		w.KeepAperture = false
	case Length:
		w.AtLeast = min(w.AtLeast, shortest)
	}
	return w
}

// without searches without a wish.
func (s *search) without(ctx context.Context, w Wish) (Obstacle, error) {
	q := *s.question
	q.Wishes = lacking(q.Wishes, w)
	other := newSearch(&q, s.progress)
	other.blind = w == Look
	if err := other.look(ctx); err != nil {
		return Obstacle{}, err
	}
	o := Obstacle{Wish: w, Without: other.count(other.groups()), Gives: math.NaN()}
	var err error
	switch w {
	case Length:
		err = other.longest(ctx, &o)
	case Headroom:
		err = s.mostHeadroom(ctx, &o)
	default:
		o.nearest(s, other)
	}
	return o, err
}

// mostHeadroom looks for the most headroom, to a tenth of a stop, with which there
// is a window.
func (s *search) mostHeadroom(ctx context.Context, o *Obstacle) error {
	asked := s.question.Wishes.Headroom
	if o.Without == 0 {
		return nil
	}
	low, high := 0, int(math.Ceil(float64(asked)*10-1e-9)) // in tenths: there is one, there is none
	for high-low > 1 {
		q := *s.question
		middle := (low + high) / 2
		q.Wishes.Headroom = sky.Stops(middle) / 10
		other := newSearch(&q, s.progress)
		if err := other.look(ctx); err != nil {
			return err
		}
		if groups := other.groups(); other.count(groups) > 0 {
			low, o.When = middle, groups[0][0].from
		} else {
			high = middle
		}
	}
	o.Gives = float64(asked) - float64(low)/10
	return nil
}

// longest looks for the longest window of a search for windows of any length, planned
// whole.
func (s *search) longest(ctx context.Context, o *Obstacle) error {
	groups := s.groups()
	slices.SortStableFunc(groups, func(a, b []candidate) int { return cmp.Compare(longestOf(b), longestOf(a)) })
	seekers := s.seekers()
	for _, group := range groups {
		if float64(longestOf(group)) <= o.Gives {
			break
		}
		list, err := s.windows(ctx, group, seekers)
		if err != nil {
			return err
		}
		for _, w := range list {
			if minutes := w.To.Sub(w.From).Minutes(); !(minutes <= o.Gives) {
				o.Gives, o.When = minutes, w.From
			}
		}
	}
	return nil
}

// longestOf is the length of the longest of a group, in minutes.
func longestOf(group []candidate) int {
	most := 0
	for i := range group {
		most = max(most, group[i].length())
	}
	return most
}

// nearest looks for the window of a search without the wish through which the wish
// fails by the least, where that is a matter of degrees or of minutes.
func (o *Obstacle) nearest(with, without *search) {
	g := newGeometry(with.question.Shoot, &with.question.Wishes)
	least := leastMinutes(&with.question.Wishes)
	for i := range without.days {
		d := &without.days[i]
		off := g.measure(o.Wish, d.day)
		if off == nil {
			return
		}
		for _, c := range d.list {
			by, when := leastMost(c.span, least, off)
			if math.IsNaN(o.Gives) || by < o.Gives {
				o.Gives, o.When = by, when
			}
		}
	}
}

// measure returns by how much a wish fails at a time of a day; nil where that
// cannot be said in a number.
func (g *geometry) measure(w Wish, day sky.Day) func(time.Time) float64 {
	switch w {
	case Light, SunHeight, SunAzimuth, SunVisible:
		return func(t time.Time) float64 { return g.off(w, t, g.observer.Sun(t)).Degrees() }
	case Hours:
		s := *g.shoot
		s.When.From, s.When.To = g.wishes.Between.From, g.wishes.Between.To
		from, to, err := s.Window(day)
		return func(t time.Time) float64 {
			if err != nil {
				return math.Inf(1)
			}
			return max(0, from.Sub(t).Minutes(), t.Sub(to).Minutes())
		}
	}
	return nil
}

// leastMost returns the least that the most of some measure comes to over so many
// minutes on end of a span, and where they begin.
func leastMost(s span, minutes int, measure func(time.Time) float64) (least float64, when time.Time) {
	var list []float64
	for t := s.from; !t.After(s.to); t = t.Add(time.Minute) {
		list = append(list, measure(t))
	}
	least = math.Inf(1)
	for i := 0; i+minutes < len(list); i++ {
		if most := slices.Max(list[i : i+minutes+1]); most < least {
			least, when = most, s.from.Add(time.Duration(i)*time.Minute)
		}
	}
	return least, when
}

// excludedEvery is how far apart the minutes are at which wishes are counted.
const excludedEvery = 10

// exclusion counts minutes, and those of them at which wishes fail.
type exclusion struct {
	minutes, bright float64 // all, and those at which the sun stands as wished
	sun, picture    map[Wish]float64
}

// excluded returns the share of the minutes of all dates at which each wish fails,
// whatever the others do; of what the picture decides, of the minutes at which the
// sun stands as wished.
func (s *search) excluded(ctx context.Context) (map[Wish]float64, error) {
	q := s.question
	e := exclusion{sun: map[Wish]float64{}, picture: map[Wish]float64{}}
	k := s.seekers()[0]
	for _, d := range s.dates {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		e.count(k, s.observer.Day(d.Year, d.Month, d.Day, q.Shoot.Place.Zone))
	}
	share := map[Wish]float64{}
	for w, n := range e.sun {
		share[w] = n / max(1, e.minutes)
	}
	for w, n := range e.picture {
		share[w] = n / max(1, e.bright)
	}
	if len(q.Wishes.On) > 0 {
		every := q.Wishes
		every.On = nil
		share[Day] = 1 - float64(len(s.dates))/float64(len(datesOf(&every)))
	}
	return share, nil
}

// count counts the minutes of a day.
func (e *exclusion) count(k *seeker, day sky.Day) {
	hours := k.turn(day)
	for i := 0; i < int(day.End.Sub(day.Start)/time.Minute); i += excludedEvery {
		t := k.time(i)
		at := k.observer.Sun(t)
		e.minutes++
		for _, w := range sunWishes {
			if k.off(w, t, at) > 0 {
				e.sun[w]++
			}
		}
		switch {
		case !hours || i < k.from || i > k.to:
			e.sun[Hours]++
		case k.fits(i):
			e.bright++
			if fails := k.picture(i); !fails.Place {
				e.picture[fails.Wish]++
			}
		}
	}
}
