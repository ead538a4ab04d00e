package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"evenfall/internal/exposure"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// jobsOf are the tasks of a run's minutes.
func jobsOf(v *Solver, r *Run, p *Plan) []job {
	jobs := make([]job, len(r.Minutes))
	for i := range r.Minutes {
		m := &r.Minutes[i]
		jobs[i] = v.job(r.Method, m.Moment, r.Gel)
		v.at(&jobs[i], r.angleAt(m.Time, p.session.stretches))
	}
	return jobs
}

// way is how far the light goes up and down through a run, in stops: the least
// that the controls have to follow.
func way(jobs []job) (sum float64) {
	for i := range jobs[1:] {
		sum += math.Abs(float64(jobs[i+1].task.target - jobs[i].task.target))
	}
	return sum
}

// The cues of a few hundred random runs: two controls at the most, none turns
// back while the light falls, few, and true at every minute.
func TestCuesCanBeFollowed(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 8))
	runs, cues, thirds, backs, most := 0, 0, 0, 0, 0.0
	for range 60 {
		s := randomShoot(r)
		s.Flash.Units, s.Flash.Distance = 2, 1.5
		s.Subject.Facing = scene.Facing{Side: []scene.Side{scene.Backlit, scene.LeftLit, scene.FrontLit}[r.IntN(3)]}
		s.Sky = []shoot.SkySpan{{Condition: sky.Described([]sky.Word{sky.Clear, sky.Hazy, sky.Overcast}[r.IntN(3)])}}
		p, err := Make(t.Context(), s)
		require.NoError(t, err)
		for i := range p.Runs {
			run := &p.Runs[i]
			if run.Missed > 0 {
				continue // the nearest pictures of a miss follow the light as they can
			}
			runs++
			list := run.Cues()
			cues += len(list) - 1
			jobs := jobsOf(p.solver, run, p)
			trend := trends(jobs)
			for _, c := range list[1:] {
				controls := len(c.Changes)
				for k := range c.Changes {
					if c.Changes[k].Control == FilterControl && k+1 < len(c.Changes) {
						controls-- // the ISO goes with it
					}
				}
				if controls > 2 {
					thirds++
				}
				now := int(c.Time.Sub(run.Minutes[0].Time).Minutes())
				if moved := float64(c.Set.Settings.EV() - c.Was.Settings.EV()); moved != 0 {
					if moved*trend[now] < 0 {
						backs++
						t.Logf("turns back at %v, %v: %v", c.Time, run.Method, c.Changes)
					}
				}
			}
			fallen := way(jobs)
			allowed := fallen/float64(p.solver.step()) + 3
			if s.Camera.Click > exposure.Third || s.Flash.Unit.Click > exposure.Third {
				allowed += 4 // coarse clicks overshoot, and the other control makes up for it
			}
			most = max(most, float64(len(list)-1)-allowed)
			tag := fmt.Sprintf("%v of %+v, %v, clicks %v %v: %d cues for %.1f stops", run.Method, s.Look, s.Subject.Facing, s.Camera.Click, s.Flash.Unit.Click, len(list)-1, fallen)
			assert.LessOrEqual(t, float64(len(list)-1), allowed, tag)
		}
	}
	t.Logf("%d runs, %d cues, %d with three controls, %d turn back, most over the bound %.1f", runs, cues, thirds, backs, most)
	require.Greater(t, runs, 100)
	assert.LessOrEqual(t, float64(thirds), 0.02*float64(cues))
	assert.Zero(t, backs)
}

func TestTrends(t *testing.T) {
	at := func(targets ...float64) []float64 {
		jobs := make([]job, len(targets))
		for i, v := range targets {
			jobs[i].task.target = exposure.EV(v)
		}
		return trends(jobs)
	}
	assert.Equal(t, []float64{0, 0, 0}, at(10, 10.1, 10.2), "less than a tolerance is no trend")
	assert.Equal(t, []float64{0, -1, -1, -1}, at(10, 9.5, 9, 8.5))
	assert.Equal(t, []float64{0, 1, 1, -1, -1}, at(10, 10.4, 11, 10.5, 9))
	assert.Equal(t, []float64{0, -1, -1, -1}, at(10, 9.5, 9.6, 9), "a wiggle is no turn")
}

// The demonstration's kind of evening: few cues.
func TestFewCues(t *testing.T) {
	s := testShoot()
	s.Subject.Facing = scene.Facing{Azimuth: sky.Degrees(120)}
	s.Flash.Distance = 1.5
	p, err := Make(t.Context(), s)
	require.NoError(t, err)
	for i := range p.Runs {
		if r := &p.Runs[i]; r.Missed == 0 {
			list := r.Cues()
			t.Logf("%v: %d cues", r.Method, len(list)-1)
			assert.LessOrEqual(t, len(list)-1, 6, r.Method)
		}
	}
}

// With finer steps the camera follows the light more closely, a click at a
// time: more cues, each smaller, and no fewer minutes held.
func TestFinerCues(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 3))
	usual, fine, moves, leaps := 0, 0, 0, 0
	for range 12 {
		s := randomShoot(r)
		s.Flash.Units, s.Flash.Distance = 2, 1.5
		s.Camera.Click, s.Camera.ISOClick = exposure.Third, exposure.Third
		s.Sky = []shoot.SkySpan{{Condition: sky.Described([]sky.Word{sky.Clear, sky.Overcast}[r.IntN(2)])}}
		coarse, err := Make(t.Context(), s)
		require.NoError(t, err)
		s.Pace.CueStep = 1. / 3
		p, err := Make(t.Context(), s)
		require.NoError(t, err)
		require.InDelta(t, 1./3, float64(p.solver.step()), 1e-9)
		for i := range p.Runs {
			run := &p.Runs[i]
			assert.GreaterOrEqual(t, run.Held+run.Softer, coarse.Runs[i].Held+coarse.Runs[i].Softer, run.Method)
			if run.Missed > 0 || coarse.Runs[i].Missed > 0 {
				continue
			}
			usual, fine = usual+len(coarse.Runs[i].Cues())-1, fine+len(run.Cues())-1
			for _, c := range run.Cues()[1:] {
				moved := math.Abs(float64(c.Set.Settings.EV() - c.Was.Settings.EV()))
				if moved < 1e-6 || c.Set.Settings.ND != c.Was.Settings.ND {
					continue
				}
				moves++
				if moved > 1./3+1e-6 {
					leaps++
				}
			}
		}
	}
	t.Logf("%d cues in usual steps, %d in fine ones, which move the camera %d times, %d of them farther", usual, fine, moves, leaps)
	require.Greater(t, moves, 60)
	assert.Greater(t, fine, usual)
	assert.LessOrEqual(t, float64(leaps), 0.05*float64(moves))
}

// A click that is coarser than the step is the step.
func TestStepOfCues(t *testing.T) {
	for _, one := range []struct {
		asked       sky.Stops
		click, iso  exposure.Increment
		step, bound float64
	}{
		{0, exposure.Third, exposure.Third, 2. / 3, 1. / 3},
		{1. / 3, exposure.Third, exposure.Third, 1. / 3, 1. / 6},
		{1. / 3, exposure.Half, exposure.Third, 1. / 2, 1. / 4},
		{1. / 3, exposure.Full, exposure.Full, 1, 1. / 2},
		{2. / 3, exposure.Full, exposure.Third, 1, 1. / 2},
	} {
		s := testShoot()
		s.Pace.CueStep, s.Camera.Click, s.Camera.ISOClick = one.asked, one.click, one.iso
		v := NewSolver(s)
		assert.InDelta(t, one.step, float64(v.step()), 1e-9, "%+v", one)
		assert.InDelta(t, one.bound, float64(v.near()), 1e-9, "%+v", one)
	}
}
