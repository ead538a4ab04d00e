package scene

import (
	"math"
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// factor returns the configuration factor from a small plane to the panel.
func (p *panel) factor(n vector) float64 {
	o := p.outline()
	return o.factor(n)
}

// flat is a level panel a wide (east) and b long (north) at height c, its
// south-west corner above the subject's head.
func flat(a, b, c float64) panel {
	return panel{
		centre: vector{a / 2, b / 2, c}, normal: up,
		across: vector{a / 2, 0, 0}, along: vector{0, b / 2, 0},
	}
}

// Analytic factors from a small plane to a rectangle (any catalogue of
// radiation configuration factors; formulas from memory, confirmed below by
// quadrature).
func TestFactorAgainstAnalyticFormulas(t *testing.T) {
	parallel := func(a, b, c float64) float64 { // normal through a corner
		x, y := a/c, b/c
		return (x/math.Hypot(1, x)*math.Atan(y/math.Hypot(1, x)) +
			y/math.Hypot(1, y)*math.Atan(x/math.Hypot(1, y))) / (2 * math.Pi)
	}
	// The small plane faces north; the panel's edge a lies above it.
	perpendicular := func(a, b, c float64) float64 {
		x, y := b/a, c/a
		return (math.Atan(1/y) - y/math.Hypot(x, y)*math.Atan(1/math.Hypot(x, y))) / (2 * math.Pi)
	}
	for _, s := range [][3]float64{{1, 1, 1}, {1.2, 1.8, 0.8}, {0.3, 2, 1.5}, {8, 8, 0.5}, {2, 0.1, 3}} {
		p := flat(s[0], s[1], s[2])
		assert.InDelta(t, parallel(s[0], s[1], s[2]), p.factor(up), 1e-12, "level, %v", s)
		assert.InDelta(t, perpendicular(s[0], s[1], s[2]), p.factor(vector{0, 1, 0}), 1e-12, "upright, %v", s)
	}
}

// The same by brute force, for planes that cut the panel in two.
func TestFactorAgainstQuadrature(t *testing.T) {
	worst := 0.0
	for _, n := range []vector{up, {0, 1, 0}, {0, -1, 0}, {0.6, 0, 0.8}, {-0.6, 0.48, 0.64}, {0, 0, -1}} {
		p := panel{
			centre: vector{0.2, 0.3, 0.9}, normal: vector{0, 0.6, 0.8},
			across: vector{0.6, 0, 0}, along: vector{0, 0.72, -0.54},
		}
		const steps = 400
		var want float64
		area := 4 * p.across.length() * p.along.length() / (steps * steps)
		for i := range steps {
			for j := range steps {
				q := p.centre.plus(p.across.times((2*float64(i)+1)/steps - 1)).plus(p.along.times((2*float64(j)+1)/steps - 1))
				r := q.length()
				want += max(0, q.dot(n)/r) * math.Abs(q.dot(p.normal)/r) / (math.Pi * r * r) * area
			}
		}
		worst = max(worst, math.Abs(p.factor(n)-want))
		assert.InDelta(t, want, p.factor(n), 1e-5, "%v", n)
	}
	t.Logf("worst factor against quadrature %.1e", worst)
}

// Limits of the configuration factor: a level plane right under a very large
// panel sees nothing else; an upright one sees it with half its half sphere.
func TestFactorLimits(t *testing.T) {
	p := flat(2e5, 2e5, 1)
	p.centre = vector{0, 0, 1}
	assert.InDelta(t, 1, p.factor(up), 1e-4)
	assert.InDelta(t, 0.5, p.factor(vector{0, 1, 0}), 1e-4)
	assert.InDelta(t, 0, p.factor(vector{0, 0, -1}), 1e-12)
}

// light returns a clear sky's light with the sun at an altitude due south.
func light(t *testing.T, altitude float64, facing sky.Angle) (sky.Light, sky.Sun) {
	t.Helper()
	return lightOver(nil, altitude, facing)
}

// lightOver is the same before a skyline.
func lightOver(h sky.Horizon, altitude float64, facing sky.Angle) (sky.Light, sky.Sun) {
	sun := sky.Sun{Altitude: sky.Degrees(altitude), TrueAltitude: sky.Degrees(altitude), Azimuth: sky.Degrees(180), Distance: 1}
	d := sky.NewDaylight(sky.Place{Latitude: sky.Degrees(50)}, 0.2, h)
	return d.At(sky.Described(sky.Clear), sky.SunOut, sun, sky.View{Facing: facing, Frame: sky.Frame{Altitude: sky.Degrees(10)}}), sun
}

// A plane right under a large panel loses the panel's stops: all it has left is
// what the cloth sends on, but for what sixteen directions miss of a whole sky.
// An upright face under the same panel
// loses more, which is why an overhead scrim wants fill from the front.
func TestLargePanelOverhead(t *testing.T) {
	for _, loss := range []sky.Stops{1, 1 + 2./3, 2.5} {
		s := Scrim{Width: 1e5, Length: 1e5, Loss: loss, Height: 0.5}
		l, sun := light(t, 60, sky.Degrees(180))
		p := s.place(sun, HeadAndShoulders)
		behind := p.hides(&l, sun)
		under := part{l.DiffuseHorizontal, p.factor(up), p.factor(up)}.under(s.sent(&p, &l, sun), behind.mean(up))
		assert.InDelta(t, float64(loss), float64(sky.StopsOf(float64(l.Level/under))), 0.04)

		a, covered := s.Under(&l, sun, Stance{sky.Degrees(180), Left}, HeadAndShoulders)
		require.True(t, covered)
		assert.Greater(t, float64(sky.StopsOf(float64(l.Face/a.Face))), float64(loss))
	}
}

// A panel too small to see takes nothing and gives nothing, and its shadow
// misses the figure.
func TestTinyPanelChangesNothing(t *testing.T) {
	s := Scrim{Width: 1e-4, Length: 1e-4, Loss: 1, Distance: 1}
	l, sun := light(t, 30, sky.Degrees(0))
	a, covered := s.Under(&l, sun, Stance{sky.Degrees(0), Left}, HeadAndShoulders)
	assert.False(t, covered)
	assert.InEpsilon(t, float64(l.Lit), float64(a.Lit), 1e-6)
	assert.InEpsilon(t, float64(l.Shade), float64(a.Shade), 1e-6)
	assert.InEpsilon(t, float64(l.Face), float64(a.Face), 1e-6)
}

// A denser cloth never gives more light; a panel close by softens: the
// contrast between lit side and shade falls.
func TestScrimLowersLitAndContrast(t *testing.T) {
	l, sun := light(t, 35, sky.Degrees(0))
	last := math.Inf(1)
	for _, loss := range []sky.Stops{0.5, 1, 1.5, 2, 3} {
		s := Scrim{Width: 1.2, Length: 1.8, Loss: loss, Distance: 0.8}
		a, covered := s.Under(&l, sun, Stance{sky.Degrees(0), Left}, HeadAndShoulders)
		require.True(t, covered)
		assert.Less(t, float64(a.Lit), last)
		last = float64(a.Lit)
		assert.Less(t, a.Lit/a.Shade, l.Lit/l.Shade)
	}
}

// Shadow geometry by plain trigonometry: a level panel of length L at height
// H, centred above the head and not moved, throws its shadow's middle
// H / tan(h) behind. Head and shoulders stay in it while every corner's ray
// meets the panel.
func TestOverheadShadow(t *testing.T) {
	s := Scrim{Width: 2, Length: 2, Loss: 1, Height: 1}
	covered := func(altitude float64) bool {
		return s.Covers(sky.Sun{Altitude: sky.Degrees(altitude), Azimuth: sky.Degrees(215)}, HeadAndShoulders)
	}
	// The lowest corner, 0.40 m under the head, sees the panel's plane 1.40 m
	// up at 1.40 / tan h toward the sun, within the half length of 1 m down to
	// h = atan(1.40).
	limit := math.Atan(1.40) * 180 / math.Pi
	assert.True(t, covered(90))
	assert.True(t, covered(limit+0.01))
	assert.False(t, covered(limit-0.01))
	// Room to move the panel toward the sun lets it work lower.
	s.Reach = 1
	assert.True(t, covered(limit-5))
	// The full figure needs more panel.
	s.Reach = 0
	assert.False(t, s.Covers(sky.Sun{Altitude: sky.Degrees(limit)}, FullLength))
}

// An aimed panel works at any altitude: it is square to the sun.
func TestAimedShadow(t *testing.T) {
	s := Scrim{Width: 1.2, Length: 1.8, Loss: 1, Distance: 1}
	for h := 0.5; h <= 90; h += 0.5 {
		for az := 0.0; az < 360; az += 30 {
			sun := sky.Sun{Altitude: sky.Degrees(h), Azimuth: sky.Degrees(az)}
			assert.True(t, s.Covers(sun, HeadAndShoulders), "%g %g", h, az)
		}
	}
}
