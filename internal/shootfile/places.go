package shootfile

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/sky"
)

// SavedPlace is a place that is kept under a name, for shoots to pick.
type SavedPlace struct {
	Name   string // that it is picked by
	Place  shoot.Place
	Ground string // what the ground is, in a word; empty where its reflectance is stated, or nothing
	File   string // that it is defined in

	line int // of its definition
}

// Places are saved places, in the order that they are looked up in.
type Places []SavedPlace

// Names lists what the places are picked by.
func (p Places) Names() []string {
	var names []string
	for _, one := range p {
		names = append(names, one.Name)
	}
	return names
}

// Find returns the place of a name. Capitals, spaces and hyphens do not count.
func (p Places) Find(name string) (SavedPlace, bool) {
	i := slices.IndexFunc(p, func(one SavedPlace) bool { return normal(one.Name) == normal(name) })
	if i < 0 {
		return SavedPlace{}, false
	}
	return p[i], true
}

// Add returns the places with others behind them, without those whose names there
// are before.
func (p Places) Add(others Places) Places {
	all := slices.Clone(p)
	for _, one := range others {
		if _, taken := p.Find(one.Name); !taken {
			all = append(all, one)
		}
	}
	return all
}

// ParsePlaces reads a file of saved places called name: a table for each, with
// the keys of a shoot's place. The error is a Faults.
func ParsePlaces(name string, data []byte, env Environment) (Places, error) {
	document, err := Parse(name, data)
	if err != nil {
		return nil, err
	}
	r := &reader{file: name}
	r.spoil("", document.root)
	if places := document.root.table["places"]; places != nil && places.table != nil &&
		places.table["latitude_deg"] == nil {
		r.fault(places, "a file of places has no table places", "[west-quay] in place of [places.west-quay]")
		delete(document.root.table, "places")
	}
	places := r.savedPlaces(&section{reader: r, entry: document.root}, env)
	if len(r.faults) > 0 {
		return nil, r.faults.inOrder()
	}
	return places, nil
}

// SavedPlaces returns the places of the document, and those of the environment
// that it does not have. The error is a Faults.
func (d *Document) SavedPlaces(env Environment) (Places, error) {
	r := &reader{file: d.file}
	if places := d.root.table["places"]; places != nil {
		r.spoil("places", places)
	}
	places := r.savedPlaces((&section{reader: r, entry: d.root}).table("places"), env)
	if len(r.faults) > 0 {
		return nil, r.faults.inOrder()
	}
	return places.Add(env.Places), nil
}

// Picks returns the name of the saved place that the document picks, and whether it
// picks one that is not its own.
func (d *Document) Picks() (name string, elsewhere bool) {
	place := d.root.table["place"]
	if place == nil || place.table["saved"] == nil {
		return "", false
	}
	name, _ = place.table["saved"].value.(string)
	own := d.root.table["places"]
	if own == nil {
		return name, true
	}
	for one := range own.table {
		if normal(one) == normal(name) {
			return name, false
		}
	}
	return name, true
}

// longestPlaceName is how many characters the name of a saved place may have.
const longestPlaceName = 60

// savedPlaces reads the tables of saved places in a section, in the order of the
// file.
func (r *reader) savedPlaces(s *section, env Environment) Places {
	if s.entry == nil {
		return nil
	}
	names := slices.SortedFunc(maps.Keys(s.entry.table), func(a, b string) int {
		x, y := s.entry.table[a].origin, s.entry.table[b].origin
		return cmp.Or(cmp.Compare(x.line, y.line), cmp.Compare(x.column, y.column), cmp.Compare(a, b))
	})
	var places Places
	for _, name := range names {
		e := s.entry.table[name]
		if what := wrongPlaceName(name); what != "" {
			r.fault(e, what, "another name, such as west-quay")
			continue
		}
		if twin, taken := places.Find(name); taken {
			r.fault(e, fmt.Sprintf("%s is called as %s is, but for capitals, spaces and hyphens", join(s.path, name),
				join(s.path, twin.Name)), "another name")
			continue
		}
		one := s.table(name)
		one.like = "place"
		places = append(places, SavedPlace{Name: name, File: r.file, line: e.origin.line})
		if one.entry != nil {
			last := &places[len(places)-1]
			last.Place, last.Ground = r.savedPlace(one, env)
		}
	}
	return places
}

// wrongPlaceName says what is wrong with the name of a saved place; nothing of a
// good one.
func wrongPlaceName(name string) string {
	c, unsafe := words.Unsafe(name) // broken UTF-8 too
	switch {
	case normal(name) == "":
		return "a saved place has no name"
	case unsafe:
		return fmt.Sprintf("the name of a saved place holds the control character %U", c)
	case utf8.RuneCountInString(name) > longestPlaceName:
		return fmt.Sprintf("the name of a saved place is longer than %d characters", longestPlaceName)
	}
	return ""
}

// savedPlace reads one saved place, and its ground in a word.
func (r *reader) savedPlace(s *section, env Environment) (place shoot.Place, ground string) {
	s.readCoordinates()
	for _, one := range coordinates {
		if s.entry.table[one.key] == nil {
			r.fault(s.entry, s.path+" has no "+one.key, one.key+" = "+one.example)
		}
	}
	place.Name = s.text("name", "")
	place.Site = s.site(sky.Place{})
	if s.take("time_zone") != nil {
		place.Zone = r.zone(s, env)
		noon := time.Date(env.Today.Year, env.Today.Month, env.Today.Day, 12, 0, 0, 0, time.UTC)
		if longitude, ok := s.longitude(); place.Zone != nil && ok && !fits(longitude, noon.In(place.Zone)) {
			s.fault(s.at("time_zone"), fmt.Sprintf("this cannot be time zone %s: solar noon is more than two and a half "+
				"hours from noon by the clock", place.Zone), s.instead("time_zone", hourZone(longitude)))
		}
	}
	place.Ground, ground = s.ground(defaultGround)
	place.Horizon = s.horizon(nil)
	s.done()
	return place, ground
}

// picked returns the saved place that the section of a place picks; the zero
// place where it picks none, or there is none of that name, which is reported.
func (r *reader) picked(s *section, places Places) SavedPlace {
	e := s.take("saved")
	if e == nil {
		return SavedPlace{}
	}
	name := s.text("saved", "west-quay")
	if text, isText := e.value.(string); !isText || text == "" {
		return SavedPlace{}
	}
	if s.has("latitude_deg") || s.has("longitude_deg") {
		s.fault(e, s.called("saved")+" picks a place that has a latitude and a longitude of its own", s.without("saved"))
	}
	one, found := places.Find(name)
	if found {
		return one
	}
	hint := "evenfall place save " + Typed(strings.ReplaceAll(name, " ", "-")) + " --at " + placeExample +
		" --tz Europe/Berlin"
	switch near := Nearest(name, places.Names()); {
	case near != "":
		hint = s.instead("saved", near)
	case len(places) > 0:
		hint = s.instead("saved", places[0].Name) + "; all are " + listed(places.Names())
	}
	s.fault(e, "there is no saved place "+quoted(name), hint)
	return SavedPlace{}
}

// Block returns the definition of the place as text: to paste into a shoot, or as
// it stands in a file of places. Its zone goes with a remark on where it was taken
// from where nobody named it.
func (p *SavedPlace) Block(inShoot bool) string {
	head := bareOrQuoted(p.Name)
	if inShoot {
		head = "places." + head
	}
	b := blockText{lines: []string{"[" + head + "]"}}
	if p.Place.Name != "" {
		b.text("name", p.Place.Name)
	}
	b.number("latitude_deg", p.Place.Site.Latitude.Degrees())
	b.number("longitude_deg", p.Place.Site.Longitude.Degrees())
	if zone := p.Place.Zone; zone != nil && zone.String() != "Local" { // the system's may have no name
		text := fmt.Sprintf("%q", zone.String())
		if p.Place.ZoneAssumed {
			text += " # taken from the system"
		}
		b.line("time_zone", text)
	}
	b.some("elevation_m", p.Place.Site.Elevation)
	switch {
	case p.Ground != "":
		b.text("ground", p.Ground)
	case p.Place.Ground != defaultGround:
		b.number("ground_reflectance", p.Place.Ground)
	}
	if len(p.Place.Horizon) > 0 {
		var points []string
		for _, one := range p.Place.Horizon {
			points = append(points, fmt.Sprintf("[%s, %s]", written(one.Azimuth.Degrees()), written(one.Altitude.Degrees())))
		}
		b.line("horizon_deg", "["+strings.Join(points, ", ")+"]")
	}
	return strings.Join(b.lines, "\n") + "\n"
}
