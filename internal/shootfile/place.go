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

// coordinates are the keys that say where a place is, with an example each.
var coordinates = [...]struct{ key, example string }{{"latitude_deg", "54.33"}, {"longitude_deg", "10.15"}}

// place reads the section of that name, with saved places to pick from, and the
// ground in a word, if it is said in one; ok is false where the day cannot be
// worked out from it.
func (r *reader) place(s *section, env Environment, places Places) (place shoot.Place, ground string, ok bool) {
	faults := len(r.faults)
	s.readCoordinates()
	saved := r.picked(s, places)
	switch {
	case s.broken || s.entry != nil && s.entry.table["saved"] != nil:
	case s.entry == nil:
		r.fault(nil, "the shoot has no place",
			"--at "+placeExample+", or [place] with latitude_deg = 54.33 and longitude_deg = 10.15")
	default:
		for _, one := range coordinates {
			if s.entry.table[one.key] == nil {
				r.fault(s.entry, "place has no "+one.key,
					one.key+" = "+one.example+", or --at "+placeExample+" for both")
			}
		}
	}
	if saved.Name == "" {
		saved.Place.Ground = defaultGround
	}
	place.Name = s.text("name", cmp.Or(saved.Place.Name, saved.Name))
	place.Site = s.site(saved.Place.Site)
	if saved.Place.Zone != nil {
		env.Zone = saved.Place.Zone
	}
	place.Zone = r.zone(s, env)
	place.ZoneAssumed = !s.has("time_zone") && saved.Place.Zone == nil
	ok = len(r.faults) == faults && place.Zone != nil && s.sound("latitude_deg", "longitude_deg", "time_zone", "saved")
	if place.Ground, ground = s.ground(saved.Place.Ground); !s.has("ground") && !s.has("ground_reflectance") {
		ground = saved.Ground
	}
	place.Horizon = s.horizon(saved.Place.Horizon)
	s.done()
	return place, ground, ok
}

// site reads where a place is, over what is known of it.
func (s *section) site(known sky.Place) sky.Place {
	if s.take("latitude_deg") != nil {
		known.Latitude = sky.Degrees(s.quantity("latitude_deg", 0))
	}
	if s.take("longitude_deg") != nil {
		known.Longitude = sky.Degrees(s.quantity("longitude_deg", 0))
	}
	known.Elevation = s.quantity("elevation_m", known.Elevation)
	return known
}

// ground reads what the ground throws back, as a word, which is returned too, or
// as a number.
func (s *section) ground(usual float64) (reflectance float64, word string) {
	reflectance = s.quantity("ground_reflectance", usual)
	if !s.has("ground") || s.conflict("ground", "ground_reflectance") {
		s.take("ground")
		return reflectance, ""
	}
	word = normal(s.text("ground", "grass"))
	var words []string
	for _, g := range grounds {
		if g.name == word {
			return g.reflectance, word
		}
		words = append(words, g.name)
	}
	hint := s.instead("ground", words[0]) + "; all are " + listed(words)
	if near := cmp.Or(groundsMeant[word], Nearest(word, words)); near != "" {
		hint = s.instead("ground", near)
	}
	s.fault(s.at("ground"), s.said("ground", quoted(word))+" is not known", hint)
	return defaultGround, ""
}

// normal writes words as they are listed: lower case, spaces for hyphens.
func normal(word string) string {
	return strings.ToLower(strings.Join(strings.FieldsFunc(word,
		func(r rune) bool { return r == ' ' || r == '-' || r == '_' }), " "))
}

// Skylines to type: by flag, and in a file.
const (
	skylineExample = "240=2,270=9,300=2"
	pairsExample   = "[[200, 5], [240, 12]]"
)

// mostPoints is how many points a skyline may have: two to a degree.
const mostPoints = 720

// skylinePoint is a point of a skyline as it was written, in degrees.
type skylinePoint struct {
	azimuth, altitude float64
	at                *entry
	ok                bool // both are numbers
}

// horizon reads the skyline: of pairs, or of a text such as 240=2,270=9. Of a text
// there is one fault, for its hint is the whole of it.
func (s *section) horizon(usual sky.Horizon) sky.Horizon {
	const key = "horizon_deg"
	e := s.take(key)
	if e == nil {
		return usual
	}
	text, isText := e.value.(string)
	points := skylineOf(text, e)
	if !isText {
		list, ok := s.elements(key, "[azimuth, altitude] pairs", pairsExample)
		if !ok {
			return nil
		}
		points = pairsOf(list)
	}
	if len(points) > mostPoints {
		s.fault(e, fmt.Sprintf("%s has %d points, more than %d", s.called(key), len(points), mostPoints),
			"leave points out: two to a degree are enough")
		return nil
	}
	var h sky.Horizon
	for i := range points {
		p := &points[i]
		at, taken := p.place(h)
		what, hint := p.wrong(isText, taken)
		switch {
		case what == "":
			h = slices.Insert(h, at, p.onSky())
		case isText:
			s.fault(e, s.called(key)+what, s.instead(key, betterSkyline(points)))
			return nil
		default:
			s.fault(p.at, key+what, hint)
		}
	}
	return h
}

// onSky returns the point as calculations take it.
func (p *skylinePoint) onSky() sky.HorizonPoint {
	return sky.HorizonPoint{Azimuth: sky.Degrees(p.azimuth), Altitude: sky.Degrees(p.altitude)}
}

// place returns where the point stands in a skyline, and whether there is one of
// its azimuth.
func (p *skylinePoint) place(h sky.Horizon) (at int, taken bool) {
	return slices.BinarySearchFunc(h, p.onSky(), func(a, b sky.HorizonPoint) int {
		return cmp.Compare(a.Azimuth, b.Azimuth)
	})
}

// pairsOf returns the points of a list of pairs.
func pairsOf(list []*entry) []skylinePoint {
	var points []skylinePoint
	for _, e := range list {
		p := skylinePoint{at: e}
		if len(e.list) == 2 {
			var okAzimuth, okAltitude bool
			p.azimuth, okAzimuth = asNumber(e.list[0])
			p.altitude, okAltitude = asNumber(e.list[1])
			p.ok = okAzimuth && okAltitude
		}
		points = append(points, p)
	}
	return points
}

// skylineOf returns the points of a text such as 240=2,W=9.
func skylineOf(text string, e *entry) []skylinePoint {
	var points []skylinePoint
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' }) {
		azimuth, altitude, _ := strings.Cut(part, "=")
		p := skylinePoint{at: e}
		var okAltitude bool
		p.azimuth, p.ok = readAzimuth(azimuth)
		p.altitude, okAltitude = readDegrees(altitude)
		p.ok = p.ok && okAltitude
		points = append(points, p)
	}
	if len(points) == 0 {
		points = append(points, skylinePoint{at: e})
	}
	return points
}

// wrong says what is wrong with a point of a text or of a list of pairs, to be read
// behind what it is a point of, and what to write instead; nothing of a good one.
func (p *skylinePoint) wrong(ofText, taken bool) (what, hint string) {
	azimuth, altitude := plain(p.azimuth), plain(p.altitude)
	switch {
	case !p.ok && ofText:
		return ": must be azimuth=altitude, azimuth=altitude, ... in degrees", ""
	case !p.ok:
		return " must hold [azimuth, altitude] pairs of numbers", "horizon_deg = " + pairsExample
	case !(p.azimuth >= 0 && p.azimuth < 360):
		what = ": azimuth " + azimuth + ": must be 0 to less than 360 degrees from true north"
	case !(p.altitude >= -10 && p.altitude <= 89):
		what = ": altitude " + altitude + ": must be -10 to 89 degrees above the horizontal"
	case taken:
		return " has azimuth " + azimuth + " twice", fmt.Sprintf("leave [%s, %s] out", azimuth, altitude)
	default:
		return "", ""
	}
	around, above := possiblePoint(p.azimuth, p.altitude)
	return what, fmt.Sprintf("[%s, %s] in place of [%s, %s]", around, above, azimuth, altitude)
}

// betterSkyline is the nearest skyline that there can be, as it is typed.
func betterSkyline(points []skylinePoint) string {
	var parts, seen []string
	for _, p := range points {
		azimuth, altitude := possiblePoint(p.azimuth, p.altitude)
		if p.ok && !slices.Contains(seen, azimuth) {
			parts, seen = append(parts, azimuth+"="+altitude), append(seen, azimuth)
		}
	}
	return cmp.Or(strings.Join(parts, ","), skylineExample)
}

// possiblePoint returns the point of a skyline nearest to one, as it is typed.
func possiblePoint(azimuth, altitude float64) (around, above string) {
	azimuth = wrapped(azimuth)
	if math.IsNaN(azimuth) {
		azimuth = 0
	}
	altitude = clamp(altitude, -10, 89)
	if math.IsNaN(altitude) {
		altitude = 0
	}
	return plain(azimuth), plain(altitude)
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
