package plan

import (
	"time"

	"evenfall/sky"
)

// Failure is a stretch of a run that is missed for one reason.
type Failure struct {
	From, To time.Time // its first and last minute
	Case     sky.Case
	Split    bool // of a sky with two cases, and of this one alone
	Worst    *Minute
}

// Failures returns the stretches at which a run is missed.
func (r *Run) Failures() []Failure {
	var list []Failure
	running := false
	for i := range r.Minutes {
		m := &r.Minutes[i]
		if m.Outcome.Succeeds() {
			running = false
			continue
		}
		split := m.Condition.Cases() > 1 && !m.Problem.Kind.Lacks()
		if last := len(list) - 1; running && list[last].Worst.Problem.Kind == m.Problem.Kind && list[last].Split == split {
			list[last].To = m.Time
			if m.Problem.Misses > list[last].Worst.Problem.Misses {
				list[last].Worst = m
			}
			continue
		}
		list = append(list, Failure{From: m.Time, To: m.Time, Case: r.Case, Split: split, Worst: m})
		running = true
	}
	return list
}

// RunsOf returns the runs of a method: one, or one for each case.
func (p *Plan) RunsOf(n int) []*Run {
	var list []*Run
	for i := range p.Runs {
		if p.Runs[i].Method == p.Shoot.Methods[n] {
			list = append(list, &p.Runs[i])
		}
	}
	return list
}

// Lacks reports what method number n lacks that is not carried; 0 for nothing.
func (p *Plan) Lacks(n int) ProblemKind {
	first := p.RunsOf(n)[0].Minutes[0]
	if first.Problem != nil && first.Problem.Kind.Lacks() {
		return first.Problem.Kind
	}
	return 0
}
