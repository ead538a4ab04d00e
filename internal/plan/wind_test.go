package plan

import (
	"math"
	"slices"
	"testing"

	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func made(t *testing.T, s *shoot.Shoot) *Plan {
	t.Helper()
	p, err := Make(t.Context(), s)
	require.NoError(t, err)
	return p
}

func inWind(v scene.WindSpeed, methods ...shoot.Method) *shoot.Shoot {
	s := testShoot()
	s.Wind = &v
	if len(methods) > 0 {
		s.Methods = methods
	}
	return s
}

func count(list []Item, k ItemKind) int {
	sum := 0
	for _, i := range list {
		if i.Kind == k {
			sum += i.Count
		}
	}
	return sum
}

// A wind in which the panel has to come down takes every method with it out of
// the verdict, before all other rules, however much better it is; without sun
// there is no panel to come down. Force 3 is the last that 1.2 m by 1.8 m may
// stay up in (common practice, no source).
func TestStrongWindTakesTheScrimOut(t *testing.T) {
	for _, v := range []scene.WindSpeed{5.6, 8, 11, 20} {
		p := made(t, inWind(v))
		d := p.Verdict()
		assert.False(t, d.Best.UsesScrim(), "%v m/s", v)
		require.Equal(t, WindRule, d.Rules[0].Rule)
		require.Len(t, d.Rules[0].Dropped, 2)
		for n, m := range p.Shoot.Methods {
			r := p.RunsOf(n)[0]
			for i := range r.Minutes {
				k := &r.Minutes[i]
				windy := k.Problem != nil && k.Problem.Kind == TooWindy
				assert.Equal(t, m.UsesScrim() && k.Light.DirectNormal > 0, windy, "%v at %v", m, k.Time)
				assert.False(t, windy && (k.ScrimUp || k.ScrimInFrame), "nothing is up")
			}
		}
	}
	for _, v := range []scene.WindSpeed{0, 1, 3, 5.4} {
		d := made(t, inWind(v)).Verdict()
		assert.NotContains(t, d.Rules[0].Dropped, Dropped{Method: shoot.Scrim, Value: 1}, "%v m/s", v)
	}
	noWind, calm := testShoot(), inWind(0)
	assert.Equal(t, made(t, noWind).Verdict(), made(t, calm).Verdict(), "a calm changes nothing")

	// With nothing but scrims the nearest is named, and its misses say why.
	p := made(t, inWind(9, shoot.Scrim, shoot.ScrimHSS))
	assert.True(t, p.Verdict().Best.UsesScrim())
	assert.True(t, p.OutOfReach())
}

// What a gale leaves is a smaller panel, another method, or later.
func TestCuresOfTheWind(t *testing.T) {
	s := inWind(4.5, shoot.Scrim)
	s.Scrim = &scene.Scrim{Name: "overhead", Width: 2.4, Length: 2.4, Loss: 1, Height: 1.2, Reach: 1}
	s.Look.AtMost = 3
	s.Kit = &shoot.Library{Scrims: []scene.Scrim{{Name: "small", Width: 1.2, Length: 1.8, Loss: 1}}}
	p := made(t, s)
	first := p.Rows[0].Methods[0]
	require.NotNil(t, first.Problem)
	require.Equal(t, TooWindy, first.Problem.Kind)
	kinds := map[CureKind]Cure{}
	for _, c := range first.Cures {
		if _, is := kinds[c.Kind]; !is {
			kinds[c.Kind] = c
		}
	}
	assert.Equal(t, shoot.Sync, kinds[UseMethod].Method)
	assert.Equal(t, "small", kinds[CarryScrim].Name)
	assert.NotContains(t, kinds, TurnSitter)
	assert.NotContains(t, kinds, AimScrim, "as large as before")
}

// Stands, sandbags and hands by hand: the panel, 2.16 m2, is aimed 1 m from the
// head; under a sun of 16.64 deg, sin 0.2863, its middle is 1.6 - 0.125 + (1 +
// 0.125 x 0.2863) x 0.2863 = 1.7716 m up. In 3.3 m/s, gusts of 4.95, each stand
// takes 19.45 N x 1.7716 m / 0.275 m / 9.807 = 12.78 kg: two bags of 10. In 1.5 m/s,
// gusts of 2.25, 4.02 N: 2.64 kg: one.
func TestRigOfTheScrim(t *testing.T) {
	for _, c := range []struct {
		wind          scene.WindSpeed
		handling      scene.Handling
		stands, hands int
		ballast       float64
	}{
		{1.5, scene.OnStands, 2, 1, 2.64}, {3.3, scene.HandsOn, 2, 2, 12.78}, {5, scene.HandHeld, 0, 2, 0},
		{7, scene.TakenDown, 0, 0, 0}, {12, scene.StandsDown, 0, 0, 0}, {25, scene.EverythingIn, 0, 0, 0},
	} {
		p := made(t, inWind(c.wind, shoot.Scrim))
		r := p.Rig()
		assert.InDelta(t, 16.64, p.session.highest.Altitude.Degrees(), 0.01)
		assert.Equal(t, c.handling, r.Handling)
		assert.Equal(t, c.stands, r.Stands, "%v m/s", c.wind)
		assert.Equal(t, c.hands, r.Hands, "%v m/s", c.wind)
		assert.InDelta(t, c.ballast, r.Ballast, 0.02, "%v m/s", c.wind)
		assert.Equal(t, c.wind.Beaufort(), r.Until)
	}
	s := testShoot()
	s.Methods = []shoot.Method{shoot.Scrim}
	r := made(t, s).Rig()
	assert.Equal(t, scene.Beaufort(2), r.Until, "as much as it may stand in")
	assert.InDelta(t, 12.77, r.Ballast, 0.02)
}

// One stand for the flash, two for the scrim while it stands on stands; bags by
// the wind, by hand: the softbox, round, 0.75 m, 0.442 m2 at 1.6 m, in gusts of
// 4.95 m/s 7.95 N, 4.7 kg, one bag; in gusts of 8.1 m/s 21.3 N, 12.6 kg, two.
func TestPackingByTheWind(t *testing.T) {
	for _, c := range []struct {
		wind                scene.WindSpeed
		stands, bags, hands int
	}{{1.5, 3, 3, 1}, {3.3, 3, 5, 2}, {5.4, 1, 2, 2}, {10, 0, 0, 1}} {
		methods := []shoot.Method{shoot.Scrim}
		if c.wind > 8 {
			methods = append(methods, shoot.Sync) // for there is no scrim
		}
		p := made(t, inWind(c.wind, methods...))
		list := p.Packing()
		assert.Equal(t, c.stands, count(list, StandItem), "%v m/s", c.wind)
		assert.Equal(t, c.bags, count(list, SandbagItem), "%v m/s: %v", c.wind, list)
		assert.Equal(t, c.hands, count(list, HandItem), "%v m/s", c.wind)
	}
	// Nothing stated: a bag on the flash's stand, the scrim's as for the strongest
	// wind it may stand in.
	s := testShoot()
	s.Methods = []shoot.Method{shoot.Scrim}
	assert.Equal(t, 1+2*2, count(made(t, s).Packing(), SandbagItem))
	s.Methods = []shoot.Method{shoot.Sync}
	assert.Equal(t, 1, count(made(t, s).Packing(), SandbagItem))
}

// More wind never asks for fewer bags while the stands stand.
func TestBagsGrowWithTheWind(t *testing.T) {
	was := 0
	for v := scene.WindSpeed(0); v < 7.9; v += 0.5 {
		p := made(t, inWind(v, shoot.Sync))
		n := count(p.Packing(), SandbagItem)
		assert.GreaterOrEqual(t, n, was, "%v m/s", v)
		was = n
	}
	assert.Greater(t, was, 1)
	assert.Equal(t, 1, bags(0))
	assert.Equal(t, 1, bags(SandbagMass))
	assert.Equal(t, 2, bags(SandbagMass+0.1))
}

// kindsOf are the kinds of some checks.
func kindsOf(list []Check) (kinds []CheckKind) {
	for _, c := range list {
		kinds = append(kinds, c.Kind)
	}
	return kinds
}

// What the shoot needs is checked, and nothing else.
func TestPreflight(t *testing.T) {
	s := testShoot()
	s.Methods = []shoot.Method{shoot.ND}
	s.Filters = s.Filters[1:] // six stops
	s.Flash.Gel = flash.Gel{Name: "half-cto", Loss: 0.5, Shift: 81}
	checks := made(t, s).Preflight()
	kinds := kindsOf(checks)
	for _, k := range []CheckKind{StandbyCheck, TriggerCheck, RadioCheck, ZoomCheck, SyncOnlyCheck, GelCheck,
		FilterCheck, FocusCheck, BalanceCheck, SandbagCheck, CapCheck} {
		assert.Contains(t, kinds, k)
	}
	for _, k := range []CheckKind{FastSyncOnCheck, RimZoomCheck, RimSparesCheck, HandsCheck, FinderCheck} {
		assert.NotContains(t, kinds, k)
	}
	at := func(k CheckKind) Check { return checks[slices.Index(kinds, k)] }
	assert.Equal(t, 2.0, at(StandbyCheck).Value)
	assert.Equal(t, 35.0, at(ZoomCheck).Value, "the modifier's")
	assert.Equal(t, 6.0, at(FilterCheck).Value)
	assert.Equal(t, s.Camera.Sync, at(SyncOnlyCheck).Shutter)
	assert.Equal(t, float64(SandbagMass), at(SandbagCheck).Value)

	// A weak filter and a light from the front need no such care.
	s.Filters = []shoot.Filter{{Name: "3-stop ND", Loss: 3}}
	s.Subject.Facing = scene.Facing{Side: scene.FrontLit}
	kinds = kindsOf(made(t, s).Preflight())
	assert.NotContains(t, kinds, FocusCheck)
	assert.NotContains(t, kinds, CapCheck)
}

func TestPreflightOfHighSpeedSync(t *testing.T) {
	s := testShoot()
	s.Methods = []shoot.Method{shoot.HSS}
	s.Look.AtMost = sky.Stops(math.Inf(1))
	s.Flash.Units = 4
	p := made(t, s)
	checks := p.Preflight()
	i := slices.Index(kindsOf(checks), FastSyncOnCheck)
	require.GreaterOrEqual(t, i, 0, "%v", checks)
	fastest := s.Camera.Sync
	for _, m := range p.Runs[0].Minutes {
		if m.Role != None {
			fastest = max(fastest, m.Settings.Shutter)
		}
	}
	assert.Equal(t, fastest, checks[i].Shutter)
	assert.NotContains(t, kindsOf(checks), SyncOnlyCheck)
}

// A bare head before the camera is seen by it; beside or behind it it is not,
// nor is a rim flash.
func TestRadioTriggers(t *testing.T) {
	s := testShoot()
	s.Methods, s.Flash.Modifier = []shoot.Method{shoot.Sync}, flash.Modifier{}
	ahead := sky.Degrees(30)
	s.Stand.Angle = &ahead
	s.Flash.Distance, s.Subject.CameraDistance = 1.5, 2.2
	assert.NotContains(t, kindsOf(made(t, s).Preflight()), RadioCheck)
	s.Flash.Distance = 2.6 // 2.6 cos 30 deg = 2.25 m
	assert.Contains(t, kindsOf(made(t, s).Preflight()), RadioCheck)
	s.Flash.Distance = 1.5
	rim := s.Flash
	s.Rim = &shoot.Rim{Head: rim}
	rim.Units = 1
	checks := made(t, s).Preflight()
	i := slices.Index(kindsOf(checks), RadioCheck)
	require.GreaterOrEqual(t, i, 0)
	assert.Equal(t, float64(s.Rim.Units), checks[i].Value)
}

// Spares are the plan's sets less the one in the flash.
func TestSparesGoByThePlan(t *testing.T) {
	s := testShoot()
	s.Methods = []shoot.Method{shoot.Sync}
	for _, pace := range []float64{1, 6, 20} {
		s.Pace.FramesPerMinute = pace
		p := made(t, s)
		sets := p.totals()[0].Key.Sets
		checks := p.Preflight()
		i := slices.Index(kindsOf(checks), SparesCheck)
		if sets <= 1 {
			assert.Negative(t, i)
			continue
		}
		require.GreaterOrEqual(t, i, 0)
		assert.Equal(t, float64(sets-1), checks[i].Value)
		assert.Equal(t, sets, count(p.Packing(), BatteryItem))
	}
}

// The frame by hand: 36 x 24 mm upright at 2.2 m with 85 mm, m = 0.085 / 2.115 =
// 0.04019: 0.597 m wide and 0.896 m high. With the daylight the fall lies
// between nothing and the flash's own: face to feet 0.4 m under the face at 2 m,
// r^2 = 0.1406: (4.16 + 0.1406) x 2.0396 / 2 / (4 + 0.1406) = 1.0592: 0.083 stop.
func TestFactsOfThePicture(t *testing.T) {
	s := testShoot()
	p := made(t, s)
	for n := range s.Methods {
		f := p.Facts(n)
		b := &f.Beam
		require.True(t, f.Flashes)
		assert.InDelta(t, 0.597, b.Width, 0.001)
		assert.InDelta(t, 0.896, b.Height, 0.001)
		assert.InDelta(t, 0.083, float64(b.FallOff), 0.001)
		assert.Positive(t, float64(b.Least))
		assert.LessOrEqual(t, float64(b.Least), float64(b.Most))
		assert.LessOrEqual(t, float64(b.Most), float64(b.FallOff)+1e-12)
		assert.Equal(t, flash.BySurface, b.Pool.Kind)
		assert.Equal(t, p.RunsOf(n)[0].WhiteBalance, f.WhiteBalance)
		assert.Less(t, float64(f.KeyLow), float64(f.KeyHigh))
	}
	// By hand at a minute: daylight and flash on the key side, the flash's part
	// less by its fall.
	f := p.Facts(0)
	least, most := math.Inf(1), 0.0
	for _, m := range p.RunsOf(0)[0].Minutes {
		if m.Role == None || !m.Outcome.Succeeds() {
			continue
		}
		day := float64(m.Ambient.Key) * math.Exp2(-float64(m.Settings.Shutter)/6)
		fall := math.Log2((day + float64(m.OnKey)) / (day + float64(m.OnKey)/math.Exp2(float64(f.Beam.FallOff))))
		least, most = min(least, fall), max(most, fall)
	}
	assert.InDelta(t, least, float64(f.Beam.Least), 1e-9)
	assert.InDelta(t, most, float64(f.Beam.Most), 1e-9)
}

// A bare head at a long zoom does not light a whole figure: 105 mm covers 0.69 by
// 0.46 m at 2 m; the corner of a figure 0.6 m wide and 1.75 m high lies
// (0.3 / 0.343)^2 + (0.875 / 0.2286)^2 = 15.4 stops down.
func TestTheFigureOutsideThePool(t *testing.T) {
	s := testShoot()
	s.Methods = []shoot.Method{shoot.Sync}
	s.Subject.Figure, s.Subject.CameraDistance = scene.FullLength, 6
	s.Flash.Modifier, s.Flash.Zoom = flash.Modifier{}, 105
	f := made(t, s).Facts(0)
	require.True(t, f.Flashes)
	assert.InDelta(t, 15.4, float64(f.Beam.AtFigure), 0.1)
	assert.True(t, f.Beam.Feet)
	assert.InDelta(t, 1.07, float64(f.Beam.FallOff), 0.006, "finds 1.1 stops at 2 m")
}

// Drift by hand: the sun moves a quarter of a degree a minute at the most, over
// the arm from the figure's middle to the panel.
func TestDriftOfTheShadow(t *testing.T) {
	c, err := Compare(t.Context(), testShoot(), nil)
	require.NoError(t, err)
	seen := false
	for i := range c.Moments {
		for _, e := range c.Moments[i].Entries {
			// At sunset refraction moves the sun besides.
			if e.Scrim == nil || c.Moments[i].Row.Sun.Altitude.Degrees() < 2 {
				continue
			}
			seen = true
			arm := math.Hypot(e.Scrim.Out, e.Scrim.AboveHead+0.125)
			assert.Positive(t, e.Scrim.Drift)
			assert.LessOrEqual(t, e.Scrim.Drift, 1.02*arm*0.25*math.Pi/180)
		}
	}
	assert.True(t, seen)
}
