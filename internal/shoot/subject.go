package shoot

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"evenfall/internal/scene"
	"evenfall/internal/spelling"
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
		s.fault(s.at(key), fmt.Sprintf("%s is nearer than life size with a lens of %s mm, %s m",
			s.said(key, plain(distance)), plain(o.FocalLength), plain(closest)),
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
		if near := spelling.Nearest(word, words); near != "" {
			hint = s.instead("background", near)
		}
		s.fault(s.at("background"), fmt.Sprintf("background = %s is not known", quoted(word)), hint)
		return b
	}
	if b.Kind == scene.SkyBackground {
		for _, key := range [...]string{distance, "background_reflectance"} {
			if s.has(key) {
				s.fault(s.at(key), fmt.Sprintf("%s is of a background on the ground; behind this subject is the sky", s.called(key)),
					`background = "sunlit" or "shaded", or `+s.without(key))
			}
		}
	}
	return b
}

// facing reads an azimuth, as a number or a point of the compass, or the side
// the sun is kept on.
func (s *section) facing(key string) scene.Facing {
	backlit := scene.Facing{Side: scene.Backlit}
	e := s.take(key)
	if e == nil {
		return backlit
	}
	if azimuth, ok := asNumber(e); ok {
		if !(azimuth >= -180 && azimuth <= 360) { // west of north may be negative
			near := wrapped(azimuth)
			if math.IsNaN(near) {
				near = 225
			}
			s.fault(e, s.said(key, plain(azimuth))+" lies outside -180 to 360", s.instead(key, plain(near)))
			return backlit
		}
		return scene.Facing{Side: scene.FixedAzimuth, Azimuth: sky.Degrees(azimuth).Normal()}
	}
	text, _ := e.value.(string)
	if azimuth, ok := compassPoint(text); ok {
		return scene.Facing{Side: scene.FixedAzimuth, Azimuth: azimuth}
	}
	var words []string
	for _, side := range [...]scene.Side{scene.Backlit, scene.FrontLit, scene.LeftLit, scene.RightLit} {
		facing := scene.Facing{Side: side}
		if strings.EqualFold(text, facing.String()) {
			return facing
		}
		words = append(words, facing.String())
	}
	hint := s.instead(key, "225") + ", a point of the compass such as SW, or the side the sun is kept on: " + listed(words)
	if near := spelling.Nearest(text, words); near != "" {
		hint = s.instead(key, near)
	}
	s.fault(e, s.said(key, e.written())+" is no direction", hint)
	return backlit
}

// compass are the sixteen points, clockwise from true north, 22.5 degrees
// apart.
var compass = [...]string{
	"n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw",
}

// compassPoint returns the azimuth of a point of the compass: NW, WNW or
// north-west.
func compassPoint(text string) (sky.Angle, bool) {
	word := strings.NewReplacer("north", "n", "east", "e", "south", "s", "west", "w", "-", "", " ", "").Replace(strings.ToLower(text))
	i := slices.Index(compass[:], word)
	return sky.Degrees(22.5 * float64(i)), i >= 0
}
