package shoot

import (
	"cmp"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/spelling"
	"evenfall/sky"
)

// Environment is what the clock, the system and the photographer's own kit
// say, where a shoot does not.
type Environment struct {
	Today Date           // of a shoot that names no date
	Zone  *time.Location // of a place that names none; nil where it is not known
	Kit   *Library       // the photographer's own; nil where there is none
}

// What a shoot is taken to be where it does not say.
const (
	defaultCamera   = "full-frame-200"
	defaultFlash    = "speedlight-60"
	defaultModifier = "bare"
	noKit           = "none" // stands for carrying none
)

// The range of lighting ratios. At 1:1 the fill would have to be endless.
const (
	lowestRatio  = 1.1
	highestRatio = 64
)

// Resolve checks the whole document and fills in what it leaves open. The
// error is a Faults with everything that is wrong.
func (d *Document) Resolve(env Environment) (*Shoot, error) {
	library, err := d.library(env.Kit)
	if err != nil {
		return nil, err
	}
	r := &reader{file: d.file, stands: d.standIns()}
	r.spoil("", d.root)
	root := &section{reader: r, entry: d.root}
	library.add(readKit(root.table("kit")))

	s := &Shoot{Name: root.text("name", d.name()), Kit: library}
	place, when, skies := root.table("place"), root.table("when"), root.tables("sky")
	var placed, dated bool
	s.Place, placed = r.place(place, env)
	s.When, dated = r.when(when, env)
	s.Sky = r.skies(skies)
	s.Look = r.look(root.table("look"))
	s.Camera, s.Frame = r.camera(root.table("camera"), library)
	s.Lens = r.lens(root.table("lens"), &s.Camera)
	s.Subject = r.subject(root.table("subject"), s.Optics(s.Lens.Wanted))
	s.Flash, s.Wish, s.Gels = r.flash(root.table("flash"), library)
	s.Rim = r.rim(root.table("rim"), library)
	s.Scrim = r.scrim(root.table("scrim"), library)
	s.Filters = r.filters(root.table("filters"), library)
	s.Pace = r.pace(root.table("pace"))
	s.Methods = root.methods("methods")
	root.done()
	if placed && dated {
		o := s.Observer()
		day := o.Day(s.When.Date.Year, s.When.Date.Month, s.When.Date.Day, s.Place.Zone)
		if !day.End.After(day.Start) {
			r.fault(when.at("date"), fmt.Sprintf("%v does not exist in %v: the date line was moved over the place that day", s.When.Date, s.Place.Zone),
				when.instead("date", s.When.Date.after(1).String()))
		} else if r.checkZone(place, &s.Place, day) {
			r.checkTimes(s, day, when, skies)
		}
	}
	if len(r.faults) > 0 {
		return nil, r.faults.inOrder()
	}
	return s, nil
}

// name returns what the shoot is called where it does not say: its file.
func (d *Document) name() string {
	if d.file == "" || d.demo {
		return ""
	}
	return printable(strings.TrimSuffix(filepath.Base(d.file), ".toml"))
}

// look reads the section of that name.
func (r *reader) look(s *section) Look {
	look := Look{
		Ratio: s.ratio("ratio", 3),
		Dark:  sky.Stops(s.number("dark_sky_stops", 0, 0, 8)),
		Bias:  sky.Stops(s.number("bias_stops", 0, -5, 5)),
	}
	if !s.conflict("ratio", "dark_sky_stops") && s.has("dark_sky_stops") {
		look.Kind, look.Ratio = DarkSky, 0
	}
	s.done()
	return look
}

// ratio reads a lighting ratio R of R:1.
func (s *section) ratio(key string, fallback float64) float64 {
	if e := s.take(key); e != nil {
		if v, ok := asNumber(e); ok && v < lowestRatio {
			why := "below 1:1 the fill would be brighter than the key and fill together"
			if v >= 1 {
				why = "toward 1:1 the fill would have to be endless"
			}
			s.fault(e, fmt.Sprintf("%s is less than %s: %s", s.said(key, plain(v)), plain(lowestRatio), why),
				s.instead(key, plain(lowestRatio)))
			return fallback
		}
	}
	return s.number(key, fallback, lowestRatio, highestRatio)
}

// named reads the name of a piece of kit.
func (s *section) named(key, fallback string, kind KitKind, library *Library) string {
	name := s.text(key, fallback)
	s.isKit(s.at(key), key, name, fallback, kind, library)
	return name
}

// isKit reports a name that no kit of the kind has.
func (s *section) isKit(e *entry, key, name, fallback string, kind KitKind, library *Library) bool {
	names := library.Names(kind)
	if fallback == noKit {
		names = append(names, noKit)
	}
	if slices.Contains(names, name) {
		return true
	}
	near := spelling.Nearest(name, names)
	hint := near
	if near == "" {
		hint = cmp.Or(fallback, names[0])
	}
	if s.at(key) == e {
		hint = s.instead(key, hint)
	}
	if near == "" {
		hint += "; all are " + listed(names)
	}
	s.fault(e, fmt.Sprintf("there is no %s %s in the kit", kind, quoted(name)), hint)
	return false
}

// camera reads the section of that name.
func (r *reader) camera(s *section, library *Library) (exposure.Camera, float64) {
	body, known := library.Camera(s.named("kit", defaultCamera, CameraKit, library))
	if !known {
		body, _ = library.Camera(defaultCamera)
	}
	c := body.Camera
	c.Sync = s.syncSpeed("sync", c.Click, c.Sync)
	c.Fastest = s.shutter("fastest", c.Click, c.Fastest)
	c.Lowest = s.iso("lowest_iso", c.ISOClick, c.Lowest)
	c.Highest = s.iso("highest_iso", c.ISOClick, c.Highest)
	frame := s.number("frame_height_mm", body.FrameHeight, 4, 100)
	s.done()
	checkCamera(s, c)
	return c, frame
}

// lens reads the section of that name, for a camera.
func (r *reader) lens(s *section, camera *exposure.Camera) exposure.Lens {
	by := camera.Click
	faults := len(r.faults)
	l := exposure.Lens{
		FocalLength: s.number("focal_length_mm", 85, 4, 2000),
		Widest:      s.lensEnd("widest", by, 12, 1),     // f/2
		Narrowest:   s.lensEnd("narrowest", by, 48, -1), // f/16
	}
	l.Name = s.text("name", plain(l.FocalLength)+" mm")
	if l.Narrowest < l.Widest {
		const usual exposure.Aperture = 48 // f/16
		key, hint := "narrowest", s.instead("narrowest", max(l.Widest, usual).Nominal())
		if !s.has(key) {
			key = "widest"
			hint = s.instead(key, l.Narrowest.Nominal()) + ", or narrowest = " + l.Widest.Nominal()
		}
		s.fault(s.at(key), fmt.Sprintf("the narrowest aperture %v is wider than the widest, %v", l.Narrowest, l.Widest), hint)
	}
	ranged := len(r.faults) == faults
	l.Wanted = s.apertureOf(&l, "aperture", by, max(l.Widest, min(18, l.Narrowest))) // f/2.8
	if ranged && (l.Wanted < l.Widest || l.Wanted > l.Narrowest) {
		hint := s.instead("aperture", max(l.Widest, min(l.Wanted, l.Narrowest)).Nominal())
		switch {
		case l.Wanted < l.Widest && !s.has("widest"):
			hint += ", or widest = " + l.Wanted.Nominal()
		case l.Wanted > l.Narrowest && !s.has("narrowest"):
			hint += ", or narrowest = " + l.Wanted.Nominal()
		}
		s.fault(s.at("aperture"), fmt.Sprintf("the lens has no %v: it goes from %v to %v", l.Wanted, l.Widest, l.Narrowest), hint)
	}
	l.Slowest = s.shutter("slowest", by, handHeld(l.FocalLength, camera))
	if s.has("slowest") && l.Slowest > camera.Sync {
		s.fault(s.at("slowest"), fmt.Sprintf("the slowest time %v is faster than the sync speed %v", l.Slowest, camera.Sync),
			s.instead("slowest", camera.Sync.String()))
	}
	s.done()
	return l
}

// handHeld returns the slowest time held by hand, the reciprocal of the focal
// length in mm, on the camera's scale; with a long lens the sync speed. Common
// practice, no source.
func handHeld(focalLength float64, camera *exposure.Camera) exposure.Shutter {
	return min(exposure.Shutter(onScale(math.Log2(focalLength), camera.Click)), camera.Sync)
}

// matchLight stands for the gel that comes nearest to the light.
const matchLight = "match"

// flash reads the section of that name, with the gels to choose from where the
// flash's colour is to go by the light.
func (r *reader) flash(s *section, library *Library) (flash.Head, flash.ColourWish, []flash.Gel) {
	h := s.head(library)
	warmer := sky.Mired(s.number("warmer_mired", 0, -200, 300))
	gels := s.gels("gels", library)
	var wish flash.ColourWish
	switch gel := s.text("gel", noKit); {
	case gel != matchLight:
		h.Gel = s.gel("gel", library)
		for _, key := range [...]string{"warmer_mired", "gels"} {
			if s.has(key) {
				s.fault(s.at(key), fmt.Sprintf("%s is for a gel chosen by the light; gel = %s is fixed", s.called(key), quoted(gel)),
					fmt.Sprintf("gel = %q, or %s", matchLight, s.without(key)))
			}
		}
	case warmer != 0:
		wish = flash.ColourWish{Kind: flash.WarmerThanLight, Warmer: warmer}
	default:
		wish.Kind = flash.MatchLight
	}
	s.done()
	return h, wish, gels
}

// gel reads the name of a fixed gel.
func (s *section) gel(key string, library *Library) flash.Gel {
	g, _ := library.Gel(s.named(key, noKit, GelKit, library))
	return g
}

// gels reads which gels are carried: all of the library where it is not said.
func (s *section) gels(key string, library *Library) []flash.Gel {
	names, given := s.elements(key, "names", `["quarter-cto", "half-cto"]`)
	if !given {
		return slices.Clone(library.Gels)
	}
	var gels []flash.Gel
	for _, e := range names {
		name, ok := e.value.(string)
		switch {
		case e.spoiled:
		case !ok:
			s.fault(e, fmt.Sprintf("%s holds %s; it must hold names", s.called(key), e.kind()), `gels = ["quarter-cto", "half-cto"]`)
		case s.isKit(e, key, name, "", GelKit, library):
			g, _ := library.Gel(name)
			gels = append(gels, g)
		}
	}
	return gels
}

// rim reads the section of that name; without it there is none.
func (r *reader) rim(s *section, library *Library) *Rim {
	if s.entry == nil {
		return nil
	}
	rim := &Rim{Head: s.head(library), Over: sky.Stops(s.number("over_key_stops", 0.5, -5, 5))}
	rim.Gel = s.gel("gel", library)
	s.done()
	return rim
}

// head reads a group of equal flashes, but for their gel.
func (s *section) head(library *Library) flash.Head {
	unit, known := library.Flash(s.named("kit", defaultFlash, FlashKit, library))
	if !known {
		unit, _ = library.Flash(defaultFlash)
	}
	unit.Derate = s.derate(unit.Derate)
	h := flash.Head{
		Unit:     &unit,
		Units:    s.whole("units", 1, 1, 12),
		Distance: s.number("distance_m", 2, 0.2, 100),
		Zoom:     s.zoom("zoom_mm", &unit, known),
	}
	if m, ok := library.Modifier(s.named("modifier", defaultModifier, ModifierKit, library)); ok {
		h.Modifier = m
	}
	return h
}

// zoom reads the zoom position of a bare head.
func (s *section) zoom(key string, unit *flash.Unit, known bool) float64 {
	shortest, longest := unit.Guide[0].Zoom, unit.LongestZoom()
	switch {
	case !known: // reported already; any position may be right
		return s.number(key, 50, 0, 1000)
	case longest == 0:
		if s.take(key) != nil {
			s.fault(s.at(key), fmt.Sprintf("the flash %s has no zoom", quoted(unit.Name)), s.without(key))
		}
		return 0
	}
	return s.number(key, clamp(50, shortest, longest), shortest, longest)
}

// scrim reads the section of that name; without it none is carried.
func (r *reader) scrim(s *section, library *Library) *scene.Scrim {
	if s.entry == nil {
		return nil
	}
	if s.entryOf("kit") == nil {
		s.fault(s.entry, "scrim does not say which it is", "kit = "+quoted(library.Names(ScrimKit)[0]))
	}
	panel, _ := library.Scrim(s.named("kit", noKit, ScrimKit, library))
	panel.Height = s.number("height_m", 0, 0.2, 6)
	panel.Distance = s.number("distance_m", 0, 0.2, 20)
	panel.Tilt = sky.Degrees(s.number("tilt_deg", 0, 0, 80))
	panel.Reach = s.number("reach_m", 0.5, 0, 10)
	switch overhead := s.has("height_m"); {
	case s.conflict("height_m", "distance_m"):
	case overhead:
	default:
		for _, key := range [...]string{"tilt_deg", "reach_m"} {
			if s.has(key) {
				s.fault(s.at(key), fmt.Sprintf("%s is of a scrim overhead; this one is aimed at the sun", s.called(key)),
					"height_m = 1.5, or "+s.without(key))
			}
		}
		if panel.Reach = 0; panel.Distance == 0 {
			panel.Distance = 1
		}
	}
	s.done()
	if panel.Width == 0 {
		return nil // none, or none that is known
	}
	return &panel
}

// filters reads the section of that name: filters by their stops or by name.
func (r *reader) filters(s *section, library *Library) []Filter {
	var filters []Filter
	stops, _ := s.elements("nd_stops", "stops", "[3, 6]")
	for _, e := range stops {
		v, ok := asNumber(e)
		if !ok {
			s.fault(e, fmt.Sprintf("filters.nd_stops holds %s; it must hold numbers", e.kind()), "nd_stops = [3, 6]")
		} else if !(v >= weakestFilter && v <= strongestFilter) {
			s.fault(e, fmt.Sprintf("filters.nd_stops holds %s, outside %s to %d stops", e.written(), plain(weakestFilter), strongestFilter),
				"nd_stops = [3, 6]")
		} else {
			filters = append(filters, Filter{Name: "ND " + plain(v), Loss: sky.Stops(v)})
		}
	}
	names, _ := s.elements("kit", "names", `["nd-3", "nd-6"]`)
	for _, e := range names {
		name, ok := e.value.(string)
		switch {
		case e.spoiled:
		case !ok:
			s.fault(e, fmt.Sprintf("filters.kit holds %s; it must hold names", e.kind()), `kit = ["nd-3", "nd-6"]`)
		case s.isKit(e, "kit", name, "", FilterKit, library):
			f, _ := library.Filter(name)
			filters = append(filters, f)
		}
	}
	const most = 12
	if len(filters) > most {
		s.fault(s.entry, fmt.Sprintf("there are %d filters, more than %d", len(filters), most), "fewer of them")
	}
	s.done()
	slices.SortStableFunc(filters, func(a, b Filter) int { return cmp.Compare(a.Loss, b.Loss) })
	return filters
}

// pace reads the section of that name.
func (r *reader) pace(s *section) Pace {
	pace := Pace{FramesPerMinute: s.number("frames_per_minute", 6, 0.1, 600)}
	s.done()
	return pace
}

// methods reads the ways of working that are asked for.
func (s *section) methods(key string) []Method {
	list, given := s.elements(key, "methods", `["sync", "hss"]`)
	if !given {
		return slices.Clone(Methods[:])
	}
	var words []string
	for _, m := range AllMethods {
		words = append(words, m.String())
	}
	var methods []Method
	var good []string // what the whole list might be
	for _, e := range list {
		name, _ := e.value.(string)
		if near := spelling.Nearest(name, words); near != "" && !slices.Contains(good, near) {
			good = append(good, near)
		}
	}
	if len(good) == 0 {
		good = words[:1]
	}
	for _, e := range list {
		name, _ := e.value.(string)
		i := slices.Index(words, name)
		switch {
		case e.spoiled:
		case i < 0:
			near := spelling.Nearest(name, words)
			hint := cmp.Or(near, words[0])
			if s.flagOf(e) != "" {
				hint = s.instead(key, strings.Join(good, ","))
			}
			if near == "" {
				hint += "; the methods are " + listed(words)
			}
			s.fault(e, fmt.Sprintf("there is no method %s", e.written()), hint)
		case !slices.Contains(methods, AllMethods[i]):
			methods = append(methods, AllMethods[i])
		}
	}
	if len(list) == 0 {
		s.fault(s.at(key), "methods is empty", `methods = ["sync", "hss"]; the methods are `+listed(words))
	}
	return methods
}
