package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// extremeShoot is one with everything at the ends of what a shoot may say.
func extremeShoot(r *rand.Rand) *shoot.Shoot {
	s := randomShoot(r)
	pick := func(list ...float64) float64 { return list[r.IntN(len(list))] }
	stops := func(list ...float64) sky.Stops { return sky.Stops(pick(list...)) }
	s.Look.Ratio, s.Look.Bias = pick(1.1, 1.5, 3, 9, 64), stops(-5, -1, 0, 2, 5)
	s.Look.AtMost, s.Look.Background = stops(-8, -1, 0, 1.5, 8, math.Inf(1)), stops(-8, -3, 0, 3, 8)
	s.Flash.Units, s.Flash.Distance = []int{1, 2, 12}[r.IntN(3)], pick(0.2, 0.8, 2, 8.65, 30, 100)
	unit := *s.Flash.Unit
	unit.LowestPower, unit.HighSpeed = flash.Power(-6*r.IntN(10)), r.IntN(4) > 0
	s.Flash.Unit = &unit
	c, l := &s.Camera, &s.Lens
	switch r.IntN(4) {
	case 0: // it does not go faster than its sync speed
		c.Fastest = c.Sync
	case 1: // one ISO
		c.Highest = c.Lowest
	case 2: // one aperture
		l.Narrowest, l.Widest = l.Wanted, l.Wanted
	}
	switch r.IntN(4) {
	case 0: // a long lens, held no longer than the sync speed
		l.Slowest = c.Sync
	case 1:
		l.Slowest = c.Sync - exposure.Shutter(c.Click)
	case 2:
		l.Slowest = 0
	}
	if r.IntN(3) == 0 {
		s.Filters = []shoot.Filter{{Loss: stops(0.1, 1, 3)}, {Loss: stops(3, 6, 15)}}
	}
	if r.IntN(4) == 0 {
		s.Rim = &shoot.Rim{Head: s.Flash, Over: stops(-5, 0.5, 5)}
	}
	if r.IntN(3) == 0 {
		withFill(r, s)
	}
	return s
}

// extremes calls do with the answer of every method to random pictures of extreme
// shoots, of which some thousand.
func extremes(t *testing.T, seed uint64, do func(v *Solver, m *Moment, p *Solution, tag string)) {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 6))
	n := 1200 * long()
	for i := range n {
		s := extremeShoot(r)
		v := NewSolver(s)
		word := sky.Words[r.IntN(len(sky.Words))]
		m := at(s, sky.Described(word), -10+100*r.Float64(), 360*r.Float64())
		angle := sky.Degrees(float64(-45 + 5*r.IntN(19)))
		for _, method := range shoot.AllMethods {
			p := v.Solve(method, m, angle, Gel{})
			do(v, m, &p, fmt.Sprintf("shoot %d, %v, %v, sun at %.1f deg, %+v\n%+v\n%+v\n%+v", i, method, word,
				m.Sun.Altitude.Degrees(), s.Look, p, p.Problem, p.Fill))
		}
	}
}

// Whatever is asked, no shutter is slower than what is held by hand: not for a
// flash that clicks more coarsely than the camera either, nor where the two
// are the sync speed.
func TestNeverSlowerThanByHand(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	rows, coarse := 0, 0
	extremes(t, 1, func(v *Solver, _ *Moment, p *Solution, tag string) {
		require.GreaterOrEqual(t, p.Settings.Shutter, v.shoot.Lens.Slowest, "slower than by hand: %s", tag)
		rows++
		if v.shoot.Flash.Unit.Click > v.shoot.Camera.Click {
			coarse++
		}
	})
	t.Logf("%d rows, %d of them with a flash of coarse clicks", rows, coarse)
	assert.Greater(t, coarse, rows/5)
}

// Nor is it anywhere in a plan, in no minute and no row; every minute has settings
// of the camera, and what it says of them is finite.
func TestExtremePlansAreSound(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	r := rand.New(rand.NewPCG(2, 6))
	shoots, minutes := 40*long(), 0
	for n := range shoots {
		s := extremeShoot(r)
		s.Sky[0].Condition = sky.Described(sky.Words[r.IntN(len(sky.Words))])
		s.When.From = shoot.Instant{Event: sky.Sunset, Offset: -time.Duration(r.IntN(360)) * time.Minute}
		s.When.To = shoot.Instant{Event: sky.Sunset, Offset: s.When.From.Offset + 20*time.Minute}
		p, err := Make(t.Context(), s)
		require.NoError(t, err)
		sound := func(a *Solution, tag string) {
			minutes++
			require.GreaterOrEqual(t, a.Settings.Shutter, s.Lens.Slowest, "slower than by hand: %s", tag)
			require.GreaterOrEqual(t, a.Settings.Aperture, s.Lens.Widest, tag)
			require.GreaterOrEqual(t, a.Settings.ISO, s.Camera.Lowest, tag)
			require.Positive(t, a.Ratio, tag)
			for _, x := range [...]sky.Stops{a.Exposure, a.Background, a.Rim, a.Face, a.Headroom} {
				require.False(t, math.IsNaN(float64(x)) || math.IsInf(float64(x), 0), tag)
			}
			if a.Problem != nil {
				require.False(t, math.IsNaN(float64(a.Problem.Misses)) || math.IsInf(float64(a.Problem.Misses), 0), tag)
			}
			require.Equal(t, a.Outcome == Missed, a.Problem != nil, tag)
		}
		for i := range p.Runs {
			for k := range p.Runs[i].Minutes {
				a := &p.Runs[i].Minutes[k].Solution
				sound(a, fmt.Sprintf("shoot %d, %+v\n%+v", n, a, a.Problem))
			}
		}
		for i := range p.Rows {
			for k := range p.Rows[i].Methods {
				a := &p.Rows[i].Methods[k]
				sound(a, fmt.Sprintf("shoot %d, a row, %+v\n%+v", n, a, a.Problem))
			}
		}
	}
	t.Logf("%d minutes and rows", minutes)
}

// Role, power and the light of the flashes say the same of every row, missed or
// not: there is light with a role and none without, as much as the power gives,
// and the role is by what it does to the ratio.
func TestRoleAndLightAgree(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	counts := map[string]int{}
	extremes(t, 3, func(v *Solver, m *Moment, p *Solution, tag string) {
		counts[p.Role.String()+" "+p.Outcome.String()]++
		lit := p.Flash > 0 || p.Fill.Fires()
		require.Equal(t, lit, p.Role != None, "light without a role: %s", tag)
		require.Equal(t, lit, p.OnKey > 0 || p.OnShadow > 0, tag)
		require.Equal(t, p.Flash > 0, p.Fires(), tag)
		if !p.Method.UsesFlash() {
			require.Equal(t, None, p.Role, tag)
		}
		if p.Flash > 0 {
			full := float64(v.shoot.Flash.Full())
			if p.Settings.Shutter > v.shoot.Camera.Sync {
				require.True(t, p.Method.UsesHighSpeed() && v.shoot.Flash.Unit.HighSpeed, tag)
				full *= math.Exp2(-float64(v.shoot.Flash.Unit.HighSpeedLoss(p.Settings.Shutter)))
			}
			require.InEpsilon(t, full*math.Exp2(float64(p.Power)/6), float64(p.Flash), 1e-9, tag)
			require.GreaterOrEqual(t, p.Power, v.shoot.Flash.Unit.LowestPower, tag)
			require.LessOrEqual(t, p.Power, flash.Power(0), tag)
		}
		exposed, ratio, background := recomputed(v.shoot, m, p)
		require.InDelta(t, exposed, float64(p.Exposure), 1e-6, tag)
		require.InEpsilon(t, ratio, p.Ratio, 1e-6, tag)
		require.InDelta(t, background, float64(p.Background), 1e-6, tag)
		if p.Role != None {
			ambient := float64(p.Ambient.Key / p.Ambient.Shadow)
			const rounding = 1e-9
			require.Equal(t, p.Role == Key, ratio > ambient*(1+rounding), tag)
		} else {
			weak := p.Problem != nil && (p.Problem.Kind == TooWeak || p.Problem.Kind == FillTooWeak)
			require.Equal(t, weak, p.Headroom != 0, tag)
			require.Zero(t, p.Recycle, tag)
		}
	})
	t.Logf("%v", counts)
	for _, role := range [...]Role{None, Fill, Key} {
		assert.Greater(t, counts[role.String()+" missed"], 100, "%v", role)
	}
}

// The reason given is the reason: with what it says is missing there, and half a
// stop more for clicks, another reason is given or none.
func TestReasonIsTheReason(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	counts := map[ProblemKind]int{}
	extremes(t, 4, func(v *Solver, m *Moment, p *Solution, tag string) {
		require.Equal(t, p.Outcome == Missed, p.Problem != nil, tag)
		if p.Problem == nil {
			return
		}
		kind, by := p.Problem.Kind, p.Problem.Misses
		require.False(t, math.IsNaN(float64(by)) || math.IsInf(float64(by), 0), tag)
		require.GreaterOrEqual(t, float64(by), 0., tag)
		counts[kind]++
		c := *v.shoot
		if !without(&c, p) {
			return
		}
		again := NewSolver(&c).Solve(p.Method, m, p.Angle, Gel{})
		if again.Problem != nil {
			require.NotEqual(t, kind, again.Problem.Kind, "%s\nstill, by %g", tag, again.Problem.Misses)
		}
	})
	t.Logf("by kind: %v", counts)
	for _, kind := range [...]ProblemKind{TooWeak, TooStrong, TooBright, TooDark, KeyTooBright, TooHard, TooFlat} {
		assert.NotZero(t, counts[kind], "kind %d never came", kind)
	}
}

// without takes the reason for a miss out of a shoot, and reports whether there
// is a way to.
func without(s *shoot.Shoot, p *Solution) bool {
	const spare = 0.5 // stop
	by := p.Problem.Misses + spare
	if by > plenty {
		return false // more is not told
	}
	sixths := int(math.Ceil(float64(by) * 6))
	switch p.Problem.Kind {
	case TooWeak:
		s.Flash.Unit = brighter(s.Flash.Unit, by)
	case FillTooWeak:
		fill := *s.Fill
		fill.Unit = brighter(fill.Unit, by)
		s.Fill = &fill
	case TooStrong: // the flash, or the fill where that fires alone
		unit := *s.Flash.Unit
		unit.LowestPower -= flash.Power(sixths)
		s.Flash.Unit = &unit
		if s.Fill != nil {
			fill, unit := *s.Fill, *s.Fill.Unit
			unit.LowestPower -= flash.Power(sixths)
			fill.Unit = &unit
			s.Fill = &fill
		}
	case TooDark:
		s.Camera.Highest += exposure.ISO(sixths)
	case TooBright:
		s.Lens.Narrowest += exposure.Aperture(sixths)
	case NoScrim:
		s.Scrim = &scene.Scrim{Width: 3, Length: 3, Loss: 1, Distance: 1}
	case NoFilter:
		s.Filters = []shoot.Filter{{Loss: 3}}
	case NoHighSpeed:
		unit := *s.Flash.Unit
		unit.HighSpeed = true
		s.Flash.Unit = &unit
	default:
		return false
	}
	return true
}

// brighter is a flash of so many stops more, its lowest power as bright as it was.
func brighter(u *flash.Unit, by sky.Stops) *flash.Unit {
	unit := *u
	unit.Guide = nil
	for _, g := range u.Guide {
		unit.Guide = append(unit.Guide, flash.GuideNumber{Zoom: g.Zoom, Number: g.Number * math.Exp2(float64(by)/2)})
	}
	unit.LowestPower -= flash.Power(math.Ceil(float64(by))) * 6
	return &unit
}

// At every minute there is a picture to go by, whatever the program: also where
// all that come out right lie far from what the moment asks.
func TestThereIsAlwaysAPicture(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	programs := 0
	extremes(t, 9, func(v *Solver, m *Moment, p *Solution, tag string) {
		j := v.job(p.Method, m, Gel{})
		v.at(&j, p.Angle)
		for _, way := range j.ways {
			programs++
			require.NotEmpty(t, v.running(&j, way, weighed{}), tag)
		}
	})
	t.Logf("%d programs", programs)
}
