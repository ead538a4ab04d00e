package sky

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Chromaticities and correlated colour temperatures of the CIE standard
// illuminants: CIE 15, from memory.
func TestIlluminants(t *testing.T) {
	worst := 0.0
	for _, c := range []struct {
		name string
		x, y float64
		want Kelvin
	}{
		{"A", 0.44758, 0.40745, 2856},
		{"D50", 0.34567, 0.35851, 5003},
		{"D55", 0.33243, 0.34744, 5503},
		{"D65", 0.31272, 0.32903, 6504},
		{"D75", 0.29903, 0.31488, 7504},
	} {
		miss := float64(ofXY(c.x, c.y).mired() - c.want.Mired())
		worst = max(worst, math.Abs(miss))
		assert.InDelta(t, 0, miss, 0.15, c.name)
	}
	t.Logf("worst %.3f mired", worst)
}

// The Planckian locus in u, v by Krystek (1985, Color Res. Appl. 10, 38; from
// memory), 1000 to 15000 K, whose own error is about 1e-4.
func TestPlanckianLocus(t *testing.T) {
	worst := 0.0
	for m := 67.; m <= 600; m++ {
		k := 1e6 / m
		u := (0.860117757 + 1.54118254e-4*k + 1.28641212e-7*k*k) / (1 + 8.42420235e-4*k + 7.08145163e-7*k*k)
		v := (0.317398726 + 4.22806245e-5*k + 4.20481691e-8*k*k) / (1 - 2.89741816e-5*k + 1.61456053e-7*k*k)
		c := planckian(m)
		worst = max(worst, math.Hypot(c.u-u, c.v-v))
	}
	assert.LessOrEqual(t, worst, 2.5e-4)
	t.Logf("worst distance in u, v: %.1e", worst)
}

// An isotherm stands square on the locus in the CIE 1960 scale, by definition:
// that catches a wrong figure in the table. The locus' direction is taken from
// the parabola through three neighbours.
func TestIsothermsAreSquareToTheLocus(t *testing.T) {
	for i := 5; i < lastIsotherm; i++ {
		a, b, c := isotherms[i-1], isotherms[i], isotherms[i+1]
		before, after := b.Mired-a.Mired, c.Mired-b.Mired
		slope := func(a, b, c float64) float64 {
			return ((b-a)/before*after + (c-b)/after*before) / (before + after)
		}
		locus := math.Atan2(slope(a.V, b.V, c.V), slope(a.U, b.U, c.U))
		square := locus - math.Atan(b.Slope)
		assert.InDelta(t, 90, square*180/math.Pi, 0.25, "%g mired", b.Mired)
	}
}

// There and back: the error of the locus and of Robertson's method together.
func TestNaturalLightComesBack(t *testing.T) {
	worst, where, last := 0.0, 0.0, Mired(0)
	for m := 40.; m <= 600; m += 0.25 {
		back := natural(Mired(m)).mired()
		if miss := math.Abs(float64(back) - m); miss > worst {
			worst, where = miss, m
		}
		assert.Greater(t, float64(back), float64(last), "%g mired", m)
		last = back
	}
	assert.LessOrEqual(t, worst, 0.2)
	t.Logf("worst %.3f mired, at %g", worst, where)
	assert.Equal(t, natural(40), natural(0))
	assert.Equal(t, natural(600), natural(Mired(math.Inf(1))))
	assert.Equal(t, Mired(0), chromaticity{0.17, 0.25}.mired(), "bluer than any black body")
	assert.Equal(t, Mired(600), chromaticity{0.5, 0.36}.mired(), "redder than the table")
}

// Where daylight and black bodies are joined, the colour moves on evenly.
func TestLociAreJoined(t *testing.T) {
	for m := 41.; m < 599; m += 0.01 {
		a, b := natural(Mired(m)), natural(Mired(m+0.01))
		assert.Less(t, math.Hypot(b.u-a.u, b.v-a.v), 1e-5, "%g mired", m)
	}
}

// Lights add in tristimulus values (CIE 15): X = Y x/y, Z = Y (1-x-y)/y.
func TestMixture(t *testing.T) {
	for _, c := range []struct{ x1, y1, e1, x2, y2, e2 float64 }{
		{0.44758, 0.40745, 100, 0.31272, 0.32903, 100},
		{0.5267, 0.4133, 3000, 0.2776, 0.2880, 700},
		{0.34567, 0.35851, 1, 0.34567, 0.35851, 9},
	} {
		x := c.e1*c.x1/c.y1 + c.e2*c.x2/c.y2
		y := c.e1 + c.e2
		z := c.e1*(1-c.x1-c.y1)/c.y1 + c.e2*(1-c.x2-c.y2)/c.y2
		want := ofXY(x/(x+y+z), y/(x+y+z))
		var m mixture
		m.add(ofXY(c.x1, c.y1), Lux(c.e1))
		m.add(ofXY(c.x2, c.y2), Lux(c.e2))
		got := m.chromaticity()
		assert.InDelta(t, want.u, got.u, 1e-12)
		assert.InDelta(t, want.v, got.v, 1e-12)
	}
	var none mixture
	none.add(ofXY(0.3, 0.3), 0)
	none.add(chromaticity{}, 5)
	assert.Zero(t, none.kelvin())
}

// McCamy (1992, Color Res. Appl. 17, 142; from memory) gives the correlated
// colour temperature near the loci by a cubic, within a few mired between
// 2856 and 6500 K. A mix of warm sun and blue sky lies off the loci.
func TestMixedLightAgainstMcCamy(t *testing.T) {
	worst := 0.0
	for share := 0.3; share < 0.96; share += 0.05 {
		var m mixture
		m.add(natural(285), Lux(share))
		m.add(natural(95), Lux(1-share))
		c := m.chromaticity()
		d := 2*c.u - 8*c.v + 4
		x, y := 3*c.u/d, 2*c.v/d
		n := (x - 0.3320) / (0.1858 - y)
		want := Kelvin(449*n*n*n + 3525*n*n + 6823.3*n + 5520.33)
		miss := float64(c.mired() - want.Mired())
		worst = max(worst, math.Abs(miss))
		assert.InDelta(t, 0, miss, 3, "%g of %v", share, want)
	}
	t.Logf("worst %.2f mired", worst)
}
