package sky

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestUnitsPrintThemselves(t *testing.T) {
	for _, c := range []struct {
		quantity fmt.Stringer
		want     string
	}{
		{Degrees(21.24), "21.2°"}, {Degrees(-0.04), "0.0°"}, {Degrees(-6), "-6.0°"}, {Degrees(359.96), "360.0°"},
		{Lux(12345), "12300 lx"}, {Lux(537.562), "538 lx"}, {Lux(2.5), "2.5 lx"}, {Lux(0.0012345), "0.00123 lx"},
		{Lux(0), "0 lx"}, {Lux(999.9), "1000 lx"}, {Lux(math.Inf(1)), "+Inf lx"},
		{Lux(math.MaxFloat64), "17976931348623157" + strings.Repeat("0", 292) + " lx"}, // no fewer digits would fit
		{Luminance(0.125), "0.125 cd/m²"}, {Luminance(3184), "3180 cd/m²"},
		{Stops(0.3), "0.3 stop"}, {Stops(-0.3), "-0.3 stop"}, {Stops(-0.01), "0.0 stop"}, {Stops(1.04), "1.0 stop"},
		{Stops(1.06), "1.1 stops"}, {Stops(-2), "-2.0 stops"}, {Stops(math.NaN()), "NaN stops"},
		{Kelvin(5612.3), "5612 K"}, {Kelvin(5600).Mired(), "179 mired"}, {Mired(-80), "-80 mired"},
		{Described(Thin), "thin"}, {Oktas(2.5), "2.5 oktas"}, {WithTurbidity(3), "turbidity 3"},
		{SunOut, "sun"}, {SunIn, "cloud"},
	} {
		assert.Equal(t, c.want, c.quantity.String())
	}
}

// ISO 2720:1974 with C 250 lx s and K 12.5 cd s/m2: EV 0 at ISO 100 is 2.5 lx
// falling on a subject, or a subject of 0.125 cd/m2.
func TestEV100(t *testing.T) {
	for _, c := range []struct {
		ev        float64
		lux       Lux
		luminance Luminance
	}{{-2, 0.625, 0.03125}, {0, 2.5, 0.125}, {5, 80, 4}, {15, 81920, 4096}} {
		assert.Equal(t, c.ev, c.lux.EV100())
		assert.Equal(t, c.ev, c.luminance.EV100())
	}
	assert.Equal(t, math.Inf(-1), Lux(0).EV100())
	assert.True(t, math.IsNaN(Luminance(-1).EV100()))
}

// A surface that throws all of E back evenly has L = E / pi (Lambert); the
// two meters agree on one that throws back pi K / C of it, 15.7 %.
func TestTheTwoMetersAgreeOnGrey(t *testing.T) {
	grey := math.Pi * ReflectedConstant / IncidentConstant
	assert.InDelta(t, 0.157, grey, 0.0005)
	e := Lux(10000)
	assert.InDelta(t, e.EV100(), Luminance(float64(e)*grey/math.Pi).EV100(), 1e-12)
}

func TestDirectionsWrap(t *testing.T) {
	for _, c := range []struct{ degrees, normal, turn float64 }{
		{0, 0, 0}, {-10, 350, -10}, {350, 350, -10}, {180, 180, -180}, {-180, 180, -180}, {725, 5, 5}, {-725, 355, -5},
	} {
		assert.InDelta(t, c.normal, Degrees(c.degrees).Normal().Degrees(), 1e-9)
		assert.InDelta(t, c.turn, Degrees(c.degrees).Turn().Degrees(), 1e-9)
	}
	assert.True(t, math.IsNaN(float64(Angle(math.Inf(1)).Normal())))
}
