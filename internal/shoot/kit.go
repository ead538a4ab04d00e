package shoot

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strings"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/spelling"
	"evenfall/sky"
)

//go:embed kit.toml
var kitFile []byte

// KitKind is a kind of kit.
type KitKind string

// The kinds, called as their tables in a file.
const (
	CameraKit   KitKind = "camera"
	FlashKit    KitKind = "flash"
	ModifierKit KitKind = "modifier"
	GelKit      KitKind = "gel"
	ScrimKit    KitKind = "scrim"
	FilterKit   KitKind = "filter"
)

// KitKinds lists all kinds of kit.
var KitKinds = [...]KitKind{CameraKit, FlashKit, ModifierKit, GelKit, ScrimKit, FilterKit}

// Body is a camera with the size of its picture.
type Body struct {
	exposure.Camera
	FrameHeight float64 // mm, the short side
}

// Library is kit by name. Each list is in the order of its file, own
// definitions last; one of the same name stands in the place of the other.
type Library struct {
	Cameras   []Body
	Flashes   []flash.Unit
	Modifiers []flash.Modifier
	Gels      []flash.Gel
	Scrims    []scene.Scrim // neither height nor distance: how they are set up is not kit
	Filters   []Filter

	origins map[KitKind]map[string]kitOrigin
}

// kitOrigin is where a definition was written, and what it says of the origin
// of its figures.
type kitOrigin struct{ file, source string }

// StandardKitName is how the embedded library is called in place of a file.
const StandardKitName = "kit library"

// StandardKit returns the embedded library.
func StandardKit() (*Library, error) { return ParseKit(StandardKitName, kitFile) }

// ParseKit reads a kit file called name: the tables of a shoot's kit section
// at the top level. The error is a Faults.
func ParseKit(name string, data []byte) (*Library, error) {
	document, err := Parse(name, data)
	if err != nil {
		return nil, err
	}
	r := &reader{file: name}
	r.spoil("", document.root)
	if kit := document.root.table["kit"]; kit != nil {
		// A shoot's section was copied with its name.
		r.fault(kit, "a kit file has no table kit", "[[flash]] in place of [[kit.flash]]; --shoot takes a shoot file")
		delete(document.root.table, "kit")
	}
	library := readKit(&section{reader: r, entry: document.root})
	if len(r.faults) > 0 {
		return nil, r.faults.inOrder()
	}
	return library, nil
}

// KitWith returns the embedded library together with the photographer's own
// kit, which may be nil.
func KitWith(own *Library) (*Library, error) {
	library, err := StandardKit()
	if err != nil {
		return nil, err
	}
	if own != nil {
		library.add(own)
	}
	return library, nil
}

// library returns the kit that the document may name besides its own. The
// demonstration is made for the embedded library: there the photographer's own
// kit adds to it, but takes no place.
func (d *Document) library(own *Library) (*Library, error) {
	library, err := KitWith(own)
	if err != nil || !d.demo {
		return library, err
	}
	standard, err := StandardKit()
	if err != nil {
		return nil, err
	}
	library.add(standard)
	return library, nil
}

// Kit returns the embedded library together with the photographer's own kit,
// which may be nil, and the document's definitions. Each takes the place of
// what has its name before it. The error is a Faults.
func (d *Document) Kit(own *Library) (*Library, error) {
	library, err := d.library(own)
	if err != nil {
		return nil, err
	}
	r := &reader{file: d.file}
	if kit := d.root.table["kit"]; kit != nil {
		r.spoil("kit", kit)
	}
	root := &section{reader: r, entry: d.root}
	library.add(readKit(root.table("kit")))
	if len(r.faults) > 0 {
		return nil, r.faults.inOrder()
	}
	return library, nil
}

// Camera returns the camera of a name.
func (l *Library) Camera(name string) (Body, bool) {
	return find(l.Cameras, name, func(b Body) string { return b.Name })
}

// Flash returns the flash of a name.
func (l *Library) Flash(name string) (flash.Unit, bool) {
	return find(l.Flashes, name, func(u flash.Unit) string { return u.Name })
}

// Modifier returns the modifier of a name.
func (l *Library) Modifier(name string) (flash.Modifier, bool) {
	return find(l.Modifiers, name, func(m flash.Modifier) string { return m.Name })
}

// Gel returns the gel of a name.
func (l *Library) Gel(name string) (flash.Gel, bool) {
	return find(l.Gels, name, func(g flash.Gel) string { return g.Name })
}

// Scrim returns the scrim of a name.
func (l *Library) Scrim(name string) (scene.Scrim, bool) {
	return find(l.Scrims, name, func(s scene.Scrim) string { return s.Name })
}

// Filter returns the neutral-density filter of a name.
func (l *Library) Filter(name string) (Filter, bool) {
	return find(l.Filters, name, func(f Filter) string { return f.Name })
}

// Names lists the kit of a kind.
func (l *Library) Names(kind KitKind) []string {
	switch kind {
	case CameraKit:
		return names(l.Cameras, func(b Body) string { return b.Name })
	case FlashKit:
		return names(l.Flashes, func(u flash.Unit) string { return u.Name })
	case ModifierKit:
		return names(l.Modifiers, func(m flash.Modifier) string { return m.Name })
	case GelKit:
		return names(l.Gels, func(g flash.Gel) string { return g.Name })
	case ScrimKit:
		return names(l.Scrims, func(s scene.Scrim) string { return s.Name })
	case FilterKit:
		return names(l.Filters, func(f Filter) string { return f.Name })
	}
	return nil
}

// Nearest returns the name of the kind that a misspelt one most likely means;
// empty where none is close.
func (l *Library) Nearest(kind KitKind, name string) string {
	return spelling.Nearest(name, l.Names(kind))
}

// Source says where the figures of a piece of kit come from; empty where its
// definition does not say.
func (l *Library) Source(kind KitKind, name string) string { return l.origins[kind][name].source }

// File returns the file that a piece of kit is defined in, StandardKitName
// for the embedded library.
func (l *Library) File(kind KitKind, name string) string { return l.origins[kind][name].file }

// Has tells whether there is kit of a kind and name.
func (l *Library) Has(kind KitKind, name string) bool { return slices.Contains(l.Names(kind), name) }

func find[T any](kit []T, name string, nameOf func(T) string) (T, bool) {
	for _, one := range kit {
		if nameOf(one) == name {
			return one, true
		}
	}
	var none T
	return none, false
}

func names[T any](kit []T, nameOf func(T) string) []string {
	list := make([]string, len(kit))
	for i, one := range kit {
		list[i] = nameOf(one)
	}
	return list
}

// shadow appends own kit, in the place of what has the same name.
func shadow[T any](kit, own []T, nameOf func(T) string) []T {
	for _, one := range own {
		i := slices.IndexFunc(kit, func(old T) bool { return nameOf(old) == nameOf(one) })
		if i >= 0 {
			kit[i] = one
		} else {
			kit = append(kit, one)
		}
	}
	return kit
}

// add takes own definitions in.
func (l *Library) add(own *Library) {
	l.Cameras = shadow(l.Cameras, own.Cameras, func(b Body) string { return b.Name })
	l.Flashes = shadow(l.Flashes, own.Flashes, func(u flash.Unit) string { return u.Name })
	l.Modifiers = shadow(l.Modifiers, own.Modifiers, func(m flash.Modifier) string { return m.Name })
	l.Gels = shadow(l.Gels, own.Gels, func(g flash.Gel) string { return g.Name })
	l.Scrims = shadow(l.Scrims, own.Scrims, func(s scene.Scrim) string { return s.Name })
	l.Filters = shadow(l.Filters, own.Filters, func(f Filter) string { return f.Name })
	for _, kind := range KitKinds {
		for _, name := range own.Names(kind) {
			l.origins[kind][name] = own.origins[kind][name]
		}
	}
}

// readKit reads the tables of kit in a section.
func readKit(s *section) *Library {
	l := &Library{origins: map[KitKind]map[string]kitOrigin{}}
	for _, kind := range KitKinds {
		l.origins[kind] = map[string]kitOrigin{}
	}
	for _, item := range l.items(s, CameraKit) {
		l.Cameras = append(l.Cameras, item.camera())
	}
	for _, item := range l.items(s, FlashKit) {
		l.Flashes = append(l.Flashes, item.flash())
	}
	for _, item := range l.items(s, ModifierKit) {
		l.Modifiers = append(l.Modifiers, flash.Modifier{
			Name: item.name,
			Loss: sky.Stops(item.number("loss_stops", 0, 0, 6)),
			Size: item.number("size_m", 0, 0, 5),
			Zoom: item.number("inside_zoom_mm", 0, 8, 600),
		})
		item.done()
	}
	for _, item := range l.items(s, GelKit) {
		item.need("shift_mired", "159")
		l.Gels = append(l.Gels, flash.Gel{
			Name:  item.name,
			Loss:  sky.Stops(item.number("loss_stops", 0, 0, 6)),
			Shift: sky.Mired(item.number("shift_mired", 0, -400, 400)),
		})
		item.done()
	}
	for _, item := range l.items(s, ScrimKit) {
		item.need("width_m", "1.8")
		item.need("length_m", "1.8")
		item.need("loss_stops", "1")
		l.Scrims = append(l.Scrims, scene.Scrim{
			Name:   item.name,
			Width:  item.number("width_m", 1, 0.2, 12),
			Length: item.number("length_m", 1, 0.2, 12),
			Loss:   sky.Stops(item.number("loss_stops", 1, 0.1, 6)),
		})
		item.done()
	}
	for _, item := range l.items(s, FilterKit) {
		item.need("loss_stops", "3")
		l.Filters = append(l.Filters, Filter{
			Name: item.name,
			Loss: sky.Stops(item.number("loss_stops", 1, weakestFilter, strongestFilter)),
		})
		item.done()
	}
	s.done()
	return l
}

// The range of a neutral-density filter, stops.
const (
	weakestFilter   = 0.1
	strongestFilter = 15
)

// item is the definition of one piece of kit.
type item struct {
	*section
	name string
}

// items returns the definitions of a kind and notes their origins.
func (l *Library) items(s *section, kind KitKind) []item {
	var list []item
	seen := map[string]bool{}
	for _, table := range s.tables(string(kind)) {
		one := item{table, table.text("name", "")}
		source := table.text("source", "")
		switch {
		case !table.has("name"):
			s.fault(table.entry, "a "+string(kind)+" has no name", `name = "my-`+string(kind)+`"`)
		case one.name == noKit:
			s.fault(table.at("name"), fmt.Sprintf("%s cannot be called %q, which stands for carrying none", table.path, noKit),
				`name = "my-`+string(kind)+`"`)
		case seen[one.name] && one.name != "":
			s.fault(table.at("name"), fmt.Sprintf("there are two of %s %s", table.path, quoted(one.name)), "another name")
		}
		seen[one.name] = true
		l.origins[kind][one.name] = kitOrigin{s.file, source}
		list = append(list, one)
	}
	return list
}

// need reports a key that is missing.
func (i item) need(key, example string) {
	if i.entry.table[key] == nil {
		i.fault(i.entry, fmt.Sprintf("%s %s has no %s", i.path, quoted(i.name), key), key+" = "+example)
	}
}

func (i item) camera() Body {
	i.need("sync", `"1/200"`)
	var c exposure.Camera
	c.Name = i.name
	c.Click = i.steps("steps", exposure.Third)
	c.ISOClick = i.steps("iso_steps", exposure.Third)
	c.Sync = i.syncSpeed("sync", c.Click, exposure.Shutter(onScale(math.Log2(200), c.Click)))
	c.Fastest = i.shutter("fastest", c.Click, exposure.Shutter(onScale(math.Log2(4000), c.Click)))
	c.Lowest = i.iso("lowest_iso", c.ISOClick, 0)
	c.Highest = i.iso("highest_iso", c.ISOClick, 36)
	frame := i.number("frame_height_mm", 24, 4, 100)
	i.done()
	checkCamera(i.section, c)
	return Body{c, frame}
}

// checkCamera reports limits of a camera that contradict each other.
func checkCamera(s *section, c exposure.Camera) {
	if c.Fastest < c.Sync {
		key, hint := "fastest", s.instead("fastest", max(c.Sync, exposure.Shutter(onScale(math.Log2(4000), c.Click))).String())
		if !s.has(key) {
			key, hint = "sync", s.instead("sync", c.Fastest.String())+", or fastest = "+quoted(c.Sync.String())
		}
		s.fault(s.at(key), fmt.Sprintf("the fastest time %v is slower than the sync speed %v", c.Fastest, c.Sync), hint)
	}
	if c.Highest < c.Lowest {
		key, hint := "highest_iso", s.instead("highest_iso", c.Lowest)
		if !s.has(key) {
			key, hint = "lowest_iso", s.instead("lowest_iso", c.Highest)+fmt.Sprintf(", or highest_iso = %v", c.Lowest)
		}
		s.fault(s.at(key), fmt.Sprintf("the highest ISO %v lies below the lowest, %v", c.Highest, c.Lowest), hint)
	}
}

func (i item) flash() flash.Unit {
	u := flash.Unit{
		Name:        i.name,
		Guide:       i.guideNumbers(),
		LowestPower: i.power("lowest_power", -42), // 1/128
		Click:       i.steps("steps", exposure.Third),
		HighSpeed:   i.truth("high_speed_sync", true),
		Plateau:     i.number("plateau_ms", flash.PlateauEquivalent*1000, 1, 100) / 1000,
		Losses:      i.speedLosses("high_speed_losses"),
		Derate:      i.derate(flash.OutdoorDerate),

		RecycleFull:  i.number("recycle_full_s", 3.2, 0.01, 60),
		RecycleFloor: i.number("recycle_floor_s", 0.1, 0.001, 60),
		FlashesASet:  i.number("flashes_a_set", 150, 1, 100000),
		BurstLimit:   i.number("burst_flashes", 20, 1, 10000),
		BurstRest:    i.number("burst_rest_min", 10, 0, 240),
	}
	i.conflict("plateau_ms", "high_speed_losses")
	i.done()
	if u.RecycleFloor > u.RecycleFull {
		i.fault(i.at("recycle_floor_s"), fmt.Sprintf("recycle_floor_s = %s is more than recycle_full_s = %s",
			plain(u.RecycleFloor), plain(u.RecycleFull)), "recycle_floor_s = "+plain(u.RecycleFull))
	}
	return u
}

// guideNumbers reads one guide number, or a table by zoom position.
func (i item) guideNumbers() []flash.GuideNumber {
	const lowest, highest = 1, 500
	fallback := []flash.GuideNumber{{Zoom: 0, Number: 36}}
	single := i.number("guide_number_m", 36, lowest, highest)
	rows := i.tables("guide_numbers")
	switch {
	case i.conflict("guide_number_m", "guide_numbers"):
		return fallback
	case i.has("guide_number_m"):
		return []flash.GuideNumber{{Zoom: 0, Number: single}}
	case !i.has("guide_numbers"):
		i.fault(i.entry, fmt.Sprintf("%s %s has no guide number", i.path, quoted(i.name)), "guide_number_m = 36")
		return fallback
	}
	var guide []flash.GuideNumber
	for _, row := range rows {
		for _, key := range [...]string{"zoom_mm", "number_m"} {
			if !row.has(key) {
				i.fault(row.entry, fmt.Sprintf("a row of %s has no %s", row.path, key), "{zoom_mm = 50, number_m = 36}")
			}
		}
		g := flash.GuideNumber{
			Zoom:   row.number("zoom_mm", 50, 8, 600),
			Number: row.number("number_m", 36, lowest, highest),
		}
		row.done()
		if n := len(guide); n > 0 && row.has("zoom_mm") && g.Zoom <= guide[n-1].Zoom {
			i.fault(row.at("zoom_mm"), fmt.Sprintf("zoom_mm = %s comes after %s", plain(g.Zoom), plain(guide[n-1].Zoom)),
				"write the rows by rising zoom position")
		}
		guide = append(guide, g)
	}
	if len(guide) == 0 {
		i.fault(i.at("guide_numbers"), "guide_numbers has no rows", "{zoom_mm = 50, number_m = 36}")
		return fallback
	}
	return guide
}

// derate reads what a flash loses outdoors.
func (s *section) derate(fallback sky.Stops) sky.Stops {
	return sky.Stops(s.number("derate_stops", float64(fallback), float64(flash.LeastDerate), float64(flash.MostDerate)))
}

// speedLosses reads what high-speed sync costs by shutter time.
func (i item) speedLosses(key string) []flash.SpeedLoss {
	const example = `{shutter = "1/250", loss_stops = 2}`
	var losses []flash.SpeedLoss
	for _, row := range i.tables(key) {
		complete := true
		for _, key := range [...]string{"shutter", "loss_stops"} {
			if !row.has(key) {
				i.fault(row.entry, fmt.Sprintf("a row of %s has no %s", row.path, key), example)
				complete = false
			}
		}
		faults := len(i.faults)
		one := flash.SpeedLoss{
			Shutter: row.anyShutter("shutter", 48), // 1/250
			Loss:    sky.Stops(row.number("loss_stops", 2, 0, 12)),
		}
		row.done()
		if !complete || len(i.faults) > faults {
			continue
		}
		if n := len(losses); n > 0 {
			switch last := losses[n-1]; {
			case one.Shutter <= last.Shutter:
				i.fault(row.at("shutter"), fmt.Sprintf("shutter = %v comes after %v", one.Shutter, last.Shutter),
					"write the rows by shorter and shorter times, each once")
				continue
			case one.Loss < last.Loss:
				i.fault(row.at("loss_stops"), fmt.Sprintf("%v loses %s stops, less than %v does, %s",
					one.Shutter, plain(float64(one.Loss)), last.Shutter, plain(float64(last.Loss))),
					"a shorter time lets less of the burst through")
				continue
			}
		}
		losses = append(losses, one)
	}
	if i.has(key) && i.entry.table[key].list != nil && len(i.entry.table[key].list) == 0 {
		i.fault(i.at(key), key+" has no rows", example)
	}
	return losses
}

// power reads a power such as "1/128".
func (i item) power(key string, fallback flash.Power) flash.Power {
	text := i.text(key, fallback.String())
	for p := flash.Power(0); p >= -60; p -= 6 {
		if p.String() == strings.TrimSpace(text) {
			return p
		}
	}
	i.fault(i.at(key), fmt.Sprintf("%s = %s is no power of a flash, 1/1 to 1/1024 by halves", key, quoted(text)), key+` = "1/128"`)
	return fallback
}
