package season

import (
	"cmp"
	"context"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"evenfall/internal/plan"
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
	a := &Answer{Question: q, Days: len(s.dates), Found: len(groups)}
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
	length           int // minutes
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
			c := candidate{span: span{k.time(one.from), k.time(one.to)}, day: n, sky: i, method: one.method,
				length: one.to - one.from}
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
	return rankOf(c.useful, c.held, c.comfort, c.length, s.question.Wishes.AtLeast, 0, c.from)
}

// together is how many groups are planned before their windows are ranked: those of
// the next come after them, so that the best do not depend on how many are asked
// for.
const together = 16

// settle plans the best groups whole, and ranks what stands.
func (s *search) settle(ctx context.Context, a *Answer, groups [][]candidate) error {
	seekers := s.seekers()
	for some := range slices.Chunk(groups, together) {
		left := a.Question.Most - len(a.Windows)
		if left <= 0 {
			break
		}
		var list []Window
		for _, group := range some {
			found, err := s.windows(ctx, group, seekers)
			if err != nil {
				return err
			}
			a.Found += len(found) - 1
			list = append(list, found...)
			slices.SortStableFunc(list, byRank)
			// Plans are large: what is too many is not kept.
			clear(list[min(len(list), left):])
			list = list[:min(len(list), left)]
		}
		a.Windows = append(a.Windows, list...)
	}
	return nil
}

func byRank(a, b Window) int { return a.rank.compare(b.rank) }

// windows plans the candidates of a group, the best first, until the run of one
// holds whole; of what stands of them it returns the best, and what lies apart
// from that.
func (s *search) windows(ctx context.Context, group []candidate, seekers []*seeker) ([]Window, error) {
	var left, list []Window
	for i := range group {
		some, whole, err := s.planned(ctx, &group[i], seekers[group[i].sky])
		if err != nil {
			return nil, err
		}
		if left = append(left, some...); whole {
			break
		}
	}
	slices.SortStableFunc(left, byRank)
	for _, w := range left {
		if !slices.ContainsFunc(list, func(o Window) bool { return !w.From.After(o.To) && !w.To.Before(o.From) }) {
			list = append(list, w)
		}
	}
	return list, nil
}

// mostPieces is how many pieces of a candidate are planned.
const mostPieces = 24

// planned plans a candidate whole; where its run does not hold throughout, what
// it holds of it is planned anew, for the flash may stand elsewhere then. What
// holds is followed on beyond its ends, for a run finds more than a scout does.
func (s *search) planned(ctx context.Context, c *candidate, k *seeker) (list []Window, whole bool, err error) {
	pieces := []span{c.span}
	k.turn(s.days[c.day].day)
	for n := 0; n < len(pieces) && n < mostPieces; n++ {
		account, err := s.account(ctx, c, pieces[n])
		if err != nil {
			return nil, false, err
		}
		if account.Met() {
			at, err := s.extended(ctx, c, pieces[n], k)
			if err != nil {
				return nil, false, err
			}
			w, err := s.describe(ctx, c, at, k)
			if err != nil {
				return nil, false, err
			}
			list = append(list, *w)
			continue
		}
		for _, met := range account.Stretches() {
			if met.To-met.From >= k.least {
				pieces = append(pieces, span{account.Times[met.From], account.Times[met.To]})
			}
		}
	}
	return list, len(pieces) == 1 && len(list) == 1, nil
}

// account plans a span by the candidate's method alone.
func (s *search) account(ctx context.Context, c *candidate, at span) (plan.Account, error) {
	one := s.shootAt(c, at)
	method := one.Methods[c.method]
	one.Methods = []shoot.Method{method}
	p, err := plan.Outline(ctx, one, s.days[c.day].day, at.from, at.to)
	if err != nil {
		return plan.Account{}, err
	}
	return p.Account(method, termsOf(&s.question.Wishes)), nil
}

// farther is by how many minutes at a time a window is followed beyond its ends.
var farther = [...]int{8, 4, 2, 1}

// extended follows a span that holds beyond its ends, as long as its run holds and
// the sun stands as wished.
func (s *search) extended(ctx context.Context, c *candidate, at span, k *seeker) (span, error) {
	for _, way := range [2]int{-1, 1} {
		next, err := s.moved(ctx, c, at, way, k)
		for err == nil && next != at { // one minute more: it may be worth going farther
			at = next
			for _, by := range farther {
				if next, err = s.moved(ctx, c, at, way*by, k); err != nil || next != at {
					break
				}
			}
		}
		if err != nil {
			return at, err
		}
	}
	return at, nil
}

// moved moves one end of a span out by some minutes, where all holds then; else
// it is the span as it was.
func (s *search) moved(ctx context.Context, c *candidate, at span, by int, k *seeker) (span, error) {
	next := at
	end, way := k.minuteOf(at.to), 1
	if by < 0 {
		end, way = k.minuteOf(at.from), -1
		next.from = at.from.Add(time.Duration(by) * time.Minute)
	} else {
		next.to = at.to.Add(time.Duration(by) * time.Minute)
	}
	if next.to.Sub(next.from) > longest*time.Minute {
		return at, nil
	}
	for i := end + way; i != end+by+way; i += way {
		if !k.fits(i) {
			return at, nil
		}
	}
	account, err := s.account(ctx, c, next)
	if err != nil || !account.Met() {
		return at, err
	}
	return next, nil
}

// shootAt is the shoot at a span of its day.
func (s *search) shootAt(c *candidate, at span) *shoot.Shoot {
	one := *s.skies[c.sky].shoot
	one.When.Date = s.dates[c.day]
	one.When.From, one.When.To = clockOf(at.from, one.Place.Zone), clockOf(at.to, one.Place.Zone)
	return &one
}

// clockOf is a time as clocks show it.
func clockOf(t time.Time, zone *time.Location) shoot.Instant {
	h, m, sec := t.In(zone).Clock()
	return shoot.Instant{Offset: time.Duration(h)*time.Hour + time.Duration(m)*time.Minute + time.Duration(sec)*time.Second}
}

// describe plans a window by all methods, under all skies there may be, and says
// what there is to it.
func (s *search) describe(ctx context.Context, c *candidate, at span, k *seeker) (*Window, error) {
	p, err := plan.Outline(ctx, s.shootAt(c, at), s.days[c.day].day, at.from, at.to)
	if err != nil {
		return nil, err
	}
	terms := termsOf(&s.question.Wishes)
	var hold []shoot.Method
	for _, m := range p.Shoot.Methods {
		if a := p.Account(m, terms); a.Met() {
			hold = append(hold, m)
		}
	}
	zone := p.Shoot.Place.Zone
	w := &Window{From: at.from.In(zone), To: at.to.In(zone), Plan: p, Sky: s.skies[c.sky].condition, Useful: 1}
	w.Method = p.VerdictAmong(hold).Best
	w.Others = slices.DeleteFunc(hold, func(m shoot.Method) bool { return m == w.Method })
	if len(s.skies) > 1 {
		if err := s.weigh(ctx, w, c, at); err != nil {
			return nil, err
		}
	}
	from, to := k.minuteOf(at.from), k.minuteOf(at.to)
	w.Start, w.End = k.sunOf(from), k.sunOf(to)
	w.Begins, w.Ends = k.edge(from-1), k.edge(to+1)
	merits := p.Merits(w.Method)
	w.rank = rankOf(w.Useful, merits.Held, merits.Comfortable, to-from, s.question.Wishes.AtLeast, merits.Burden, w.From)
	return w, nil
}

// weigh plans a window under every sky that it may come under: what of it is of
// use is what the best of the runs under each holds, by how likely the sky is.
func (s *search) weigh(ctx context.Context, w *Window, c *candidate, at span) error {
	w.Useful = 0
	for n := range s.skies {
		under := *c
		under.sky = n
		odds := s.oddsOver(n, at)
		if odds.mean == 0 {
			continue
		}
		p := w.Plan
		if n != c.sky {
			var err error
			if p, err = plan.Outline(ctx, s.shootAt(&under, at), s.days[c.day].day, at.from, at.to); err != nil {
				return err
			}
		}
		chance := Chance{Condition: s.skies[n].condition, Odds: odds.mean}
		for _, m := range p.Shoot.Methods {
			account := p.Account(m, termsOf(&s.question.Wishes))
			if holds, useful := odds.of(&account); useful > chance.Useful || holds > chance.Holds && useful == chance.Useful {
				chance.Holds, chance.Useful = holds, useful
			}
		}
		w.Useful += chance.Useful
		w.Skies = append(w.Skies, chance)
	}
	byOdds(w.Skies)
	return nil
}

// rank is where a window comes by the rules, each as a whole number, so that what
// differs by less than counts is equal; less is better.
type rank [6]int

// Steps within which windows count as equal by a rule.
const (
	equalShare  = 0.05
	equalLength = 15 // minutes
	equalBurden = 0.25
)

// rankOf applies the rules: expected usefulness, minutes held rather than softer,
// with comfortable headroom, length up to twice the one asked for, what is to be
// carried and given up for it, the earlier day.
func rankOf(useful, held, comfort float64, minutes int, asked time.Duration, burden float64, from time.Time) rank {
	minutes = min(minutes, int(2*asked/time.Minute))
	share := func(x float64) int { return -int(x/equalShare + 0.5) }
	return rank{share(useful), share(held), share(comfort), -minutes / equalLength,
		int(burden/equalBurden + 0.5), int(from.Unix() / 60)}
}

func (r rank) compare(o rank) int {
	for i := range r {
		if c := cmp.Compare(r[i], o[i]); c != 0 {
			return c
		}
	}
	return 0
}
