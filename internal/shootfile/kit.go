package shootfile

import (
	_ "embed"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

//go:embed kit.toml
var kitFile []byte

// StandardKit returns the embedded library.
func StandardKit() (*shoot.Library, error) { return ParseKit(shoot.StandardKitName, kitFile) }

// ParseKit reads a kit file called name: the tables of a shoot's kit section
// at the top level. The error is a Faults; beside it there may be a library of
// what could be read, so that its names are known.
func ParseKit(name string, data []byte) (*shoot.Library, error) {
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
		return library, r.faults.inOrder()
	}
	return library, nil
}

// KitWith returns the embedded library together with the photographer's own
// kit, which may be nil.
func KitWith(own *shoot.Library) (*shoot.Library, error) {
	library, err := StandardKit()
	if err != nil {
		return nil, err
	}
	if own != nil {
		library.Add(own)
	}
	return library, nil
}

// library returns the kit that the document may name besides its own. The
// demonstration is made for the embedded library: there the photographer's own
// kit adds to it, but takes no place.
func (d *Document) library(own *shoot.Library) (*shoot.Library, error) {
	library, err := KitWith(own)
	if err != nil || !d.demo || own == nil {
		return library, err
	}
	standard, err := StandardKit()
	if err != nil {
		return nil, err
	}
	library.Add(standard)
	return library, nil
}

// Kit returns the embedded library together with the photographer's own kit,
// which may be nil, and the document's definitions. Each takes the place of
// what has its name before it. The error is a Faults.
func (d *Document) Kit(own *shoot.Library) (*shoot.Library, error) {
	library, err := d.library(own)
	if err != nil {
		return nil, err
	}
	r := &reader{file: d.file}
	if kit := d.root.table["kit"]; kit != nil {
		r.spoil("kit", kit)
	}
	root := &section{reader: r, entry: d.root}
	library.Add(readKit(root.table("kit")))
	if len(r.faults) > 0 {
		return nil, r.faults.inOrder()
	}
	return library, nil
}

// readKit reads the tables of kit in a section.
func readKit(s *section) *shoot.Library {
	l := &shoot.Library{}
	for _, item := range items(l, s, shoot.CameraKit) {
		l.Cameras = append(l.Cameras, item.camera())
	}
	for _, item := range items(l, s, shoot.FlashKit) {
		l.Flashes = append(l.Flashes, item.flash())
	}
	for _, item := range items(l, s, shoot.ModifierKit) {
		l.Modifiers = append(l.Modifiers, item.modifier())
	}
	for _, item := range items(l, s, shoot.GelKit) {
		item.need("shift_mired", "159")
		l.Gels = append(l.Gels, flash.Gel{
			Name:  item.name,
			Loss:  sky.Stops(item.number("loss_stops", 0, 0, 6)),
			Shift: sky.Mired(item.number("shift_mired", 0, -400, 400)),
		})
		item.done()
	}
	for _, item := range items(l, s, shoot.ScrimKit) {
		item.need("width_m", "1.8")
		item.need("length_m", "1.8")
		item.need("loss_stops", "1")
		l.Scrims = append(l.Scrims, scene.Scrim{
			Name:   item.name,
			Width:  item.number("width_m", 1, 0.2, 12),
			Length: item.number("length_m", 1, 0.2, 12),
			Loss:   sky.Stops(item.number("loss_stops", 1, 0.1, 6)),

			StraightShare: item.straightShare(0),
		})
		item.done()
	}
	for _, item := range items(l, s, shoot.ReflectorKit) {
		l.Reflectors = append(l.Reflectors, item.reflector())
	}
	for _, item := range items(l, s, shoot.FilterKit) {
		item.need("loss_stops", "3")
		l.Filters = append(l.Filters, shoot.Filter{
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
func items(l *shoot.Library, s *section, kind shoot.KitKind) []item {
	var list []item
	seen := map[string]bool{}
	for _, table := range s.tables(string(kind)) {
		one := item{table, table.text("name", "")}
		source := table.text("source", "")
		switch {
		case !table.has("name"):
			s.fault(table.entry, "a "+string(kind)+" has no name", `name = "my-`+string(kind)+`"`)
		case one.name == noKit:
			s.fault(table.at("name"), fmt.Sprintf("%s cannot be called %q, which stands for carrying none",
				table.path, noKit),
				`name = "my-`+string(kind)+`"`)
		case seen[one.name] && one.name != "":
			s.fault(table.at("name"), fmt.Sprintf("there are two of %s %s", table.path, quoted(one.name)),
				"name = "+strconv.Quote(shortened(one.name)+"-2"))
		}
		seen[one.name] = true
		l.Note(kind, one.name, s.file, source)
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

func (i item) camera() shoot.Body {
	i.need("sync", `"1/200"`)
	var c exposure.Camera
	c.Name = i.name
	c.Click = i.steps("steps", exposure.Third)
	c.ISOClick = i.steps("iso_steps", exposure.Third)
	c.Sync = i.syncSpeed("sync", c.Click, exposure.Shutter(onScale(math.Log2(200), c.Click)))
	c.Fastest = i.shutter("fastest", c.Click, exposure.Shutter(onScale(math.Log2(4000), c.Click)))
	c.Lowest = i.iso("lowest_iso", c.ISOClick, 0)
	c.Highest = i.iso("highest_iso", c.ISOClick, 36)
	frame := exposure.Millimetres(i.number("frame_height_mm", 24, 4, 100))
	i.done()
	checkCamera(i.section, c)
	return shoot.Body{Camera: c, FrameHeight: frame}
}

// checkCamera reports limits of a camera that contradict each other.
func checkCamera(s *section, c exposure.Camera) {
	if c.Fastest < c.Sync {
		key, hint := "fastest", s.instead("fastest", max(c.Sync, exposure.Shutter(onScale(math.Log2(4000),
			c.Click))).String())
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
		Plateau:     i.duration("plateau_ms", flash.PlateauEquivalent, time.Millisecond, 1, 100),
		Losses:      i.speedLosses("high_speed_losses"),
		Derate:      i.derate(flash.OutdoorDerate),

		RecycleFull:   i.duration("recycle_full_s", 3200*time.Millisecond, time.Second, 0.01, 60),
		RecycleFloor:  i.duration("recycle_floor_s", 100*time.Millisecond, time.Second, 0.001, 60),
		FlashesPerSet: i.number("flashes_per_set", 150, 1, 100000),
		BurstLimit:    i.number("burst_flashes", 20, 1, 10000),
		BurstRest:     i.duration("burst_rest_minutes", 10*time.Minute, time.Minute, 0, 240),
	}
	i.conflict("plateau_ms", "high_speed_losses")
	i.done()
	if u.RecycleFloor > u.RecycleFull {
		i.fault(i.at("recycle_floor_s"), fmt.Sprintf("recycle_floor_s = %s is more than recycle_full_s = %s",
			plain(u.RecycleFloor.Seconds()), plain(u.RecycleFull.Seconds())),
			"recycle_floor_s = "+plain(u.RecycleFull.Seconds()))
	}
	return u
}

func (i item) modifier() flash.Modifier {
	m := flash.Modifier{
		Name:          i.name,
		Loss:          sky.Stops(i.number("loss_stops", 0, 0, 6)),
		ReflectorLoss: sky.Stops(i.number("reflector_loss_stops", 0, 0, 6)),
		Size:          i.number("size_m", 0, 0, 5),
		Width:         i.number("width_m", 0, 0.05, 5),
		Length:        i.number("length_m", 0, 0.05, 5),
		Zoom:          i.number("inside_zoom_mm", 0, shortestZoom, longestZoom),
		Grid:          sky.Degrees(i.number("grid_deg", 0, 3, 90)),
	}
	i.done()
	sides := [...]string{"width_m", "length_m"}
	for n, key := range sides {
		other := sides[1-n]
		switch {
		case !i.has(key):
		case i.conflict("size_m", key):
			return m
		case !i.has(other):
			i.fault(i.at(key), fmt.Sprintf("%s %s has %s and no %s", i.path, quoted(i.name), key, other),
				other+" = 0.9, or size_m of a round one")
			return m
		}
	}
	if m.Width > 0 {
		m.Size = (m.Width + m.Length) / 2
	}
	return m
}

// usualGain is that of silver cloth where a kit does not say it: what makes
// about 14 klx on a face where white makes 4 (common practice, no source).
const usualGain = 3

func (i item) reflector() scene.Reflector {
	i.need("width_m", "1")
	i.need("length_m", "1")
	i.need("surface", `"white"`)
	r := scene.Reflector{
		Name:        i.name,
		Width:       i.number("width_m", 1, 0.2, 6),
		Length:      i.number("length_m", 1, 0.2, 6),
		Reflectance: i.number("reflectance", 0.8, 0.05, 1),
		Gain:        1,
	}
	switch surface := i.text("surface", "white"); surface {
	case "white":
		if i.has("gain") {
			i.fault(i.at("gain"), "gain is of a silver reflector; this one is white", `surface = "silver", or no gain`)
		}
	case "silver":
		r.Gain = i.number("gain", usualGain, 1.01, 20)
	default:
		i.fault(i.at("surface"), "surface = "+quoted(surface)+" is neither white nor silver", `surface = "white"`)
	}
	i.take("gain")
	i.done()
	return r
}

// straightShare reads what part of the light that a cloth passes goes straight
// through it.
func (s *section) straightShare(fallback float64) float64 {
	return s.number("straight_share", fallback, 0, 1)
}

// The range of guide numbers and zoom positions.
const (
	lowestGuide, highestGuide = 1, 500 // m
	shortestZoom, longestZoom = 8, 600 // mm
	exampleGuide, exampleZoom = 36, 105
)

// singleGuide reads a single guide number with the zoom position it is stated
// for. At another one it would be another: without the position it is a fault.
func (i item) singleGuide() []flash.GuideNumber {
	const key, zoomKey = "guide_number_m", "guide_number_zoom_mm"
	const hint = zoomKey + " = 105, or " + zoomKey + " = 0 for a head without zoom"
	g := flash.GuideNumber{
		Number: i.number(key, exampleGuide, lowestGuide, highestGuide),
		Zoom:   i.number(zoomKey, exampleZoom, 0, longestZoom),
	}
	switch {
	case i.has(key) && i.entry.table[zoomKey] == nil:
		i.fault(i.at(key), i.said(key, i.at(key).written())+" does not say at which zoom position", hint)
	case i.has(zoomKey) && g.Zoom > 0 && g.Zoom < shortestZoom:
		i.fault(i.at(zoomKey), i.said(zoomKey, plain(g.Zoom))+" is no zoom position of a head", hint)
	}
	return []flash.GuideNumber{g}
}

// guideNumbers reads one guide number, or a table by zoom position.
func (i item) guideNumbers() []flash.GuideNumber {
	for _, key := range [...]string{"guide_number_m", "guide_number_zoom_mm", "guide_numbers"} {
		i.take(key) // all are keys of a flash, whichever is read
	}
	if !i.has("guide_numbers") {
		single := i.singleGuide()
		if !i.has("guide_number_m") {
			i.fault(i.entry, fmt.Sprintf("%s %s has no guide number", i.path, quoted(i.name)),
				"guide_number_m = 36 with guide_number_zoom_mm = 105")
		}
		return single
	}
	if !i.conflict("guide_number_m", "guide_numbers") {
		i.conflict("guide_number_zoom_mm", "guide_numbers")
	}
	return i.guideTable()
}

// guideTable reads guide numbers by zoom position.
func (i item) guideTable() []flash.GuideNumber {
	if e := i.entryOf("guide_numbers"); e != nil && !e.spoiled && e.list == nil && e.table == nil {
		i.fault(e, i.said("guide_numbers", e.written())+" is not a table of numbers by zoom position", textAsGuide(e))
		return []flash.GuideNumber{{Zoom: exampleZoom, Number: exampleGuide}}
	}
	rows := i.tables("guide_numbers")
	var guide []flash.GuideNumber
	for _, row := range rows {
		for _, key := range [...]string{"zoom_mm", "number_m"} {
			if !row.has(key) {
				i.fault(row.entry, fmt.Sprintf("a row of %s has no %s", row.path, key), "{zoom_mm = 50, number_m = 36}")
			}
		}
		g := flash.GuideNumber{
			Zoom:   row.number("zoom_mm", 50, shortestZoom, longestZoom),
			Number: row.number("number_m", exampleGuide, lowestGuide, highestGuide),
		}
		row.done()
		if n := len(guide); n > 0 && row.has("zoom_mm") && g.Zoom <= guide[n-1].Zoom {
			i.fault(row.at("zoom_mm"), fmt.Sprintf("zoom_mm = %s comes after %s", plain(g.Zoom),
				plain(guide[n-1].Zoom)),
				"write the rows by rising zoom position")
		}
		guide = append(guide, g)
	}
	if len(guide) == 0 {
		i.fault(i.at("guide_numbers"), "guide_numbers has no rows", "{zoom_mm = 50, number_m = 36}")
		return []flash.GuideNumber{{Zoom: exampleZoom, Number: exampleGuide}}
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
					"loss_stops = "+plain(float64(last.Loss))+"; a shorter time lets less of the burst through")
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
	i.fault(i.at(key), fmt.Sprintf("%s = %s is not a power of a flash, 1/1 to 1/1024 by halves", key,
		quoted(text)), key+` = "1/128"`)
	return fallback
}
