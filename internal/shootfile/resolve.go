package shootfile

import (
	"cmp"
	"fmt"
	"math"
	"path"
	"slices"
	"sort"
	"strings"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/sky"
)

// Environment is what the clock, the system and the photographer's own kit
// say, where a shoot does not.
type Environment struct {
	Today shoot.Date     // of a shoot that names no date
	Zone  *time.Location // of a place that names none; nil where it is not known
	// Zones looks a time zone up by its name, as time.LoadLocation does; without
	// it there are fixed offsets only.
	Zones func(name string) (*time.Location, error)
	Kit   *shoot.Library // the photographer's own; nil where there is none
	// Places are those that the photographer has saved.
	Places Places
}

// What a shoot is taken to be where it does not say.
const (
	defaultCamera   = "full-frame-200"
	defaultFlash    = "speedlight-60"
	defaultModifier = "bare"
	noKit           = "none" // stands for carrying none
)

// The range of lighting ratios. At 1:1 the fill would have to be infinite.
const (
	lowestRatio  = 1.1
	highestRatio = 64
)

// Resolve checks the whole document and fills in what it leaves open. The
// error is a Faults with everything that is wrong.
func (d *Document) Resolve(env Environment) (*shoot.Shoot, error) {
	return d.resolve(env, nil)
}

// searching reads what a search over dates is asked of a shoot whose place is
// known, and returns its first date. That keeps the page that plans again, which
// does not search, free of it: it would be 55 kB larger.
type searching func(r *reader, s *section, of *shoot.Shoot) shoot.Date

// resolve checks the whole document: for its own day, or for a search where there
// is one.
func (d *Document) resolve(env Environment, search searching) (*shoot.Shoot, error) {
	library, err := d.library(env.Kit)
	if err != nil {
		return nil, err
	}
	if d.file != "" && len(d.root.table) == 0 {
		return nil, Faults{{File: d.file, Line: 1, Column: 1, What: "the file is empty", Hint: "evenfall new my-shoot.toml"}}
	}
	r := &reader{file: d.file, stands: d.standIns(), faults: slices.Clone(d.faults)}
	r.spoil("", d.root)
	root := &section{reader: r, entry: d.root}
	library.Add(readKit(root.table("kit")))

	s := &shoot.Shoot{Name: root.text("name", d.name()), Kit: library}
	place, when, skies := root.table("place"), root.table("when"), root.tables("sky")
	var placed, dated bool
	places := r.savedPlaces(root.table("places"), env)
	s.Place, _, placed = r.place(place, env, places.Add(env.Places))
	wishes := root.table("schedule")
	wishes.knowTable()
	if search != nil {
		env.Today = search(r, wishes, s)
	}
	wishes.done()
	s.When, dated = r.when(when, env)
	s.Sky = r.skies(skies)
	s.Wind = r.wind(root.table("wind"))
	s.Look = r.look(root.table("look"))
	subject, camera := root.table("subject"), root.table("camera")
	figure := subject.figure("figure")
	s.Held = camera.orientation("orientation", figure)
	s.Camera, s.Frame = r.camera(camera, library)
	s.Lens = r.lens(root.table("lens"), &s.Camera)
	s.Subject = r.subject(subject, figure, s.Optics(s.Lens.Wanted))
	lamp := root.table("flash")
	s.Stand = lamp.stand()
	s.Flash, s.Wish, s.Gels = r.flash(lamp, library)
	s.Fill = r.fill(root.table("fill"), lamp, &s.Stand, library)
	s.Rim = r.rim(root.table("rim"), library)
	s.Scrim = r.scrim(root.table("scrim"), library)
	s.Shade = r.shade(root.table("shade"))
	s.Reflector = r.reflector(root.table("reflector"), library)
	s.Filters = r.filters(root.table("filters"), library)
	s.Pace = r.pace(root.table("pace"))
	s.Methods = root.methods("methods")
	root.done()
	switch {
	case search != nil:
		s.When.Date = env.Today
		if placed {
			r.checkZone(place, &s.Place, dayOf(s))
		}
	case placed && dated:
		r.checkDay(s, place, when, skies)
	}
	if len(r.faults) > 0 {
		return nil, r.faults.inOrder()
	}
	return s, nil
}

// checkDay reports a day that there is not, a zone that cannot be the place's,
// and times that the day does not have.
func (r *reader) checkDay(s *shoot.Shoot, place, when *section, skies []*section) {
	day := dayOf(s)
	if !day.End.After(day.Start) {
		r.fault(when.at("date"), fmt.Sprintf("%v does not exist in %v: the date line was moved over the place that day",
			s.When.Date, s.Place.Zone),
			when.instead("date", s.When.Date.After(1).String()))
	} else if r.checkZone(place, &s.Place, day) {
		r.checkTimes(s, day, when, skies)
	}
}

// name returns what the shoot is called where it does not say: its file.
func (d *Document) name() string {
	if d.file == "" || d.demo {
		return ""
	}
	return words.Safe(strings.TrimSuffix(path.Base(d.file), ".toml"))
}

// look reads the section of that name.
func (r *reader) look(s *section) shoot.Look {
	look := shoot.Look{
		Ratio:      s.ratio("ratio", 3),
		Background: sky.Stops(s.quantity("background_stops", 0)),
		AtMost:     s.atMost("background_at_most_stops", shoot.UsualBackgroundLimit),
		Bias:       sky.Stops(s.quantity("bias_stops", 0)),
	}
	clash := s.conflict("background_stops", "background_at_most_stops")
	if !clash && s.has("background_stops") {
		look.Kind, look.AtMost = shoot.BackgroundLook, sky.Stops(math.Inf(1))
	}
	s.done()
	return look
}

// atMost reads a limit in stops, or that there is none.
func (s *section) atMost(key string, fallback sky.Stops) sky.Stops {
	e := s.take(key)
	if e != nil {
		if word, ok := e.value.(string); ok && strings.EqualFold(strings.TrimSpace(word), anyStops) {
			return sky.Stops(math.Inf(1))
		}
	}
	return sky.Stops(s.quantity(key, float64(fallback)))
}

// stand reads where the flash stands, of its section.
func (s *section) stand() shoot.FlashPlace {
	var place shoot.FlashPlace
	if s.has("angle_deg") {
		faults := len(s.faults)
		if angle := sky.Degrees(s.quantity("angle_deg", 0)); len(s.faults) == faults {
			place.Angle = &angle
		}
	}
	s.take("angle_deg")
	if s.take("side") == nil {
		return place
	}
	hands := [...]scene.Hand{scene.Left, scene.Right}
	text := s.text("side", scene.Left.String())
	for _, hand := range hands {
		if strings.EqualFold(strings.TrimSpace(text), hand.String()) {
			place.Side = hand
			return place
		}
	}
	s.fault(s.at("side"), s.said("side", quoted(text))+" is not a side as the camera sees it",
		s.instead("side", hands[0].String())+" or "+quoted(hands[1].String()))
	return place
}

// ratio reads a lighting ratio R of R:1.
func (s *section) ratio(key string, fallback float64) float64 {
	if e := s.take(key); e != nil {
		if text, isText := e.value.(string); isText && strings.Contains(text, ":") {
			if v, ok := readRatio(text); ok {
				e.value = v
			}
		}
		if v, ok := asNumber(e); ok && v < lowestRatio {
			why := "below 1:1 the fill would be brighter than the key and fill together"
			if v >= 1 {
				why = "toward 1:1 the fill would have to be infinite"
			}
			s.fault(e, fmt.Sprintf("%s: must be at least %s; %s", s.said(key, plain(v)), plain(lowestRatio), why),
				s.instead(key, plain(lowestRatio)))
			return fallback
		}
	}
	return s.quantity(key, fallback)
}

// named reads the name of a piece of kit.
func (s *section) named(key, fallback string, kind shoot.KitKind, library *shoot.Library) string {
	name := folded(s.text(key, fallback), append(library.Names(kind), noKit))
	s.isKit(s.at(key), key, name, fallback, kind, library)
	return name
}

// stated reads the name of the piece of kit that a section is about and has to
// name.
func (s *section) stated(kind shoot.KitKind, library *shoot.Library) string {
	if s.entryOf("kit") == nil {
		s.fault(s.entry, s.path+" does not say which it is", "kit = "+quoted(library.Names(kind)[0]))
	}
	return s.named("kit", noKit, kind, library)
}

// folded returns the choice that a name is but for its capitals; the name
// itself where there is none.
func folded(name string, choices []string) string {
	if slices.Contains(choices, name) {
		return name
	}
	for _, one := range choices {
		if strings.EqualFold(one, strings.TrimSpace(name)) {
			return one
		}
	}
	return name
}

// isKit reports a name that no kit of the kind has.
func (s *section) isKit(e *entry, key, name, fallback string, kind shoot.KitKind, library *shoot.Library) bool {
	names := library.Names(kind)
	if fallback == noKit {
		names = append(names, noKit)
	}
	if slices.Contains(names, name) {
		return true
	}
	near := Nearest(name, names)
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
	s.fault(e, fmt.Sprintf("unknown %s %s", kind, quoted(name)), hint)
	return false
}

// camera reads the section of that name.
func (r *reader) camera(s *section, library *shoot.Library) (exposure.Camera, exposure.Millimetres) {
	body, known := library.Camera(s.named("kit", defaultCamera, shoot.CameraKit, library))
	if !known {
		body, _ = library.Camera(defaultCamera)
	}
	c := body.Camera
	c.Sync = s.syncSpeed("sync", c.Click, c.Sync)
	c.Fastest = s.shutter("fastest", c.Click, c.Fastest)
	c.Lowest = s.iso("lowest_iso", c.ISOClick, c.Lowest)
	c.Highest = s.iso("highest_iso", c.ISOClick, c.Highest)
	frame := exposure.Millimetres(s.quantity("frame_height_mm", float64(body.FrameHeight)))
	s.done()
	checkCamera(s, c)
	return c, frame
}

// lens reads the section of that name, for a camera.
func (r *reader) lens(s *section, camera *exposure.Camera) exposure.Lens {
	by := camera.Click
	faults := len(r.faults)
	l := exposure.Lens{
		FocalLength: exposure.Millimetres(s.quantity("focal_length_mm", 85)),
		Widest:      s.lensEnd("widest", by, widestUsual, 1),
		Narrowest:   s.lensEnd("narrowest", by, narrowestUsual, -1),
	}
	l.Name = s.text("name", plain(float64(l.FocalLength))+" mm")
	if l.Narrowest < l.Widest {
		key, hint := "narrowest", s.instead("narrowest", max(l.Widest, narrowestUsual).Nominal())
		if !s.has(key) {
			key = "widest"
			hint = s.instead(key, l.Narrowest.Nominal()) + ", or narrowest = " + l.Widest.Nominal()
		}
		s.fault(s.at(key), fmt.Sprintf("the narrowest aperture %v is wider than the widest, %v", l.Narrowest,
			l.Widest), hint)
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
		s.fault(s.at("aperture"), fmt.Sprintf("the lens has no %v: it goes from %v to %v", l.Wanted, l.Widest,
			l.Narrowest), hint)
	}
	l.Slowest = s.slowest("slowest", by, handHeld(l.FocalLength, camera))
	if s.has("slowest") && l.Slowest > camera.Sync {
		s.fault(s.at("slowest"), fmt.Sprintf("the slowest time %v is faster than the sync speed %v", l.Slowest,
			camera.Sync),
			s.instead("slowest", camera.Sync.String()))
	}
	s.done()
	return l
}

// handHeld returns the slowest time held by hand, the reciprocal of the focal
// length in mm, on the camera's scale; with a long lens the sync speed. Common
// practice, no source.
func handHeld(focalLength exposure.Millimetres, camera *exposure.Camera) exposure.Shutter {
	return min(exposure.Shutter(onScale(math.Log2(float64(focalLength)), camera.Click)), camera.Sync)
}

// matchLight stands for the gel that comes nearest to the light.
const matchLight = "match"

// flash reads the section of that name, with the gels to choose from where the
// flash's colour is to go by the light.
func (r *reader) flash(s *section, library *shoot.Library) (flash.Head, flash.ColourWish, []flash.Gel) {
	h := s.head(s.flash(library), library)
	s.checkZoom(&h)
	warmer := sky.Mired(s.quantity("warmer_mired", 0))
	gels := s.gels("gels", library)
	var wish flash.ColourWish
	switch gel := s.text("gel", noKit); {
	case !strings.EqualFold(gel, matchLight):
		h.Gel = s.gel("gel", library)
		for _, key := range [...]string{"warmer_mired", "gels"} {
			if s.has(key) {
				s.fault(s.at(key), fmt.Sprintf("%s is for a gel chosen by the light; gel = %s is fixed",
					s.called(key), quoted(gel)),
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
func (s *section) gel(key string, library *shoot.Library) flash.Gel {
	g, _ := library.Gel(s.named(key, noKit, shoot.GelKit, library))
	return g
}

// gels reads which gels are carried: all of the library where it is not said.
func (s *section) gels(key string, library *shoot.Library) []flash.Gel {
	names, given := s.namesOf(key, `["quarter-cto", "half-cto"]`, shoot.GelKit, library)
	if !given {
		return slices.Clone(library.Gels)
	}
	var gels []flash.Gel
	for _, name := range names {
		g, _ := library.Gel(name)
		gels = append(gels, g)
	}
	return gels
}

// namesOf reads a list of names of kit, and returns those that there are; given is
// false where there is no list.
func (s *section) namesOf(key, example string, kind shoot.KitKind, library *shoot.Library) (names []string, given bool) {
	list, given := s.elements(key, "names", example)
	for _, e := range list {
		name, ok := e.value.(string)
		name = folded(name, library.Names(kind))
		switch {
		case e.spoiled:
		case !ok:
			s.fault(e, fmt.Sprintf("%s holds %s; it must hold names", s.called(key), e.kind()), key+" = "+example)
		case s.isKit(e, key, name, "", kind, library):
			names = append(names, name)
		}
	}
	return names, given
}

// rim reads the section of that name; without it there is none.
func (r *reader) rim(s *section, library *shoot.Library) *shoot.Rim {
	if s.entry == nil {
		return nil
	}
	rim := &shoot.Rim{Head: s.head(s.flash(library), library), Over: sky.Stops(s.quantity("over_key_stops", 0.5))}
	rim.Gel = s.gel("gel", library)
	s.done()
	return rim
}

// fill reads the section of that name; without it there is none. The flash that
// it stands beside, read before, has to stand farther toward the key side.
func (r *reader) fill(s, lamp *section, key *shoot.FlashPlace, library *shoot.Library) *shoot.Fill {
	if s.entry == nil {
		return nil
	}
	name := s.stated(shoot.FlashKit, library)
	fill := &shoot.Fill{Head: s.head(name, library), Angle: sky.Degrees(s.quantity("angle_deg", 0))}
	s.done()
	if _, known := library.Flash(name); !known {
		return nil // none, or none that is known
	}
	if key.Angle != nil && *key.Angle <= fill.Angle {
		degrees := fill.Angle.Degrees()
		lamp.fault(lamp.at("angle_deg"), fmt.Sprintf("%s: the fill stands at %s deg; the flash has to stand farther "+
			"toward the key side", lamp.said("angle_deg", plain(key.Angle.Degrees())),
			plain(degrees)), lamp.instead("angle_deg", plain(min(degrees+farther, mostAngle))))
	}
	return fill
}

// farther is how far from the fill, in degrees, a flash is put that stood too
// near; mostAngle is where it stands at the most, to either side of the camera.
const (
	farther   = 30
	mostAngle = 45
)

// flash reads the name of the flash that a section is about.
func (s *section) flash(library *shoot.Library) string {
	return s.named("kit", defaultFlash, shoot.FlashKit, library)
}

// head reads a group of equal flashes of a name, but for their gel.
func (s *section) head(name string, library *shoot.Library) flash.Head {
	unit, known := library.Flash(name)
	if !known {
		unit, _ = library.Flash(defaultFlash)
	}
	unit.Derate = s.derate(unit.Derate)
	h := flash.Head{
		Unit:     &unit,
		Units:    s.count("units", 1),
		Distance: s.quantity("distance_m", 2),
		Zoom:     s.zoom("zoom_mm", &unit, known),
	}
	if m, ok := library.Modifier(s.named("modifier", defaultModifier, shoot.ModifierKit, library)); ok {
		h.Modifier = m
	}
	return h
}

// usualShortest is the shortest zoom position, mm, that heads reach without a
// wide panel. Common practice, no source.
const usualShortest = 24

// zoom reads the zoom position of a bare head: as far as the kit states guide
// numbers, and down to what every head reaches, where they are estimated.
func (s *section) zoom(key string, unit *flash.Unit, known bool) float64 {
	shortest, longest := min(unit.Guide[0].Zoom, usualShortest), unit.LongestZoom()
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
func (r *reader) scrim(s *section, library *shoot.Library) *scene.Scrim {
	if s.entry == nil {
		return nil
	}
	panel, _ := library.Scrim(s.stated(shoot.ScrimKit, library))
	panel.StraightShare = s.straightShare(panel.StraightShare)
	panel.Height = s.quantity("height_m", 0)
	panel.Distance = s.quantity("distance_m", 0)
	panel.Tilt = sky.Degrees(s.quantity("tilt_deg", 0))
	panel.Reach = s.quantity("reach_m", 0.5)
	switch overhead := s.has("height_m"); {
	case s.conflict("height_m", "distance_m"):
	case overhead:
	default:
		for _, key := range [...]string{"tilt_deg", "reach_m"} {
			if s.has(key) {
				s.fault(s.at(key), fmt.Sprintf("%s is of a scrim overhead; this one is aimed at the sun",
					s.called(key)),
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

// shade reads the section of that name.
func (r *reader) shade(s *section) scene.Shade {
	shade := scene.Shade{SkyShare: s.quantity("sky_share", scene.UsualSkyShare)}
	s.done()
	return shade
}

// reflector reads the section of that name; without it none is carried.
func (r *reader) reflector(s *section, library *shoot.Library) *scene.Reflector {
	if s.entry == nil {
		return nil
	}
	panel, _ := library.Reflector(s.stated(shoot.ReflectorKit, library))
	panel.Distance = s.quantity("distance_m", scene.UsualReflectorDistance)
	panel.Angle = sky.Degrees(s.quantity("angle_deg", scene.UsualReflectorDegrees))
	s.done()
	if panel.Width == 0 {
		return nil // none, or none that is known
	}
	return &panel
}

// filters reads the section of that name: filters by their stops or by name.
func (r *reader) filters(s *section, library *shoot.Library) []shoot.Filter {
	var filters []shoot.Filter
	stops, _ := s.elements("nd_stops", "stops", "[3, 6]")
	for _, e := range stops {
		v, ok := asNumber(e)
		if !ok {
			s.fault(e, fmt.Sprintf("filters.nd_stops holds %s; it must hold numbers", e.kind()), "nd_stops = [3, 6]")
		} else if !(v >= weakestFilter && v <= strongestFilter) {
			s.fault(e, fmt.Sprintf("filters.nd_stops holds %s; it must be %s to %d stops", e.written(),
				plain(weakestFilter), strongestFilter),
				"nd_stops = [3, 6]")
		} else {
			filters = append(filters, shoot.Filter{Name: shoot.FilterText(sky.Stops(v)), Loss: sky.Stops(v)})
		}
	}
	names, _ := s.namesOf("kit", `["nd-3", "nd-6"]`, shoot.FilterKit, library)
	for _, name := range names {
		f, _ := library.Filter(name)
		filters = append(filters, f)
	}
	const most = 12
	if len(filters) > most {
		s.fault(s.entry, fmt.Sprintf("there are %d filters, more than %d", len(filters), most), "nd_stops = [3, 6]")
	}
	s.done()
	sort.SliceStable(filters, func(i, j int) bool { return filters[i].Loss < filters[j].Loss })
	return filters
}

// pace reads the section of that name.
func (r *reader) pace(s *section) shoot.Pace {
	pace := shoot.Pace{FramesPerMinute: s.quantity("frames_per_minute", 6), CueStep: s.cueStep("cue_step")}
	s.done()
	return pace
}

// cueSteps are the steps of cues, in stops, as they are written.
var cueSteps = [...]string{"1/3", "2/3"}

// cueStep reads one of them.
func (s *section) cueStep(key string) sky.Stops {
	const usual = "2/3"
	text := strings.TrimSpace(s.text(key, usual))
	switch text {
	case usual:
		return shoot.UsualCueStep
	case "1/3":
		return 1. / 3
	}
	s.fault(s.at(key), s.said(key, quoted(text))+" is neither 1/3 nor 2/3 of a stop", s.instead(key, usual))
	return shoot.UsualCueStep
}

// methods reads the ways of working that are asked for.
func (s *section) methods(key string) []shoot.Method {
	list, given := s.elements(key, "methods", `["sync", "hss"]`)
	if !given {
		return slices.Clone(shoot.Methods[:])
	}
	var methods []shoot.Method
	var meant []string // what the whole list might be
	for _, e := range list {
		name, _ := e.value.(string)
		m, ok := methodNamed(name)
		near := m.String()
		if !ok {
			near = Nearest(name, methodWords())
		}
		if near != "" && !slices.Contains(meant, near) {
			meant = append(meant, near)
		}
		if ok && !slices.Contains(methods, m) {
			methods = append(methods, m)
		}
	}
	for _, e := range list {
		name, _ := e.value.(string)
		if _, ok := methodNamed(name); !ok && !e.spoiled {
			s.unknownMethod(e, key, name, meant)
		}
	}
	if len(list) == 0 {
		s.fault(s.at(key), "methods is empty", `methods = ["sync", "hss"]; the methods are `+listed(methodWords()))
	}
	return methods
}

// unknownMethod reports a method that there is not, with what is meant: by it,
// or by the whole list of a flag.
func (s *section) unknownMethod(e *entry, key, name string, meant []string) {
	near := Nearest(name, methodWords())
	hint := cmp.Or(near, shoot.Sync.String())
	if _, isText := e.value.(string); !isText {
		hint = `methods = ["sync", "hss"]`
	}
	if s.flagOf(e) != "" {
		hint = s.instead(key, cmp.Or(strings.Join(meant, ","), shoot.Sync.String()))
	}
	if near == "" {
		hint += "; the methods are " + listed(methodWords())
	}
	s.fault(e, "unknown method "+e.written(), hint)
}

// methodNamed returns the method of a name, its aids in any order.
func methodNamed(name string) (shoot.Method, bool) {
	asked := aids(strings.ToLower(name))
	for _, m := range shoot.AllMethods {
		if slices.Equal(aids(m.String()), asked) {
			return m, true
		}
	}
	return shoot.Sync, false
}

// aids lists those of a method's name in the order of the alphabet, each once.
func aids(name string) []string {
	list := strings.Split(name, "+")
	for i := range list {
		list[i] = strings.TrimSpace(list[i])
	}
	slices.Sort(list)
	return slices.Compact(list)
}
