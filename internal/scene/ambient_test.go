package scene

import (
	"math"
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

// cast returns the light on an upright plane at the head by looking into
// every direction of its half sphere: panel, sky or ground.
func cast(s *Scrim, l *sky.Light, sun sky.Sun, facing sky.Angle) float64 {
	p := s.place(sun, HeadAndShoulders)
	n := toward(0, facing)
	glow := float64(s.sent(&p, l, sun)) / math.Pi
	ground := float64(l.Ground) * 2 / math.Pi
	meets := func(d vector) bool {
		t := p.centre.dot(p.normal) / d.dot(p.normal)
		q := d.times(t).minus(p.centre)
		return t > 0 && math.Abs(q.dot(p.across)) <= p.across.dot(p.across) && math.Abs(q.dot(p.along)) <= p.along.dot(p.along)
	}
	ray := toward(sun.Altitude, sun.Azimuth)
	const step = 1 * math.Pi / 180
	var sum float64
	for alt := -math.Pi/2 + step/2; alt < math.Pi/2; alt += step {
		for az := -math.Pi/2 + step/2; az < math.Pi/2; az += step {
			d := toward(sky.Angle(alt), facing+sky.Angle(az))
			luminance := ground
			switch {
			case meets(d):
				luminance = glow
			case alt > 0:
				luminance = float64(l.Luminance(sky.Angle(alt), facing+sky.Angle(az)-sun.Azimuth))
			case p.shades(d.times(-headHeight/d.z), ray):
				luminance *= (-s.Loss).Factor()
			}
			sum += luminance * max(0, d.dot(n)) * math.Cos(alt) * step * step
		}
	}
	return sum
}

// The light under a scrim against rays cast into every direction, with the
// luminance of the standard sky in each. The estimate knows the sky behind
// the panel by five points only, and spreads the rest evenly.
func TestUnderAgainstCastRays(t *testing.T) {
	var worst float64
	for _, s := range []Scrim{
		{Width: 1.2, Length: 1.8, Loss: 1, Distance: 1}, {Width: 2.4, Length: 2.4, Loss: 2, Distance: 1.2},
		{Width: 2.4, Length: 2.4, Loss: 1, Height: 1.2, Reach: 1}, {Width: 1.8, Length: 1.8, Loss: 1.67, Height: 0.8, Tilt: sky.Degrees(30), Reach: 0.6},
	} {
		for _, h := range []float64{2, 5, 10, 20, 40, 65} {
			for _, facing := range []sky.Angle{0, sky.Degrees(110), sky.Degrees(180)} {
				l, sun := light(t, h, facing)
				a, _ := s.Under(&l, sun, facing, HeadAndShoulders)
				miss := float64(sky.StopsOf(float64(a.Shade) / cast(&s, &l, sun, facing)))
				worst = max(worst, math.Abs(miss))
				assert.InDelta(t, 0, miss, 0.2, "%+v, sun at %g, facing %g", s, h, facing.Degrees())
			}
		}
	}
	t.Logf("worst light under a scrim %.3f stop off the cast rays", worst)
}
