package plan

import (
	"context"
	"slices"
	"time"
)

// Rest returns the plan from a time on, to the next full minute: nothing is
// planned anew, so that settings and places are those of the whole window. Before
// the window it is all of it. The time may not be later than the window's end.
// The error is the context's.
func (p *Plan) Rest(ctx context.Context, from time.Time) (*Plan, error) {
	if whole := from.Truncate(time.Minute); from.After(whole) {
		from = whole.Add(time.Minute)
	}
	if !from.After(p.session.from) {
		return p, nil
	}
	n := *p.session
	n.from = from
	rest := &Plan{Shoot: p.Shoot, Day: p.Day, session: &n, solver: p.solver}
	rows := p.At(from)
	if err := p.cure(ctx, rows); err != nil {
		return nil, err
	}
	rest.Rows = rows
	for i := range p.Rows {
		if p.Rows[i].Time.After(from) {
			rest.Rows = append(rest.Rows, p.Rows[i])
		}
	}
	for i := range p.Runs {
		rest.Runs = append(rest.Runs, p.Runs[i].rest(from))
	}
	return rest, nil
}

// rest is the run from a minute on.
func (r *Run) rest(from time.Time) Run {
	out := *r
	out.Places = nil
	for i := range r.Places {
		if i+1 == len(r.Places) || r.Places[i+1].From.After(from) {
			out.Places = append(out.Places, r.Places[i])
		}
	}
	first := slices.IndexFunc(r.Minutes, func(m Minute) bool { return !m.Time.Before(from) })
	out.Minutes = r.Minutes[max(first, 0):]
	out.Held, out.Softer, out.Missed, out.Flashes = 0, 0, 0, false
	out.count()
	return out
}
