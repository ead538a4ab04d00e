package flash

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Light on the axis of an even disc goes with 1 / (d^2 + r^2) (any handbook of
// radiometry); worked by hand for a side of 0.6 x 0.9 m, a disc of radius
// 0.415 m: -0.23 stop at 1 m, and at 0.5 m -0.69 stop against 2 m.
func TestNearField(t *testing.T) {
	box := Modifier{Size: 0.75, Width: 0.6, Length: 0.9}
	stops := func(d float64) float64 { return math.Log2(box.NearField(d)) }
	assert.InDelta(t, -0.23, stops(1), 0.005)
	assert.InDelta(t, -0.69, stops(0.5)-stops(2), 0.005)
	assert.InDelta(t, 0.54, box.Area(), 1e-12)
	round := Modifier{Size: 1.5}
	assert.InDelta(t, math.Log2(1/(1+0.75*0.75)), math.Log2(round.NearField(1)), 1e-12)
	bare := Modifier{}
	assert.Equal(t, 1.0, bare.NearField(0.2))
}

// The same from the disc itself, cut into rings of one luminance, of which each
// lights the face with the fourth power of the cosine to the axis (cosine law
// at both ends, and the inverse square).
func TestNearFieldAgainstSummedDisc(t *testing.T) {
	const radius = 0.6
	m := Modifier{Size: 2 * radius}
	for _, d := range []float64{0.3, 0.7, 1.5, 4} {
		const parts = 4000
		sum := 0.0 // of luminance 1
		for i := range parts {
			r := (float64(i) + 0.5) * radius / parts
			cos := d / math.Hypot(d, r)
			sum += cos * cos * cos * cos / (d * d) * 2 * math.Pi * r * radius / parts
		}
		inverseSquare := math.Pi * radius * radius / (d * d)
		assert.InEpsilon(t, sum/inverseSquare, m.NearField(d), 1e-5, "%g m", d)
	}
}

// Far from a modifier light goes with the inverse square; near it, it rises
// with every step nearer, but never to more than the whole of the disc's own
// light, 2.5 GN^2 / r^2; a larger modifier gives less at the same distance.
func TestLightNearAModifier(t *testing.T) {
	small := Head{Unit: unit(t), Units: 1, Zoom: 50, Modifier: Modifier{Loss: 1.5, Size: 0.6}}
	large := small
	large.Modifier.Size = 1.5
	at := func(h Head, d float64) float64 {
		h.Distance = d
		return float64(h.Full())
	}
	for d := 0.2; d < 8; d += 0.05 {
		assert.Greater(t, at(large, d), at(large, d+0.05), "%g m", d)
		assert.Greater(t, at(small, d), at(large, d), "%g m", d)
		assert.Less(t, at(large, d)/at(large, 2*d), 4.0, "slower than the square")
		assert.Less(t, at(large, d), 2.5*40*40/(0.75*0.75)*math.Exp2(-1.5))
	}
	assert.InDelta(t, 2, math.Log2(at(large, 20)/at(large, 40)), 0.01)
	assert.InDelta(t, 2, math.Log2(at(large, 200)/at(large, 400)), 1e-4)
}

// A head without zoom has its guide number from a reflector, which a modifier
// takes off.
func TestModifierLoss(t *testing.T) {
	u := unit(t)
	h := Head{Unit: u, Units: 1, Distance: 2, Modifier: Modifier{Loss: 1.5, ReflectorLoss: 2.3, Zoom: 24}}
	assert.EqualValues(t, 1.5, h.ModifierLoss())
	u.Guide = []GuideNumber{{0, 67}}
	assert.EqualValues(t, 2.3, h.ModifierLoss())
	assert.InDelta(t, 2.3, math.Log2(2.5*67*67/4/float64(h.Full())), 1e-12)
	h.Modifier.ReflectorLoss = 0
	assert.EqualValues(t, 1.5, h.ModifierLoss())
}

// Common practice, no source: a run in high-speed sync heats a head about twice
// as fast, so half as many frames are left; half the power doubles them.
func TestBurstFrames(t *testing.T) {
	u := Unit{BurstLimit: 20}
	assert.Equal(t, 20.0, u.BurstFrames(0, false))
	assert.Equal(t, 10.0, u.BurstFrames(0, true))
	assert.InEpsilon(t, 80, u.BurstFrames(-12, false), 1e-12)
	assert.InEpsilon(t, u.BurstFrames(-12, false), u.BurstFrames(-18, true), 1e-12)
}
