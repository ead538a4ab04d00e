package scene

import (
	"math"
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// white and silver are panels of 1 m2, 1.5 m off on the shadow side.
func white() Reflector {
	return Reflector{Width: 1, Length: 1, Reflectance: 0.8, Gain: 1, Distance: 1.5, Angle: sky.Degrees(-30)}
}

func silver() Reflector {
	r := white()
	r.Reflectance, r.Gain = 0.85, 3
	return r
}

// fromFacing is the light on an upright plane that faces the reflector.
func fromFacing(r *Reflector, l *sky.Light, sun sky.Sun, s Stance) float64 {
	aim := s.Toward(r.Angle)
	sees := l.SkyOn(aim - sun.Azimuth)
	h := r.hold(l, sun, s)
	if h.turn == Down {
		return float64(sees + l.Ground)
	}
	return float64(h.on(l, aim, sees).light)
}

// A panel square to a plane, the plane's normal through its middle, is four of
// the handbook's rectangles with the normal through a corner (any catalogue of
// radiation configuration factors; from memory).
func TestReflectorFactorAgainstHandbook(t *testing.T) {
	corner := func(a, b, c float64) float64 {
		x, y := a/c, b/c
		return (x/math.Hypot(1, x)*math.Atan(y/math.Hypot(1, x)) +
			y/math.Hypot(1, y)*math.Atan(x/math.Hypot(1, y))) / (2 * math.Pi)
	}
	l, sun := light(t, 30, 0)
	for _, size := range [][3]float64{{1, 1, 1.5}, {1.2, 1.8, 1}, {0.8, 0.8, 0.5}, {2, 3, 2}} {
		r := Reflector{Width: size[0], Length: size[1], Reflectance: 1, Gain: 1, Distance: size[2], Angle: sky.Degrees(-30)}
		aim := Stance{0, Left}.Toward(r.Angle)
		p, ok := r.place(aim, sun, Square)
		require.True(t, ok)
		h := r.raise(&p, &l, sun, aim, Square)
		assert.InDelta(t, 4*corner(size[0]/2, size[1]/2, size[2]), h.facing, 1e-12, "%v", size)
	}
}

// The light on key side and shadow side is the panel's light times the exact
// configuration factor from each plane: for a small panel that is a vector from
// its angle, cos(45 - phi) on the key side and cos(45 + phi) on the other.
func TestSmallReflectorIsAVector(t *testing.T) {
	l, sun := light(t, 30, 0)
	for _, key := range []Hand{Left, Right} {
		for phi := -40.; phi <= 40; phi += 10 {
			s := Stance{sky.Degrees(20), key}
			r := Reflector{Width: 0.05, Length: 0.05, Reflectance: 0.75, Gain: 3, Distance: 2, Angle: sky.Degrees(phi)}
			h := r.hold(&l, sun, s)
			require.Equal(t, Halfway, h.turn)
			keyShare, shadowShare := FlashOnFace(r.Angle)
			assert.InDelta(t, keyShare, h.whole.factor(toward(0, s.KeyPlane()))/h.facing, 0.01, "%v %g", key, phi)
			assert.InDelta(t, shadowShare, h.whole.factor(toward(0, s.ShadowPlane()))/h.facing, 0.01, "%v %g", key, phi)
		}
	}
}

// A white reflector of 1 m2 at 1.5 m in full sun adds about 4 klx to the face, a
// silver one about 14 klx (common practice, no source; it says nothing of the
// sun's side). Over suns of 30 to 60 deg from all sides these are the means. The
// silver's gain is chosen so that they are.
func TestReflectorAgainstPractice(t *testing.T) {
	mean := func(r Reflector) float64 {
		sum, n := 0., 0.
		for _, altitude := range []float64{30, 45, 60} {
			for facing := 0.; facing < 360; facing += 15 {
				l, sun := light(t, altitude, sky.Degrees(facing))
				s := Stance{sky.Degrees(facing), Left}
				sum += float64(r.Beside(&l, sun, s).Ambient.Face - l.Face)
				n++
			}
		}
		return sum / n
	}
	w, s := mean(white()), mean(silver())
	t.Logf("white adds %.0f lx, silver %.0f lx", w, s)
	const tenth = 0.1 // of a stop, as a meter reads
	assert.InDelta(t, 0, math.Log2(w/4000), tenth)
	assert.InDelta(t, 0, math.Log2(s/14000), tenth)
}

// The light beside a reflector against rays cast into every direction: of the
// panel its luminance, of the sky the standard's, of the ground the mean. The
// panel's own light against the formulas of lambertian planes and mirrors.
func TestBesideAgainstCastRays(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	worst := 0.
	for _, r := range []Reflector{white(), silver(),
		{Width: 1.2, Length: 1.8, Reflectance: 0.8, Gain: 1, Distance: 1.2, Angle: sky.Degrees(-45)},
		{Width: 1.5, Length: 1, Reflectance: 0.8, Gain: 2, Distance: 1, Angle: sky.Degrees(20)}} {
		for _, altitude := range []float64{5, 20, 50} {
			for _, facing := range []sky.Angle{0, sky.Degrees(75), sky.Degrees(140), sky.Degrees(200)} {
				l, sun := light(t, altitude, facing)
				s := Stance{facing, Right}
				b := r.Beside(&l, sun, s)
				if b.Turn == Down {
					continue
				}
				p, _ := r.place(s.Toward(r.Angle), sun, b.Turn)
				glow := lamp(&r, &p, &l, sun, s, b.Turn)
				want := around(&p, glow, &l, sun, s.ShadowPlane())
				miss := math.Log2(float64(b.Ambient.Shadow) / want)
				worst = max(worst, math.Abs(miss))
				assert.InDelta(t, 0, miss, 0.1, "%+v, sun at %g, facing %g", r, altitude, facing.Degrees())
			}
		}
	}
	t.Logf("worst light beside a reflector %.3f stop off the cast rays", worst)
}

// lamp is the luminance of a panel worked out again: reflectance / pi times the
// beam by its cosine, brighter by the gain but no more than a mirror's, and sky
// and ground.
func lamp(r *Reflector, p *panel, l *sky.Light, sun sky.Sun, s Stance, turn Turn) float64 {
	tilt, azimuth := p.normal.z, sky.Angle(math.Atan2(p.normal.x, p.normal.y))
	e := float64(l.DiffuseHorizontal)*tilt + float64(l.SkyOn(azimuth-sun.Azimuth)+l.Ground)*(1-tilt)
	if turn == Halfway {
		beam := float64(l.DirectNormal) * p.normal.dot(toward(sun.Altitude, sun.Azimuth))
		whole := p.outline()
		seen := whole.factor(toward(0, s.Toward(r.Angle)))
		e += min(r.Gain*beam, float64(l.DirectNormal)/seen)
	}
	return r.Reflectance * e / math.Pi
}

// around casts rays from an upright plane at the head.
func around(p *panel, glow float64, l *sky.Light, sun sky.Sun, facing sky.Angle) float64 {
	n, ground := toward(0, facing), float64(l.Ground)*2/math.Pi
	const step = 0.5 * math.Pi / 180
	var sum float64
	for alt := -math.Pi/2 + step/2; alt < math.Pi/2; alt += step {
		for az := -math.Pi/2 + step/2; az < math.Pi/2; az += step {
			d := toward(sky.Angle(alt), facing+sky.Angle(az))
			t := p.centre.dot(p.normal) / d.dot(p.normal)
			q := d.times(t).minus(p.centre)
			luminance := ground
			switch {
			case t > 0 && math.Abs(q.dot(p.across)) <= p.across.dot(p.across) &&
				math.Abs(q.dot(p.along)) <= p.along.dot(p.along):
				luminance = glow
			case alt > 0:
				luminance = float64(l.Luminance(sky.Angle(alt), facing+sky.Angle(az)-sun.Azimuth))
			}
			sum += luminance * max(0, d.dot(n)) * math.Cos(alt) * step * step
		}
	}
	return sum
}

// Halfway between sitter and sun the angles to both are equal, and no other
// turn of a small matt panel gives more of the beam.
func TestHalfwayIsBest(t *testing.T) {
	r := white()
	for _, altitude := range []float64{2, 25, 60} {
		for facing := 0.; facing < 360; facing += 40 {
			sun := sky.Sun{Altitude: sky.Degrees(altitude), Azimuth: sky.Degrees(180)}
			aim := Stance{sky.Degrees(facing), Left}.Toward(r.Angle)
			p, ok := r.place(aim, sun, Halfway)
			require.True(t, ok)
			ray, back := toward(sun.Altitude, sun.Azimuth), toward(0, aim).times(-1)
			assert.InDelta(t, p.normal.dot(ray), p.normal.dot(back), 1e-12)
			assert.InDelta(t, 1, p.normal.length(), 1e-12)
			assert.InDelta(t, 0.5, p.across.length(), 1e-12)
			assert.InDelta(t, 0.5, p.along.length(), 1e-12)
			assert.InDelta(t, 0, p.across.z, 1e-12, "its width is level")
			best := p.normal.dot(ray) * p.normal.dot(back)
			for _, by := range []vector{{0.1, 0, 0}, {-0.1, 0, 0}, {0, 0.1, 0}, {0, -0.1, 0}, {0, 0, 0.1}, {0, 0, -0.1}} {
				n := p.normal.plus(by)
				n = n.times(1 / n.length())
				assert.Less(t, n.dot(ray)*n.dot(back), best+1e-12)
			}
		}
	}
}

// With the sun behind the panel it throws sky and ground alone, and a panel that
// would take more than it gives, or stand in the sun's way, is put down: then
// the light is that under the open sky.
func TestReflectorTurns(t *testing.T) {
	r := silver()
	turn := func(altitude, facing float64) Turn {
		l, sun := light(t, altitude, sky.Degrees(facing))
		s := Stance{sky.Degrees(facing), Left}
		b := r.Beside(&l, sun, s)
		if b.Turn == Down {
			assert.Equal(t, Bounce{Ambient: Open(&l, sun, s)}, b)
		}
		return b.Turn
	}
	assert.Equal(t, Halfway, turn(30, 0), "the sun behind the sitter")
	assert.Equal(t, Halfway, turn(30, 90), "from the side")
	// The panel stands 30 deg to the right of the camera: a low sun there is
	// kept off the face.
	assert.Equal(t, Down, turn(5, 210))
	assert.NotEqual(t, Down, turn(40, 210), "over it")
	_, ok := r.place(sky.Degrees(180), sky.Sun{Azimuth: sky.Degrees(180)}, Halfway)
	assert.False(t, ok, "nothing lies halfway to the opposite direction")

	// Without sun a dull panel hides more than it throws.
	l, sun := light(t, 30, 0)
	l.DirectNormal = 0
	for reflectance, want := range map[float64]Turn{0.05: Down, 1: Square} {
		dull := white()
		dull.Reflectance = reflectance
		assert.Equal(t, want, dull.Beside(&l, sun, Stance{0, Left}).Turn, "%g", reflectance)
	}
}

// Square to the sitter is for a weak sun, or one behind the panel: what of it
// would shine on the panel's face and is left out is next to nothing.
func TestSquareLeavesLittleSunOut(t *testing.T) {
	square, worst := 0, 0.
	for _, r := range []Reflector{white(), silver()} {
		for _, altitude := range []float64{1, 10, 30, 60} {
			for facing := 0.; facing < 360; facing += 5 {
				for _, weak := range []sky.Lux{1, 0.1, 0.03, 0.01, 0} {
					l, sun := light(t, altitude, sky.Degrees(facing))
					l.DirectNormal *= weak
					s := Stance{sky.Degrees(facing), Left}
					h := r.hold(&l, sun, s)
					if h.turn != Square {
						continue
					}
					square++
					cos := max(0, h.panel.normal.dot(toward(sun.Altitude, sun.Azimuth)))
					left := r.Reflectance * float64(l.DirectNormal) * cos * h.facing
					worst = max(worst, math.Log2(1+left/fromFacing(&r, &l, sun, s)))
				}
			}
		}
	}
	t.Logf("at most %.3f stop left out, %d times square", worst, square)
	assert.Positive(t, square)
	assert.Less(t, worst, 0.02)
}

// A panel that would keep the sun off the face is not held so, however weak the
// sun; and one held toward a sun that has set is held as with it on the horizon.
func TestReflectorAndTheLowSun(t *testing.T) {
	r := white()
	r.Reflectance = 1
	d := sky.NewDaylight(sky.Place{Latitude: sky.Degrees(50)}, 0.2, nil)
	sun := sky.Sun{Altitude: sky.Degrees(4), TrueAltitude: sky.Degrees(4), Azimuth: sky.Degrees(180), Distance: 1}
	s := Stance{sky.Degrees(210), Left} // the panel toward the sun
	l := d.At(sky.Described(sky.Overcast), sky.SunOut, sun, sky.View{Facing: s.Facing})
	require.Equal(t, Square, r.Beside(&l, sun, s).Turn, "no sun to keep off")
	l.DirectNormal = 1
	assert.NotEqual(t, Square, r.Beside(&l, sun, s).Turn)
	sun.Altitude = sky.Degrees(40)
	assert.NotEqual(t, Down, r.Beside(&l, sun, s).Turn, "over the panel")

	set, level := sun, sun
	set.Altitude, level.Altitude = sky.Degrees(-5), 0
	a, _ := r.place(0, set, Halfway)
	b, _ := r.place(0, level, Halfway)
	assert.Equal(t, b, a)
}

// Limits: without sun and sky there is nothing to throw; far away, or without
// size, it does nothing; a larger, a brighter and a nearer one never gives less.
func TestReflectorLimits(t *testing.T) {
	s := Stance{0, Left}
	var unlit sky.Light
	r := silver()
	assert.Equal(t, Bounce{}, r.Beside(&unlit, sky.Sun{Altitude: 0.5}, s))

	for _, facing := range []sky.Angle{0, sky.Degrees(110), sky.Degrees(150)} { // the beam on none, and on all sides
		l, sun := light(t, 30, facing)
		s := Stance{facing, Left}
		open := Open(&l, sun, s)
		for _, r := range []Reflector{
			{Width: 1, Length: 1, Reflectance: 0.9, Gain: 3, Distance: 1e5, Angle: -0.5},
			{Width: 1e-4, Length: 1e-4, Reflectance: 0.9, Gain: 3, Distance: 1.5, Angle: -0.5}} {
			b := r.Beside(&l, sun, s)
			require.Equal(t, Halfway, b.Turn)
			for _, pair := range [][2]sky.Lux{{open.Lit, b.Ambient.Lit}, {open.Shade, b.Ambient.Shade},
				{open.Face, b.Ambient.Face}, {open.Key, b.Ambient.Key}, {open.Shadow, b.Ambient.Shadow},
				{open.Beam, b.Ambient.Beam}} {
				assert.InEpsilon(t, float64(pair[0]), float64(pair[1]), 1e-6)
			}
		}
	}
	rises := func(what string, values []float64, change func(*Reflector, float64)) {
		for _, start := range []Reflector{white(), silver()} {
			for _, altitude := range []float64{3, 20, 50} {
				for facing := 0.; facing < 360; facing += 30 {
					l, sun := light(t, altitude, sky.Degrees(facing))
					last := 0.
					for _, v := range values {
						r := start
						change(&r, v)
						p, _ := r.place(sky.Degrees(facing), sun, Square)
						if p.blocks(sun) {
							continue
						}
						is := fromFacing(&r, &l, sun, Stance{sky.Degrees(facing), Left})
						assert.GreaterOrEqual(t, is, last*(1-1e-9), "%s %g, sun at %g, facing %g", what, v, altitude, facing)
						last = is
					}
				}
			}
		}
	}
	rises("reflectance", []float64{0.1, 0.3, 0.5, 0.7, 0.9, 1}, func(r *Reflector, v float64) { r.Reflectance = v })
	rises("gain", []float64{1, 1.5, 2, 4, 8}, func(r *Reflector, v float64) { r.Gain = v })
}

// A larger panel never throws less on the face.
func TestLargerReflectorGivesMore(t *testing.T) {
	for _, start := range []Reflector{white(), silver()} {
		for _, facing := range []float64{0, 60, 90, 120} {
			l, sun := light(t, 30, sky.Degrees(facing))
			last := 0.
			for size := 0.2; size < 2.5; size += 0.1 {
				r := start
				r.Width, r.Length = size, size
				is := fromFacing(&r, &l, sun, Stance{sky.Degrees(facing), Left})
				assert.GreaterOrEqual(t, is, last, "%g m, facing %g", size, facing)
				last = is
			}
		}
	}
}

// However large and near, a mirror gives no more than the beam and its share of
// sky and ground.
func TestSilverGivesNoMoreThanTheBeam(t *testing.T) {
	r := silver()
	r.Width, r.Length, r.Gain = 3, 3, 50
	for _, facing := range []float64{0, 60, 120} {
		l, sun := light(t, 30, sky.Degrees(facing))
		s := Stance{sky.Degrees(facing), Left}
		b := r.hold(&l, sun, s)
		require.Equal(t, Halfway, b.turn)
		thrown := float64(b.beam) * b.gain * r.Reflectance * b.facing
		assert.InEpsilon(t, r.Reflectance*float64(l.DirectNormal), thrown, 1e-9)
		small := r
		small.Width, small.Length, small.Gain = 0.1, 0.1, 2
		h := small.hold(&l, sun, s)
		assert.Equal(t, 2., h.gain, "a small one has its stated gain")
	}
}

// The light beside a reflector goes on without a jump as the sitter turns,
// unless the panel comes into the sun's way; before houses neither.
func TestReflectorIsContinuous(t *testing.T) {
	r := silver()
	const altitude, step = 40, 0.25
	for _, h := range []sky.Horizon{nil, {{Azimuth: 0, Altitude: sky.Degrees(30)}, {Azimuth: sky.Degrees(45)},
		{Azimuth: sky.Degrees(46), Altitude: sky.Degrees(35)}, {Azimuth: sky.Degrees(200), Altitude: sky.Degrees(5)}}} {
		var last float64
		for facing := 0.; facing <= 360; facing += step {
			l, sun := lightOver(h, altitude, sky.Degrees(facing))
			is := fromFacing(&r, &l, sun, Stance{sky.Degrees(facing), Left})
			if facing > 0 {
				assert.InDelta(t, 0, math.Log2(is/last), 0.02, "facing %g", facing)
			}
			last = is
		}
	}
}

// A panel that would stand into the ground is raised until it stands on it.
func TestTallReflectorStandsOnTheGround(t *testing.T) {
	r := white()
	r.Length = 4
	p, _ := r.place(0, sky.Sun{}, Square)
	assert.InDelta(t, -headHeight, p.lowEdge(), 1e-12)
	r.Length = 1
	p, _ = r.place(0, sky.Sun{}, Square)
	assert.InDelta(t, -0.5, p.lowEdge(), 1e-12)
}

// An 85 mm lens at 2.5 m sees head and shoulders 0.7 m wide: a panel of 1 m at
// 1.5 m stands in the picture 10 deg off the axis, and not 30; what is down does
// not.
func TestReflectorInFrame(t *testing.T) {
	camera := Camera{Optics{FocalLength: 85, FNumber: 2.8, FrameHeight: 24}, 2.5, HeadAndShoulders}
	l, sun := light(t, 30, 0)
	s := Stance{0, Left}
	for angle, in := range map[float64]bool{-10: true, 10: true, -30: false, 30: false, -45: false} {
		r := white()
		r.Angle = sky.Degrees(angle)
		b := r.Beside(&l, sun, s)
		assert.Equal(t, in, b.InFrame(s.Facing, camera), "%g", angle)
	}
	r := white()
	r.Angle = sky.Degrees(-10)
	low, lowSun := light(t, 5, sky.Degrees(190))
	b := r.Beside(&low, lowSun, Stance{sky.Degrees(190), Left})
	require.Equal(t, Down, b.Turn)
	assert.False(t, b.InFrame(sky.Degrees(190), camera))
	b.panel = panel{normal: up, across: vector{x: 1}, along: vector{y: 1}}
	assert.False(t, b.InFrame(0, camera), "down, wherever it lies")
}

// What Derive tells is what Beside does.
func TestReflectorDerivation(t *testing.T) {
	for _, r := range []Reflector{white(), silver()} {
		for facing := 0.; facing < 360; facing += 25 {
			l, sun := light(t, 25, sky.Degrees(facing))
			s := Stance{sky.Degrees(facing), Right}
			d, up := r.Derive(&l, sun, s)
			b := r.Beside(&l, sun, s)
			require.Equal(t, b.Turn != Down, up)
			if !up {
				continue
			}
			assert.Equal(t, b.Turn, d.Turn)
			assert.Equal(t, b.Ambient, d.Ambient)
			assert.Equal(t, b.Ambient.Shadow, d.Shadow.Light)
			assert.Equal(t, b.Ambient.Shade, d.Shade.Light)
		}
	}
}

// Open shade: no beam, its share of the sky on every plane, all of the ground;
// with all of the sky it is the open sky without sun.
func TestOpenShade(t *testing.T) {
	for _, facing := range []float64{0, 100, 180} {
		l, sun := light(t, 40, sky.Degrees(facing))
		s := Stance{sky.Degrees(facing), Left}
		whole, none := Shade{1}.Under(&l, sun, s), Shade{}.Under(&l, sun, s)
		open := Ambient{Lit: l.SkyLit + l.Ground, Shade: l.Shade, Face: l.Shade,
			Key: l.SkyOn(s.KeyPlane()-sun.Azimuth) + l.Ground, Shadow: Open(&l, sun, s).Shadow}
		assert.Zero(t, whole.Beam)
		assert.Equal(t, Ambient{Lit: l.Ground, Shade: l.Ground, Face: l.Ground, Key: l.Ground, Shadow: l.Ground}, none)
		half := Shade{UsualSkyShare}.Under(&l, sun, s)
		for _, of := range []func(*Ambient) sky.Lux{
			func(a *Ambient) sky.Lux { return a.Lit }, func(a *Ambient) sky.Lux { return a.Shade },
			func(a *Ambient) sky.Lux { return a.Face }, func(a *Ambient) sky.Lux { return a.Key },
			func(a *Ambient) sky.Lux { return a.Shadow }} {
			assert.InEpsilon(t, float64(of(&open)), float64(of(&whole)), 1e-12)
			assert.InEpsilon(t, float64(of(&whole)+of(&none))/2, float64(of(&half)), 1e-12)
		}
	}
}
