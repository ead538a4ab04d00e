package flash

import (
	"math"
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// madeGels are shifts and losses of colour gels: makers' published data, from
// memory.
var madeGels = []Gel{
	{"full CTO", 0.85, 159}, {"half CTO", 0.5, 81}, {"quarter CTO", 0.3, 42}, {"eighth CTO", 0.2, 20}, {"full CTB", 1.5, -137},
}

// Filter makers rate their conversion filters both ways, by the temperatures
// and by the shift, the one rounded from the other: amber 85 from 5500 to
// 3400 K is 112 mired, 85B from 5500 to 3200 K 131, blue 80A from 3200 to
// 5500 K -131, 80B from 3400 to 5500 K -112 (from memory).
func TestConversionFilters(t *testing.T) {
	for _, c := range []struct {
		name     string
		shift    sky.Mired
		from, to sky.Kelvin
	}{{"85", 112, 5500, 3400}, {"85B", 131, 5500, 3200}, {"80A", -131, 3200, 5500}, {"80B", -112, 3400, 5500}} {
		assert.InDelta(t, float64(c.to.Mired()), float64(Gel{Shift: c.shift}.Through(c.from).Mired()), 0.75, c.name)
		got, left := Nearest([]Gel{{"other", 0, c.shift / 2}, {c.name, 0.67, c.shift}}, c.from, c.to)
		assert.Equal(t, c.name, got.Name)
		assert.InDelta(t, 0, float64(left), 0.75, c.name)
	}
}

// Common practice, no source: a full cut brings daylight flash to tungsten
// light, about 2900 to 3200 K; half a cut suits the hour before sunset, a
// quarter the hour before that; in noon sun no gel is used.
func TestNearestGel(t *testing.T) {
	for _, c := range []struct {
		want sky.Kelvin
		gel  string
		left float64
	}{
		{2925, "full CTO", 1e6/2925. - 1e6/5500 - 159},
		{3200, "full CTO", 1e6/3200. - 1e6/5500 - 159},
		{3800, "half CTO", 1e6/3800. - 1e6/5500 - 81},
		{4500, "quarter CTO", 1e6/4500. - 1e6/5500 - 42},
		{5000, "eighth CTO", 1e6/5000. - 1e6/5500 - 20},
		{5300, "", 1e6/5300. - 1e6/5500},
		{6500, "", 1e6/6500. - 1e6/5500},
		{12000, "full CTB", 1e6/12000. - 1e6/5500 + 137},
		{1900, "full CTO", 1e6/1900. - 1e6/5500 - 159},
		{sky.Kelvin(math.Inf(1)), "full CTB", -1e6/5500. + 137},
	} {
		g, left := Nearest(madeGels, NominalColour, c.want)
		assert.Equal(t, c.gel, g.Name, "%g K", c.want)
		assert.InDelta(t, c.left, float64(left), 1e-9, "%g K", c.want)
	}
	g, left := Nearest(nil, NominalColour, 3200)
	assert.Equal(t, Gel{}, g)
	assert.Positive(t, float64(left), "too blue without a gel")
}

// No gel of the list, and no bare flash, comes nearer than the one chosen.
func TestNoGelComesNearer(t *testing.T) {
	for flash := sky.Kelvin(3000); flash <= 7000; flash += 250 {
		for want := sky.Kelvin(1900); want < 20000; want += 137 {
			_, left := Nearest(madeGels, flash, want)
			for _, g := range append([]Gel{{}}, madeGels...) {
				other := want.Mired() - g.Through(flash).Mired()
				require.LessOrEqual(t, math.Abs(float64(left)), math.Abs(float64(other))+1e-6)
			}
		}
	}
}

func TestTiesGoToTheLesserLoss(t *testing.T) {
	want := sky.Mired(1e6/5500. + 60).Kelvin()
	lossy, clean := Gel{"lossy", 0.5, 50}, Gel{"clean", 0.3, 70}
	for _, list := range [][]Gel{{lossy, clean}, {clean, lossy}} {
		g, left := Nearest(list, 5500, want)
		assert.Equal(t, "clean", g.Name)
		assert.InDelta(t, -10, float64(left), 1e-9)
	}
	g, _ := Nearest([]Gel{{"as far beyond", 0.3, 120}}, 5500, want)
	assert.Equal(t, Gel{}, g, "no gel loses nothing")
	g, _ = Nearest([]Gel{{"first", 0.3, 60}, {"second", 0.3, 60}}, 5500, want)
	assert.Equal(t, "first", g.Name)
}

func TestColourTemperatureOfFlash(t *testing.T) {
	assert.Equal(t, sky.Kelvin(5500), (&Unit{}).ColourTemperature())
	assert.Equal(t, sky.Kelvin(6000), (&Unit{Colour: 6000}).ColourTemperature())
}

// Mired arithmetic, 10^6 / K: 20 mired warmer than 5000 K (200) is 220, 4545 K.
func TestColourWish(t *testing.T) {
	for _, c := range []struct {
		wish    ColourWish
		ambient sky.Kelvin
		want    float64
		ok      bool
	}{
		{ColourWish{}, 5000, 0, false},
		{ColourWish{Kind: MatchLight}, 5000, 5000, true},
		{ColourWish{Kind: MatchLight, Warmer: 20}, 5000, 5000, true},
		{ColourWish{WarmerThanLight, 20}, 5000, 4545.4545, true},
		{ColourWish{WarmerThanLight, -50}, 5000, 6666.6667, true},
		{ColourWish{WarmerThanLight, -300}, 5000, math.Inf(1), true},
		{ColourWish{Kind: MatchLight}, 0, 0, false},
		{ColourWish{WarmerThanLight, 20}, sky.Kelvin(math.NaN()), 0, false},
	} {
		got, ok := c.wish.Target(c.ambient)
		assert.Equal(t, c.ok, ok, "%+v", c)
		if math.IsInf(c.want, 1) {
			assert.True(t, math.IsInf(float64(got), 1), "%+v", c)
			continue
		}
		assert.InDelta(t, c.want, float64(got), 1e-3, "%+v", c)
	}
}
