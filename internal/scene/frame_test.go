package scene

import (
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

// By plain geometry: an aimed panel stands between subject and sun. With a low
// sun behind the subject that is in the picture; with the sun to the side, high
// up, or behind the camera well off the axis it is not.
func TestInFrame(t *testing.T) {
	s := Scrim{Width: 1.2, Length: 1.8, Distance: 1.2}
	lens := Optics{FocalLength: 85, FNumber: 2.8, FrameHeight: 24}
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
	wide := Optics{FocalLength: 24, FNumber: 2.8, FrameHeight: 24}
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
