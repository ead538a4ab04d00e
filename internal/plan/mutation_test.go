package plan

import (
	"context"
	"math"
	"testing"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What of two methods differs by less than can be seen or felt does not decide
// between them: six minutes of two hours, a tenth of a stop missing; anything
// of the weighed sum does. Common practice, no source.
func TestWhatDecidesBetweenMethods(t *testing.T) {
	for _, c := range []struct {
		rule         RuleKind
		little, much float64
		worse        func(*candidate, float64)
	}{
		{HoldsRule, 0.04, 0.06, func(c *candidate, by float64) { c.held -= by }},
		{SucceedsRule, 0.04, 0.06, func(c *candidate, by float64) { c.succeeds -= by }},
		{ComfortRule, 0.04, 0.06, func(c *candidate, by float64) { c.tight += by }},
		{FrameRule, 0.04, 0.06, func(c *candidate, by float64) { c.inFrame += by }},
		{WindRule, 0, 1, func(c *candidate, by float64) { c.windy += by }},
		{WeightRule, 0, 0.1, func(c *candidate, by float64) { c.burden.Aperture += by }},
	} {
		better := candidate{method: shoot.Sync, held: 0.5, succeeds: 0.7, tight: 0.2, inFrame: 0.2}
		checkRule(t, c.rule, better, c.little, c.much, c.worse)
	}
	never := candidate{method: shoot.Sync, short: 1}
	checkRule(t, MissRule, never, 0.09, 0.11, func(c *candidate, by float64) { c.short += sky.Stops(by) })
}

func checkRule(t *testing.T, rule RuleKind, better candidate, little, much float64, make func(*candidate, float64)) {
	worse := better
	worse.method = shoot.HSS
	make(&worse, little)
	for _, r := range judge([]candidate{worse, better}).Rules {
		assert.Empty(t, r.Dropped, "rule %d, by %g", rule, little)
	}
	make(&worse, much-little)
	d := judge([]candidate{worse, better})
	assert.Equal(t, shoot.Sync, d.Best, "rule %d, by %g", rule, much)
	last := d.Rules[len(d.Rules)-1]
	assert.Equal(t, rule, last.Rule)
	require.Len(t, last.Dropped, 1)
	assert.Equal(t, shoot.HSS, last.Dropped[0].Method)
}

// A filter is less to carry than a scrim, whichever is asked about first: a
// scrim takes a stand and a hand besides itself, as much as a stop of aperture.
func TestAFilterIsLessToCarryThanAScrim(t *testing.T) {
	with := func(m shoot.Method) candidate {
		return candidate{method: m, held: 1, succeeds: 1, burden: carried(m)}
	}
	assert.Equal(t, shoot.ND, judge([]candidate{with(shoot.Scrim), with(shoot.ND)}).Best)
	assert.Equal(t, shoot.HSS, judge([]candidate{with(shoot.ND), with(shoot.HSS)}).Best)
	assert.Equal(t, shoot.Scrim, judge([]candidate{with(shoot.Scrim | shoot.ND), with(shoot.Scrim)}).Best)
	half, one := Burden{Aperture: 0.5}, Burden{Aperture: 1}
	scrim, filter := carried(shoot.Scrim), carried(shoot.ND)
	assert.Less(t, filter.sum(), one.sum(), "a stop of aperture is worth a filter")
	assert.Greater(t, filter.sum(), half.sum(), "half of one is not")
	assert.Less(t, half.sum(), scrim.sum(), "but no scrim")
}

// The burst is that of the hardest moment, whenever it comes: of a head that
// bears 20 full flashes, 20 at full power, 80 at a quarter, and half of that in
// high-speed sync, which heats twice as much.
func TestTheHardestBurstCounts(t *testing.T) {
	unit := testShoot().Flash.Unit
	const quarter = flash.Power(-12)
	for _, c := range []struct {
		powers []flash.Power
		fast   bool
		want   float64
	}{
		{[]flash.Power{quarter, 0, quarter}, false, 20}, {[]flash.Power{0, quarter}, false, 20},
		{[]flash.Power{quarter, quarter}, false, 80}, {[]flash.Power{quarter}, true, 40},
	} {
		var u Use
		for _, p := range c.powers {
			u.take(unit, p, c.fast, 1, time.Unix(1, 0))
		}
		assert.Equal(t, c.want, u.BurstFrames, "%+v", c)
		assert.Equal(t, 10*time.Minute, u.Rest)
	}
}

// A stretch that is missed for another reason is another failure: the cures
// differ. So is one after a success.
func TestFailuresAreSplitByTheirReason(t *testing.T) {
	r := Run{Method: shoot.Sync}
	start := time.Unix(0, 0)
	add := func(outcome Outcome, kind ProblemKind, misses sky.Stops, word sky.Word) {
		at := &Moment{Time: start.Add(time.Duration(len(r.Minutes)) * time.Minute), Condition: sky.Described(word)}
		m := Minute{at, Solution{Outcome: outcome}}
		if outcome == Missed {
			m.Problem = &Problem{kind, misses}
		}
		r.Minutes = append(r.Minutes, m)
	}
	add(Missed, TooWeak, 0.5, sky.Clear)  // 0
	add(Missed, TooWeak, 1.1, sky.Clear)  // 1
	add(Missed, TooWeak, 0.7, sky.Clear)  // 2
	add(Missed, TooHard, 0.4, sky.Clear)  // 3: another reason
	add(Missed, TooHard, 0.2, sky.Broken) // 4: one of two cases alone
	add(Softer, 0, 0, sky.Broken)         // 5
	add(Missed, TooHard, 0.3, sky.Broken) // 6: again
	list := r.Failures()
	require.Len(t, list, 4)
	for i, want := range [][3]int{{0, 2, 1}, {3, 3, 3}, {4, 4, 4}, {6, 6, 6}} {
		assert.Equal(t, r.Minutes[want[0]].Time, list[i].From, "failure %d", i)
		assert.Equal(t, r.Minutes[want[1]].Time, list[i].To, "failure %d", i)
		assert.Same(t, &r.Minutes[want[2]], list[i].Worst, "failure %d", i)
		assert.Equal(t, i >= 2, list[i].Split, "failure %d", i)
	}
}

// path returns which of the pictures of every step the cheapest way takes, in
// falling light.
func path(running [][]choice) []int {
	steps := make([]step, len(running))
	for i, list := range running {
		steps[i].running = list
		if i == 0 {
			steps[i].begin()
		} else {
			steps[i].link(&steps[i-1], -1, 2./3)
		}
	}
	at := cheapest(steps[len(steps)-1].sum)
	taken := make([]int, len(steps))
	for i := len(steps) - 1; i >= 0; i-- {
		taken[i] = at
		at = steps[i].from[at]
	}
	return taken
}

// set is a picture at a shutter and a power.
func set(t exposure.Shutter, power flash.Power) choice {
	e := setting{Settings: exposure.Settings{Shutter: t}}
	e.ev = e.Settings.EV()
	return choice{setting: e, role: Fill, flash: shot{power, 1}}
}

// To move at all is a cue; no nearness to the look within its tolerance is
// worth one: a quarter of a stop off for two hours is not.
func TestWhatAMoveIsWorth(t *testing.T) {
	stay, nearer := set(40, -6), set(38, -6)
	stay.miss = 0.25 * 0.25
	first := stay
	first.miss = 0
	running := [][]choice{{first}}
	for range 120 {
		running = append(running, []choice{stay, nearer})
	}
	for _, at := range path(running) {
		assert.Equal(t, 0, at)
	}
}

// One move of two controls at once comes before two moves of one each, and
// before it a move of one: every interruption counts. Three at once, a leap
// beyond the step, and to turn back cost more than another cue.
func TestMovesComeTogether(t *testing.T) {
	from, half, whole := set(40, -6), set(36, -6), set(36, -8)
	taken := path([][]choice{{from}, {half, whole}, {whole}})
	assert.Equal(t, []int{0, 1, 0}, taken)
	cost := func(a, b choice) float64 { return motion(&a, &b, -1, 2./3) }
	assert.Equal(t, 1., cost(from, half))
	assert.Equal(t, 1+moves.further, cost(from, whole))
	assert.Zero(t, cost(from, from))
	third := whole
	third.Aperture = -2
	assert.Greater(t, cost(from, third), 2*cost(from, whole), "three controls")
	assert.Greater(t, cost(half, from), 10., "back to a faster shutter while the light falls")
	assert.Equal(t, 1., motion(&half, &from, 1, 2./3), "as it rises that is the way")
	assert.Greater(t, cost(from, set(34, -6)), cost(from, half), "a stop at once")
	assert.Less(t, cost(from, set(34, -6)), 2*cost(from, half), "but no more than two cues")
}

// A filter and the ISO that goes with it count as one control.
func TestFilterAndISOAreOneControl(t *testing.T) {
	on, off := set(40, -6), set(40, -6)
	on.ND, off.ISO = 3, -18
	assert.Equal(t, 1., motion(&on, &off, -1, 2./3))
}

// The flash is asked to come within a sixth of a stop of the ratio, half of the
// tolerance of a third: the other half is for the clicks. By hand, at 45
// degrees all of it falls on the key side and none on the shadow side, so that
// F = R 2^(-1/6) far - near; 45 degrees the other way F = near 2^(-1/6) / R -
// far.
func TestHowNearTheRatioIsAskedFor(t *testing.T) {
	for _, c := range []struct{ near, far, degrees, want float64 }{
		{1000, 1000, 45, 1672.7}, {12000, 1000, -45, 2563.6},
		{2700, 1000, 45, 0}, {3300, 1000, -45, 0}, // within a sixth of 3:1
		{2600, 1000, 45, 72.7}, {3400, 1000, -45, 9.7},
	} {
		look := ratioLook(3)
		a := askedOf(look, sky.Lux(c.near), sky.Lux(c.far), 0, false)
		got := lampAt(sky.Degrees(c.degrees)).forLook(look, sky.Lux(c.near), sky.Lux(c.far), a.ByBackground)
		assert.InDelta(t, c.want, float64(got), 0.1, "%+v", c)
	}
}

// The planes of the face stand 45 degrees to either side of the camera, and
// each gets the cosine of what falls on it (Lambert): of a flash beside the
// lens 0.707 on both, at 30 degrees 0.966 and 0.259. What a solution says of
// the two sides is that of its flash.
func TestTheFlashFallsOnBothSidesByItsCosine(t *testing.T) {
	s := testShoot()
	v := NewSolver(s)
	m := at(s, sky.Described(sky.Clear), 3, 180)
	for degrees, want := range map[float64][2]float64{0: {0.7071, 0.7071}, 30: {0.9659, 0.2588}, -15: {0.5, 0.8660}} {
		p := v.Solve(shoot.Sync, m, sky.Degrees(degrees), Gel{})
		require.NotEqual(t, None, p.Role)
		assert.InDelta(t, want[0], float64(p.OnKey/p.Flash), 1e-4, "%g deg", degrees)
		assert.InDelta(t, want[1], float64(p.OnShadow/p.Flash), 1e-4, "%g deg", degrees)
	}
}

// rimOver returns what comes of a rim flash whose lowest power gives so many
// stops more than asked.
func rimOver(click exposure.Increment, over sky.Stops) *Problem {
	s := testShoot()
	unit := *s.Flash.Unit
	unit.LowestPower, unit.Click = -12, click
	head := s.Flash
	head.Unit, head.Units = &unit, 1
	set := newSetting(exposure.Settings{Aperture: aperture("5.6"), Shutter: shutter("1/200")})
	lowest := head.Full() * exposure.LuxSeconds(unit.LowestPower.Fraction())
	s.Rim = &shoot.Rim{Head: head, Over: sky.StopsOf(float64(lowest/set.need)) - over}
	_, p := NewSolver(s).rim(&set)
	return p
}

// A rim is too strong when it lies more above what is asked than the look's
// tolerance, a third of a stop, or than half a click of the flash, by which
// rounding may miss: half a stop where it clicks in full ones.
func TestRimTooStrong(t *testing.T) {
	for _, c := range []struct {
		click exposure.Increment
		over  sky.Stops
		good  bool
	}{
		{exposure.Third, 0.3, true}, {exposure.Third, 0.36, false}, {exposure.Third, 0.6, false},
		{exposure.Full, 0.36, true}, {exposure.Full, 0.49, true}, {exposure.Full, 0.51, false},
	} {
		p := rimOver(c.click, c.over)
		if c.good {
			assert.Nil(t, p, "%+v", c)
			continue
		}
		require.NotNil(t, p, "%+v", c)
		assert.Equal(t, RimTooStrong, p.Kind)
		assert.InDelta(t, float64(c.over), float64(p.Misses), 1e-9)
	}
}

// A cure asks for four flashes at the most, which is what one stand's bracket
// takes (common practice, no source), one more at a time.
func TestNoCureAsksForMoreThanFourFlashes(t *testing.T) {
	s := testShoot()
	counts := func(units, by int) (list []float64) {
		s.Flash.Units = units
		for _, r := range NewSolver(s).flashCounts(by) {
			list = append(list, r.cure.Value)
			c := *s
			r.edit(&c)
			assert.Equal(t, int(r.cure.Value), c.Flash.Units)
		}
		return list
	}
	assert.Equal(t, []float64{2, 3, 4}, counts(1, 1))
	assert.Equal(t, []float64{4}, counts(3, 1))
	assert.Empty(t, counts(4, 1))
	assert.Equal(t, []float64{2, 1}, counts(3, -1))
}

// By the inverse square law a stop is a factor of the square root of two: from
// 2 m to 1.41 m or 2.83 m. The search begins a tenth of a metre short of that,
// for what rounding has to spare, and goes on by tenths; and never the wrong
// way.
func TestWhereTheFlashIsMovedTo(t *testing.T) {
	for _, c := range []struct {
		kind      ProblemKind
		distance  float64
		misses    sky.Stops
		first     float64
		direction float64
	}{
		{TooWeak, 2, 1, 1.5, -1}, {TooWeak, 4, 2, 2.1, -1}, {TooWeak, 2, 0.05, 1.9, -1},
		{TooStrong, 2, 1, 2.7, 1}, {TooStrong, 2, 2, 3.9, 1}, {TooStrong, 2, 0.05, 2.1, 1},
	} {
		s := testShoot()
		s.Flash.Distance = c.distance
		list := NewSolver(s).distances(&Solution{Problem: &Problem{c.kind, c.misses}})
		require.Len(t, list, 8)
		for i, r := range list {
			assert.Equal(t, MoveFlash, r.cure.Kind)
			assert.InDelta(t, c.first+c.direction*float64(i)/10, r.cure.Value, 1e-9, "%+v", c)
		}
	}
}

// A bare head that is too weak is brought no nearer than it must: where the
// tenth of a metre before the place that the inverse square law names will do,
// it is taken.
func TestTheFlashIsMovedNoNearerThanItMust(t *testing.T) {
	tried := 0
	for distance := 4.; distance < 14; distance += 0.3 {
		for _, altitude := range []float64{2, 4, 8, 12} {
			s := testShoot()
			s.Flash.Units, s.Flash.Distance, s.Flash.Modifier = 1, distance, flash.Modifier{}
			m := at(s, sky.Described(sky.Clear), altitude, 180)
			v := NewSolver(s)
			angle := sky.Degrees(30)
			p := v.Solve(shoot.Sync, m, angle, Gel{})
			if p.Outcome != Missed || p.Problem.Kind != TooWeak {
				continue
			}
			comes := func(d float64) bool {
				c := *s
				c.Flash.Distance = d
				return NewSolver(&c).Solve(shoot.Sync, m, angle, Gel{}).Outcome.Succeeds()
			}
			before := math.Round(10*distance*math.Exp2(-float64(p.Problem.Misses)/2))/10 + 0.1
			if !comes(before) {
				continue
			}
			tried++
			i, list := 0, v.distances(&p)
			for !comes(list[i].cure.Value) {
				i++
			}
			assert.InDelta(t, before, list[i].cure.Value, 1e-9, "%+v at %g m", p.Problem, distance)
		}
	}
	assert.Greater(t, tried, 50)
}

// The flash is carried over only where that gains a quarter of an hour, about
// what a stand, a new reading and the sitter's patience take: common practice,
// no source. A window of six hours is tried at every seventh minute, so that
// within as much of it either may come out.
func TestWhatMovingTheFlashIsWorth(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	const worth, sampled = 15, 7
	less, more := 0, 0
	for facing := 184.; facing <= 208; facing++ {
		s := testShoot()
		s.Subject.Facing = scene.Facing{Azimuth: sky.Degrees(facing)}
		s.When.From, s.When.To = shoot.Instant{Offset: 9 * time.Hour}, shoot.Instant{Offset: 15 * time.Hour}
		n, err := newSession(s)
		require.NoError(t, err)
		minutes := n.minutes(context.Background())
		n.divide(minutes)
		if len(n.stretches) != 2 {
			continue
		}
		v := NewSolver(s)
		gain := gainOfMove(v, n, shoot.Scrim, minutes)
		places := len(v.places(context.Background(), shoot.Scrim, minutes, n.stretches, Gel{}))
		t.Logf("facing %g: %d places, a move gains %d minutes", facing, places, gain)
		switch {
		case gain <= worth-sampled:
			assert.Equal(t, 1, places, "facing %g, %d minutes", facing, gain)
			if gain > 1 {
				less++
			}
		case gain >= worth+sampled:
			assert.Equal(t, 2, places, "facing %g, %d minutes", facing, gain)
			if gain < 4*worth {
				more++
			}
		}
	}
	assert.NotZero(t, less, "moves that gain a little")
	assert.NotZero(t, more, "moves that gain enough")
}

// gainOfMove counts the minutes held with the flash carried over where the key
// side changes, less those with it left where it is best for all.
func gainOfMove(v *Solver, n *session, m shoot.Method, minutes []Moment) int {
	var parts [2][]job
	for i := range minutes {
		k := 0
		if !minutes[i].Time.Before(n.stretches[1].from) {
			k = 1
		}
		parts[k] = append(parts[k], v.job(m, &minutes[i], Gel{}))
	}
	held := func(jobs []job, a sky.Angle, n int) int { return v.tally(jobs, a, n).held }
	bestOf := func(key scene.Hand, count func(sky.Angle, int) int) (most int) {
		for _, a := range v.angles(key) {
			for n := range v.with(false, 0) {
				most = max(most, count(a, n))
			}
		}
		return most
	}
	stay := bestOf(n.stretches[0].key, func(a sky.Angle, n int) int { return held(parts[0], a, n) + held(parts[1], -a, n) })
	before := bestOf(n.stretches[0].key, func(a sky.Angle, n int) int { return held(parts[0], a, n) })
	after := bestOf(n.stretches[1].key, func(a sky.Angle, n int) int { return held(parts[1], a, n) })
	return before + after - stay
}
