package plan

import (
	"context"
	"slices"
	"time"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

// past is how the runs stood until the last reading was taken: what has been
// done by then is done, and the flash stands where it stands.
type past struct {
	runs  []Run
	until time.Time // the first minute that the reading tells of
}

// past plans the session without what was read last within the window; it is
// empty where nothing was. The error is the context's.
func (n *session) past(ctx context.Context) (past, error) {
	taken := n.taken()
	if len(taken) == 0 {
		return past{}, nil
	}
	last := taken[len(taken)-1]
	s := *n.shoot
	s.Learned = slices.DeleteFunc(slices.Clone(s.Learned), func(l shoot.Learned) bool { return !l.From.Before(last) })
	earlier := *n
	earlier.shoot = &s
	p, err := earlier.outline(ctx)
	if err != nil {
		return past{}, err
	}
	return past{p.Runs, last}, nil
}

// run returns the run of a method and a case; nil where nothing is past.
func (p *past) run(m shoot.Method, k sky.Case) *Run {
	return runOf(p.runs, m, k)
}

// minutes counts the minutes of a run that are past.
func (p *past) minutes(r *Run) int {
	if len(p.runs) == 0 {
		return 0
	}
	at := slices.IndexFunc(r.Minutes, func(m Minute) bool { return !m.Time.Before(p.until) })
	if at < 0 {
		return len(r.Minutes)
	}
	return at
}
