package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
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

// lampsAt are a key and a fill at angles in degrees.
func lampsAt(key, fill float64) lamps {
	return lamps{lampAt(sky.Degrees(key)), lampAt(sky.Degrees(fill))}
}

// filledShoot is the test shoot with a strobe of many stops as key, and as much
// beside the lens.
func filledShoot() *shoot.Shoot {
	s := testShoot()
	unit := *s.Flash.Unit
	unit.Guide, unit.LowestPower = []flash.GuideNumber{{Zoom: 35, Number: 200}}, -72
	s.Flash.Unit, s.Flash.Units, s.Flash.Zoom = &unit, 4, 35
	s.Fill = &shoot.Fill{Head: s.Flash}
	return s
}

// What two flashes have to give, by hand, for 3:1 where near, far and the key
// side for the background are so many lx. At 45 deg the key lights the key side
// alone, and the fill beside the lens both by cos 45: a - b and b sqrt 2. At 30
// deg the key gives cos 15 and cos 75: with 11000 and 3000 wanted, the fill f
// and key k are k (cos 15 - cos 75) = 8000 and f cos 45 = 3000 - k cos 75. Where
// the background asks for nothing, or for what one does, one works alone.
func TestTwoFlashesByHand(t *testing.T) {
	sixth := math.Exp2(1. / 6)
	cos := func(degrees float64) float64 { return math.Cos(degrees * math.Pi / 180) }
	thirty := 8000 / (cos(15) - cos(75))
	for _, c := range []struct {
		near, far, hx float64
		key, fill     float64 // deg
		wantKey, want float64
		alone         Alone
		because       string
	}{
		{1000, 1000, 12000, 45, 0, 8000, 3000 * math.Sqrt2, Both, "a 11000, b 3000"},
		{1000, 1000, 12000, 30, 0, thirty, (3000 - thirty*cos(75)) / cos(45), Both, "a 11000, b 3000"},
		{1000, 1000, 12000, 45, -45, 11000, 3000, Both, "each lights a side of its own"},
		{1000, 1000, 0, 45, 0, 2000 - (3-3/sixth)*1000, 0, KeyOnly, "no background asks: as one flash"},
		{1000, 1000, 3000, 45, 0, 2000, 0, KeyOnly, "the ratio gives the background"},
		{1000, 1000, 12000, 0, -45, 11000 / cos(45), 0, KeyOnly, "a key beside the lens is flatter than 3:1 by itself"},
		{8000, 1000, 0, 45, 0, 0, (8000 - 3000*sixth) / (3*sixth - 1) * math.Sqrt2, FillOnly, "the fill as one flash"},
		{8000, 1000, 10500, 45, 0, 0, 2500 * math.Sqrt2, FillOnly, "2500 on both sides make ratio and background"},
		{8000, 1000, 12000, 45, 0, 1000, 3000 * math.Sqrt2, Both, "a 4000, b 3000"},
		{8000, 1000, 9000, 45, 0, 0, (8000 - 3000*sixth) / (3*sixth - 1) * math.Sqrt2, FillOnly, "the ratio asks for more"},
		{3000, 1000, 0, 45, 0, 0, 0, FillOnly, "nothing asks"},
	} {
		key, fill, alone := lampsAt(c.key, c.fill).forLook(ratioLook(3), sky.Lux(c.near), sky.Lux(c.far), sky.Lux(c.hx))
		assert.InDelta(t, c.wantKey, float64(key), 1e-6*c.wantKey+1e-6, "key, %+v", c)
		assert.InDelta(t, c.want, float64(fill), 1e-6*c.want+1e-6, "fill, %+v", c)
		if c.wantKey != 0 || c.want != 0 {
			edge := c.hx == 3000 || c.hx == 10500 // where one of them comes to nothing
			assert.True(t, alone == c.alone || edge, "%v, %+v", alone, c)
		}
	}
}

// Whatever is wanted of the two sides, the two flashes give it, both from where
// they stand; where one would have to take light away, the two solve it still.
func TestTwoFlashesGiveBothSidesTheirLight(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		key, fill := -40+85*r.Float64(), -45+85*r.Float64()
		if math.Abs(key-fill) < 1 {
			continue
		}
		p := lampsAt(key, fill)
		a, b := 1e5*r.Float64(), 1e5*r.Float64()
		k, f := p.forSides(sky.Lux(a), sky.Lux(b))
		assert.InDelta(t, a, p.key.key*float64(k)+p.fill.key*float64(f), 1e-4)
		assert.InDelta(t, b, p.key.shadow*float64(k)+p.fill.shadow*float64(f), 1e-4)
		assert.False(t, k < 0 && f < 0, "two lights cannot both be taken away: %g %g", a, b)
	}
}

// The light that each flash gives runs without a jump through near and far, and
// through what the background asks.
func TestTwoFlashesAreContinuous(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	const step = 1e-4
	for range 20000 {
		fill := []float64{0, 0, -20, 10}[r.IntN(4)]
		p := lampsAt(fill+5+(45-fill-5)*r.Float64(), fill)
		look := ratioLook([]float64{1.5, 2, 3, 6}[r.IntN(4)])
		if r.IntN(4) == 0 {
			look.Kind = shoot.BackgroundLook
		}
		some := func() sky.Lux { return sky.Lux(math.Exp2(7 + 7*r.Float64())) }
		near, far, hx := some(), some(), some()
		if p.edge(look.Ratio) {
			continue
		}
		key, fills, _ := p.forLook(look, near, far, hx)
		const by = 1 + step
		for _, moved := range [][3]sky.Lux{{near * by, far, hx}, {near, far * by, hx}, {near, far, hx * by}} {
			k, f, _ := p.forLook(look, moved[0], moved[1], moved[2])
			most := 200 * step * float64(near+far+hx)
			assert.InDelta(t, float64(key), float64(k), most, "%v %+v", p, look)
			assert.InDelta(t, float64(fills), float64(f), most, "%v %+v", p, look)
		}
	}
}

// edge reports whether a flash of a pair makes nearly the ratio that is near
// enough by itself: close to such a place its light grows without end.
func (p lamps) edge(ratio float64) bool {
	for _, one := range [...]lamp{p.key, p.fill} {
		for _, aim := range [...]float64{ratio, ratio * nearRatio.Factor(), ratio / nearRatio.Factor()} {
			if math.Abs(one.key-aim*one.shadow) < 0.05 {
				return true
			}
		}
	}
	return false
}

// With both flashes strong enough every ratio and every background is met, with
// the sun behind and whatever the background: within the clicks of camera and
// flashes, not within the look's tolerance alone.
func TestTwoFlashesMeetRatioAndBackground(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 9))
	const clicks = 1./6 + 1./6 + 0.01 // half a click of the camera, and of the flash
	tried, both := 0, 0
	for range 400 {
		s := filledShoot()
		s.Look = shoot.Look{Ratio: []float64{1.5, 2, 3, 4}[r.IntN(4)], AtMost: sky.Stops(-1 + 2*r.Float64())}
		if r.IntN(2) == 0 {
			s.Look.Kind, s.Look.Background = shoot.BackgroundLook, s.Look.AtMost
		}
		s.Fill.Angle = sky.Degrees([]float64{0, 0, -10, 5}[r.IntN(4)])
		v := NewSolver(s)
		m := at(s, sky.Described(sky.Clear), 2+20*r.Float64(), 150+60*r.Float64())
		j := v.job(shoot.Sync, m, Gel{})
		v.at(&j, sky.Degrees(float64(35+5*r.IntN(3))))
		tag := fmt.Sprintf("%+v, near %g far %g", s.Look, j.task.ambient.Key, j.task.ambient.Shadow)
		if j.task.fill.alone != Both {
			continue
		}
		tried++
		p := v.solution(&j, v.best(&j))
		if p.Outcome == Missed && p.Problem.Kind == TooBright {
			continue // beyond what the camera can expose
		}
		require.Equal(t, Held, p.Outcome, "%s: %+v", tag, p.Problem)
		both++
		exposed, ratio, background := recomputed(s, m, &p)
		assert.InDelta(t, 0, exposed, clicks, tag)
		assert.InDelta(t, 0, math.Log2(ratio/s.Look.Ratio), clicks, tag)
		want := s.Look.AtMost
		if s.Look.Kind == shoot.BackgroundLook {
			want = s.Look.Background
		}
		assert.LessOrEqual(t, background-float64(want), clicks, tag)
		if s.Look.Kind == shoot.RatioLook {
			want -= v.within // below its limit it costs nothing
		}
		assert.GreaterOrEqual(t, background-float64(want), -clicks, tag)
	}
	t.Logf("%d moments ask for both flashes, %d within the camera's range", tried, both)
	assert.Greater(t, both, 100)
}

// Where one flash has to choose between ratio and background, two hold both: the
// sun behind, the background held a stop under.
func TestAFillHoldsWhatOneFlashCannot(t *testing.T) {
	one, two := filledShoot(), filledShoot()
	one.Fill = nil
	for _, s := range []*shoot.Shoot{one, two} {
		s.Look = shoot.Look{Kind: shoot.BackgroundLook, Ratio: 2, Background: -1}
		s.Methods = []shoot.Method{shoot.ND}
		s.Filters = []shoot.Filter{{Loss: 3}}
		forty := sky.Degrees(40)
		s.Stand.Angle = &forty
	}
	alone, pair := made(t, one), made(t, two)
	assert.Zero(t, alone.Runs[0].Held, "at 40 deg one flash makes 11:1")
	assert.Equal(t, len(pair.Runs[0].Minutes), pair.Runs[0].Held)
}

// The key is tried toward the key side of the fill, or stands where it is
// stated.
func TestTheKeyStandsBesideTheFill(t *testing.T) {
	s := filledShoot()
	s.Fill.Angle = sky.Degrees(20)
	v := NewSolver(s)
	for _, a := range v.angles(scene.Left) {
		assert.Greater(t, a.Degrees(), 20+1e-9)
	}
	assert.Len(t, v.angles(scene.Left), 5)
	s.Stand.Side, s.Fill.Angle = scene.Right, 0
	for _, a := range v.angles(scene.Left) {
		assert.Less(t, a.Degrees(), -1e-9, "the shoot puts it on the shadow side")
	}
}

// A fill that stays where it stands has its angle with the other sign where the
// key side changes.
func TestTheFillStaysWhereItStands(t *testing.T) {
	s := filledShoot()
	s.Fill.Angle = sky.Degrees(15)
	v := NewSolver(s)
	v.first = scene.Left
	m := at(s, sky.Described(sky.Clear), 10, 170)
	for _, c := range []struct {
		key  scene.Hand
		want float64
	}{{scene.Left, 15}, {scene.Right, -15}} {
		m.Stance.Key = c.key
		p := v.fillPlace(m)
		assert.InDelta(t, c.want, p.Angle.Degrees(), 1e-9)
		assert.Equal(t, scene.Left, p.Side, "seen from the camera")
	}
}

// Whatever the outcome claims is true of the light of two flashes, over random
// pictures; each gives what its power gives, and the headroom is the lesser.
func TestOutcomesWithAFillAreTrue(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	r := rand.New(rand.NewPCG(17, 2))
	fires, counts := [4]int{}, [Missed + 1]int{}
	for range 1500 {
		s := randomShoot(r)
		withFill(r, s)
		v := NewSolver(s)
		word := []sky.Word{sky.Clear, sky.Hazy, sky.Overcast}[r.IntN(3)]
		m := at(s, sky.Described(word), -5+60*r.Float64(), 360*r.Float64())
		angle := s.Fill.Angle + sky.Degrees(5*float64(1+r.IntN(8)))
		for _, method := range shoot.AllMethods {
			p := v.Solve(method, m, angle, Gel{})
			exposed, ratio, background := recomputed(s, m, &p)
			tag := fmt.Sprintf("%v %v %+v\n%+v\n%+v", method, word, s.Look, p, p.Fill)
			require.InDelta(t, exposed, float64(p.Exposure), 1e-6, tag)
			require.InEpsilon(t, ratio, p.Ratio, 1e-6, tag)
			require.InDelta(t, background, float64(p.Background), 1e-6, tag)
			if counts[p.Outcome]++; p.Outcome != Missed {
				require.LessOrEqual(t, math.Abs(exposed), float64(v.within)+1e-6, tag)
				require.LessOrEqual(t, math.Log2(ratio/s.Look.Ratio), float64(v.within)+1e-6, tag)
			} else {
				require.NotNil(t, p.Problem, tag)
			}
			if !method.UsesFlash() {
				require.Nil(t, p.Fill)
				continue
			}
			fires[checkFill(t, s, &p, tag)]++
		}
	}
	t.Logf("held, softer, missed %v; neither, flash, fill, both %v", counts, fires)
	for _, n := range append(fires[:], counts[:]...) {
		assert.Greater(t, n, 100)
	}
}

// withFill puts a second flash of any kind in front.
func withFill(r *rand.Rand, s *shoot.Shoot) {
	unit := *s.Flash.Unit
	unit.Click = []exposure.Increment{exposure.Third, exposure.Third, exposure.Full}[r.IntN(3)]
	unit.HighSpeed = r.IntN(3) > 0
	head := s.Flash
	head.Unit, head.Units, head.Distance = &unit, 1+r.IntN(2), []float64{0.8, 1.5, 4}[r.IntN(3)]
	s.Fill = &shoot.Fill{Head: head, Angle: sky.Degrees([]float64{0, 0, -15, 10}[r.IntN(4)])}
}

// checkFill holds what a solution says of its two flashes against their powers,
// and returns which of them fire: 1 for the flash, 2 for the fill, or both.
func checkFill(t *testing.T, s *shoot.Shoot, p *Solution, tag string) (fires int) {
	t.Helper()
	share := func(deg sky.Angle) (key, shadow float64) {
		a := deg.Degrees()
		return max(0, math.Cos((45-a)*math.Pi/180)), max(0, math.Cos((45+a)*math.Pi/180))
	}
	key, shadow := share(p.Angle)
	ofKey, ofShadow := share(p.Fill.Angle)
	main, beside, digits := float64(p.Flash), float64(p.Fill.Flash), 1e-6*float64(p.OnKey)+1e-9
	require.InDelta(t, main*key+beside*ofKey, float64(p.OnKey), digits, tag)
	require.InDelta(t, main*shadow+beside*ofShadow, float64(p.OnShadow), digits, tag)
	least, longest := math.Inf(1), 0.
	caught := func(h *flash.Head) float64 {
		full := float64(h.Full())
		if p.Settings.Shutter > s.Camera.Sync {
			full *= math.Exp2(-float64(h.Unit.HighSpeedLoss(p.Settings.Shutter)))
		}
		return full
	}
	if p.Flash > 0 {
		fires++
		require.InEpsilon(t, caught(&s.Flash)*p.Power.Fraction(), float64(p.Flash), 1e-9, tag)
		least, longest = -float64(p.Power)/6, s.Flash.Unit.Recycle(p.Power).Seconds()
	}
	if p.Fill.Flash > 0 {
		fires += 2
		require.True(t, s.Fill.Unit.HighSpeed || p.Settings.Shutter <= s.Camera.Sync, tag)
		require.InEpsilon(t, caught(&s.Fill.Head)*p.Fill.Power.Fraction(), float64(p.Fill.Flash), 1e-9, tag)
		least = min(least, -float64(p.Fill.Power)/6)
		longest = max(longest, s.Fill.Unit.Recycle(p.Fill.Power).Seconds())
		require.Zero(t, int(p.Fill.Power)%int(s.Fill.Unit.Click), tag)
	}
	require.Equal(t, fires > 0, p.Role != None, tag)
	if p.Role != None {
		if p.Problem != nil && (p.Problem.Kind == TooWeak || p.Problem.Kind == FillTooWeak) {
			least -= float64(p.Problem.Misses)
		}
		require.InDelta(t, least, float64(p.Headroom), 1e-9, tag)
		require.InDelta(t, longest, p.Recycle.Seconds(), 1e-6, tag)
	}
	return fires
}

// Cues of two flashes can be followed: at most two controls, flash and fill moved
// alike counting as one, none turns back while the light falls, and few.
func TestCuesOfTwoFlashesCanBeFollowed(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	r := rand.New(rand.NewPCG(8, 5))
	runs, cues, thirds, backs, both := 0, 0, 0, 0, 0
	for range 20 {
		s := filledShoot()
		s.Look = shoot.Look{Ratio: []float64{2, 3, 4}[r.IntN(3)], AtMost: sky.Stops(r.Float64())}
		if r.IntN(3) == 0 {
			s.Look.Kind, s.Look.Background = shoot.BackgroundLook, -s.Look.AtMost
		}
		s.Subject.Facing = scene.Facing{Side: []scene.Side{scene.Backlit, scene.LeftLit}[r.IntN(2)]}
		p, err := Make(t.Context(), s)
		require.NoError(t, err)
		for i := range p.Runs {
			run := &p.Runs[i]
			if run.Missed > 0 {
				continue
			}
			runs++
			list := run.Cues()
			cues += len(list) - 1
			jobs := jobsOf(p.solver, run, p)
			trend := trends(jobs)
			for _, c := range list[1:] {
				if controls(&c) > 2 {
					thirds++
				}
				if c.Set.Fires() && c.Set.Fill.Fires() {
					both++
				}
				now := int(c.Time.Sub(run.Minutes[0].Time).Minutes())
				if moved := float64(c.Set.Settings.EV() - c.Was.Settings.EV()); moved*trend[now] < 0 {
					backs++
				}
			}
			allowed := way(jobs)/float64(p.solver.step()) + 3
			assert.LessOrEqual(t, float64(len(list)-1), allowed, "%v of %+v, %v", run.Method, s.Look, s.Subject.Facing)
		}
	}
	t.Logf("%d runs, %d cues, %d with both flashes, %d with three controls, %d turn back", runs, cues, both, thirds, backs)
	require.Greater(t, runs, 60)
	require.Greater(t, both, 100)
	assert.LessOrEqual(t, float64(thirds), 0.02*float64(cues))
	assert.Zero(t, backs)
}

// controls counts those of a cue: the ISO goes with the filter, and flash and
// fill together where they are moved alike.
func controls(c *Cue) int {
	n := len(c.Changes)
	by := map[Control]sky.Stops{}
	for _, one := range c.Changes {
		by[one.Control] = one.By
	}
	_, filter := by[FilterControl]
	if _, iso := by[ISOControl]; filter && iso {
		n--
	}
	if power, fill := by[PowerControl], by[FillControl]; power != 0 && power == fill {
		n--
	}
	return n
}

// A picture that is missed for its fill says so, and what is named as a change
// works.
func TestWhatTheFillLacks(t *testing.T) {
	for _, c := range []struct {
		change func(*shoot.Shoot)
		method shoot.Method
		want   ProblemKind
		cures  []CureKind
	}{
		{func(s *shoot.Shoot) { weaker(s, 1) }, shoot.ND, FillTooWeak, nil},
		{func(s *shoot.Shoot) { s.Flash.Distance = 200 }, shoot.ND, TooWeak, nil},
		{func(s *shoot.Shoot) { s.Fill.Unit.HighSpeed = false }, shoot.HSS, FillNoHighSpeed, nil},
		{func(s *shoot.Shoot) { weaker(s, 100) }, shoot.ND, FillTooWeak, []CureKind{MoveFill}},
		{func(s *shoot.Shoot) { weaker(s, 120) }, shoot.ND, FillTooWeak, []CureKind{MoveFill, ChangeFills}},
	} {
		s := filledShoot()
		unit := *s.Fill.Unit
		s.Fill.Unit = &unit
		s.Look = shoot.Look{Kind: shoot.BackgroundLook, Ratio: 1.5, Background: -1}
		s.Methods = []shoot.Method{c.method}
		aside := sky.Degrees(45) // where a key alone makes no 1.5:1
		s.Stand.Angle = &aside
		c.change(s)
		p := made(t, s)
		row := &p.Rows[0]
		got := &row.Methods[0]
		require.Equal(t, Missed, got.Outcome, "%v", c.want)
		assert.Equal(t, c.want, got.Problem.Kind, "%v", got.Problem)
		for _, kind := range c.cures {
			found := false
			for _, cure := range got.Cures {
				if cure.Kind == kind {
					found = true
					checkFillCure(t, p, row, got, cure)
				}
			}
			assert.True(t, found, "%v of %+v, %+v", kind, got.Cures, got.Problem)
		}
	}
}

// weaker makes the fill a flash of a guide number.
func weaker(s *shoot.Shoot, number float64) {
	s.Fill.Unit.Guide, s.Fill.Units = []flash.GuideNumber{{Zoom: 35, Number: number}}, 1
}

// checkFillCure plans the shoot with the fill changed.
func checkFillCure(t *testing.T, p *Plan, row *Row, s *Solution, c Cure) {
	t.Helper()
	changed := *p.Shoot
	fill := *changed.Fill
	switch c.Kind {
	case MoveFill:
		fill.Distance = c.Value
	case ChangeFills:
		fill.Units = int(c.Value)
	}
	changed.Fill = &fill
	got := NewSolver(&changed).Solve(s.Method, &row.Moment, s.Angle, s.Gel)
	assert.True(t, got.Outcome.Succeeds(), "%+v: %+v", c, got.Problem)
	assert.Equal(t, c.Softer, got.Outcome == Softer)
}

// What is packed, seen to and counted has the fill: a stand, its batteries, its
// modifier, and the flashes on the channel.
func TestTheFillIsPacked(t *testing.T) {
	s := filledShoot()
	s.Look = shoot.Look{Kind: shoot.BackgroundLook, Ratio: 2, Background: -1}
	s.Fill.Unit, s.Fill.Units = fullRange(s.Fill.Unit), 3
	s.Methods = []shoot.Method{shoot.ND}
	p := made(t, s)
	require.True(t, p.Flashes(shoot.ND))
	require.True(t, p.Fills(shoot.ND))
	list := p.Packing()
	assert.Equal(t, 3, count(list, FillItem))
	assert.Equal(t, 2, count(list, StandItem))
	assert.Equal(t, 2, count(list, ModifierItem), "of one name")
	use := p.totals()[0]
	assert.Equal(t, max(1, use.Fill.Sets), count(list, FillBatteryItem))
	assert.Positive(t, use.Fill.FullFlashes)
	for _, c := range p.Preflight() {
		if c.Kind == StandbyCheck || c.Kind == TriggerCheck {
			assert.Equal(t, 7., c.Value)
		}
	}
	assert.Contains(t, kindsOf(p.Preflight()), FillZoomCheck)
	s.Look = shoot.Look{Ratio: 2, AtMost: sky.Stops(math.Inf(1))}
	s.Subject.Facing = scene.Facing{Side: scene.FrontLit}
	s.When.To = shoot.Instant{Event: sky.Sunset, Offset: -time.Hour}
	p = made(t, s)
	require.True(t, p.Fills(shoot.ND), "frontal sun is filled from beside the lens")
	assert.False(t, p.Flashes(shoot.ND), "the key stays at home")
	assert.Zero(t, count(p.Packing(), FlashItem))
	assert.Equal(t, 1, count(p.Packing(), StandItem))
}

// fullRange is a flash with another name.
func fullRange(u *flash.Unit) *flash.Unit {
	unit := *u
	unit.Name = "other"
	return &unit
}

// A shoot with a fill on the axis and a flash that a fill is not needed for plans
// as one without.
func TestAFillThatIsNotNeededChangesNothing(t *testing.T) {
	s := testShoot()
	s.Look = shoot.Look{Ratio: 3, AtMost: sky.Stops(math.Inf(1))}
	s.Subject.Facing = scene.Facing{Side: scene.Backlit}
	s.Flash.Distance = 1.5
	one := *s
	s.Fill = &shoot.Fill{Head: s.Flash}
	with, without := made(t, s), made(t, &one)
	for i := range with.Runs {
		a, b := &with.Runs[i], &without.Runs[i]
		for k := range a.Minutes {
			x, y := a.Minutes[k].Solution, b.Minutes[k].Solution
			x.Fill = nil
			x.Cures, y.Cures = nil, nil
			require.Equal(t, y, x, "%v at %v", a.Method, a.Minutes[k].Time)
		}
	}
}
