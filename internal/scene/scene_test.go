package scene

import (
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

func TestFacing(t *testing.T) {
	sun := sky.Degrees(250)
	for _, c := range []struct {
		side    Side
		facing  float64
		bearing string
	}{{Backlit, 70, "back"}, {FrontLit, 250, "front"}, {LeftLit, 160, "left"}, {RightLit, 340, "right"}} {
		f := Facing{Side: c.side}.At(sun)
		assert.InDelta(t, c.facing, f.Degrees(), 1e-9, c.bearing)
		assert.Equal(t, c.bearing, Bearing(f, sun))
	}
	fixed := Facing{Azimuth: sky.Degrees(-30)}
	assert.InDelta(t, 330, fixed.At(sun).Degrees(), 1e-9)
	assert.Equal(t, "-30", fixed.String())
	assert.Equal(t, "backlit", Facing{Side: Backlit}.String())
}

// With the subject facing north, the camera stands north and looks south:
// the east is on its left.
func TestBearing(t *testing.T) {
	for azimuth, want := range map[float64]string{
		0: "front", 45: "front-left", 90: "left", 135: "back-left", 180: "back", 225: "back-right",
		270: "right", 315: "front-right", 350: "front", 22: "front", 23: "front-left",
	} {
		assert.Equal(t, want, Bearing(0, sky.Degrees(azimuth)), "%g", azimuth)
	}
}
