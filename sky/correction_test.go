package sky_test

import (
	"math"
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

// A correction does what it says to the sources, everything that follows from
// them follows, and none changes nothing.
func TestCorrection(t *testing.T) {
	view := sky.View{Facing: sky.Degrees(40), Frame: sky.Frame{Altitude: sky.Degrees(10), Width: 0.3, Height: 0.4}}
	for _, s := range states() {
		for _, h := range []float64{-7, -2, 0.5, 4, 12, 50} {
			d, sun := seaLevel(0.2), refracted(h)
			plain := d.At(s.condition, s.which, sun, view)
			same := d.Corrected(sky.Correction{})
			assert.Equal(t, plain, same.At(s.condition, s.which, sun, view))

			dimmed := d.Corrected(sky.Correction{Beam: -1, Sky: -1})
			half := dimmed.At(s.condition, s.which, sun, view)
			for _, pair := range [][2]sky.Lux{{plain.Lit, half.Lit}, {plain.Shade, half.Shade}, {plain.Level, half.Level},
				{plain.Face, half.Face}, {plain.DirectNormal, half.DirectNormal}} {
				assert.InDelta(t, float64(pair[0])/2, float64(pair[1]), 1e-9*float64(pair[0]), "%s at %g", s.name, h)
			}
			assert.InEpsilon(t, float64(plain.Backdrop)/2, float64(half.Backdrop), 1e-9)

			told := d.Corrected(sky.Correction{Told: 1, SkyTold: 1})
			known := told.At(s.condition, s.which, sun, view)
			assert.Equal(t, plain.Lit, known.Lit)
			assert.LessOrEqual(t, float64(plain.LitBand.Low), float64(known.LitBand.Low))
			assert.GreaterOrEqual(t, float64(plain.LitBand.High), float64(known.LitBand.High))
			assert.False(t, math.Signbit(-float64(known.LitBand.Low)) || math.Signbit(float64(known.LitBand.High)), "%v", known.LitBand)
		}
	}
}

// More turbid air is what a stated turbidity would have been.
func TestCorrectedTurbidity(t *testing.T) {
	d := seaLevel(0.2)
	usual := d.Derive(sky.Condition{}, sky.SunOut, at(20), sky.View{}).Air
	assert.Equal(t, usual.Usual, usual.Turbidity)
	hazier := d.Corrected(sky.Correction{Turbidity: 1.5})
	got := hazier.At(sky.Condition{}, sky.SunOut, at(20), sky.View{})
	want := d.At(sky.WithTurbidity(usual.Usual+1.5), sky.SunOut, at(20), sky.View{})
	assert.InEpsilon(t, float64(want.Lit), float64(got.Lit), 1e-12)
	assert.InEpsilon(t, float64(want.Shade), float64(got.Shade), 1e-12)
}
