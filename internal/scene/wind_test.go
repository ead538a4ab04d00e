package scene

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Drag on a flat square of 6 ft at 10, 15, 20 and 25 mph with Cd 1.2 and
// rho 1.225: figures as published, rounded, in m and m/s as 1.83 m at 4.5, 6.7,
// 8.9 and 11.2 m/s; the unrounded speeds give them to the newton.
func TestDragAgainstPublished(t *testing.T) {
	const mph, foot = 0.44704, 0.3048
	for _, c := range []struct {
		mph, rounded WindSpeed
		want         float64
	}{{10, 4.5, 49}, {15, 6.7, 111}, {20, 8.9, 196}, {25, 11.2, 307}} {
		exact := (&Scrim{Width: 6 * foot, Length: 6 * foot}).Drag(c.mph * mph)
		round := (&Scrim{Width: 1.83, Length: 1.83}).Drag(c.rounded)
		t.Logf("%.1f m/s: %.1f N (%.1f N rounded), %.1f kg", float64(c.mph*mph), exact, round, exact.Kilograms())
		assert.InDelta(t, c.want, float64(exact), 0.6)
		assert.InEpsilon(t, c.want, float64(round), 0.02)
	}
	assert.InDelta(t, 1, Newtons(9.80665).Kilograms(), 1e-12)
	// The force goes with the square of the speed.
	s := Scrim{Width: 1.2, Length: 1.8}
	assert.InEpsilon(t, 4*float64(s.Drag(4)), float64(s.Drag(8)), 1e-12)
	assert.InEpsilon(t, GustFactor*GustFactor*float64(s.Drag(4)), float64(s.Drag(WindSpeed(4).Gust())), 1e-12)
}

// Upper limits of the Beaufort scale, m/s (WMO), and its closed form
// v = 0.836 B^1.5 for the middle of each force (1946, in WMO's manuals; from
// memory).
func TestBeaufort(t *testing.T) {
	for b, want := range map[Beaufort]WindSpeed{2: 3.3, 3: 5.4, 4: 7.9, 5: 10.7, 6: 13.8} {
		_, high := b.Speeds()
		assert.Equal(t, want, high)
	}
	for b := Beaufort(0); b <= 12; b++ {
		low, high := b.Speeds()
		assert.Equal(t, b, low.Beaufort())
		if b < 12 {
			assert.Equal(t, b, high.Beaufort())
			next, _ := (b + 1).Speeds()
			assert.InDelta(t, float64(high)+0.1, float64(next), 1e-12)
			assert.Equal(t, b, (high + 0.04).Beaufort(), "rounds down")
			assert.Equal(t, b+1, (high + 0.06).Beaufort(), "rounds up")
		} else {
			assert.True(t, math.IsInf(float64(high), 1))
		}
		assert.Equal(t, b, WindSpeed(0.836*math.Pow(float64(b), 1.5)).Beaufort())
		assert.NotEmpty(t, b.String())
		assert.NotEmpty(t, b.ScrimAdvice())
	}
	assert.Equal(t, "gentle breeze", Beaufort(3).String())
	assert.Equal(t, Beaufort(0), WindSpeed(-3).Beaufort())
	assert.Equal(t, Beaufort(12), WindSpeed(math.Inf(1)).Beaufort())
	assert.Equal(t, "hurricane", Beaufort(99).String())
	assert.Equal(t, "calm", Beaufort(-1).String())
}

// Statics by hand: 100 N at 3 m is 300 N m; feet on a circle of 0.5 m put the
// line to tip over 0.25 m away, so 1200 N must press there: 122.4 kg.
func TestBallast(t *testing.T) {
	stand := Stand{Height: 3, FootRadius: 0.5}
	assert.InDelta(t, 300, stand.Overturning(100), 1e-12)
	assert.InDelta(t, 1200/9.80665, stand.Ballast(100), 1e-9)
	assert.Zero(t, stand.Ballast(0))

	// The line between two of three feet, from their places on the circle.
	var feet [3]vector
	for i := range feet {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 3)
		feet[i] = vector{0.5 * sin, 0.5 * cos, 0}
	}
	edge := feet[1].minus(feet[0])
	lever := feet[0].cross(edge).length() / edge.length()
	require.InDelta(t, 0.25, lever, 1e-12)
	assert.InDelta(t, stand.Overturning(100), stand.Ballast(100)*standardGravity*lever, 1e-9, "in balance")
}
