package season

import (
	"context"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Search finds and ranks the windows of the dates asked for. It calls progress
// now and then with how many days of all have been looked at, from several goroutines
// but not from two at once. The error is the context's, which ends the search at
// once.
func Search(ctx context.Context, q Question, progress func(done, of int)) (*Answer, error) {
	s := newSearch(&q, progress)
	if err := s.look(ctx); err != nil {
		return nil, err
	}
	groups := s.groups()
	a := &Answer{Question: q, Days: len(s.dates), Found: s.count(groups)}
	if err := s.settle(ctx, a, groups); err != nil {
		return nil, err
	}
	if a.Found > 0 {
		return a, nil
	}
	var err error
	a.Obstacles, err = s.obstacles(ctx)
	return a, err
}

// search is a search at work.
type search struct {
	question *Question
	outlook
	dates    []shoot.Date
	progress func(done, of int)
	blind    bool // the picture does not count
	days     []sought
}

// sought is what a day comes to.
type sought struct {
	day  sky.Day
	list []candidate
}

// candidate is a stretch of a day that a method may hold through under one sky.
type candidate struct {
	span
	day, sky, method int
	held, comfort    float64
	useful           float64
}

func newSearch(q *Question, progress func(done, of int)) *search {
	return &search{question: q, outlook: newOutlook(q), dates: datesOf(&q.Wishes), progress: progress}
}

// datesOf lists the days that are asked for.
func datesOf(w *shoot.Wishes) []shoot.Date {
	var list []shoot.Date
	first := w.Dates.First
	for n := 0; ; n++ {
		t := time.Date(first.Year, first.Month, first.Day+n, 12, 0, 0, 0, time.UTC)
		d := shoot.Date{Year: t.Year(), Month: t.Month(), Day: t.Day()}
		if d.Compare(w.Dates.Last) > 0 {
			return list
		}
		if len(w.On) == 0 || slices.Contains(w.On, t.Weekday()) {
			list = append(list, d)
		}
	}
}

// look looks through all days, several at once where there are processors for it.
func (s *search) look(ctx context.Context) error {
	s.days = make([]sought, len(s.dates))
	var next, done atomic.Int64
	var said sync.Mutex
	var workers sync.WaitGroup
	for range max(1, min(runtime.GOMAXPROCS(0), len(s.dates))) {
		workers.Go(func() {
			seekers := s.seekers()
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= len(s.dates) {
					return
				}
				s.lookAt(ctx, i, seekers)
				if n := done.Add(1); s.progress != nil && said.TryLock() {
					s.progress(int(n), len(s.dates))
					said.Unlock()
				}
			}
		})
	}
	workers.Wait()
	if err := ctx.Err(); err != nil {
		return err
	}
	s.dropContinued()
	return nil
}

// seekers returns one for each sky.
func (s *search) seekers() []*seeker {
	var list []*seeker
	for _, w := range s.skies {
		k := newSeeker(w.shoot, &s.question.Wishes)
		k.blind = s.blind
		list = append(list, k)
	}
	return list
}

// lookAt looks through one day under every sky that it may have.
func (s *search) lookAt(ctx context.Context, n int, seekers []*seeker) {
	d := s.dates[n]
	day := s.observer.Day(d.Year, d.Month, d.Day, s.question.Shoot.Place.Zone)
	found := make([][]candidate, len(seekers)) // by sky
	var list []candidate
	for i, k := range seekers {
		if !s.possible(i, day.Start, mostMinutes) {
			continue
		}
		stretches, err := k.day(ctx, day)
		if err != nil {
			return
		}
		for _, one := range stretches {
			c := candidate{span: span{k.time(one.from), k.time(one.to)}, day: n, sky: i, method: one.method}
			c.held, c.comfort = k.merits(one)
			found[i] = append(found[i], c)
			list = append(list, c)
		}
	}
	s.days[n] = sought{day, s.likeliest(list, found)}
}

// likeliest weighs candidates by the skies there may be, and has each under the
// likeliest of those that it holds under; none is left under a sky that does not
// come.
func (s *search) likeliest(list []candidate, found [][]candidate) []candidate {
	var out []candidate
	for _, c := range list {
		c.useful = 1
		if len(s.skies) > 1 {
			odds := 0.0
			c.useful = s.expected(c.span, found)
			for n := range found {
				for _, o := range found[n] {
					if mean := s.oddsOver(n, c.span).mean; mean > odds && o.holdsAll(c.span) {
						odds, c.sky, c.method = mean, n, o.method
					}
				}
			}
			if odds == 0 {
				continue
			}
		}
		out = append(out, c)
	}
	return out
}

// dropContinued drops what a day has of a stretch that began the day before.
func (s *search) dropContinued() {
	for n := 1; n < len(s.days); n++ {
		before := s.days[n-1].list
		s.days[n].list = slices.DeleteFunc(s.days[n].list, func(c candidate) bool {
			return slices.ContainsFunc(before, func(b candidate) bool {
				return b.method == c.method && b.sky == c.sky && b.holdsAll(c.span)
			})
		})
	}
}

// groups returns the candidates that overlap on a day together, in each first those
// that lie within no other, the best first, and the group with the best first.
func (s *search) groups() [][]candidate {
	var groups [][]candidate
	for i := range s.days {
		left := s.outermostFirst(s.days[i].list)
		for len(left) > 0 {
			best := left[0]
			apart := func(c candidate) bool { return c.from.After(best.to) || c.to.Before(best.from) }
			groups = append(groups, slices.DeleteFunc(slices.Clone(left), apart))
			left = slices.DeleteFunc(left, func(c candidate) bool { return !apart(c) })
		}
	}
	slices.SortStableFunc(groups, func(a, b []candidate) int { return s.order(a[0], b[0]) })
	return groups
}

// count counts the groups that have a candidate as long as wished for.
func (s *search) count(groups [][]candidate) int {
	n := 0
	for _, group := range groups {
		if s.longEnough(group) {
			n++
		}
	}
	return n
}

// outermostFirst sorts the candidates of a day: what lies within another under the
// same sky comes after all that does not, for it holds nothing that the other
// does not hold too.
func (s *search) outermostFirst(list []candidate) []candidate {
	var outer, inner []candidate
	for _, c := range list {
		if slices.ContainsFunc(list, func(o candidate) bool { return o.sky == c.sky && o.span != c.span && o.holdsAll(c.span) }) {
			inner = append(inner, c)
		} else {
			outer = append(outer, c)
		}
	}
	slices.SortStableFunc(outer, s.order)
	slices.SortStableFunc(inner, s.order)
	return append(outer, inner...)
}

// order compares two candidates by the rules as far as the scout knows.
func (s *search) order(a, b candidate) int {
	return s.rank(&a).compare(s.rank(&b))
}

func (s *search) rank(c *candidate) rank {
	return rankOf(c.useful, c.held, c.comfort, c.length(), s.question.Wishes.AtLeast, 0, c.from)
}
