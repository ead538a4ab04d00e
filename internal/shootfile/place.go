package shootfile

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

// defaultGround is the ground's reflectance where none is stated: the usual
// default of daylight simulation.
const defaultGround = 0.2

// grounds are the shares of visible light that surfaces throw back. From
// W. J. Smith, Modern Optical Engineering: grass (with trees), asphalt, brick,
// concrete, snow. From the IES Lighting Handbook, quoted from memory: sand
// (middle of dry sand, 0.25 to 0.40), gravel (macadam), water, earth (moist)
// and old snow.
var grounds = []struct {
	name        string
	reflectance float64
}{
	{"grass", 0.20}, {"sand", 0.33}, {"snow", 0.85}, {"old snow", 0.64}, {"concrete", 0.40},
	{"brick", 0.35}, {"asphalt", 0.05}, {"gravel", 0.18}, {"earth", 0.07}, {"water", 0.07},
}

// groundsMeant are other words for grounds of the list.
var groundsMeant = map[string]string{
	"beach": "sand", "dune": "sand", "dunes": "sand", "desert": "sand", "lawn": "grass", "meadow": "grass",
	"field": "grass", "park": "grass", "forest": "grass", "road": "asphalt", "street": "asphalt", "tarmac": "asphalt",
	"pavement": "concrete", "paving": "concrete", "stone": "concrete", "terrace": "concrete", "soil": "earth",
	"mud": "earth", "dirt": "earth", "sea": "water", "lake": "water", "river": "water", "pebbles": "gravel",
	"shingle": "gravel", "fresh snow": "snow", "ice": "old snow",
}

// place reads the section of that name; ok is false where the day cannot be
// worked out from it.
func (r *reader) place(s *section, env Environment) (place shoot.Place, ok bool) {
	faults := len(r.faults)
	place.Name = s.text("name", "")
	s.readCoordinates()
	switch {
	case s.broken:
	case s.entry == nil:
		r.fault(&entry{origin: origin{line: 1, column: 1}}, "the shoot has no place",
			"--at "+placeExample+", or [place] with latitude_deg = 54.33 and longitude_deg = 10.15")
	default:
		for _, one := range [...]struct{ key, example string }{{"latitude_deg", "54.33"}, {"longitude_deg", "10.15"}} {
			if s.entry.table[one.key] == nil {
				r.fault(s.entry, "place has no "+one.key,
					one.key+" = "+one.example+", or --at "+placeExample+" for both")
			}
		}
	}
	place.Site = sky.Place{
		Latitude:  sky.Degrees(s.quantity("latitude_deg", 0)),
		Longitude: sky.Degrees(s.quantity("longitude_deg", 0)),
		Elevation: s.quantity("elevation_m", 0),
	}
	place.Zone = r.zone(s, env)
	place.ZoneAssumed = !s.has("time_zone")
	ok = len(r.faults) == faults && s.sound("latitude_deg", "longitude_deg", "time_zone")
	place.Ground = s.ground()
	place.Horizon = s.horizon()
	s.done()
	return place, ok && place.Zone != nil
}

// ground reads what the ground throws back, as a word or as a number.
func (s *section) ground() float64 {
	reflectance := s.quantity("ground_reflectance", defaultGround)
	if !s.has("ground") || s.conflict("ground", "ground_reflectance") {
		s.take("ground")
		return reflectance
	}
	word := normal(s.text("ground", "grass"))
	var words []string
	for _, g := range grounds {
		if g.name == word {
			return g.reflectance
		}
		words = append(words, g.name)
	}
	hint := s.instead("ground", words[0]) + "; all are " + listed(words)
	if near := cmp.Or(groundsMeant[word], Nearest(word, words)); near != "" {
		hint = s.instead("ground", near)
	}
	s.fault(s.at("ground"), s.said("ground", quoted(word))+" is not known", hint)
	return defaultGround
}

// normal writes words as they are listed: lower case, spaces for hyphens.
func normal(word string) string {
	return strings.ToLower(strings.Join(strings.FieldsFunc(word,
		func(r rune) bool { return r == ' ' || r == '-' || r == '_' }), " "))
}

// horizon reads the skyline.
func (s *section) horizon() sky.Horizon {
	const example = "[[200, 5], [240, 12]]"
	points, ok := s.elements("horizon_deg", "[azimuth, altitude] pairs", example)
	if !ok {
		return nil
	}
	const most = 720 // two to a degree
	if len(points) > most {
		s.fault(s.at("horizon_deg"), fmt.Sprintf("horizon_deg has %d points, more than %d", len(points), most),
			"fewer points")
		return nil
	}
	var h sky.Horizon
	for _, point := range points {
		var pair [2]float64
		good := len(point.list) == len(pair)
		for i := 0; good && i < len(pair); i++ {
			pair[i], good = asNumber(point.list[i])
		}
		switch azimuth, altitude := pair[0], pair[1]; {
		case !good:
			s.fault(point, "horizon_deg must hold [azimuth, altitude] pairs of numbers", "horizon_deg = "+example)
		case !(azimuth >= 0 && azimuth < 360):
			s.fault(point, "horizon_deg: azimuth "+plain(azimuth)+": must be 0 to less than 360 degrees from true north",
				betterPoint(azimuth, altitude))
		case !(altitude >= -10 && altitude <= 89):
			s.fault(point, "horizon_deg: altitude "+plain(altitude)+": must be -10 to 89 degrees above the horizontal",
				betterPoint(azimuth, altitude))
		default:
			next := sky.HorizonPoint{Azimuth: sky.Degrees(azimuth), Altitude: sky.Degrees(altitude)}
			at, taken := slices.BinarySearchFunc(h, next, func(a, b sky.HorizonPoint) int {
				return cmp.Compare(a.Azimuth, b.Azimuth)
			})
			if taken {
				s.fault(point, fmt.Sprintf("horizon_deg has azimuth %s twice", plain(azimuth)),
					fmt.Sprintf("leave [%s, %s] out", plain(azimuth), plain(altitude)))
				continue
			}
			h = slices.Insert(h, at, next)
		}
	}
	return h
}

// betterPoint is a hint for a point of the skyline that there cannot be: the
// nearest that can.
func betterPoint(azimuth, altitude float64) string {
	around := wrapped(azimuth)
	if math.IsNaN(around) {
		around = 0
	}
	above := clamp(altitude, -10, 89)
	if math.IsNaN(above) {
		above = 0
	}
	return fmt.Sprintf("[%s, %s] in place of [%s, %s]", plain(around), plain(above), plain(azimuth), plain(altitude))
}

// wrapped brings an azimuth in degrees into 0 to less than 360; NaN where it
// is not finite.
func wrapped(azimuth float64) float64 {
	around := math.Mod(azimuth, 360)
	if around < 0 {
		around += 360
	}
	if around == 360 { // -1e-20 + 360
		return 0
	}
	return around
}
