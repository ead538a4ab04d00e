package season

import (
	"cmp"
	"time"
)

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
