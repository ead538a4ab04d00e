package sky_test

import (
	"math"
	"testing"
	"time"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stepOf returns the value of the last step of a title.
func stepOf(t *testing.T, steps []sky.Step, title string) float64 {
	t.Helper()
	for i := len(steps) - 1; i >= 0; i-- {
		if steps[i].Title == title {
			return steps[i].Value
		}
	}
	require.Fail(t, "no such step", title)
	return 0
}

// The steps of an explanation give the light that At gives, to the last bit,
// under every condition from night to noon.
func TestExplainGivesTheLightOfAt(t *testing.T) {
	places := []*sky.Daylight{
		seaLevel(0.2),
		sky.NewDaylight(sky.Place{Latitude: sky.Degrees(-37), Elevation: 2300}, 0.4, sky.Horizon{
			{Azimuth: 0, Altitude: sky.Degrees(1)}, {Azimuth: sky.Degrees(190), Altitude: sky.Degrees(4)}}),
	}
	same := func(want, got float64, where ...any) { require.Equal(t, want, got, where...) }
	checked := 0
	for _, d := range places {
		for _, s := range append(states(), extremes()...) {
			for h := -20.0; h < 90; h += 1.37 {
				sun := refracted(h)
				sun.Season = math.Sin(h)
				v := sky.View{Facing: sky.Degrees(31 * h), Backdrop: sky.Degrees(h / 3)}
				l := d.At(s.condition, s.which, sun, v)
				e := d.Explain(s.condition, s.which, sun, v)
				require.Equal(t, l, e.Light, "%s %g", s.name, h)
				where := []any{"%s, %g deg", s.name, h}
				for title, want := range map[string]sky.Lux{
					"Direct light, square to the beam Eb": l.DirectNormal, "Light of the sky on the level Ed": l.DiffuseHorizontal,
					"Light on the level E": l.Level,
				} {
					same(float64(want), stepOf(t, e.Sources, title), where...)
				}
				for title, want := range map[string]sky.Lux{
					"Sky on the lit plane": l.SkyLit, "Sky on the shaded plane": l.SkyShade, "Ground on either plane G": l.Ground,
					"Lit": l.Lit, "Shade": l.Shade, "Face": l.Face,
				} {
					same(float64(want), stepOf(t, e.Planes, title), where...)
				}
				// What lies on the way is worked out apart, by the same functions.
				require.InEpsilon(t, float64(l.SkyLit), float64(l.DiffuseHorizontal)*stepOf(t, e.Planes, "Vertical share, toward the sun Vl"), 1e-12, where...)
				require.InEpsilon(t, float64(l.SkyShade), float64(l.DiffuseHorizontal)*stepOf(t, e.Planes, "Vertical share, toward the camera Vc"), 1e-12, where...)
				for _, b := range []struct {
					name string
					band sky.Band
				}{{"Lit", l.LitBand}, {"Shade", l.ShadeBand}, {"Level", l.LevelBand}} {
					same(float64(b.band.Low), stepOf(t, e.Bands, b.name+", low end of the band"), where...)
					same(float64(b.band.High), stepOf(t, e.Bands, b.name+", high end"), where...)
				}
				same(float64(l.Backdrop), stepOf(t, e.Backdrop, "Luminance of the patch L"), where...)
				c := l.Colour()
				same(float64(c.Lit), stepOf(t, e.Colour, "Colour temperature of the lit side"), where...)
				same(float64(c.Shade), stepOf(t, e.Colour, "Colour temperature of the shade"), where...)
				if l.Face > l.Shade {
					same(float64(c.Face), stepOf(t, e.Colour, "Colour temperature of the face"), where...)
				}
				if l.DirectNormal > 0 {
					same(float64(c.Beam), stepOf(t, e.Colour, "Colour temperature of the beam"), where...)
				}
				for _, steps := range [][]sky.Step{e.Air, e.Sources, e.Planes, e.Bands, e.Backdrop, e.Colour} {
					for _, step := range steps {
						require.NotEmpty(t, step.Formula, step.Title)
						require.False(t, math.IsNaN(step.Value) || math.IsInf(step.Value, 0), "%s at %g deg: %s", s.name, h, step.Title)
					}
				}
				checked++
			}
		}
	}
	t.Logf("%d lights explained", checked)
}

func TestExplainGivesTheSun(t *testing.T) {
	for _, p := range []sky.Place{{Latitude: sky.Degrees(54.33), Longitude: sky.Degrees(10.15), Elevation: 3}, {Latitude: -math.Pi / 2}, {Latitude: 0.4, Elevation: 4000}} {
		o := sky.NewObserver(p)
		for at := time.Date(1950, 1, 1, 0, 17, 3, 0, time.UTC); at.Year() < 2100; at = at.Add(1111*time.Hour + 13*time.Minute) {
			sun, steps := o.Explain(at)
			require.Equal(t, o.Sun(at), sun)
			require.Equal(t, sun.Altitude.Degrees(), stepOf(t, steps, "Apparent altitude h"))
			require.Equal(t, sun.TrueAltitude.Degrees(), stepOf(t, steps, "True altitude of the sun h0"))
			require.InDelta(t, (sun.Altitude - sun.TrueAltitude).Degrees(), stepOf(t, steps, "Refraction R"), 1e-12)
			h := sky.Horizon{{Azimuth: 1, Altitude: 0.05}, {Azimuth: 4, Altitude: -0.02}}
			require.Equal(t, h.Visible(sun), stepOf(t, h.Explain(sun), "Visible share of the disc v"))
			require.Equal(t, sky.Horizon(nil).Visible(sun), stepOf(t, sky.Horizon(nil).Explain(sun), "Visible share of the disc v"))
		}
	}
}

func TestExpression(t *testing.T) {
	for _, c := range []struct {
		pattern string
		numbers []float64
		want    string
	}{
		{"# + #", []float64{1, 2}, "1 + 2"},
		{"# - #", []float64{-1, -2}, "-1 - (-2)"},
		{"#^2 * (# - #)", []float64{-3, -4, 0.5}, "(-3)^2 * (-4 - 0.5)"},
		{"max(#, #)", []float64{-1, -2}, "max(-1, -2)"},
		{"sin(#°)", []float64{-0.5}, "sin(-0.5°)"},
		{"#", []float64{1234567}, "1234570"},
		{"#", []float64{0.000012345678}, "0.0000123457"},
		{"#", []float64{-1e-17}, "0"},
		{"# #", []float64{1}, "1 #"},
		{"#", []float64{math.Inf(-1)}, "minus infinite"},
	} {
		assert.Equal(t, c.want, sky.Expression(c.pattern, c.numbers...))
	}
}
