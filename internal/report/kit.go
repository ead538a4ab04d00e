package report

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/sky"
)

// The settings that a flash's reach is told for.
const (
	reachAperture exposure.Aperture = 36  // f/8
	openAperture  exposure.Aperture = 18  // f/2.8, in high-speed sync
	thousandth    exposure.Shutter  = 60  // 1/1000 s
	quarter       flash.Power       = -12 // 1/4
)

// Kit is what is told of a library.
type Kit struct {
	Library *shoot.Library
	Kinds   []shoot.KitKind // the ones to tell of
	Name    string          // the one item to tell of; empty for all
	Own     string          // of a list, the file that the photographer's own kit is read from; may be empty
	Found   bool            // there is such a file
	// Blocks are the definitions of the item by kind, as TOML to be pasted
	// into a shoot or a kit file. A kind without one has none printed.
	Blocks map[shoot.KitKind]string
}

// names lists the kit of a kind that is to be told of.
func (k *Kit) names(kind shoot.KitKind) []string {
	if !slices.Contains(k.Kinds, kind) {
		return nil
	}
	return slices.DeleteFunc(k.Library.Names(kind), func(name string) bool { return k.Name != "" && name != k.Name })
}

// Report describes a library as a list, or one item in full.
func (k *Kit) Report() *Report {
	items := 0
	for _, kind := range shoot.KitKinds {
		items += len(k.names(kind))
	}
	r := &Report{Summary: words.Count(items, "item"), Data: newKitDocument(k), Document: Document{Title: k.Name}}
	d := &r.Document
	if k.Name == "" {
		d.Title = "Kit library"
	}
	for _, kind := range shoot.KitKinds {
		names := k.names(kind)
		if k.Name == "" && len(names) > 0 {
			d.Add(Heading{Text: KitPlural(kind)}, k.list(kind, names))
			continue
		}
		for _, name := range names {
			d.Add(k.item(kind, name)...)
		}
	}
	if note := k.ownKit(); note != "" {
		d.Add(Heading{Text: "Your own kit"}, Paragraph{Text: note})
	}
	return r
}

// KitPlural is the heading of a kind of kit.
func KitPlural(kind shoot.KitKind) string {
	return map[shoot.KitKind]string{
		shoot.CameraKit: "Cameras", shoot.FlashKit: "Flashes", shoot.ModifierKit: "Modifiers",
		shoot.GelKit: "Gels", shoot.ScrimKit: "Scrims", shoot.ReflectorKit: "Reflectors",
		shoot.FilterKit: "Neutral-density filters",
	}[kind]
}

// ownKit says under a list where the photographer's own kit is.
func (k *Kit) ownKit() string {
	switch {
	case k.Name != "" || k.Own == "":
		return ""
	case k.Found:
		return "Read from " + k.Own
	}
	return "None yet; it would be read from " + k.Own
}

// definedIn names the file a piece of kit is defined in, without its folder.
func (k *Kit) definedIn(kind shoot.KitKind, name string) string {
	file := k.Library.File(kind, name)
	if file == shoot.StandardKitName {
		return "library"
	}
	return path.Base(file)
}

// list is the table of a kind. Where an item is defined is told once one of
// them is not the library's.
func (k *Kit) list(kind shoot.KitKind, names []string) *Table {
	t := &Table{Columns: append([]Column{{Title: "name"}}, kitColumns(kind)...)}
	own := slices.ContainsFunc(names, func(name string) bool {
		return k.Library.File(kind, name) != shoot.StandardKitName
	})
	if own {
		t.Columns = append(t.Columns, Column{Title: "defined in", Importance: 9})
	}
	for _, name := range names {
		row := append([]string{name}, kitCells(k.Library, kind, name)...)
		if own {
			row = append(row, k.definedIn(kind, name))
		}
		t.Add(row...)
	}
	return t
}

// stopsLost heads the loss of what light passes or bounces off.
func stopsLost(note string) Column {
	return Column{Title: "loss", Unit: "stops", Align: Right, Importance: 8, Note: note}
}

// kitColumns are those of the lists, behind the name.
func kitColumns(kind shoot.KitKind) []Column {
	switch kind {
	case shoot.CameraKit:
		return []Column{
			{Title: "sync speed", Unit: "s", Importance: 8,
				Note: "the fastest time at which a normal flash lights the whole frame"},
			{Title: "fastest", Unit: "s", Importance: 7, Note: "the fastest time, with high-speed sync"},
			{Title: "ISO", Importance: 6, Note: "the lowest, and as high as you would go"},
			{Title: "click", Unit: "stops", Importance: 5,
				Note: "one increment of the aperture's and the shutter's dial"},
			{Title: "ISO click", Unit: "stops", Importance: 4},
			{Title: "frame height", Unit: "mm", Align: Right, Importance: 3, Note: "the short side of the picture"},
		}
	case shoot.FlashKit:
		return []Column{
			{Title: "guide number", Unit: "m", Align: Right, Importance: 8,
				Note: "as the maker states it, at ISO 100 and full power"},
			{Title: "at zoom", Unit: "mm", Align: Right, Importance: 8},
			{Title: "lowest power", Importance: 5},
			{Title: "click", Unit: "stops", Importance: 2, Note: "one increment of the power's dial"},
			{Title: "HSS loss at 1/1000", Unit: "stops", Align: Right, Importance: 7,
				Note: "what high-speed sync costs at that time"},
			{Title: "recycle", Unit: "s", Align: Right, Importance: 6, Note: "after full power"},
			{Title: "flashes per set", Align: Right, Importance: 4, Note: "at full power, from one set of batteries"},
			{Title: "burst", Unit: "flashes", Align: Right, Importance: 3,
				Note: "at full power in a row, before the head must rest"},
			{Title: "less outdoors", Unit: "stops", Align: Right, Importance: 1,
				Note: "what the guide number loses where no walls add light"},
		}
	case shoot.ModifierKit:
		return []Column{stopsLost("against the bare head"),
			{Title: "size", Unit: "m", Align: Right, Importance: 7, Note: "across the side that faces the subject"},
			{Title: "zoom inside", Unit: "mm", Align: Right, Importance: 6, Note: "what the head inside is set to"}}
	case shoot.GelKit:
		return []Column{stopsLost("of light that passes"),
			{Title: "shift", Unit: "mired", Align: Right, Importance: 7,
				Note: "of colour temperature; above 0 is warmer"}}
	case shoot.ScrimKit:
		return []Column{{Title: "width", Unit: "m", Align: Right, Importance: 7},
			{Title: "length", Unit: "m", Align: Right, Importance: 7},
			stopsLost("right under it")}
	case shoot.ReflectorKit:
		return []Column{{Title: "surface", Importance: 8}, {Title: "width", Unit: "m", Align: Right, Importance: 7},
			{Title: "length", Unit: "m", Align: Right, Importance: 7},
			{Title: "reflectance", Unit: "%", Align: Right, Importance: 6, Note: "of the light that falls on it"},
			{Title: "gain", Align: Right, Importance: 6,
				Note: "how much brighter than a matt panel it looks where it mirrors the sun"}}
	}
	return []Column{stopsLost("of light that passes"),
		{Title: "density", Align: Right, Importance: 7,
			Note: "optical density, as filters are marked: 0.3 for each stop"},
		{Title: "factor", Align: Right, Importance: 6, Note: "how many times longer an exposure takes"}}
}

// kitCells are those of one item, behind its name.
func kitCells(l *shoot.Library, kind shoot.KitKind, name string) []string {
	stops := func(s sky.Stops) string { return words.Number(float64(s), 2) }
	switch kind {
	case shoot.CameraKit:
		c, _ := l.Camera(name)
		return []string{c.Sync.String(), c.Fastest.String(), c.Lowest.String() + "–" + c.Highest.String(),
			c.Click.String(), c.ISOClick.String(), words.Number(float64(c.FrameHeight), 1)}
	case shoot.FlashKit:
		u, _ := l.Flash(name)
		longest := u.Guide[len(u.Guide)-1]
		loss := "no HSS"
		if u.HighSpeed {
			loss = stops(u.HighSpeedLoss(thousandth))
		}
		return []string{words.Number(longest.Number, 1), sizeIfAny(longest.Zoom, 0), u.LowestPower.String(),
			u.Click.String(), loss,
			words.Number(u.RecycleFull.Seconds(), 1), words.Number(u.FlashesPerSet, 0), words.Number(u.BurstLimit, 0),
			stops(u.Derate)}
	case shoot.ModifierKit:
		m, _ := l.Modifier(name)
		return []string{stops(m.Loss), sizeIfAny(m.Size, 2), sizeIfAny(m.Zoom, 0)}
	case shoot.GelKit:
		g, _ := l.Gel(name)
		return []string{stops(g.Loss), words.Number(float64(g.Shift), 0)}
	case shoot.ScrimKit:
		s, _ := l.Scrim(name)
		return []string{words.Number(s.Width, 2), words.Number(s.Length, 2), stops(s.Loss)}
	case shoot.ReflectorKit:
		r, _ := l.Reflector(name)
		return []string{r.Surface(), words.Number(r.Width, 2), words.Number(r.Length, 2),
			words.Number(r.Reflectance*100, 0), words.Number(r.Gain, 1)}
	}
	f, _ := l.Filter(name)
	return []string{stops(f.Loss), words.Number(exposure.Density(f.Loss), 1), words.Digits(f.Loss.Factor(), 2)}
}

// sizeIfAny writes a size, of which 0 means that there is none.
func sizeIfAny(v float64, decimals int) string {
	if v == 0 {
		return words.Unknown
	}
	return words.Number(v, decimals)
}

// item tells one item in full.
func (k *Kit) item(kind shoot.KitKind, name string) []Block {
	l := k.Library
	var facts Facts
	var more []Block
	switch kind {
	case shoot.CameraKit:
		c, _ := l.Camera(name)
		facts = cameraFacts(&c)
	case shoot.FlashKit:
		u, _ := l.Flash(name)
		facts, more = flashFacts(&u), flashTables(&u)
	case shoot.ModifierKit:
		m, _ := l.Modifier(name)
		facts = modifierFacts(&m)
	case shoot.GelKit:
		g, _ := l.Gel(name)
		facts = gelFacts(&g)
	case shoot.ScrimKit:
		s, _ := l.Scrim(name)
		facts = scrimFacts(&s)
	case shoot.ReflectorKit:
		r, _ := l.Reflector(name)
		facts = reflectorFacts(&r)
	case shoot.FilterKit:
		f, _ := l.Filter(name)
		facts = filterFacts(&f)
	}
	source := l.Source(kind, name)
	if source == "" {
		source = "not stated"
	}
	facts = append(facts, Fact{Label: "Source", Text: source}, Fact{Label: "Defined in", Text: l.File(kind, name)})
	blocks := append([]Block{Heading{Text: strings.ToUpper(string(kind[:1])) + string(kind[1:])}, facts}, more...)
	if text := k.Blocks[kind]; text != "" {
		blocks = append(blocks, Heading{Text: "To paste into a shoot; into a kit file of your own, as [[" + string(kind) + "]]"},
			Code{Language: "toml", Text: text})
	}
	return blocks
}

// lossFact says what share of the light a loss leaves.
func lossFact(s sky.Stops) string {
	if s == 0 {
		return "none"
	}
	return words.StopsTo(s, 2) + ", leaves " + share((-s).Factor()) + " of the light"
}

// share writes a part of the whole.
func share(v float64) string {
	if v < 0.02 {
		return "1/" + words.Number(1/v, 0)
	}
	return words.Percent(v)
}

func cameraFacts(c *shoot.Body) Facts {
	return Facts{
		{Label: "Sync speed", Text: c.Sync.String() +
			" s, the fastest time at which a normal flash lights the whole frame"},
		{Label: "Fastest", Text: c.Fastest.String() + " s, with high-speed sync"},
		{Label: "ISO", Text: fmt.Sprintf("%s to %s, a click is %s stop", c.Lowest, c.Highest, clickText(c.ISOClick))},
		{Label: "Clicks", Text: clickText(c.Click) + " stop of aperture and shutter"},
		{Label: "Frame", Text: words.UpTo(float64(c.FrameHeight), 1) + " mm high"},
	}
}

// clickText writes the size of a click before the word stop.
func clickText(i exposure.Increment) string {
	switch i {
	case exposure.Third:
		return "1/3"
	case exposure.Half:
		return "1/2"
	case exposure.Full:
		return "1"
	}
	return words.Number(i.Stops(), 2)
}

func modifierFacts(m *flash.Modifier) Facts {
	facts := Facts{{Label: "Loss", Text: lossFact(m.Loss)}}
	if m.ReflectorLoss > 0 {
		facts = append(facts, Fact{Label: "Reflector", Text: words.StopsTo(m.ReflectorLoss, 2) +
			" against a guide number stated with a reflector"})
	}
	switch {
	case m.Width > 0:
		facts = append(facts, Fact{Label: "Size", Text: words.UpTo(m.Width, 2) + " × " + words.Metres(m.Length)})
	case m.Size > 0:
		facts = append(facts, Fact{Label: "Size", Text: words.Metres(m.Size) +
			" across the side that faces the subject"})
	}
	if m.Grid > 0 {
		facts = append(facts, Fact{Label: "Beam", Text: words.Degrees(m.Grid, 0) + " across, to a stop down"})
	}
	zoom := "as the head is set"
	if m.Zoom > 0 {
		zoom = "the head inside is set to " + words.UpTo(m.Zoom, 0) +
			" mm, where the loss is stated; a head without zoom ignores it"
	}
	return append(facts, Fact{Label: "Zoom", Text: zoom})
}

func gelFacts(g *flash.Gel) Facts {
	return Facts{
		{Label: "Loss", Text: lossFact(g.Loss)},
		{Label: "Shift", Text: fmt.Sprintf("%s mired: flash of %s becomes %s", words.UpTo(float64(g.Shift), 0),
			words.Kelvin(flash.NominalColour), words.Kelvin(g.Through(flash.NominalColour)))},
	}
}

func filterFacts(f *shoot.Filter) Facts {
	return Facts{
		{Label: "Loss", Text: lossFact(f.Loss)},
		{Label: "Called", Text: words.Filter(f.Loss)},
		{Label: "Marked", Text: fmt.Sprintf("density %s, or factor %s", words.Number(exposure.Density(f.Loss), 1),
			words.Digits(f.Loss.Factor(), 2))},
	}
}

func scrimFacts(s *scene.Scrim) Facts {
	return Facts{
		{Label: "Size", Text: fmt.Sprintf("%s × %s, %s m²", words.UpTo(s.Width, 2), words.Metres(s.Length),
			words.UpTo(s.Width*s.Length, 1))},
		{Label: "Loss", Text: lossFact(s.Loss) + " right under it; an upright face loses more"},
		{Label: "Straight", Text: straightFact(s.StraightShare)},
		{Label: "Wind", Text: windFact(s)},
	}
}

func reflectorFacts(r *scene.Reflector) Facts {
	facts := Facts{
		{Label: "Size", Text: fmt.Sprintf("%s × %s, %s m²", words.UpTo(r.Width, 2), words.Metres(r.Length),
			words.UpTo(r.Width*r.Length, 1))},
		{Label: "Surface", Text: r.Surface() + ", throws " + words.Percent(r.Reflectance) +
			" of the light back, evenly all around"},
	}
	if !r.Matt() {
		facts[1].Text = fmt.Sprintf("%s, throws %s of the light back, the sun %s times as bright as a matt panel would, "+
			"over a patch about its own width", r.Surface(), words.Percent(r.Reflectance), words.UpTo(r.Gain, 1))
	}
	return facts
}

// straightFact says what share of the sun goes through a cloth as it came.
func straightFact(share float64) string {
	if share == 0 {
		return "nothing: all that passes is scattered, for soft light"
	}
	return words.Percent(share) + " of what passes goes straight through, as a weaker sun; the rest is scattered"
}

// windFact says how hard the wind pushes on a scrim, at the top of each force
// of the scale, where it is worst.
func windFact(s *scene.Scrim) string {
	var pushes []string
	for force := scene.Beaufort(2); force <= 4; force++ {
		_, speed := force.Speeds()
		push := s.Drag(speed)
		pushes = append(pushes, fmt.Sprintf("%s N (the weight of %s kg) in a %s (%s m/s)",
			words.Digits(float64(push), 2),
			words.Digits(push.Kilograms(), 2), force, words.Number(float64(speed), 1)))
	}
	return "pushes with up to " + words.List(pushes...) + "; gusts with about " +
		words.UpTo(scene.GustFactor*scene.GustFactor, 2) +
		" times that. An estimate for wind square to it: riggers, the venue and local rules have the last word"
}

func flashFacts(u *flash.Unit) Facts {
	facts := Facts{
		{Label: "Power", Text: fmt.Sprintf("1/1 to %s, a click is %s stop", u.LowestPower, clickText(u.Click))},
		{Label: "Outdoors", Text: outdoors(u.Derate)},
		{Label: "Recycling", Text: fmt.Sprintf("%s s after full power, %s s after 1/4, never less than %s s",
			words.UpTo(u.RecycleFull.Seconds(), 2), words.UpTo(u.Recycle(quarter).Seconds(), 2),
			words.UpTo(u.RecycleFloor.Seconds(), 2))},
		{Label: "Batteries", Text: fmt.Sprintf("%s flashes per set at full power, %s at 1/4",
			words.Number(u.FlashesPerSet, 0),
			words.Number(u.FlashesPerSet/quarter.Fraction(), 0))},
		{Label: "Heat", Text: fmt.Sprintf("%s flashes in a row at full power, then %s min of rest",
			words.Number(u.BurstLimit, 0), words.UpTo(u.BurstRest.Minutes(), 1))},
		{Label: "Colour", Text: words.Kelvin(u.ColourTemperature())},
	}
	if !u.HighSpeed {
		facts = append(facts, Fact{Label: "High-speed sync", Text: "none"})
	}
	return facts
}

// outdoors says what a flash loses where no walls throw light back.
func outdoors(derate sky.Stops) string {
	if derate < 0 {
		return words.StopsTo(-derate, 2) + " more than the guide numbers"
	}
	return "less " + words.StopsTo(derate, 2) + ". Makers measure guide numbers indoors; walls add light"
}

// flashTables are the guide numbers by zoom, and what high-speed sync leaves
// of them.
func flashTables(u *flash.Unit) []Block {
	guide := &Table{Columns: []Column{
		{Title: "zoom", Unit: "mm", Align: Right}, {Title: "stated", Unit: "m", Align: Right, Importance: 3},
		{Title: "outdoors", Unit: "m", Align: Right, Importance: 2},
		{Title: "reach at f/8", Unit: "m", Align: Right, Importance: 1},
	}}
	for _, g := range u.Guide {
		guide.Add(sizeIfAny(g.Zoom, 0), words.Number(g.Number, 1), words.Number(u.Reach(g.Zoom, 0), 1),
			words.Number(u.Reach(g.Zoom, reachAperture), 1))
	}
	blocks := []Block{Heading{Text: "Guide numbers of one bare flash, full power, ISO 100"}, guide}
	if u.HighSpeed {
		blocks = append(blocks, speedBlocks(u)...)
	}
	return blocks
}

func speedBlocks(u *flash.Unit) []Block {
	zoom := u.LongestZoom()
	heading := "High-speed sync, full power"
	if zoom > 0 {
		heading += ", bare at " + words.UpTo(zoom, 0) + " mm"
	}
	speed := &Table{Columns: []Column{
		{Title: "shutter", Unit: "s"}, {Title: "loss", Unit: "stops", Align: Right, Importance: 3},
		{Title: "guide number outdoors", Unit: "m", Align: Right, Importance: 2},
		{Title: "reach at f/2.8", Unit: "m", Align: Right, Importance: 1},
	}}
	for _, l := range speedLosses(u) {
		factor := (-l.Loss / 2).Factor()
		speed.Add(l.Shutter.String(), words.Number(float64(l.Loss), 2), words.Number(u.Reach(zoom, 0)*factor, 1),
			words.Number(u.Reach(zoom, openAperture)*factor, 1))
	}
	plateau := words.UpTo(u.Plateau.Seconds()*1000, 1)
	note := fmt.Sprintf("Losses of a plateau of %s ms: log2(%s ms / time), by exact times (1/250 is 1/256 s).",
		plateau, plateau)
	if len(u.Losses) > 0 {
		note = "Losses as stated; straight lines between them, and one stop for each stop of shutter beyond."
	}
	return []Block{Heading{Text: heading}, speed, Note{Text: note}}
}

// speedLosses returns the losses of high-speed sync that are stated; where
// none are, those at the full stops from 1/250 to 1/8000.
func speedLosses(u *flash.Unit) []flash.SpeedLoss {
	if len(u.Losses) > 0 {
		return u.Losses
	}
	var list []flash.SpeedLoss
	for t := exposure.Shutter(48); t <= 78; t += exposure.Shutter(exposure.Full) {
		list = append(list, flash.SpeedLoss{Shutter: t, Loss: u.HighSpeedLoss(t)})
	}
	return list
}
