package shoot

import (
	"fmt"
	"math"

	"evenfall/internal/scene"
	"evenfall/sky"
)

// defaultReflectance is that of a background that states none: trees and grass
// (W. J. Smith, Modern Optical Engineering), the usual guess for a landscape.
const defaultReflectance = 0.2

// subject reads the section of that name, for a camera's frame and lens.
func (r *reader) subject(s *section, o scene.Optics) Subject {
	subject := Subject{
		Facing:      s.facing("facing"),
		Figure:      scene.HeadAndShoulders,
		SkyAltitude: sky.Degrees(s.number("sky_altitude_deg", 10, 0, 90)),
		Background:  s.background(),
	}
	switch figure := s.text("figure", subject.Figure.Name); normal(figure) {
	case scene.HeadAndShoulders.Name:
	case scene.FullLength.Name:
		subject.Figure = scene.FullLength
	default:
		s.fault(s.at("figure"), fmt.Sprintf("figure = %s is not known", quoted(figure)),
			fmt.Sprintf("figure = %q or %q", scene.HeadAndShoulders.Name, scene.FullLength.Name))
	}
	subject.CameraDistance = s.cameraDistance("camera_distance_m", subject.Figure, o)
	s.done()
	return subject
}

// cameraDistance reads how far the camera stands from the subject. It need not
// be said: then the figure fills the frame's height.
func (s *section) cameraDistance(key string, figure scene.Figure, o scene.Optics) float64 {
	filled := o.DistanceFor(figure.Top - figure.Bottom)
	if !s.has(key) {
		s.take(key)
		return filled
	}
	distance := s.number(key, filled, 0.2, 1000)
	if closest := 2 * o.FocalLength / 1000; distance < closest {
		s.fault(s.at(key), fmt.Sprintf("%s = %s is nearer than life size with a lens of %s mm, %s m",
			join(s.path, key), plain(distance), plain(o.FocalLength), plain(closest)),
			s.instead(key, plain(math.Ceil(filled*10)/10)))
		return filled
	}
	return distance
}

// background reads what stands behind the subject: the sky unless it is said.
func (s *section) background() scene.Background {
	b := scene.Background{
		Reflectance: s.number("background_reflectance", defaultReflectance, 0.01, 1),
		Distance:    math.Inf(1),
	}
	const distance = "background_distance_m"
	if s.has(distance) {
		b.Distance = s.number(distance, 10, 0.1, 100_000)
	} else {
		s.take(distance)
	}
	word := s.text("background", b.Kind.String())
	known := false
	var words, quotes []string
	for _, kind := range scene.BackgroundKinds {
		if normal(word) == kind.String() {
			b.Kind, known = kind, true
		}
		words, quotes = append(words, kind.String()), append(quotes, quoted(kind.String()))
	}
	if !known {
		hint := "background = " + listed(quotes)
		if near := nearest(word, words); near != "" {
			hint = s.instead("background", near)
		}
		s.fault(s.at("background"), fmt.Sprintf("background = %s is not known", quoted(word)), hint)
		return b
	}
	if b.Kind == scene.SkyBackground {
		for _, key := range [...]string{distance, "background_reflectance"} {
			if s.has(key) {
				s.fault(s.at(key), fmt.Sprintf("%s is of a background on the ground; behind this subject is the sky", join(s.path, key)),
					`background = "sunlit" or "shaded", or leave `+key+" out")
			}
		}
	}
	return b
}

// facing reads an azimuth, or the side the sun is kept on.
func (s *section) facing(key string) scene.Facing {
	backlit := scene.Facing{Side: scene.Backlit}
	e := s.take(key)
	if e == nil {
		return backlit
	}
	if azimuth, ok := asNumber(e); ok {
		if !s.within(e, key, azimuth, 225, 0, 360) {
			return backlit
		}
		return scene.Facing{Side: scene.FixedAzimuth, Azimuth: sky.Degrees(azimuth).Normal()}
	}
	var words []string
	for _, side := range [...]scene.Side{scene.Backlit, scene.FrontLit, scene.LeftLit, scene.RightLit} {
		facing := scene.Facing{Side: side}
		if e.value == facing.String() {
			return facing
		}
		words = append(words, facing.String())
	}
	s.fault(e, fmt.Sprintf("%s = %s is no direction", join(s.path, key), e.written()),
		"an azimuth such as "+s.instead(key, "225")+", or the side the sun is kept on: "+listed(words))
	return backlit
}
