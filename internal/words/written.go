package words

import (
	"strconv"
	"time"

	"evenfall/internal/plan"
)

// InShort says in a clause what comes of a plan: what its verdict's method
// does through the window, and at how many of its steps none does.
func InShort(p *plan.Plan) string {
	v := p.Verdict()
	t := tallyOf(p.RunsOf(p.Index(v.Best)))
	all := t.all()
	of := " of " + strconv.Itoa(all) + " minutes"
	text := v.Best.String()
	switch {
	case t.missed == all:
		text += " is nearest, but missed throughout"
	case t.missed > 0:
		text += " works for " + strconv.Itoa(t.held+t.softer) + of
	case t.softer == all:
		text += " works throughout, softer than asked"
	case t.softer > 0:
		text += " works throughout, softer than asked for " + strconv.Itoa(t.softer) + of
	default:
		text += " holds throughout"
	}
	if steps, out := Steps(p); out > 0 {
		text += "; no method works " + AtTimes(out, steps)
	}
	return text
}

// Steps counts the steps of a plan, and those at which under some sky no
// method brings the picture off. A step under broken cloud has two rows.
func Steps(p *plan.Plan) (all, out int) {
	var last, lastOut time.Time
	for i := range p.Rows {
		r := &p.Rows[i]
		if !r.Time.Equal(last) {
			all++
		}
		last = r.Time
		if !r.Succeeds() && !r.Time.Equal(lastOut) {
			out++
			lastOut = r.Time
		}
	}
	return all, out
}
