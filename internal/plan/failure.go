package plan

import (
	"time"

	"evenfall/sky"
)

// Lacks tells that a method lacks the very thing it works with.
func (k ProblemKind) Lacks() bool { return k == NoScrim || k == NoFilter || k == NoHighSpeed }

// Failure is a run of rows in which a method fails for one reason.
type Failure struct {
	From, To time.Time
	Case     sky.Case
	Split    bool // of a sky with two cases, and of this one alone
	Worst    *Solution
	At       time.Time // of the worst
}

// Failures returns the runs in which method number n fails, the sun out and in
// apart. A thing not carried is missing whatever the sun does, and told once.
func Failures(rows []Row, n int) []Failure {
	var list []Failure
	for _, k := range [2]sky.Case{sky.SunOut, sky.SunIn} {
		running := false
		for i := range rows {
			r := &rows[i]
			s := &r.Methods[n]
			switch {
			case r.Case != k, s.Problem != nil && s.Problem.Kind.Lacks() && k == sky.SunIn:
				continue
			case s.Problem == nil:
				running = false
				continue
			}
			split := r.Condition.Cases() > 1 && !s.Problem.Kind.Lacks()
			if running {
				if f := &list[len(list)-1]; f.Worst.Problem.Kind == s.Problem.Kind && f.Split == split {
					f.To = r.Time
					if s.Problem.Misses > f.Worst.Problem.Misses {
						f.Worst, f.At = s, r.Time
					}
					continue
				}
			}
			list = append(list, Failure{r.Time, r.Time, k, split, s, r.Time})
			running = true
		}
	}
	return list
}

// Under says which case it is of, behind a time; nothing where it is of all.
func (f *Failure) Under() string {
	switch {
	case !f.Split:
		return ""
	case f.Case == sky.SunIn:
		return " with the sun in"
	}
	return " with the sun out"
}

func (f *Failure) when() string {
	if f.From.Equal(f.To) {
		return "at " + clock(f.From) + f.Under()
	}
	return clock(f.From) + "-" + clock(f.To) + f.Under()
}

func (f *Failure) reason() string {
	p := f.Worst.Problem
	if f.From.Equal(f.To) || p.Misses == 0 {
		return p.Text
	}
	return "at the worst " + p.Text
}
