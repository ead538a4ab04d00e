package scene

import (
	"math"

	"evenfall/sky"
)

// Hand is a side of the picture as the camera sees it; the zero value is
// neither.
type Hand int

// The hands.
const (
	Left Hand = iota + 1
	Right
)

// String returns "left" or "right", and nothing for neither.
func (h Hand) String() string { return [...]string{"", "left", "right"}[h] }

// Other returns the opposite hand.
func (h Hand) Other() Hand { return Left + Right - h }

// sign returns +1 for the left hand, which lies clockwise from the direction
// to the camera, and -1 for the right.
func (h Hand) sign() sky.Angle {
	if h == Right {
		return -1
	}
	return 1
}

// turned is how far the two planes of a face are turned from the direction to
// the camera, and how far from it the beam's plane may turn.
const turned = math.Pi / 4

// Stance is how the sitter stands to the camera, and which side of the face is
// the key side.
type Stance struct {
	Facing sky.Angle // azimuth from the sitter to the camera
	Key    Hand
}

// Toward returns the azimuth, seen from the sitter, of what stands at an angle
// from the camera, positive toward the key side.
func (s Stance) Toward(angle sky.Angle) sky.Angle {
	return (s.Facing + s.Key.sign()*angle).Normal()
}

// Hand returns the side of the picture that an angle from the camera lies on;
// neither on the axis.
func (s Stance) Hand(angle sky.Angle) Hand {
	switch {
	case angle > 0:
		return s.Key
	case angle < 0:
		return s.Key.Other()
	}
	return 0
}

// KeyPlane returns the azimuth that the upright plane of the key side faces.
func (s Stance) KeyPlane() sky.Angle { return s.Toward(turned) }

// ShadowPlane returns that of the shadow side.
func (s Stance) ShadowPlane() sky.Angle { return s.Toward(-turned) }

// ToCamera returns the angle between the sun and the direction from sitter to
// camera, 0 to pi.
func ToCamera(sun sky.Sun, facing sky.Angle) sky.Angle {
	return sky.Angle(math.Acos(max(-1, min(1, math.Cos(float64(sun.Altitude))*math.Cos(float64(sun.Azimuth-facing))))))
}

// Aside returns how far the sun stands from the upright plane through the
// camera's axis: positive to the camera's left, at most a quarter turn.
func Aside(sun sky.Sun, facing sky.Angle) sky.Angle {
	return sky.Angle(math.Asin(math.Cos(float64(sun.Altitude)) * math.Sin(float64(sun.Azimuth-facing))))
}

// BeamOnFace returns the share of a beam, 0 to 1, that the key side gets when
// the beam comes from an angle to the direction of the camera: that on the
// plane within 45 deg of that direction that lies nearest the sun. From 135
// deg on there is none: the sun is then rim only.
func BeamOnFace(toCamera sky.Angle) float64 {
	return max(0, math.Cos(max(0, float64(toCamera)-turned)))
}

// FlashOnFace returns the shares of a flash, each of the light on a plane
// square to it, that the key side and the shadow side get, the flash at an
// angle from the camera, positive toward the key side. The planes stand at
// right angles; from behind one of them it gets nothing.
func FlashOnFace(angle sky.Angle) (key, shadow float64) {
	return share(turned - float64(angle)), share(turned + float64(angle))
}

// share returns what of a light falls on a plane at an angle to it; of a light
// along the plane nothing, whatever the cosine of a rounded right angle is.
func share(angle float64) float64 {
	const grazing = 1e-9
	if cos := math.Cos(angle); cos > grazing {
		return cos
	}
	return 0
}
