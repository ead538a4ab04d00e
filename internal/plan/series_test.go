package plan

import (
	"testing"
	"time"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Cues that repeat one another within four minutes are one series from three
// on; all cues stay, in their order.
func TestGrouped(t *testing.T) {
	start := time.Date(2027, 9, 18, 19, 0, 0, 0, time.UTC)
	held, missed := &Solution{Outcome: Held}, &Solution{Outcome: Missed}
	cue := func(minute int, set *Solution, changes ...Change) Cue {
		return Cue{Time: start.Add(time.Duration(minute) * time.Minute), Changes: changes, Set: set}
	}
	iso, third, back := Change{ISOControl, 2. / 3}, Change{ISOControl, 1. / 3}, Change{ISOControl, -2. / 3}
	power := Change{PowerControl, -2. / 3}
	for _, c := range []struct {
		name string
		cues []Cue
		want []int // lengths of the series
	}{
		{"none", nil, nil},
		{"one", []Cue{cue(0, held)}, []int{1}},
		{"three after the start", []Cue{cue(0, held), cue(1, held, iso), cue(4, held, iso), cue(6, held, iso)}, []int{1, 3}},
		{"two are no rule", []Cue{cue(0, held, iso), cue(3, held, iso)}, []int{1, 1}},
		{"four minutes are not close", []Cue{cue(0, held, iso), cue(4, held, iso), cue(8, held, iso)}, []int{1, 1, 1}},
		{"another amount", []Cue{cue(0, held, iso), cue(2, held, iso), cue(4, held, third), cue(5, held, third), cue(6, held, third)}, []int{5}},
		{"another way", []Cue{cue(0, held, iso), cue(2, held, iso), cue(4, held, back), cue(5, held, back), cue(6, held, back)}, []int{1, 1, 3}},
		{"another control", []Cue{cue(0, held, iso), cue(2, held, iso), cue(4, held, power)}, []int{1, 1, 1}},
		{"two controls", []Cue{cue(0, held, iso, power), cue(2, held, iso, power), cue(4, held, iso, power)}, []int{3}},
		{"one of two", []Cue{cue(0, held, iso, power), cue(2, held, iso), cue(4, held, iso, power)}, []int{1, 1, 1}},
		{"no amount", []Cue{cue(0, held, Change{PlaceControl, 0}), cue(1, held, Change{PlaceControl, 0}), cue(2, held, Change{PlaceControl, 0})}, []int{1, 1, 1}},
		{"another outcome", []Cue{cue(0, held, iso), cue(2, held, iso), cue(4, missed, iso)}, []int{1, 1, 1}},
		{"in the middle", []Cue{cue(0, held, power), cue(9, held, iso), cue(11, held, iso), cue(14, held, iso), cue(20, held, iso)}, []int{1, 3, 1}},
	} {
		var lengths []int
		var all []Cue
		for _, s := range Grouped(c.cues) {
			lengths, all = append(lengths, len(s)), append(all, s...)
		}
		assert.Equal(t, c.want, lengths, c.name)
		assert.Equal(t, c.cues, all, c.name)
	}
	least, most := Series{cue(0, held, iso), cue(2, held, third)}.Range(0)
	assert.Equal(t, [2]sky.Stops{1. / 3, 2. / 3}, [2]sky.Stops{least, most})
	shortest, longest := Series{cue(0, held), cue(3, held), cue(5, held)}.Gaps()
	assert.Equal(t, [2]time.Duration{2 * time.Minute, 3 * time.Minute}, [2]time.Duration{shortest, longest})
}

// What is to be changed when the sun goes in makes the one run's picture into
// the other's.
func TestSunGoesIn(t *testing.T) {
	s := testShoot()
	s.Sky[0].Condition = sky.Described(sky.Broken)
	p, err := Make(t.Context(), s)
	require.NoError(t, err)
	moved := 0
	for n := range s.Methods {
		runs := p.RunsOf(n)
		require.Len(t, runs, 2)
		require.Len(t, runs[1].Minutes, len(runs[0].Minutes))
		for k := range runs[0].Minutes {
			c := SunGoesIn(runs[0], runs[1], k)
			out, in := &runs[0].Minutes[k], &runs[1].Minutes[k]
			require.Equal(t, out.Time, in.Time)
			sum := sky.Stops(0)
			for _, ch := range c.Changes {
				switch ch.Control {
				case ApertureControl, ShutterControl, ISOControl, FilterControl:
					sum += ch.By
				}
			}
			moved += len(c.Changes)
			assert.InDelta(t, float64(out.Settings.EV()-in.Settings.EV()), float64(sum), 1e-9)
		}
	}
	assert.Positive(t, moved)
}
