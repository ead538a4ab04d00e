package plan

import (
	"testing"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

// What a unit of each burden counts, in stops of aperture: a scrim, or a stop
// of background over its limit, as much as a stop of aperture; hard sun on the
// face or a hot head half of that; a second's wait or a filter a third of a
// stop; a further set of batteries a tenth. Common practice, no source.
func TestWhatBurdensWeigh(t *testing.T) {
	for name, c := range map[string]struct {
		burden Burden
		stops  float64
	}{
		"scrim": {Burden{Scrim: 1}, 1}, "background": {Burden{Background: 1}, 1}, "hard sun": {Burden{HardSun: 1}, 1.5},
		"heat": {Burden{Heat: 1}, 0.5}, "wait": {Burden{Wait: 1}, 0.3}, "filter": {Burden{Filter: 1}, 0.8},
		"batteries": {Burden{Batteries: 1}, 0.1},
	} {
		with := candidate{method: shoot.Scrim, burden: c.burden}
		closed := func(stops float64) candidate {
			return candidate{method: shoot.Sync, burden: Burden{Aperture: stops}}
		}
		assert.Equal(t, shoot.Sync, judge([]candidate{with, closed(c.stops - 0.04)}).Best, name)
		assert.Equal(t, shoot.Scrim, judge([]candidate{closed(c.stops + 0.04), with}).Best, name)
	}
	assert.Equal(t, Burden{Filter: 1, Scrim: 1}, carried(shoot.ND|shoot.Scrim|shoot.HSS))
}

// Headroom is comfortable from 0.7 stop on, what a guide number may be off by
// outdoors; a head gets hot where ten minutes at the shoot's pace, 60 frames,
// are more than it bears in a row: 40 at half power, 80 at a quarter, 40 there
// in high-speed sync. Common practice, no source.
func TestComfortAndHeat(t *testing.T) {
	s := testShoot()
	v := NewSolver(s)
	m := at(s, sky.Described(sky.Clear), 5, 180)
	of := func(power flash.Power, room sky.Stops, t exposure.Shutter) candidate {
		return v.candidate(m, &Solution{Role: Fill, Power: power, Headroom: room, Settings: exposure.Settings{Shutter: t}})
	}
	assert.Equal(t, 1.0, of(-12, 0.65, 40).tight)
	assert.Equal(t, 0.0, of(-12, 0.7, 40).tight)
	assert.Equal(t, 1.0, of(-6, 1, 40).burden.Heat)
	assert.Equal(t, 0.0, of(-12, 2, 40).burden.Heat)
	assert.Equal(t, 1.0, of(-12, 2, s.Camera.Sync+2).burden.Heat)
}

// A flash at a setting where another does without is needless: an hour and a
// half of it is worth a cue or two, to turn it off; a quarter of an hour is
// not. Common practice, no source.
func TestNeedlessFlash(t *testing.T) {
	lit, bare := choice{role: Fill, flash: shot{light: 1}, needless: true}, choice{}
	window := func(minutes int) int {
		first := choice{role: Fill, flash: shot{light: 1}}
		steps := []step{{running: []choice{first}}}
		steps[0].begin()
		for range minutes {
			next := step{running: []choice{lit, bare}}
			next.link(&steps[len(steps)-1], -1, 2./3)
			steps = append(steps, next)
		}
		return cheapest(steps[len(steps)-1].sum)
	}
	assert.Equal(t, 0, window(15), "left on")
	assert.Equal(t, 1, window(90), "turned off")
}

// How far a method misses at its worst decides only between those that never
// succeed.
func TestTheWorstMissOfASuccessDecidesNothing(t *testing.T) {
	far := candidate{method: shoot.Sync, held: 0.5, succeeds: 0.5, short: 3}
	near := candidate{method: shoot.HSS, held: 0.5, succeeds: 0.5, short: 0.2}
	assert.Equal(t, shoot.Sync, judge([]candidate{far, near}).Best)
	far.held, far.succeeds, near.held, near.succeeds = 0, 0, 0, 0
	assert.Equal(t, shoot.HSS, judge([]candidate{far, near}).Best)
}

// A second control at the same cue costs far less than a cue of its own, and a
// flash that turns up while the light falls two cues more: it will have to come
// down again. Common practice, no source.
func TestWhatASecondControlAndAFlashTurnedUpCost(t *testing.T) {
	at := func(shutter exposure.Shutter, power flash.Power) *choice {
		e := setting{Settings: exposure.Settings{Shutter: shutter}}
		e.ev = e.Settings.EV()
		return &choice{setting: e, role: Fill, flash: shot{power, 1}}
	}
	const falls, rises, step = -1, 1, 2. / 3
	one := motion(at(40, -6), at(38, -6), falls, step)
	two := motion(at(40, -6), at(38, -8), falls, step)
	assert.Greater(t, two, one)
	assert.Less(t, two, 1.5*one)
	down, up := motion(at(40, -6), at(40, -8), falls, step), motion(at(40, -8), at(40, -6), falls, step)
	assert.InDelta(t, 2, up-down, 1e-9)
	assert.InDelta(t, down, motion(at(40, -8), at(40, -6), rises, step), 1e-9)
}
