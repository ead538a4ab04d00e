package plan

import (
	"slices"
	"time"

	"evenfall/sky"
)

// Series is one cue, or several that come so close that they are said as a
// rule: the same controls, moved the same way each time.
type Series []Cue

// Cues that come less than closeCues apart are close, of which shortestSeries
// make a rule.
const (
	closeCues      = 4 * time.Minute
	shortestSeries = 3
)

// Grouped divides cues, in time order, into series.
func Grouped(cues []Cue) []Series {
	var list []Series
	for i := 0; i < len(cues); {
		to := i + 1
		for to < len(cues) && follows(&cues[to-1], &cues[to]) {
			to++
		}
		if to-i < shortestSeries {
			to = i + 1
		}
		list = append(list, cues[i:to])
		i = to
	}
	return list
}

// follows reports whether a cue goes on as the one before, and closely.
func follows(before, c *Cue) bool {
	return c.Time.Sub(before.Time) < closeCues && before.Set.Outcome == c.Set.Outcome && len(c.Changes) > 0 &&
		slices.EqualFunc(before.Changes, c.Changes, func(a, b Change) bool { return a.Control == b.Control && a.By*b.By > 0 })
}

// Range returns the least and the most by which a series moves its change
// number n at a time, both without sign.
func (s Series) Range(n int) (least, most sky.Stops) {
	least = s[0].Changes[n].By.Abs()
	for i := range s {
		by := s[i].Changes[n].By.Abs()
		least, most = min(least, by), max(most, by)
	}
	return least, most
}

// Gaps returns the shortest and the longest time between two cues of a series,
// 0 of one alone.
func (s Series) Gaps() (shortest, longest time.Duration) {
	for i := 1; i < len(s); i++ {
		gap := s[i].Time.Sub(s[i-1].Time)
		if i == 1 || gap < shortest {
			shortest = gap
		}
		longest = max(longest, gap)
	}
	return shortest, longest
}

// SunGoesIn returns what to change when the sun goes in at a minute of two runs
// of one method, the sun out and in, which have the same minutes.
func SunGoesIn(out, in *Run, minute int) Cue {
	was, set := &out.Minutes[minute], &in.Minutes[minute]
	return Cue{
		Time: set.Time, Changes: changesBetween(&was.Solution, &set.Solution), Was: &was.Solution, Set: &set.Solution, At: set.Moment,
	}
}
