package report

import (
	"fmt"
	"path"
	"slices"

	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/sky"
)

// SavedPlace is a place that is kept under a name.
type SavedPlace struct {
	Name   string
	Place  shoot.Place // its zone may be nil
	Ground string      // in a word; may be empty
	File   string      // that it is defined in
	Block  string      // as TOML to be pasted into a shoot; may be empty
}

// Places is what is told of saved places.
type Places struct {
	List  []SavedPlace
	One   bool   // of one, in full
	Own   string // of a list, the file that the photographer's own are kept in; may be empty
	Found bool   // there is such a file
}

// Report describes saved places as a list, or one in full.
func (p *Places) Report() *Report {
	r := &Report{Summary: words.Count(len(p.List), "place"), Data: newPlacesDocument(p)}
	d := &r.Document
	if p.One {
		for i := range p.List {
			d.Title = p.List[i].Name
			d.Add(p.List[i].blocks()...)
		}
		return r
	}
	d.Title = "Saved places"
	if len(p.List) > 0 {
		d.Add(p.table())
	}
	switch {
	case p.Own == "":
	case p.Found:
		d.Add(Heading{Text: "Your own places"}, Paragraph{Text: "Read from " + p.Own})
	default:
		d.Add(Heading{Text: "Your own places"}, Paragraph{Text: "None yet; evenfall place save NAME writes to " + p.Own})
	}
	return r
}

// table lists the places.
func (p *Places) table() *Table {
	t := &Table{Columns: []Column{{Title: "name"},
		{Title: "latitude", Unit: "°", Align: Right, Importance: 8, Note: "north is positive"},
		{Title: "longitude", Unit: "°", Align: Right, Importance: 8, Note: "east is positive"},
		{Title: "time zone", Importance: 7},
		{Title: "elevation", Unit: "m", Align: Right, Importance: 4, Note: "above sea level"},
		{Title: "ground", Importance: 5, Note: "what lies before the sitter, or its share of the light thrown back"},
		{Title: "skyline", Importance: 6, Note: "highest point of what the sun goes behind, and where it is"}}}
	elsewhere := slices.ContainsFunc(p.List, func(one SavedPlace) bool { return one.File != p.Own })
	if elsewhere {
		t.Columns = append(t.Columns, Column{Title: "defined in", Importance: 9})
	}
	for i := range p.List {
		one := &p.List[i]
		site := one.Place.Site
		row := []string{one.Name, words.Number(site.Latitude.Degrees(), 4), words.Number(site.Longitude.Degrees(), 4),
			one.zone(), words.Number(site.Elevation, 0), one.ground(), skyline(one.Place.Horizon)}
		if elsewhere {
			row = append(row, path.Base(one.File))
		}
		t.Add(row...)
	}
	return t
}

// zone is the name of the place's time zone.
func (p *SavedPlace) zone() string {
	if p.Place.Zone == nil {
		return words.Unknown
	}
	return p.Place.Zone.String()
}

// ground is what the ground is, or its reflectance.
func (p *SavedPlace) ground() string {
	if p.Ground != "" {
		return p.Ground
	}
	return words.Percent(p.Place.Ground)
}

// skyline says how high what stands up is, and where.
func skyline(h sky.Horizon) string {
	if len(h) == 0 {
		return words.Unknown
	}
	top := h[0]
	for _, one := range h {
		if one.Altitude > top.Altitude {
			top = one
		}
	}
	return fmt.Sprintf("%s at %s", words.Degrees(top.Altitude, 0), words.Degrees(top.Azimuth, 0))
}

// blocks tell the place in full.
func (p *SavedPlace) blocks() []Block {
	blocks := []Block{p.facts()}
	if len(p.Place.Horizon) > 0 {
		t := &Table{Columns: []Column{{Title: "azimuth", Unit: "°", Align: Right},
			{Title: "altitude", Unit: "°", Align: Right, Note: "what the sun goes behind; straight lines between"}}}
		for _, one := range p.Place.Horizon {
			t.Add(words.Number(one.Azimuth.Degrees(), 1), words.Number(one.Altitude.Degrees(), 1))
		}
		blocks = append(blocks, Heading{Text: "Skyline"}, t)
	}
	if p.Block != "" {
		blocks = append(blocks, Heading{Text: "To paste into a shoot, that picks it by saved in [place]"},
			Code{Language: "toml", Text: p.Block})
	}
	return blocks
}

// facts are what is kept of the place but for its skyline.
func (p *SavedPlace) facts() Facts {
	site := p.Place.Site
	facts := Facts{{Label: "Position", Text: fmt.Sprintf("%s, %s", words.UpTo(site.Latitude.Degrees(), 6),
		words.UpTo(site.Longitude.Degrees(), 6))}}
	if p.Place.Name != "" {
		facts = append(facts, Fact{Label: "Called", Text: p.Place.Name})
	}
	zone := p.zone()
	if p.Place.Zone == nil {
		zone = "not stated: times would be in the system's"
	}
	ground := "throws " + words.Percent(p.Place.Ground) + " of the light back"
	if p.Ground != "" {
		ground = p.Ground + ", " + ground
	}
	return append(facts, Fact{Label: "Time zone", Text: zone},
		Fact{Label: "Elevation", Text: words.UpTo(site.Elevation, 1) + " m above sea level"},
		Fact{Label: "Ground", Text: ground}, Fact{Label: "Defined in", Text: p.File})
}

// placesSchema names the contract of saved places. It only ever grows.
const placesSchema = "evenfall/places/1"

// The document of saved places, its keys called as in a shoot.
type placesDocument struct {
	Schema string           `json:"schema" csv:"-"`
	Places []placeInSummary `json:"places" csv:"rows"`
}

type placeInSummary struct {
	Name        string         `json:"name"`  // that it is picked by
	Title       *string        `json:"title"` // what it is called in headers, where that is another
	Latitude    figure         `json:"latitude_deg"`
	Longitude   figure         `json:"longitude_deg"`
	Zone        *string        `json:"time_zone"`
	Elevation   figure         `json:"elevation_m"`
	Ground      *string        `json:"ground"`
	Reflectance figure         `json:"ground_reflectance"`
	Horizon     []horizonPoint `json:"horizon"`
	File        string         `json:"defined_in"`
}

type horizonPoint struct {
	Azimuth  figure `json:"azimuth_deg"`
	Altitude figure `json:"altitude_deg"`
}

func newPlacesDocument(p *Places) *placesDocument {
	d := &placesDocument{Schema: placesSchema, Places: []placeInSummary{}}
	for i := range p.List {
		one := &p.List[i]
		site := one.Place.Site
		told := placeInSummary{Name: one.Name, Title: textOf(one.Place.Name), Latitude: fixed(site.Latitude.Degrees(), 8),
			Longitude: fixed(site.Longitude.Degrees(), 8), Elevation: exact(site.Elevation), Ground: textOf(one.Ground),
			Reflectance: exact(one.Place.Ground), Horizon: []horizonPoint{}, File: one.File}
		if one.Place.Zone != nil {
			told.Zone = textOf(one.Place.Zone.String())
		}
		for _, point := range one.Place.Horizon {
			told.Horizon = append(told.Horizon,
				horizonPoint{fixed(point.Azimuth.Degrees(), 4), fixed(point.Altitude.Degrees(), 4)})
		}
		d.Places = append(d.Places, told)
	}
	return d
}
