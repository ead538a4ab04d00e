package scene

import (
	"math"
	"testing"

	"evenfall/internal/exposure"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

// Thin-lens formulas worked by hand, lengths in mm, c = 0.03 mm on 36 x 24:
//
//	50 mm f/8: H = 50^2 / (8 * 0.03) + 50 = 10466.7; at 3 m, near is
//	3000 * 10416.7 / 13366.7 = 2337.9, far 3000 * 10416.7 / 7466.7 = 4185.3
//	85 mm f/2: H = 85^2 / 0.06 + 85 = 120501.7; at 2 m, near is
//	2000 * 120416.7 / 122331.7 = 1968.7, far 2000 * 120416.7 / 118501.7 = 2032.3
func TestDepthOfFieldByHand(t *testing.T) {
	for _, c := range []struct{ focal, number, subject, hyperfocal, near, far float64 }{
		{50, 8, 3, 10.4667, 2.3379, 4.1853},
		{85, 2, 2, 120.5017, 1.9687, 2.0323},
	} {
		o := Optics{FocalLength: exposure.Millimetres(c.focal), FNumber: c.number, FrameHeight: 24, Orientation: Landscape}
		near, far := o.DepthOfField(c.subject)
		assert.InDelta(t, 0.03, float64(o.CircleOfConfusion()), 1e-12)
		assert.InDelta(t, c.hyperfocal, o.Hyperfocal(), 1e-4)
		assert.InDelta(t, c.near, near, 1e-4)
		assert.InDelta(t, c.far, far, 1e-4)
	}
}

// At the ends of the depth of field the blur is the circle of confusion: two
// formulas that know nothing of each other.
func TestDepthOfFieldAgainstBlur(t *testing.T) {
	for _, frame := range []exposure.Millimetres{15.6, 24, 33} {
		for _, focal := range []exposure.Millimetres{24, 50, 85, 200} {
			for _, number := range []float64{1.4142, 4, 11.3137} {
				o := Optics{FocalLength: focal, FNumber: number, FrameHeight: frame}
				for _, subject := range []float64{0.8, 2, 6, 30} {
					near, far := o.DepthOfField(subject)
					assert.InEpsilon(t, 1./800, o.Blur(subject, near), 1e-9)
					if subject < o.Hyperfocal() {
						assert.InEpsilon(t, 1./800, o.Blur(subject, far), 1e-9)
					} else {
						assert.True(t, math.IsInf(far, 1))
						assert.LessOrEqual(t, o.Blur(subject, far), 1./800)
					}
				}
				// Focused at the hyperfocal distance, all from half of it on.
				near, far := o.DepthOfField(o.Hyperfocal())
				assert.InEpsilon(t, o.Hyperfocal()/2, near, 1e-9)
				assert.True(t, math.IsInf(far, 1))
			}
		}
	}
}

// By hand: 85 mm at f/2.8 (2.8284) focused at 2 m, far background: aperture
// 30.05 mm, magnification 85 / 1915 = 0.044386, disc 1.3339 mm, 5.56 % of the
// frame's height. A background 3 m behind the subject: 3/5 of that.
func TestBlur(t *testing.T) {
	o := Optics{FocalLength: 85, FNumber: math.Sqrt(8), FrameHeight: 24, Orientation: Landscape}
	far := o.Blur(2, math.Inf(1))
	assert.InDelta(t, 0.05558, far, 5e-5)
	assert.InEpsilon(t, 0.6*far, o.Blur(2, 5), 1e-12)
	assert.Zero(t, o.Blur(2, 2))
	assert.InEpsilon(t, far, o.Blur(2, 1e9), 1e-8)
	assert.InEpsilon(t, far, o.Blur(2, 1), 1e-12, "as much in front, at half the distance")
	// Half the f-number, twice the blur; f/11 at sync speed against f/2.8 in
	// high-speed sync is a fourth of it.
	wide := o
	wide.FNumber /= 2
	assert.InEpsilon(t, 2*far, wide.Blur(2, math.Inf(1)), 1e-12)
	sync := o
	sync.FNumber = math.Sqrt(128)
	assert.InEpsilon(t, far/4, sync.Blur(2, math.Inf(1)), 1e-12)
	// No image of a subject at the focal length.
	assert.True(t, math.IsInf(o.Blur(0.085, math.Inf(1)), 1))
	last := 0.
	for b := 2.; b < 1e4; b *= 1.3 {
		assert.GreaterOrEqual(t, o.Blur(2, b), last)
		last = o.Blur(2, b)
	}
}

// The field of view of 50 mm on 36 x 24 is 27.0 deg high (common handbook
// value), 39.6 deg upright; what the frame covers at a distance is that of similar triangles.
func TestField(t *testing.T) {
	o := Optics{FocalLength: 50, FNumber: 4, FrameHeight: 24, Orientation: Landscape}
	assert.InDelta(t, 27.0, o.Frame(0).Height.Degrees(), 0.05)
	assert.InDelta(t, 24./50*(3-0.05), o.FieldHeight(3), 1e-12)
	upright := o
	upright.Orientation = Portrait
	assert.InDelta(t, 39.6, upright.Frame(0).Height.Degrees(), 0.05)
	assert.InDelta(t, 36./50*(3-0.05), upright.FieldHeight(3), 1e-12)
	for _, h := range []float64{0.3, 0.55, 1.75, 10} {
		assert.InDelta(t, h, o.FieldHeight(o.DistanceToFill(Figure{Top: h})), 1e-12)
	}
	// Far away the field of view gives the same.
	assert.InEpsilon(t, 2*1000*math.Tan(float64(o.Frame(0).Height)/2), o.FieldHeight(1000), 1e-4)
}

// ISO 2720 with C = 250 and K = 12.5: a matt surface whose reflectance is
// pi * K / C = 0.157 reads the same by reflection as the light on it does.
func TestBackgroundLuminance(t *testing.T) {
	for _, facing := range []float64{0, 180, 120} {
		l, _ := light(t, 35, sky.Degrees(facing)) // the sun in the south
		grey := math.Pi * 12.5 / 250
		sunlit := Background{Kind: Sunlit, Reflectance: grey}.Luminance(&l)
		assert.InEpsilon(t, float64(l.Face)/2.5, float64(sunlit)/0.125, 1e-12)
		shaded := Background{Kind: Shaded, Reflectance: grey}.Luminance(&l)
		assert.InEpsilon(t, float64(l.Shade)/2.5, float64(shaded)/0.125, 1e-12)
		if facing == 0 {
			assert.Equal(t, shaded, sunlit, "against the sun")
		} else {
			assert.Greater(t, sunlit, shaded)
		}
		assert.Equal(t, l.Backdrop, Background{Kind: SkyBackground, Reflectance: grey}.Luminance(&l))
		white := Background{Kind: Sunlit, Reflectance: 2 * grey}.Luminance(&l)
		assert.InEpsilon(t, 2*float64(sunlit), float64(white), 1e-12)
	}
}
