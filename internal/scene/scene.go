// Package scene knows the geometry of a picture: where the camera stands,
// from which side the sun comes, what the scrim covers and sends on, and how
// the background falls into the frame.
package scene

import (
	"math"

	"evenfall/sky"
)

// Side is the side the sun comes from, as the photographer behind the camera
// sees it.
type Side int

// The ways of choosing where the subject faces: a fixed azimuth, or turning
// with the sun so that it stays on one side.
const (
	FixedAzimuth Side = iota
	Backlit           // sun behind the subject
	FrontLit          // sun behind the camera
	LeftLit           // sun from camera left
	RightLit          // sun from camera right
)

// Facing is where the subject faces: from the subject to the camera.
type Facing struct {
	Side    Side
	Azimuth sky.Angle // with FixedAzimuth
}

// At returns the azimuth the subject faces while the sun stands at an azimuth.
func (f Facing) At(sun sky.Angle) sky.Angle {
	switch f.Side {
	case Backlit:
		return (sun + math.Pi).Normal()
	case FrontLit:
		return sun.Normal()
	case LeftLit:
		return (sun - math.Pi/2).Normal()
	case RightLit:
		return (sun + math.Pi/2).Normal()
	}
	return f.Azimuth.Normal()
}

// String returns the facing as it is typed.
func (f Facing) String() string {
	switch f.Side {
	case Backlit:
		return "backlit"
	case FrontLit:
		return "front"
	case LeftLit:
		return "left"
	case RightLit:
		return "right"
	}
	return formatDegrees(f.Azimuth)
}

// Bearing returns the side the sun comes from, seen from behind the camera:
// front, front-left, left, back-left, back, back-right, right, front-right.
func Bearing(facing, sun sky.Angle) string {
	names := [...]string{"front", "front-left", "left", "back-left", "back", "back-right", "right", "front-right"}
	// The camera looks along facing + 180 deg, so the side to its left lies
	// at facing + 90 deg.
	eighth := math.Round((sun - facing).Normal().Degrees() / 45)
	return names[int(eighth)%8]
}
