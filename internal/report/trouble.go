package report

import (
	"strings"

	"evenfall/internal/plan"
)

// tell writes a failure in a sentence, and what cures its worst moment in
// another.
func (w words) tell(f *plan.Failure, clock string) (problem, cures string) {
	problem = f.From.Format(clock)
	if !f.To.Equal(f.From) {
		problem += " to " + f.To.Format(clock)
	}
	problem += f.Under() + ": " + w.text(f.Worst.Problem.Text)
	if !f.To.Equal(f.From) && f.Worst.Problem.Misses > 0 {
		problem += " at the worst (" + f.At.Format(clock) + ")"
	}
	return problem + ".", w.cures(f.Worst.Cures)
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
