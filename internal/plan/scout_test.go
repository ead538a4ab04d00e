package plan

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Whatever comes out at a minute with the flash at an angle, the scout finds: by day,
// at dusk and by night.
func TestScoutFindsWhatComesOut(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 8))
	var byDay, byNight int
	for range 150 {
		s := randomShoot(r)
		c, v := NewScout(s, Terms{}), NewSolver(s)
		day := s.Observer().Day(s.When.Date.Year, s.When.Date.Month, s.When.Date.Day, s.Place.Zone)
		c.Over(day)
		for range 4 {
			at := day.Start.Add(time.Duration(r.IntN(24*60)) * time.Minute)
			sun := s.Observer().Sun(at)
			var sight Sight
			c.Look(&sight, at, sun)
			for _, m := range s.Methods {
				angle := r.IntN(c.Angles())
				out := true
				for k := range sight.cases {
					moment := &sight.moments[k]
					p := v.Solve(m, moment, c.angles[moment.Stance.Key][angle], c.gel(m, &sight, k))
					out = out && p.Outcome.Succeeds()
				}
				if !out {
					continue
				}
				if sun.Altitude > 0 {
					byDay++
				} else {
					byNight++
				}
				require.Equal(t, AllMet, c.Holds(m, &sight, angle, &Found{}), "%v at %v, the sun at %v", m, at, sun.Altitude)
			}
		}
	}
	t.Logf("%d pictures by day, %d by night", byDay, byNight)
	require.Greater(t, byDay, 100)
	require.Greater(t, byNight, 100)
}
