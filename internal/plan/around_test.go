package plan

import (
	"math"
	"testing"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// around is what the three ways of working put about the sitter.
var around = [...]shoot.Method{shoot.OpenShade, shoot.Reflector, shoot.ReflectorSync}

// In open shade there is no beam, half of the sky and all of the ground; beside
// a reflector its light is added. The background keeps its own light, and the
// shutter keeps to the sync speed.
func TestLightAboutTheSitter(t *testing.T) {
	s := testShoot()
	v := NewSolver(s)
	for _, altitude := range []float64{4, 20, 50} {
		for _, bearing := range []float64{0, 70, 150, 180} {
			m := at(s, sky.Described(sky.Clear), altitude, bearing)
			open := scene.Open(&m.Light, m.Sun, m.Stance)
			for _, method := range around {
				p := v.Solve(method, m, sky.Degrees(30), Gel{})
				assert.Equal(t, exposure.Reflected(m.Backdrop).Minus(p.Settings.EV()), p.Background, "%v", method)
				assert.LessOrEqual(t, p.Settings.Shutter, s.Camera.Sync)
				assert.Zero(t, p.Settings.ND)
				switch {
				case method == shoot.OpenShade:
					half := m.Light.SkyOn(m.Stance.KeyPlane()-m.Sun.Azimuth)/2 + m.Light.Ground
					assert.InEpsilon(t, float64(half), float64(p.Ambient.Key), 1e-12)
					assert.Zero(t, p.Ambient.Beam)
					assert.Equal(t, Reflected{}, p.Reflected)
				default:
					assert.InDelta(t, float64(p.Reflected.Key), float64(p.Ambient.Key-open.Key), 1e-6)
					assert.InDelta(t, float64(p.Reflected.Shadow), float64(p.Ambient.Shadow-open.Shadow), 1e-6)
					assert.Equal(t, m.Light.DirectNormal, p.Ambient.Beam)
				}
				if method == shoot.Reflector {
					assert.Equal(t, None, p.Role)
					assert.Zero(t, p.Flash)
				}
			}
		}
	}
}

// A ratio lower than asked by more than a stop is softer in open shade, and
// missed beside a reflector and under the open sky: the flash at the lens makes
// hardly any ratio.
func TestOpenShadeMayBeSofterByAnyAmount(t *testing.T) {
	s := testShoot()
	s.Look.Ratio, s.Look.AtMost = 8, sky.Stops(math.Inf(1))
	m := at(s, sky.Described(sky.Clear), 30, 180)
	v := NewSolver(s)
	shade := v.Solve(shoot.OpenShade, m, 0, Gel{})
	assert.Equal(t, Softer, shade.Outcome)
	assert.Less(t, shade.Ratio, 4.)
	for _, method := range []shoot.Method{shoot.Sync, shoot.Reflector, shoot.ReflectorSync} {
		p := v.Solve(method, m, 0, Gel{})
		assert.Equal(t, Missed, p.Outcome, "%v", method)
	}
	assert.Equal(t, TooFlat, v.Solve(shoot.Reflector, m, 0, Gel{}).Problem.Kind)
}

// Without flash a reflector lacks what the background asks of the key side
// beyond what is there; with as much more light it holds.
func TestReflectorAloneIsTooDarkForTheBackground(t *testing.T) {
	for _, look := range []shoot.Look{{Ratio: 2, AtMost: 1.5}, {Kind: shoot.BackgroundLook, Ratio: 2, Background: 2}} {
		s := testShoot()
		s.Look = look
		m := at(s, sky.Described(sky.Clear), 20, 180)
		v := NewSolver(s)
		p := v.Solve(shoot.Reflector, m, 0, Gel{})
		require.Equal(t, Missed, p.Outcome)
		require.Equal(t, KeyTooDark, p.Problem.Kind)
		offset := look.AtMost + look.Background
		wanted := 2.5 * math.Exp2(math.Log2(float64(m.Backdrop)/0.125)-float64(offset))
		assert.InDelta(t, math.Log2(wanted/float64(p.Ambient.Key)), float64(p.Problem.Misses), 1e-9)
	}
}

// A sitter lit hard from the side: the silver panel on the
// shadow side lowers it, and the more the nearer it is; far away the picture is
// that without it.
func TestReflectorFillsTheShadowSide(t *testing.T) {
	s := testShoot()
	s.Look.AtMost = sky.Stops(math.Inf(1))
	m := at(s, sky.Described(sky.Clear), 30, 60)
	bare := NewSolver(s).Solve(shoot.Sync, m, 0, Gel{})
	start := float64(bare.Ambient.Key / bare.Ambient.Shadow)
	last := start
	for _, distance := range []float64{1000, 4, 2.5, 1.5} {
		c := *s
		panel := *s.Reflector
		panel.Distance = distance
		c.Reflector = &panel
		p := NewSolver(&c).Solve(shoot.Reflector, m, 0, Gel{})
		ratio := float64(p.Ambient.Key / p.Ambient.Shadow)
		assert.Less(t, ratio, last, "%g m", distance)
		if distance == 1000 {
			assert.InEpsilon(t, last, ratio, 1e-3)
		}
		last = ratio
	}
	t.Logf("%.1f:1 without, %.1f:1 with the panel 1.5 m off", start, last)
	assert.Less(t, last, start/2)
}

// Without a reflector its methods lack it, and no other does.
func TestNoReflector(t *testing.T) {
	s := testShoot()
	s.Reflector = nil
	s.Methods = shoot.AllMethods[:]
	m := at(s, sky.Described(sky.Clear), 20, 180)
	v := NewSolver(s)
	for _, method := range shoot.AllMethods {
		p := v.Solve(method, m, 0, Gel{})
		lacks := p.Problem != nil && p.Problem.Kind == NoReflector
		assert.Equal(t, method.UsesReflector(), lacks, "%v", method)
		if lacks {
			assert.Equal(t, Missed, p.Outcome)
			assert.True(t, p.Problem.Kind.Lacks())
			assert.Equal(t, scene.Open(&m.Light, m.Sun, m.Stance), p.Ambient)
		}
	}
}

// A reflector in the picture is said, weighs in the verdict, and is no cure.
func TestReflectorInThePicture(t *testing.T) {
	s := testShoot()
	s.Look.AtMost = sky.Stops(math.Inf(1))
	for _, c := range []struct {
		degrees float64
		in      bool
	}{{-5, true}, {-40, false}} {
		panel := *s.Reflector
		panel.Angle, panel.Gain = sky.Degrees(c.degrees), 1
		s.Reflector = &panel
		m := at(s, sky.Described(sky.Clear), 20, 180)
		v := NewSolver(s)
		p := v.Solve(shoot.ReflectorSync, m, sky.Degrees(30), Gel{})
		assert.Equal(t, c.in, p.Reflected.InFrame, "%g", c.degrees)
		one := v.candidate(m, &p)
		assert.Equal(t, share(c.in), one.inFrame)
		missed := v.Solve(shoot.Reflector, m, 0, Gel{})
		require.Equal(t, Missed, missed.Outcome)
		tried := throwing(panel, shoot.ReflectorSync)
		off := missed
		off.Reflected = Reflected{}
		finder := &cures{plan: &Plan{solver: v}, changed: map[Cure]*Solver{}}
		off.Angle, off.Method = sky.Degrees(30), shoot.Sync
		assert.Equal(t, c.in, finder.try(&tried, &off, m, besides{}) == Missed, "%g", c.degrees)
	}
}

// What the new ways weigh: common practice, no source. A reflector is less than
// a scrim and more than a filter, open shade less than either; of ways that are
// equal else, the one without any is taken.
func TestWhatShadeAndReflectorWeigh(t *testing.T) {
	sum := func(m shoot.Method) float64 {
		b := carried(m)
		return b.sum()
	}
	assert.Equal(t, 0.2, sum(shoot.OpenShade))
	assert.Equal(t, 0.9, sum(shoot.Reflector))
	assert.Equal(t, 0.9, sum(shoot.ReflectorSync))
	with := func(m shoot.Method) candidate { return candidate{method: m, held: 1, succeeds: 1, burden: carried(m)} }
	order := []shoot.Method{shoot.Scrim, shoot.Reflector, shoot.ND, shoot.OpenShade, shoot.Sync}
	for i := range order[1:] {
		assert.Equal(t, order[i+1], judge([]candidate{with(order[i]), with(order[i+1])}).Best)
	}
	var mean Burden
	one, other := carried(shoot.Reflector), carried(shoot.OpenShade)
	mean.add(&one)
	mean.add(&other)
	mean.divide(2)
	assert.Equal(t, Burden{Reflector: 0.5, Shade: 0.5}, mean)
}

// The kit's reflectors are tried, the smallest first, on the shadow side first;
// the one carried alone where there is one and the method has none.
func TestReflectorsTried(t *testing.T) {
	s := testShoot()
	small := scene.Reflector{Name: "small", Width: 0.5, Length: 0.5, Reflectance: 0.8, Gain: 1}
	large := scene.Reflector{Name: "large", Width: 2, Length: 2, Reflectance: 0.8, Gain: 1}
	s.Kit = &shoot.Library{Reflectors: []scene.Reflector{large, small}}
	list := func(m shoot.Method) []Cure {
		var cures []Cure
		for _, r := range NewSolver(s).reflectors(&Solution{Method: m}, NewSolver(s).stock().reflectors) {
			cures = append(cures, r.cure)
		}
		return cures
	}
	of := func(name string, degrees float64, m shoot.Method) Cure {
		return Cure{Kind: CarryReflector, Name: name, Value: degrees, Method: m}
	}
	assert.Equal(t, []Cure{of("silver", -30, shoot.Reflector), of("silver", -30, shoot.ReflectorSync),
		of("silver", 30, shoot.Reflector), of("silver", 30, shoot.ReflectorSync)}, list(shoot.Sync))
	s.Reflector = nil
	got := list(shoot.Sync)
	require.Len(t, got, 8)
	assert.Equal(t, of("small", -30, shoot.Reflector), got[0])
	assert.Equal(t, of("large", 30, shoot.ReflectorSync), got[7])
	held := small
	held.Distance, held.Angle = 2, sky.Degrees(-20)
	s.Reflector = &held
	got = list(shoot.Reflector)
	require.Len(t, got, 7, "all but what is done already")
	assert.Equal(t, of("small", -20, shoot.ReflectorSync), got[0])
}

// A run without flash has neither flash nor gel, and is packed as what it takes:
// the panel and a person. Where the panel is turned another way, that is a cue.
func TestReflectorRun(t *testing.T) {
	s := testShoot()
	s.Methods = []shoot.Method{shoot.Reflector}
	s.Wish, s.Gels = flash.ColourWish{Kind: flash.MatchLight}, []flash.Gel{{Name: "half", Loss: 0.5, Shift: 81}}
	s.Subject.Facing = scene.Facing{Azimuth: sky.Degrees(250)}
	s.Look = shoot.Look{Ratio: 3, AtMost: sky.Stops(math.Inf(1))}
	s.When.To.Offset = 30 * 60e9
	p, err := Make(t.Context(), s)
	require.NoError(t, err)
	assert.Equal(t, []Item{{ReflectorItem, 1, "silver"}, {ReflectorHandItem, 1, ""}}, p.Packing())
	r := &p.Runs[0]
	assert.False(t, r.Flashes)
	assert.Equal(t, Gel{}, r.Gel)
	turns := 0
	for i := range r.Minutes[1:] {
		if r.Minutes[i].Reflected.Turn != r.Minutes[i+1].Reflected.Turn {
			turns++
		}
	}
	cues := 0
	for _, c := range r.Cues() {
		for _, ch := range c.Changes {
			if ch.Control == TurnControl {
				cues++
				assert.NotEqual(t, c.Was.Reflected.Turn, c.Set.Reflected.Turn)
				assert.Contains(t, []ReasonKind{PanelTurned, SkyTurned}, c.Reason.Kind)
			}
		}
	}
	assert.Positive(t, turns)
	assert.Equal(t, turns, cues)
}

// In open shade the light is that of sky and ground: bluer than with the sun on
// the face.
func TestOpenShadeIsBlue(t *testing.T) {
	s := testShoot()
	m := at(s, sky.Described(sky.Clear), 20, 20)
	v := NewSolver(s)
	sun, shade := v.keyColour(shoot.Sync, m), v.keyColour(shoot.OpenShade, m)
	assert.Greater(t, shade, sun+1500)
	fromSky := m.Light.SkyOn(m.Stance.KeyPlane() - m.Sun.Azimuth)
	assert.Equal(t, m.Light.ColourOf(0, fromSky/2, m.Light.Ground, m.Stance.KeyPlane()-m.Sun.Azimuth), shade)
}
