package scene

import (
	"math"
	"testing"

	"evenfall/internal/exposure"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

// By plain geometry: an aimed panel stands between subject and sun. With a low
// sun behind the subject that is in the picture; with the sun to the side, high
// up, or behind the camera well off the axis it is not.
func TestInFrame(t *testing.T) {
	s := Scrim{Width: 1.2, Length: 1.8, Distance: 1.2}
	lens := Optics{FocalLength: 85, FNumber: 2.8, FrameHeight: 24, Orientation: Landscape}
	in := func(altitude, azimuth float64) bool {
		return s.InFrame(sky.Sun{Altitude: sky.Degrees(altitude), Azimuth: sky.Degrees(azimuth)}, 0, HeadAndShoulders, lens, 2)
	}
	assert.True(t, in(5, 180), "right behind the head")
	assert.True(t, in(15, 150), "behind, a little to the side")
	assert.False(t, in(10, 90), "square to the side")
	assert.False(t, in(75, 180), "high above")
	assert.True(t, in(3, 0), "between camera and subject")
	assert.False(t, in(-5, 180), "no sun, no scrim")

	// The longer the lens, the less it sees of what stands beside.
	wide := Optics{FocalLength: 24, FNumber: 2.8, FrameHeight: 24, Orientation: Landscape}
	seen := 0
	for azimuth := 90.0; azimuth < 180; azimuth++ {
		sun := sky.Sun{Altitude: sky.Degrees(20), Azimuth: sky.Degrees(azimuth)}
		if s.InFrame(sun, 0, HeadAndShoulders, lens, 2) {
			seen++
			assert.True(t, s.InFrame(sun, 0, HeadAndShoulders, wide, 2), "%g", azimuth)
		}
	}
	assert.Positive(t, seen)
}

// An aimed panel beside a full length, the sun square to the side and low: in
// the picture of a camera held level, out of that of one held upright.
func TestScrimInFrameByOrientation(t *testing.T) {
	s := Scrim{Width: 1.2, Length: 1.8, Distance: 1}
	sun := sky.Sun{Altitude: sky.Degrees(10), Azimuth: sky.Degrees(95)}
	lens := Optics{FocalLength: 85, FNumber: 2.8, FrameHeight: 24, Orientation: Landscape}
	// The panel's far edge, 0.95 m aside and 5.7 m off; there the frame held
	// level reaches 18 / 85 * 5.7 = 1.21 m to either side, upright 0.80 m.
	assert.True(t, s.InFrame(sun, 0, FullLength, lens, 5))
	lens.Orientation = Portrait
	assert.False(t, s.InFrame(sun, 0, FullLength, lens, 5))
}

// Angles of view as handbooks list them for 24 x 36 mm (common handbook
// values, from memory): 85 mm 23.9 by 16.1 deg, 50 mm 39.6 by 27.0, 24 mm 73.7 by 53.1,
// 200 mm 10.3 by 6.9.
func TestFrame(t *testing.T) {
	for focal, want := range map[exposure.Millimetres][2]float64{
		85: {23.9, 16.1}, 50: {39.6, 27.0}, 24: {73.7, 53.1}, 200: {10.3, 6.9},
	} {
		o := Optics{FocalLength: focal, FrameHeight: 24}
		f := o.Frame(sky.Degrees(10))
		assert.Equal(t, sky.Degrees(10), f.Altitude)
		assert.InDelta(t, want[0], f.Height.Degrees(), 0.06, "%g mm", focal)
		assert.InDelta(t, want[1], f.Width.Degrees(), 0.06, "%g mm", focal)
		o.Orientation = Landscape
		f = o.Frame(0)
		assert.InDelta(t, want[0], f.Width.Degrees(), 0.06, "%g mm", focal)
		assert.InDelta(t, want[1], f.Height.Degrees(), 0.06, "%g mm", focal)
	}
	assert.Equal(t, "portrait", Portrait.String())
	assert.Equal(t, "landscape", Landscape.String())
}

// The whole figure is in the frame, and touches it above and below or at its
// sides. By hand: 85 mm upright on 24 x 36, head and shoulders are 0.5 m wide,
// 0.085 + 0.085 * 500 / 24 = 1.856 m; level, 0.55 m high, 2.033 m; a full
// length 1.75 m high, 6.283 m level and 4.217 m upright.
func TestDistanceToFill(t *testing.T) {
	for _, c := range []struct {
		held   Orientation
		figure Figure
		want   float64
	}{
		{Portrait, HeadAndShoulders, 1.856}, {Landscape, HeadAndShoulders, 2.033},
		{Landscape, FullLength, 6.283}, {Portrait, FullLength, 4.217},
	} {
		o := Optics{FocalLength: 85, FrameHeight: 24, Orientation: c.held}
		d := o.DistanceToFill(c.figure)
		assert.InDelta(t, c.want, d, 0.001, "%v %s", c.held, c.figure.Name)
		high := o.FieldHeight(d)
		tall, wide := c.figure.Top-c.figure.Bottom, 2*c.figure.Half
		assert.InDelta(t, 1, max(tall/high, wide/(high*float64(o.Width()/o.Height()))), 1e-9)
	}
}

// By plane geometry on the axis' own great circles: the frame of 85 mm upright
// is 23.9 by 16.1 deg, the sun's disc half a degree wide.
func TestSunFacts(t *testing.T) {
	o := Optics{FocalLength: 85, FrameHeight: 24}
	of := func(altitude, azimuth float64) SunFacts {
		sun := sky.Sun{Altitude: sky.Degrees(altitude), Azimuth: sky.Degrees(azimuth)}
		return o.SunFacts(sun, 1, 0, sky.Degrees(10)) // the camera looks south
	}
	half := o.Frame(0).Height.Degrees() / 2
	for _, c := range []struct {
		altitude, azimuth float64
		want              SunFacts
		why               string
	}{
		{10, 180, SunFacts{InFrame: true, Flare: true}, "in the middle"},
		{10 + half + 0.25, 180, SunFacts{InFrame: true, Flare: true}, "the lower rim of the disc still in"},
		{10 + half + 0.29, 180, SunFacts{Flare: true}, "just gone above"},
		{10, 187.5, SunFacts{InFrame: true, Flare: true}, "at the right edge"},
		{10, 172.5, SunFacts{InFrame: true, Flare: true}, "at the left edge"},
		{10, 190, SunFacts{Flare: true}, "beside the frame"},
		{39.9, 180, SunFacts{Flare: true}, "29.9 deg from the axis"},
		{40.1, 180, SunFacts{}, "30.1 deg from the axis"},
		{10, 90, SunFacts{}, "from the side"},
		{10, 0, SunFacts{InEyes: true}, "behind the camera"},
		{29.9, 0, SunFacts{InEyes: true}, "29.9 deg over the camera"},
		{30.1, 0, SunFacts{}, "over the brow"},
		{0, 29.9, SunFacts{InEyes: true}, "aside of the camera"},
		{20, 25, SunFacts{}, "31.6 deg off, aside and above"},
	} {
		assert.Equal(t, c.want, of(c.altitude, c.azimuth), c.why)
	}
	// Held level the frame is as wide as it was high.
	o.Orientation = Landscape
	assert.True(t, of(10, 190).InFrame)
	assert.False(t, of(20, 180).InFrame)
	// No beam, no sun: behind the skyline, or thick cloud.
	gone := o.SunFacts(sky.Sun{Altitude: sky.Degrees(10), Azimuth: math.Pi}, 0, 0, sky.Degrees(10))
	assert.Zero(t, gone)
}

// The disc is in the frame where a pinhole camera would draw its middle, and not
// where it would draw it well outside.
func TestSunInFrameAgainstProjection(t *testing.T) {
	o := Optics{FocalLength: 50, FrameHeight: 24, Orientation: Landscape}
	const up = 12 // deg
	for altitude := 0.5; altitude < 45; altitude++ {
		for azimuth := 150.0; azimuth <= 210; azimuth++ {
			sun := sky.Sun{Altitude: sky.Degrees(altitude), Azimuth: sky.Degrees(azimuth)}
			// Pinhole: the sun's direction turned by the camera's pitch, then x / z and y / z in mm.
			h, a, p := float64(sun.Altitude), float64(sun.Azimuth)-math.Pi, float64(sky.Degrees(up))
			z, x, y := math.Cos(h)*math.Cos(a), math.Cos(h)*math.Sin(a), math.Sin(h)
			deep, high := z*math.Cos(p)+y*math.Sin(p), y*math.Cos(p)-z*math.Sin(p)
			across, above := 50*math.Abs(x)/deep, 50*math.Abs(high)/deep
			disc := 50 * math.Tan(16./60*math.Pi/180) // in the middle; larger at the edge
			got := o.SunFacts(sun, 1, 0, sky.Degrees(up)).InFrame
			switch {
			case across < 18 && above < 12:
				assert.True(t, got, "%g %g", altitude, azimuth)
			case across > 18+2*disc || above > 12+2*disc:
				assert.False(t, got, "%g %g", altitude, azimuth)
			}
		}
	}
}

// camera stands where the figure fills its frame.
func camera(focal exposure.Millimetres, held Orientation, figure Figure) Camera {
	o := Optics{FocalLength: focal, FrameHeight: 24, Orientation: held}
	return Camera{o, o.DistanceToFill(figure), figure}
}

// By hand, seen from above: the modifier's nearer edge lies d sin a - r cos a
// aside and c - d cos a - r sin a before the camera, the frame's edge half its
// width over the focal length. Full length, 85 mm, held level: the camera 6.283 m
// off; a flash 3 m away with a modifier of 0.3 m to either side is at the edge
// at 19.4 deg: 0.7135 m aside, 3.3537 m before the camera, 0.2128 against 18 / 85 = 0.2118.
func TestFlashInFrameByHand(t *testing.T) {
	full := camera(85, Landscape, FullLength)
	assert.InDelta(t, 6.283, full.Distance, 0.001)
	in := func(degrees, distance, half float64) bool {
		return full.FlashInFrame(sky.Degrees(degrees), distance, half, 0)
	}
	assert.True(t, in(19.2, 3, 0.3))
	assert.False(t, in(19.5, 3, 0.3))
	assert.True(t, in(-19.2, 3, 0.3), "either side")
	assert.False(t, in(-19.5, 3, 0.3), "either side")

	// Raised above the lens, or beside and behind the camera, it is not.
	assert.False(t, in(10, 1, 0.3))
	assert.False(t, in(0, 1, 0.3))
	assert.True(t, in(11, 1, 0.3))
	assert.False(t, in(15, 6.6, 0.3))
	assert.False(t, in(40, 9, 0.3))
	// A light behind the sitter is.
	assert.True(t, in(175, 2, 0.1))

	// Held upright the frame is two thirds as wide: the same camera sees less.
	upright := full
	upright.Orientation = Portrait
	assert.False(t, upright.FlashInFrame(sky.Degrees(16), 3, 0.3, 0))
	assert.True(t, in(16, 3, 0.3))
}

// A flash that would stand in the frame at the height of the head is raised
// above it. By hand: full length, 85 mm, held level: the frame's upper edge lies
// 12 / 85 of the depth above the middle of the figure, 0.725 m under the head's;
// 2 m away at 20 deg the nearer face of a modifier of 0.3 m is about 4.40 m
// deep, the edge 0.621 m up, 0.104 m under the head: the modifier's lower edge is
// clear once its middle stands 0.20 m above the head.
func TestFlashIsRaisedClear(t *testing.T) {
	full := camera(85, Landscape, FullLength)
	height, clear := full.ClearHeight(sky.Degrees(20), 2, 0.3)
	assert.True(t, clear)
	assert.InDelta(t, 0.20, height, 0.051)
	for _, held := range Orientations {
		for _, figure := range []Figure{HeadAndShoulders, FullLength} {
			for _, focal := range []exposure.Millimetres{24, 50, 85, 200} {
				c := camera(focal, held, figure)
				for _, distance := range []float64{0.5, 1, 2, 3, 5} {
					for a := -60.0; a <= 60; a += 5 {
						angle := sky.Degrees(a)
						height, clear := c.ClearHeight(angle, distance, 0.3)
						assert.LessOrEqual(t, height, distance*math.Tan(float64(mostRaised))+1e-9)
						assert.Equal(t, !clear, c.FlashInFrame(angle, distance, 0.3, height), "%v %s %g mm, %g m, %g deg",
							held, figure.Name, focal, distance, a)
						if clear && height > 0 {
							assert.True(t, c.FlashInFrame(angle, distance, 0.3, height-0.05), "no lower")
						}
					}
				}
			}
		}
	}
}
