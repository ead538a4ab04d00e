package season

import (
	"context"
	"slices"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/shoot"
)

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
			a.Found += len(found)
			if s.longEnough(group) {
				a.Found--
			}
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

// longEnough reports whether a group has a candidate as long as wished for.
func (s *search) longEnough(group []candidate) bool {
	return longestOf(group) >= leastMinutes(&s.question.Wishes)
}

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
			if at.length() < k.least {
				continue
			}
			w, err := s.describe(ctx, c, at, k)
			if err != nil {
				return nil, false, err
			}
			list = append(list, *w)
			continue
		}
		for _, met := range account.Stretches() {
			if met.To-met.From >= k.promised() {
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
	if next.to.Sub(next.from) > shoot.LongestOvernight {
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
	m := p.Merits(w.Method)
	w.Merits = m
	w.rank = rankOf(w.Useful, m.Held, m.Comfortable, to-from, s.question.Wishes.AtLeast, m.Burden, w.From)
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
