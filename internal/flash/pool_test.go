package flash

import (
	"math"
	"math/rand/v2"
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

// Face to feet, 1.6 m, by hand: cos^3 of the slant, and with a disc of radius r
// (d^2 + r^2) besides.
//
//   - bare at 2 m: sqrt(4 + 2.56) = 2.561 m; (2.561 / 2)^3 = 2.100: 1.07 stops;
//   - bare at 4 m: sqrt(18.56) / 4 = 1.0770; ^3 = 1.2494: 0.32;
//   - 60 x 90 cm at 2 m, r^2 = 0.54 / pi = 0.1719: 1.2806 x 6.7319 / 4.1719 =
//     2.0664: 1.05;
//   - 60 x 90 cm at 1 m: 1.8868 x 3.7319 / 1.1719 = 6.008: 2.59.
func TestFallOffByHand(t *testing.T) {
	box := Modifier{Loss: 1.5, Size: 0.75, Width: 0.6, Length: 0.9}
	for _, c := range []struct {
		modifier        Modifier
		distance, below float64
		want            sky.Stops
	}{
		{Modifier{}, 2, 1.6, 1.07}, {Modifier{}, 4, 1.6, 0.32}, {box, 2, 1.6, 1.05}, {box, 1, 1.6, 2.59}, {box, 2, 0, 0},
	} {
		h := Head{Unit: unit(t), Units: 1, Distance: c.distance, Zoom: 24, Modifier: c.modifier}
		assert.InDelta(t, float64(c.want), float64(h.FallOff(c.below)), 0.006, "%+v", c)
	}
}

// Farther off, the feet gain on the face; a larger modifier evens it out.
func TestFallOffShrinks(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 500 {
		size := 0.2 + 1.5*random.Float64()
		h := Head{Unit: unit(t), Units: 1, Distance: 0.5 + 5*random.Float64(), Zoom: 24,
			Modifier: Modifier{Loss: 1, Size: size}}
		below := 0.2 + 1.6*random.Float64()
		was := h.FallOff(below)
		farther, larger := h, h
		farther.Distance *= 1.1
		larger.Modifier.Size *= 1.1
		assert.Positive(t, float64(was))
		assert.Greater(t, float64(h.FallOff(below*1.1)), float64(was))
		assert.Less(t, float64(larger.FallOff(below)), float64(was))
		// A modifier nearly as large as its distance has no such law.
		if h.Distance > 2*size {
			assert.Less(t, float64(farther.FallOff(below)), float64(was))
		}
	}
}

// By hand: a head zoomed to 50 mm covers 36/50 by 24/50 of 2 m, 1.44 by 0.96 m,
// a stop down at the edge and two at sqrt 2 of that; a grid of 30 degrees at
// 2 m is 4 tan 15 deg = 1.072 m wide, and two stops down where two circles
// overlap by a quarter, 0.6338 diameters apart, against 0.4040 by half: 1.682 m;
// a point that glows by the cosine falls with cos^4: a stop at acos 2^-1/4 =
// 32.77 deg, 2.575 m at 2 m, and two at 45 deg, 4 m.
func TestPoolByHand(t *testing.T) {
	for _, c := range []struct {
		name                     string
		head                     Head
		kind                     PoolKind
		wide, high, wide2, high2 float64
	}{
		{"zoom", Head{Unit: unit(t), Distance: 2, Zoom: 50}, ByZoom, 1.44, 0.96, 2.036, 1.358},
		{"grid", Head{Unit: unit(t), Distance: 2, Zoom: 50,
			Modifier: Modifier{Loss: 1, Size: 0.18, Zoom: 50, Grid: sky.Degrees(30)}}, ByGrid,
			1.072, 1.072, 1.682, 1.682},
		{"point", Head{Unit: unit(t), Distance: 2, Modifier: Modifier{Loss: 1, Size: 0.001}}, BySurface, 2.575, 2.575, 4, 4},
		{"reflector", Head{Unit: &Unit{Guide: []GuideNumber{{0, 67}}}, Distance: 2}, ByReflector, 2.548, 2.548, 3.604, 3.604},
	} {
		p := c.head.Pool()
		assert.Equal(t, c.kind, p.Kind, c.name)
		w, h := p.Within(1)
		assert.InDelta(t, c.wide, w, 0.002, c.name)
		assert.InDelta(t, c.high, h, 0.002, c.name)
		w, h = p.Within(2)
		assert.InDelta(t, c.wide2, w, 0.002, c.name)
		assert.InDelta(t, c.high2, h, 0.002, c.name)
	}
}

// The form of the disc against its integral: every patch gives cos^2 / (pi s^2).
func TestDiscAgainstItsIntegral(t *testing.T) {
	for _, c := range []struct{ distance, radius, aside float64 }{
		{1, 0.5, 0}, {1, 0.5, 0.8}, {2, 0.4, 1.6}, {0.6, 0.5, 0.3},
	} {
		p := Pool{Kind: BySurface, Distance: c.distance, radius: c.radius}
		const rings, spokes = 400, 400
		var sum float64
		for i := range rings {
			r := c.radius * (float64(i) + 0.5) / rings
			for k := range spokes {
				sin, cos := math.Sincos(2 * math.Pi * (float64(k) + 0.5) / spokes)
				x, y := r*cos-c.aside, r*sin
				s := c.distance*c.distance + x*x + y*y
				sum += c.distance * c.distance / (math.Pi * s * s) * r
			}
		}
		sum *= c.radius / rings * 2 * math.Pi / spokes
		assert.InEpsilon(t, sum, p.disc(c.aside), 1e-4, "%+v", c)
	}
	// On the axis it is the near field of a modifier.
	m := Modifier{Loss: 1, Size: 1}
	p := (&Head{Unit: unit(t), Distance: 1, Modifier: m}).Pool()
	assert.InEpsilon(t, 0.25*m.NearField(1), p.disc(0), 1e-12)
	// Both forms agree where they meet.
	near, far := Pool{Distance: 1, radius: 1.0001e-3}, Pool{Distance: 1, radius: 0.9999e-3}
	assert.InEpsilon(t, near.disc(0.7)/(near.radius*near.radius), far.disc(0.7)/(far.radius*far.radius), 1e-5)
}

// A pool grows with distance and with what may be lost, and its light falls
// outward.
func TestPoolGrows(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	modifiers := []Modifier{{}, {Loss: 1, Size: 0.9}, {Loss: 1, Size: 0.18, Grid: sky.Degrees(20)}}
	for range 300 {
		h := Head{Unit: unit(t), Distance: 0.5 + 4*random.Float64(), Zoom: 24 + 60*random.Float64(),
			Modifier: modifiers[random.IntN(3)]}
		p := h.Pool()
		h.Distance *= 1.2
		farther := h.Pool()
		w, t1 := p.Within(1)
		w2, t2 := p.Within(2)
		w3, t3 := farther.Within(1)
		assert.Greater(t, w2, w)
		assert.Greater(t, t2, t1)
		assert.Greater(t, w3, w)
		assert.Greater(t, t3, t1)
		x := w * random.Float64() / 2
		assert.Less(t, float64(p.Loss(x, 0)), float64(p.Loss(x*1.1, 0)))
		assert.InDelta(t, 1, float64(p.Loss(w/2, 0)), 0.01)
		assert.Zero(t, float64(p.Loss(0, 0)))
	}
}
