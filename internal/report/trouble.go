package report

import (
	"strings"
	"time"

	"evenfall/internal/plan"
	"evenfall/sky"
)

// trouble is a run of rows in which a method fails for one reason.
type trouble struct {
	from, to time.Time
	under    string // the case, or empty
	worst    *plan.Solution
	at       time.Time // of the worst
}

// troubles returns the runs in which method number n fails, the sun out and in
// apart.
func troubles(p *plan.Plan, n int) []trouble {
	var list []trouble
	for _, k := range [2]sky.Case{sky.SunOut, sky.SunIn} {
		running := false
		for i := range p.Rows {
			r := &p.Rows[i]
			s := &r.Methods[n]
			if r.Case != k || s.Problem != nil && carriesNot(s.Problem.Kind) && k == sky.SunIn {
				continue // a thing not carried is missing whatever the sun does
			}
			if s.Problem == nil {
				running = false
				continue
			}
			under := caseWord(r.Condition, k)
			if carriesNot(s.Problem.Kind) {
				under = ""
			}
			if running {
				if t := &list[len(list)-1]; t.worst.Problem.Kind == s.Problem.Kind && t.under == under {
					t.to = r.Time
					if s.Problem.Misses > t.worst.Problem.Misses {
						t.worst, t.at = s, r.Time
					}
					continue
				}
			}
			list = append(list, trouble{r.Time, r.Time, under, s, r.Time})
			running = true
		}
	}
	return list
}

// tell writes the trouble in a sentence, and what cures its worst moment in
// another.
func (w words) tell(t *trouble, clock string) (problem, cures string) {
	problem = t.from.Format(clock)
	if !t.to.Equal(t.from) {
		problem += " to " + t.to.Format(clock)
	}
	switch t.under {
	case caseSun:
		problem += " with the sun out"
	case caseCloud:
		problem += " with the sun in"
	}
	problem += ": " + w.text(t.worst.Problem.Text)
	if !t.to.Equal(t.from) && t.worst.Problem.Misses > 0 {
		problem += " at the worst (" + t.at.Format(clock) + ")"
	}
	return problem + ".", w.cures(t.worst.Cures)
}

// cures names them in a sentence, empty where there is none.
func (w words) cures(cures []plan.Cure) string {
	var list []string
	for _, c := range cures {
		list = append(list, w.text(c.Text))
	}
	switch len(list) {
	case 0:
		return ""
	case 1:
		return "Cure: " + list[0] + "."
	}
	return "Cures, any one of them: " + strings.Join(list, "; ") + "."
}
