package sky

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// formulaAir is the air the refraction formulas are quoted for.
var formulaAir = Air{Pressure: 1010, Temperature: 10}

func arcminutes(a Angle) float64 { return a.Degrees() * 60 }

// Saemundsson's formula as printed: Meeus, Astronomical Algorithms, 2nd ed.
// 1998, eq. 16.4, with the constant that makes it vanish at the zenith.
func TestRefractionFollowsSaemundsson(t *testing.T) {
	var worst float64
	for i := -100; i <= 9000; i++ {
		h := float64(i) / 100
		want := 1.02/math.Tan((h+10.3/(h+5.11))*radPerDegree) + 0.0019279
		got := arcminutes(Refraction(Degrees(h), formulaAir))
		limit := 0.005
		if h < -0.5 {
			limit = 0.016
		}
		assert.InDelta(t, want, got, limit, "%v deg", h)
		worst = max(worst, math.Abs(got-want))
	}
	t.Logf("worst %.4f arcmin", worst)
}

// Bennett's formula gives the refraction at an apparent altitude: J. Navigation
// 35 (1982) 255; Meeus eq. 16.3. The two are consistent within 4" (Meeus, ch. 16).
func TestRefractionAgreesWithBennett(t *testing.T) {
	var worst float64
	for i := -50; i <= 9000; i++ {
		h := Degrees(float64(i) / 100)
		got := Refraction(h, formulaAir)
		apparent := (h + got).Degrees()
		bennett := 1/math.Tan((apparent+7.31/(apparent+4.4))*radPerDegree) + 0.0013515
		off := math.Abs(arcminutes(got) - bennett)
		assert.Less(t, off, 0.1, "%v deg", h.Degrees())
		worst = max(worst, off)
	}
	t.Logf("worst %.4f arcmin", worst)
}

func TestRefractionTables(t *testing.T) {
	// The Nautical Almanac's altitude correction table for stars, apparent
	// altitude against refraction at 1010 hPa and 10 deg C, from memory. Bennett
	// (1982) puts his formula within 0.07' of the exact integral, Saemundsson's
	// agrees with it within 4", and the table is printed to 0.1': 0.19' in all.
	for _, row := range []struct{ apparent, refraction float64 }{ // deg, arcmin
		{0, 34.5}, {1, 24.4}, {2, 18.3}, {3, 14.4}, {5, 9.9}, {10, 5.3}, {20, 2.6}, {30, 1.7}, {45, 1.0}, {60, 0.6}, {90, 0},
	} {
		h := Degrees(row.apparent)
		for range 50 { // the true altitude that is seen at this apparent one
			h = Degrees(row.apparent) - Refraction(h, formulaAir)
		}
		got := arcminutes(Refraction(h, formulaAir))
		assert.InDelta(t, row.refraction, got, 0.19, "%v deg", row.apparent)
		t.Logf("apparent %v deg: %.2f', table %.1f'", row.apparent, got, row.refraction)
	}

	// Meeus, example 16.a: true altitude 33.246', refraction 24.618'. From memory.
	assert.InDelta(t, 24.618, arcminutes(Refraction(Degrees(33.246/60), formulaAir)), 0.01)

	// Reda & Andreas (2004), worked example: true altitude 39.872046 deg at 820 hPa
	// and 11 deg C is lifted by 0.016332 deg. From memory.
	assert.InDelta(t, 0.016332, Refraction(Degrees(39.872046), Air{Pressure: 820, Temperature: 11}).Degrees(), 0.00005)
}

// The apparent altitude is continuous and rises with the true one, in any air.
func TestRefractionIsMonotone(t *testing.T) {
	for _, air := range []Air{
		formulaAir, StandardAir(0), StandardAir(5000),
		{Pressure: 1085, Temperature: -68},                   // the heaviest air measured on Earth, and the coldest village
		{Pressure: 330, Temperature: -40}, {Temperature: 10}, // a high summit; no air at all
	} {
		t.Run(fmt.Sprintf("%v hPa %v C", air.Pressure, air.Temperature), func(t *testing.T) {
			const step = 0.001 // deg
			last := math.Inf(-1)
			lastRefraction := 0.0
			for i := -90000; i <= 90000; i++ {
				h := float64(i) * step
				r := Refraction(Degrees(h), air).Degrees()
				if !(h+r > last) || math.Abs(r-lastRefraction) > step || r < -1e-7 || r > 1.2 {
					t.Fatalf("true %.3f deg: refraction %v after %v, apparent %v after %v", h, r, lastRefraction, h+r, last)
				}
				last, lastRefraction = h+r, r
			}
		})
	}
}

func TestRefractionAtTheJoin(t *testing.T) {
	below, above := Refraction(Degrees(-1-1e-12), formulaAir), Refraction(Degrees(-1+1e-12), formulaAir)
	assert.InDelta(t, arcminutes(above), arcminutes(below), 1e-5)
	assert.InDelta(t, 0, arcminutes(Refraction(Degrees(-90), formulaAir)), 1e-9)
	assert.InDelta(t, 0, arcminutes(Refraction(Degrees(90), formulaAir)), 1e-5)
	assert.Zero(t, Refraction(Degrees(5), Air{Temperature: 10}))
}

// At rise and set the sun's true altitude is -50'; its upper limb, 16' higher,
// is then seen on the horizon.
func TestRefractionAtTheHorizon(t *testing.T) {
	seen := Degrees(-34.0 / 60)
	assert.InDelta(t, 34, arcminutes(Refraction(seen, formulaAir)), 0.5)
}

func TestRefractionScalesWithAir(t *testing.T) {
	// Meeus, ch. 16: proportional to pressure, and one percent more for 3 K less.
	h := Degrees(10)
	standard := float64(Refraction(h, formulaAir))
	assert.InDelta(t, 1.01, float64(Refraction(h, Air{Pressure: 1.01 * 1010, Temperature: 10}))/standard, 1e-9)
	assert.InDelta(t, 1.01, float64(Refraction(h, Air{Pressure: 1010, Temperature: 7}))/standard, 0.001)
}

// Source: ISO 2533:1975 (the same as ICAO Doc 7488), from memory.
func TestStandardAir(t *testing.T) {
	for _, row := range []struct{ elevation, pressure, temperature float64 }{
		{-500, 1074.78, 18.25}, {0, 1013.25, 15}, {1000, 898.75, 8.5}, {2000, 794.95, 2}, {3000, 701.09, -4.5},
		{5000, 540.20, -17.5}, {11000, 226.32, -56.5},
	} {
		air := StandardAir(row.elevation)
		assert.InDelta(t, row.pressure, air.Pressure, 0.1, "%v m", row.elevation)
		assert.InDelta(t, row.temperature, air.Temperature, 0.01, "%v m", row.elevation)
	}
	assert.Equal(t, StandardAir(11000), StandardAir(50000))

	o := NewObserver(Place{Latitude: Degrees(46.5), Longitude: Degrees(8), Elevation: 2000})
	assert.Equal(t, StandardAir(2000), o.Air())
	assert.Equal(t, Place{Latitude: Degrees(46.5), Longitude: Degrees(8), Elevation: 2000}, o.Place())
}

func FuzzRefraction(f *testing.F) {
	f.Add(0.0, 1010.0, 10.0)
	f.Add(-5.1, 900.0, -20.0)
	f.Fuzz(func(t *testing.T, degrees, pressure, temperature float64) {
		if !(degrees >= -90 && degrees <= 90 && pressure >= 0 && pressure <= 1100 && temperature >= -90 && temperature <= 60) {
			t.Skip()
		}
		r := Refraction(Degrees(degrees), Air{Pressure: pressure, Temperature: temperature}).Degrees()
		require.True(t, r > -1e-6 && r < 1.3, "%v", r)
	})
}
