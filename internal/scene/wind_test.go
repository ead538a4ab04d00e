package scene

import (
	"math"
	"math/rand/v2"
	"testing"

	"evenfall/sky"

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

// Worked by hand, rho 1.225, Cd 1.2, feet 0.55 m out, gusts 1.5 times the mean:
//
//   - 2.4 m by 2.4 m at 2.8 m in force 2, 3.3 m/s: gusts 4.95 m/s, 0.6125 x
//     24.50 x 1.2 x 5.76 = 103.7 N, 51.9 N on each stand, 145.2 N m over a lever
//     of 0.275 m: 528 N, 53.8 kg;
//   - 1.2 m by 1.8 m at 1.94 m, the same wind: 38.9 N, 19.4 N, 37.7 N m: 14.0 kg;
//   - that in force 3, 5.4 m/s: 8.1 m/s, 104.2 N, 101.0 N m: 37.5 kg.
func TestBallastOfPanels(t *testing.T) {
	for _, c := range []struct {
		sail  Sail
		speed WindSpeed
		want  float64
	}{
		{Sail{2.4 * 2.4, 2.8, 2}, 3.3, 53.8},
		{Sail{1.2 * 1.8, 1.94, 2}, 3.3, 14.0},
		{Sail{1.2 * 1.8, 1.94, 2}, 5.4, 37.5},
	} {
		assert.InDelta(t, c.want, c.sail.Ballast(c.speed), 0.1, "%v in %v m/s", c.sail, c.speed)
	}
	assert.Zero(t, Sail{4, 2, 2}.Ballast(0))
	assert.InEpsilon(t, Sail{4, 2, 2}.Ballast(5)*2, Sail{4, 2, 1}.Ballast(5), 1e-12, "one stand has all of it")
	assert.InEpsilon(t, Sail{4, 2, 1}.Ballast(5), Sail{4, 2, 0}.Ballast(5), 1e-12)
}

// More area, more height and more wind take more ballast, in proportion and
// with the square; a wider foot takes less.
func TestBallastGrows(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 11))
	for range 500 {
		s := Sail{0.1 + 10*random.Float64(), 0.5 + 4*random.Float64(), 1 + random.IntN(3)}
		v, k := WindSpeed(0.5+15*random.Float64()), 1+3*random.Float64()
		was := s.Ballast(v)
		higher, larger := s, s
		higher.Height *= k
		larger.Area *= k
		assert.InEpsilon(t, was*k, higher.Ballast(v), 1e-9)
		assert.InEpsilon(t, was*k, larger.Ballast(v), 1e-9)
		assert.InEpsilon(t, was*k*k, s.Ballast(v*WindSpeed(k)), 1e-9)
		foot := 0.2 + random.Float64()
		assert.InEpsilon(t, Stand{s.Height, foot}.Ballast(50)/k, Stand{s.Height, foot * k}.Ballast(50), 1e-9)
	}
}

// The table of the usual panel, about 2 m by 2 m, and that a larger or a higher
// one comes down a force earlier, a smaller one no later (common practice, no
// source).
func TestHandling(t *testing.T) {
	usual := []Handling{OnStands, OnStands, HandsOn, HandHeld, TakenDown, StandsDown, StandsDown,
		EverythingIn, EverythingIn, EverythingIn, EverythingIn, EverythingIn, EverythingIn}
	early := []Handling{OnStands, HandsOn, HandHeld, TakenDown, TakenDown, StandsDown, StandsDown,
		EverythingIn, EverythingIn, EverythingIn, EverythingIn, EverythingIn, EverythingIn}
	for b := Beaufort(0); b <= 12; b++ {
		for _, s := range []Sail{{4, 2.5, 2}, {4, 1, 2}, {1.2 * 1.8, 2.8, 2}, {1.8 * 1.8, 3, 2}} {
			assert.Equal(t, usual[b], s.Handling(b), "%v in force %d", s, b)
		}
		for _, s := range []Sail{{2.4 * 2.4, 2.8, 2}, {2.4 * 2.4, 1, 2}, {1.8 * 1.8, 3.5, 2}} {
			assert.Equal(t, early[b], s.Handling(b), "%v in force %d", s, b)
		}
		huge := Sail{6 * 6, 3, 2}
		assert.GreaterOrEqual(t, huge.Handling(b), early[b])
	}
	assert.Equal(t, TakenDown, Sail{6 * 6, 3, 2}.Handling(2))
	for h, want := range map[Handling]Beaufort{
		OnStands: 1, HandsOn: 2, HandHeld: 3, TakenDown: 4, StandsDown: 6, EverythingIn: 12,
	} {
		got, ok := Sail{4, 2, 2}.Strongest(h)
		assert.True(t, ok)
		assert.Equal(t, want, got)
		assert.Equal(t, h <= HandHeld, h.Flies())
	}
	_, ok := Sail{1000, 3, 2}.Strongest(OnStands)
	assert.False(t, ok, "nobody puts up 1000 m2")
}

// Handling never grows freer with wind, area or height.
func TestHandlingFalls(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 5))
	for range 500 {
		s := Sail{0.1 + 12*random.Float64(), 0.5 + 4*random.Float64(), 2}
		larger, higher := s, s
		larger.Area *= 1 + random.Float64()
		higher.Height *= 1 + random.Float64()
		for b := Beaufort(0); b <= 12; b++ {
			assert.GreaterOrEqual(t, (b + 1).handled(s), b.handled(s))
			assert.GreaterOrEqual(t, larger.Handling(b), s.Handling(b))
			assert.GreaterOrEqual(t, higher.Handling(b), s.Handling(b))
		}
	}
}

func (b Beaufort) handled(s Sail) Handling { return s.Handling(b) }

// A panel aimed at 1.2 m stands 1.2 sin h higher than the middle of the figure
// that it shades; one overhead stands at its height whatever the sun.
func TestSailOfScrim(t *testing.T) {
	sun := sky.Sun{Altitude: sky.Degrees(16.4), TrueAltitude: sky.Degrees(16.4)}
	aimed := Scrim{Width: 1.2, Length: 1.8, Distance: 1.2}
	middle := -0.125 // of head and shoulders
	sin := math.Sin(16.4 * math.Pi / 180)
	got := aimed.Sail(sun, HeadAndShoulders, 2)
	assert.InDelta(t, 2.16, got.Area, 1e-12)
	assert.InDelta(t, 1.6+middle+(1.2-middle*sin)*sin, got.Height, 1e-9)
	over := Scrim{Width: 2.4, Length: 2.4, Height: 1.2}
	assert.InDelta(t, 2.8, over.Sail(sun, FullLength, 2).Height, 1e-12)
}
