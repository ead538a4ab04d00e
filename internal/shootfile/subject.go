package shootfile

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// defaultReflectance is that of a background that states none: trees and grass
// (W. J. Smith, Modern Optical Engineering), the usual guess for a landscape.
const defaultReflectance = 0.2

// subject reads the section of that name but for the figure, which is known,
// for a camera's frame and lens.
func (r *reader) subject(s *section, figure scene.Figure, o scene.Optics) shoot.Subject {
	subject := shoot.Subject{
		Facing:      s.facing("facing"),
		Figure:      figure,
		SkyAltitude: sky.Degrees(s.quantity("sky_altitude_deg", usualSkyAltitude(figure))),
		Background:  s.background(),
	}
	subject.CameraDistance = s.cameraDistance("camera_distance_m", subject.Figure, o)
	s.done()
	return subject
}

// usualSkyAltitude is how high the frame's centre lies, in degrees, where it is
// not said: above the horizon behind a head, on it behind a full length, whose
// lower half then stands before the ground.
func usualSkyAltitude(f scene.Figure) float64 {
	if f == scene.FullLength {
		return 0
	}
	return 10
}

// figures lists what of the subject the picture may show.
var figures = [...]scene.Figure{scene.HeadAndShoulders, scene.FullLength}

// litSides lists the sides that the sun may be kept on.
var litSides = [...]scene.Side{scene.Backlit, scene.FrontLit, scene.LeftLit, scene.RightLit}

// figure reads how much of the subject the picture shows.
func (s *section) figure(key string) scene.Figure {
	word := s.text(key, scene.HeadAndShoulders.Name)
	var names []string
	for _, figure := range figures {
		if normal(word) == figure.Name {
			return figure
		}
		names = append(names, figure.Name)
	}
	hint := s.instead(key, names[0]) + ", or " + s.instead(key, names[1])
	if near := Nearest(word, names); near != "" {
		hint = s.instead(key, near)
	}
	s.fault(s.at(key), s.said(key, quoted(word))+" is not known", hint)
	return scene.HeadAndShoulders
}

// orientation reads how the camera is held. It need not be said: upright for
// head and shoulders, level for a full length.
func (s *section) orientation(key string, figure scene.Figure) scene.Orientation {
	usual := scene.Portrait
	if figure == scene.FullLength {
		usual = scene.Landscape
	}
	word := s.text(key, usual.String())
	var words, quotes []string
	for _, o := range scene.Orientations {
		if normal(word) == o.String() {
			return o
		}
		words, quotes = append(words, o.String()), append(quotes, quoted(o.String()))
	}
	hint := key + " = " + listed(quotes)
	if near := Nearest(word, words); near != "" {
		hint = s.instead(key, near)
	}
	s.fault(s.at(key), fmt.Sprintf("%s is not known", s.said(key, quoted(word))), hint)
	return usual
}

// cameraDistance reads how far the camera stands from the subject. It need not
// be said: then the whole figure just fills the frame.
func (s *section) cameraDistance(key string, figure scene.Figure, o scene.Optics) float64 {
	filled := o.DistanceToFill(figure)
	if !s.has(key) {
		s.take(key)
		return filled
	}
	distance := s.quantity(key, filled)
	if closest := 2 * o.FocalLength.Metres(); distance < closest {
		s.fault(s.at(key), fmt.Sprintf("%s is nearer than life size with a lens of %s mm, %s m",
			s.said(key, plain(distance)), plain(float64(o.FocalLength)), plain(closest)),
			s.instead(key, plain(math.Ceil(filled*10)/10)))
		return filled
	}
	return distance
}

// background reads what stands behind the subject: the sky unless it is said.
func (s *section) background() scene.Background {
	b := scene.Background{
		Reflectance: s.quantity("background_reflectance", defaultReflectance),
		Distance:    math.Inf(1),
	}
	const distance = "background_distance_m"
	if s.has(distance) {
		b.Distance = s.quantity(distance, 10)
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
		if near := Nearest(word, words); near != "" {
			hint = s.instead("background", near)
		}
		s.fault(s.at("background"), fmt.Sprintf("background = %s is not known", quoted(word)), hint)
		return b
	}
	if b.Kind == scene.SkyBackground {
		for _, key := range [...]string{distance, "background_reflectance"} {
			if s.has(key) {
				s.fault(s.at(key), s.called(key)+" is of a background on the ground; behind this sitter is the sky",
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
			s.fault(e, s.said(key, plain(azimuth))+": must be -180 to 360", s.instead(key, plain(near)))
			return backlit
		}
		return scene.Facing{Side: scene.FixedAzimuth, Azimuth: sky.Degrees(azimuth).Normal()}
	}
	text, _ := e.value.(string)
	if azimuth, ok := compassPoint(text); ok {
		return scene.Facing{Side: scene.FixedAzimuth, Azimuth: azimuth}
	}
	var words []string
	for _, side := range litSides {
		facing := scene.Facing{Side: side}
		if strings.EqualFold(text, facing.String()) {
			return facing
		}
		words = append(words, facing.String())
	}
	hint := s.instead(key,
		"225") + ", a point of the compass such as SW, or the side the sun is kept on: " + listed(words)
	if near := Nearest(text, words); near != "" {
		hint = s.instead(key, near)
	}
	s.fault(e, s.said(key, e.written())+" is not a direction", hint)
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
	word := strings.NewReplacer("north", "n", "east", "e", "south", "s", "west", "w", "-", "", " ",
		"").Replace(strings.ToLower(text))
	i := slices.Index(compass[:], word)
	return sky.Degrees(22.5 * float64(i)), i >= 0
}
