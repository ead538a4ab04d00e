package report

import (
	"bytes"
	"fmt"
	"io"
	"path"
	"slices"
	"strconv"
	"strings"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// kitSchema names the contract of kit. It only ever grows.
const kitSchema = "evenfall/kit/1"

// reachAperture is the one that a flash's reach is told for, f/8.
const reachAperture exposure.Aperture = 36

// Kit is what is told of a library.
type Kit struct {
	Library *shoot.Library
	Kinds   []shoot.KitKind // the ones to tell of
	Name    string          // the one item to tell of; empty for all
	Own     string          // file that the photographer's own kit is read from; may be empty
	Found   bool            // there is such a file
}

// names lists the kit of a kind that is to be told of.
func (k *Kit) names(kind shoot.KitKind) []string {
	if !slices.Contains(k.Kinds, kind) {
		return nil
	}
	return slices.DeleteFunc(k.Library.Names(kind), func(name string) bool { return k.Name != "" && name != k.Name })
}

// WriteKit writes a library as a list, or one item with all that is known of
// it. The error is the writer's, or that of a format that is none.
func WriteKit(w io.Writer, k *Kit, f Format, o Options) error {
	return deliver(w, "kit", f, forms{
		Text:     func(b *bytes.Buffer) error { return kitText(b, k, o) },
		JSON:     func(b *bytes.Buffer) error { return encode(b, newKitDocument(k), o) },
		CSV:      func(b *bytes.Buffer) error { return kitCSV(b, k, o) },
		Markdown: func(b *bytes.Buffer) error { return kitMarkdown(b, k, o) },
	})
}

// KitPlural is the heading of a kind of kit.
func KitPlural(kind shoot.KitKind) string {
	return map[shoot.KitKind]string{
		shoot.CameraKit: "Cameras", shoot.FlashKit: "Flashes", shoot.ModifierKit: "Modifiers",
		shoot.GelKit: "Gels", shoot.ScrimKit: "Scrims", shoot.FilterKit: "Neutral-density filters",
	}[kind]
}

// kitSection is a heading with facts, and a table.
type kitSection struct {
	title string
	facts []fact
	table *table
	note  string
}

// sections returns what is told of the kit, in text and in Markdown alike.
func (w words) sections(k *Kit) []kitSection {
	var list []kitSection
	for _, kind := range shoot.KitKinds {
		names := k.names(kind)
		if k.Name == "" && len(names) > 0 {
			list = append(list, kitSection{title: KitPlural(kind), table: w.kitTable(k, kind, names)})
			continue
		}
		for _, name := range names {
			list = append(list, w.item(k.Library, kind, name)...)
		}
	}
	return list
}

func kitText(b *bytes.Buffer, k *Kit, o Options) error {
	g := newPage(b, words{o.ASCII}.kitTitle(k), nil, o)
	for _, s := range g.sections(k) {
		g.head(s.title)
		for _, f := range s.facts {
			g.hang(f.label, 12, f.text)
		}
		if s.table != nil {
			if err := g.table(s.table); err != nil {
				return err
			}
		}
		if s.note != "" {
			g.hang("", 0, s.note)
		}
	}
	if note := g.ownKit(k); note != "" {
		g.line("")
		g.hang("", 0, note)
	}
	return nil
}

func kitMarkdown(b *bytes.Buffer, k *Kit, o Options) error {
	w := words{o.ASCII}
	escape := literal.Replace
	fmt.Fprintf(b, "# %s\n", escape(w.kitTitle(k)))
	for _, s := range w.sections(k) {
		fmt.Fprintf(b, "\n## %s\n", escape(s.title))
		if len(s.facts) > 0 {
			b.WriteByte('\n')
		}
		for _, f := range s.facts {
			fmt.Fprintf(b, "- **%s**: %s\n", f.label, escape(f.text))
		}
		if s.table != nil {
			t, err := s.table.markdown(escape)
			if err != nil {
				return err
			}
			fmt.Fprintf(b, "\n%s", t)
		}
		if s.note != "" {
			fmt.Fprintf(b, "\n%s\n", escape(s.note))
		}
	}
	if note := w.ownKit(k); note != "" {
		fmt.Fprintf(b, "\n%s\n", escape(note))
	}
	return nil
}

// kitTitle is what all of it is called.
func (w words) kitTitle(k *Kit) string {
	if k.Name == "" {
		return "Kit library"
	}
	return w.text(k.Name)
}

// ownKit says under a list where the photographer's own kit is.
func (w words) ownKit(k *Kit) string {
	switch {
	case k.Name != "" || k.Own == "":
		return ""
	case k.Found:
		return "Own kit is read from " + w.text(k.Own)
	}
	return "There is no kit of your own; it would be read from " + w.text(k.Own)
}

// definedIn names the file a piece of kit is defined in, without its folder.
func (w words) definedIn(l *shoot.Library, kind shoot.KitKind, name string) string {
	file := l.File(kind, name)
	if file == shoot.StandardKitName {
		return "library"
	}
	return w.text(path.Base(file))
}

// kitTable lists the kit of a kind. Where it was defined is told once some of
// it is not the library's.
func (w words) kitTable(k *Kit, kind shoot.KitKind, names []string) *table {
	t := &table{columns: append([]column{{name: "name"}}, kitColumns[kind]...)}
	own := slices.ContainsFunc(names, func(name string) bool {
		return k.Library.File(kind, name) != shoot.StandardKitName
	})
	if own {
		t.columns = append(t.columns, column{name: "defined", unit: "in"})
	}
	for _, name := range names {
		row := append([]string{w.text(name)}, w.kitRow(k.Library, kind, name)...)
		if own {
			row = append(row, w.definedIn(k.Library, kind, name))
		}
		t.lines = append(t.lines, line{cells: plainCells(row)})
	}
	return t
}

// kitColumns are those of the lists, behind the name.
var kitColumns = map[shoot.KitKind][]column{
	shoot.CameraKit: {
		{name: "sync", unit: "s"}, {name: "fastest", unit: "s"}, {name: "ISO"}, {name: "steps", unit: "stops"},
		{name: "ISO steps", unit: "stops", rank: 1}, {name: "frame", unit: "mm high", right: true},
	},
	shoot.FlashKit: {
		{name: "guide", unit: "m", right: true}, {name: "at zoom", unit: "mm", right: true}, {name: "lowest", unit: "power", rank: 1},
		{name: "steps", unit: "stops", rank: 4}, {name: "HSS loss", unit: "at 1/1000", right: true}, {name: "recycle", unit: "s", right: true},
		{name: "flashes", unit: "a set", right: true, rank: 2}, {name: "burst", unit: "flashes", right: true, rank: 3},
		{name: "outdoors", unit: "stops", right: true, rank: extra},
	},
	shoot.ModifierKit: {
		{name: "loss", unit: "stops", right: true}, {name: "size", unit: "m", right: true}, {name: "zoom inside", unit: "mm", right: true},
	},
	shoot.GelKit:    {{name: "loss", unit: "stops", right: true}, {name: "shift", unit: "mired", right: true}},
	shoot.ScrimKit:  {{name: "width", unit: "m", right: true}, {name: "length", unit: "m", right: true}, {name: "loss", unit: "stops", right: true}},
	shoot.FilterKit: {{name: "loss", unit: "stops", right: true}},
}

// kitRow returns the cells of one item, behind its name.
func (w words) kitRow(l *shoot.Library, kind shoot.KitKind, name string) []string {
	stops := func(s sky.Stops) string { return number(float64(s), 2) }
	switch kind {
	case shoot.CameraKit:
		c, _ := l.Camera(name)
		return []string{c.Sync.String(), c.Fastest.String(), c.Lowest.String() + " to " + c.Highest.String(),
			clicks(c.Click), clicks(c.ISOClick), number(c.FrameHeight, 1)}
	case shoot.FlashKit:
		u, _ := l.Flash(name)
		longest := u.Guide[len(u.Guide)-1]
		loss := "none"
		if u.HighSpeed {
			loss = stops(u.HighSpeedLoss(thousandth))
		}
		return []string{number(longest.Number, 1), sizeOrUnknown(longest.Zoom, 0), u.LowestPower.String(), clicks(u.Click), loss,
			number(u.RecycleFull, 1), number(u.FlashesASet, 0), number(u.BurstLimit, 0), stops(u.Derate)}
	case shoot.ModifierKit:
		m, _ := l.Modifier(name)
		return []string{stops(m.Loss), sizeOrUnknown(m.Size, 2), sizeOrUnknown(m.Zoom, 0)}
	case shoot.GelKit:
		g, _ := l.Gel(name)
		return []string{stops(g.Loss), number(float64(g.Shift), 0)}
	case shoot.ScrimKit:
		s, _ := l.Scrim(name)
		return []string{number(s.Width, 2), number(s.Length, 2), stops(s.Loss)}
	}
	f, _ := l.Filter(name)
	return []string{stops(f.Loss)}
}

// thousandth is 1/1000 s.
const thousandth exposure.Shutter = 60

// sizeOrUnknown writes a size, of which 0 means that there is none.
func sizeOrUnknown(v float64, decimals int) string {
	if v == 0 {
		return unknown
	}
	return number(v, decimals)
}

// item returns all that is known of one item.
func (w words) item(l *shoot.Library, kind shoot.KitKind, name string) []kitSection {
	source := l.Source(kind, name)
	if source == "" {
		source = "not stated"
	}
	own := kitSection{title: strings.ToUpper(string(kind[:1])) + string(kind[1:])}
	var more []kitSection
	switch kind {
	case shoot.CameraKit:
		c, _ := l.Camera(name)
		own.facts = w.cameraFacts(&c)
	case shoot.FlashKit:
		u, _ := l.Flash(name)
		own.facts = flashFacts(&u)
		more = w.flashTables(&u)
	case shoot.ModifierKit:
		m, _ := l.Modifier(name)
		own.facts = modifierFacts(&m)
	case shoot.GelKit:
		g, _ := l.Gel(name)
		own.facts = []fact{
			{"Loss", lossFact(g.Loss)},
			{"Shift", fmt.Sprintf("%s mired: flash of %s K becomes %s K", plainly(float64(g.Shift), 0),
				number(float64(flash.NominalColour), 0), kelvin(g.Through(flash.NominalColour)))},
		}
	case shoot.ScrimKit:
		s, _ := l.Scrim(name)
		own.facts = w.scrimFacts(&s)
	case shoot.FilterKit:
		f, _ := l.Filter(name)
		own.facts = []fact{
			{"Loss", lossFact(f.Loss)},
			{"Marked", fmt.Sprintf("ND %s, or density %s", plainly(f.Loss.Factor(), 1), number(float64(f.Loss)*densityPerStop, 1))},
		}
	}
	own.facts = append(own.facts, fact{"Figures", w.text(source)}, fact{"Defined in", w.text(l.File(kind, name))})
	return append([]kitSection{own}, more...)
}

// densityPerStop is the optical density of one stop, log10 2.
const densityPerStop = 0.30103

// lossFact says what share of the light a loss leaves.
func lossFact(s sky.Stops) string {
	if s == 0 {
		return "none"
	}
	return stopsTo(s, 2) + ", leaves " + share((-s).Factor()) + " of the light"
}

// share writes a part of the whole.
func share(v float64) string {
	if v < 0.02 {
		return "1/" + number(1/v, 0)
	}
	return number(100*v, 0) + " %"
}

func (w words) cameraFacts(c *shoot.Body) []fact {
	return []fact{
		{"Sync speed", c.Sync.String() + " s, the fastest time that a normal flash lights the whole frame with"},
		{"Fastest", c.Fastest.String() + " s, with high-speed sync"},
		{"ISO", fmt.Sprintf("%s to %s in %s stops", c.Lowest, c.Highest, clicks(c.ISOClick))},
		{"Steps", clicks(c.Click) + " stops of aperture and shutter"},
		{"Frame", plainly(c.FrameHeight, 1) + " mm high"},
	}
}

func modifierFacts(m *flash.Modifier) []fact {
	list := []fact{{"Loss", lossFact(m.Loss)}}
	if m.Size > 0 {
		list = append(list, fact{"Size", plainly(m.Size, 2) + " m across, of the side that faces the subject"})
	}
	zoom := "as the head is set"
	if m.Zoom > 0 {
		zoom = "the head inside is set to " + plainly(m.Zoom, 0) + " mm, at which the loss holds; no matter on a head without zoom"
	}
	return append(list, fact{"Zoom", zoom})
}

func (w words) scrimFacts(s *scene.Scrim) []fact {
	return []fact{
		{"Size", fmt.Sprintf("%s %s %s m, %s m2", plainly(s.Width, 2), w.times(), plainly(s.Length, 2), plainly(s.Width*s.Length, 1))},
		{"Loss", lossFact(s.Loss) + " right under it; an upright face loses more"},
		{"Wind", w.windFact(s)},
	}
}

// windFact says how hard the wind pushes on a scrim. The figures are for the
// top of each force of the scale, where they are worst.
func (w words) windFact(s *scene.Scrim) string {
	var pushes []string
	for force := scene.Beaufort(2); force <= 4; force++ {
		_, speed := force.Speeds()
		pushes = append(pushes, fmt.Sprintf("%s kg in a %s (%s m/s)", number(s.Drag(speed).Kilograms(), 1), force, number(float64(speed), 1)))
	}
	return "pushes with up to " + strings.Join(pushes, ", ") +
		fmt.Sprintf("; gusts with about %s times that. An estimate, square to the wind: riggers, the venue and local rules have the last word",
			plainly(scene.GustFactor*scene.GustFactor, 2))
}

func flashFacts(u *flash.Unit) []fact {
	const quarter flash.Power = -12
	list := []fact{
		{"Power", fmt.Sprintf("1/1 to %s in %s stops", u.LowestPower, clicks(u.Click))},
		{"Outdoors", stopsTo(u.Derate, 2) + " taken off the guide numbers, where no walls throw light back"},
		{"Recycling", fmt.Sprintf("%s s after full power, %s s after 1/4, never less than %s s",
			plainly(u.RecycleFull, 2), plainly(u.Recycle(quarter), 2), plainly(u.RecycleFloor, 2))},
		{"Batteries", fmt.Sprintf("%s flashes a set at full power, %s at 1/4", number(u.FlashesASet, 0), number(u.FlashesASet/quarter.Fraction(), 0))},
		{"Heat", fmt.Sprintf("%s flashes in a row at full power, then %s min of rest", number(u.BurstLimit, 0), plainly(u.BurstRest, 1))},
		{"Colour", kelvin(u.ColourTemperature()) + " K"},
	}
	if !u.HighSpeed {
		return append(list, fact{"High-speed", "no high-speed sync"})
	}
	return list
}

// flashTables returns the guide numbers by zoom, and what high-speed sync
// leaves of them.
func (w words) flashTables(u *flash.Unit) []kitSection {
	guide := kitSection{title: "Guide numbers of one bare unit, full power, ISO 100", table: &table{columns: []column{
		{name: "zoom", unit: "mm", right: true}, {name: "stated", unit: "m", right: true},
		{name: "outdoors", unit: "m", right: true}, {name: "reach at f/8", unit: "m", right: true},
	}}}
	for _, g := range u.Guide {
		guide.table.lines = append(guide.table.lines, line{cells: plainCells([]string{
			sizeOrUnknown(g.Zoom, 0), number(g.Number, 1), number(u.Reach(g.Zoom, 0), 1), number(u.Reach(g.Zoom, reachAperture), 1),
		})})
	}
	if !u.HighSpeed {
		return []kitSection{guide}
	}
	zoom := u.LongestZoom()
	left := column{name: "guide number", unit: "m outdoors", right: true}
	speed := kitSection{title: "High-speed sync, full power", table: &table{columns: []column{
		{name: "shutter", unit: "s"}, {name: "loss", unit: "stops", right: true}, left,
		{name: "reach at f/2.8", unit: "m", right: true},
	}}}
	if zoom > 0 {
		speed.title += fmt.Sprintf(", bare at %s mm", plainly(zoom, 0))
	}
	for _, l := range speedLosses(u) {
		factor := (-l.Loss / 2).Factor()
		speed.table.lines = append(speed.table.lines, line{cells: plainCells([]string{
			l.Shutter.String(), number(float64(l.Loss), 2), number(u.Reach(zoom, 0)*factor, 1), number(u.Reach(zoom, openAperture)*factor, 1),
		})})
	}
	speed.note = fmt.Sprintf("Losses by a plateau of %s ms, log2(%s ms / time).", plainly(u.Plateau*1000, 1), plainly(u.Plateau*1000, 1))
	if len(u.Losses) > 0 {
		speed.note = "Losses as stated; straight lines between them, and one stop for each stop of shutter beyond."
	}
	return []kitSection{guide, speed}
}

// openAperture is the one that reach in high-speed sync is told for, f/2.8.
const openAperture exposure.Aperture = 18

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

// The document of kit, its keys called as in a kit file.
type kitDocument struct {
	Schema    string        `json:"schema"`
	Cameras   []kitCamera   `json:"cameras"`
	Flashes   []kitFlash    `json:"flashes"`
	Modifiers []kitModifier `json:"modifiers"`
	Gels      []kitGel      `json:"gels"`
	Scrims    []kitScrim    `json:"scrims"`
	Filters   []kitFilter   `json:"filters"`
}

type kitNamed struct {
	Name   string  `json:"name"`
	Source *string `json:"source"`     // of the figures
	File   string  `json:"defined_in"` // "kit library" or a file
}

type kitCamera struct {
	kitNamed
	Sync     string `json:"sync"`
	SyncS    figure `json:"sync_s"`
	Fastest  string `json:"fastest"`
	FastestS figure `json:"fastest_s"`
	Lowest   figure `json:"lowest_iso"` // exact
	Highest  figure `json:"highest_iso"`
	Steps    string `json:"steps"`
	ISOSteps string `json:"iso_steps"`
	Frame    figure `json:"frame_height_mm"`
}

type kitFlash struct {
	kitNamed
	Guide      []kitGuide `json:"guide_numbers"`
	Lowest     string     `json:"lowest_power"`
	LowestPart figure     `json:"lowest_power_fraction"`
	Steps      string     `json:"steps"`
	Derate     figure     `json:"derate_stops"`
	Colour     figure     `json:"colour_k"`
	HighSpeed  bool       `json:"high_speed_sync"`
	Plateau    figure     `json:"plateau_ms"`        // null where the losses are stated
	Losses     []kitLoss  `json:"high_speed_losses"` // stated, else by the plateau; empty without high-speed sync
	Recycle    figure     `json:"recycle_full_s"`
	Floor      figure     `json:"recycle_floor_s"`
	Set        figure     `json:"flashes_a_set"`
	Burst      figure     `json:"burst_flashes"`
	Rest       figure     `json:"burst_rest_min"`
}

type kitGuide struct {
	Zoom     figure `json:"zoom_mm"` // null for a head without zoom
	Number   figure `json:"number_m"`
	Outdoors figure `json:"outdoor_number_m"`
	Reach    figure `json:"reach_f8_iso100_m"` // outdoors
}

type kitLoss struct {
	Shutter  string `json:"shutter"`
	ShutterS figure `json:"shutter_s"`
	Loss     figure `json:"loss_stops"`
}

type kitModifier struct {
	kitNamed
	Loss figure `json:"loss_stops"`
	Size figure `json:"size_m"`
	Zoom figure `json:"inside_zoom_mm"`
}

type kitGel struct {
	kitNamed
	Loss  figure `json:"loss_stops"`
	Shift figure `json:"shift_mired"`
}

type kitScrim struct {
	kitNamed
	Width  figure `json:"width_m"`
	Length figure `json:"length_m"`
	Loss   figure `json:"loss_stops"`
}

type kitFilter struct {
	kitNamed
	Loss figure `json:"loss_stops"`
}

// known returns a size, of which 0 means that there is none.
func known(v float64) figure {
	if v == 0 {
		return nil
	}
	return exact(v)
}

func newKitDocument(k *Kit) *kitDocument {
	l := k.Library
	d := &kitDocument{Schema: kitSchema, Cameras: []kitCamera{}, Flashes: []kitFlash{}, Modifiers: []kitModifier{},
		Gels: []kitGel{}, Scrims: []kitScrim{}, Filters: []kitFilter{}}
	for _, kind := range shoot.KitKinds {
		for _, name := range k.names(kind) {
			as := kitNamed{Name: name, File: l.File(kind, name)}
			if source := l.Source(kind, name); source != "" {
				as.Source = &source
			}
			switch kind {
			case shoot.CameraKit:
				c, _ := l.Camera(name)
				d.Cameras = append(d.Cameras, kitCamera{as, c.Sync.String(), exact(c.Sync.Seconds()), c.Fastest.String(), exact(c.Fastest.Seconds()),
					exact(c.Lowest.Speed()), exact(c.Highest.Speed()), clicks(c.Click), clicks(c.ISOClick), exact(c.FrameHeight)})
			case shoot.FlashKit:
				u, _ := l.Flash(name)
				d.Flashes = append(d.Flashes, newKitFlash(as, &u))
			case shoot.ModifierKit:
				m, _ := l.Modifier(name)
				d.Modifiers = append(d.Modifiers, kitModifier{as, exact(float64(m.Loss)), known(m.Size), known(m.Zoom)})
			case shoot.GelKit:
				g, _ := l.Gel(name)
				d.Gels = append(d.Gels, kitGel{as, exact(float64(g.Loss)), exact(float64(g.Shift))})
			case shoot.ScrimKit:
				s, _ := l.Scrim(name)
				d.Scrims = append(d.Scrims, kitScrim{as, exact(s.Width), exact(s.Length), exact(float64(s.Loss))})
			case shoot.FilterKit:
				f, _ := l.Filter(name)
				d.Filters = append(d.Filters, kitFilter{as, exact(float64(f.Loss))})
			}
		}
	}
	return d
}

func newKitFlash(as kitNamed, u *flash.Unit) kitFlash {
	f := kitFlash{kitNamed: as, Lowest: u.LowestPower.String(), LowestPart: exact(u.LowestPower.Fraction()), Steps: clicks(u.Click),
		Derate: exact(float64(u.Derate)), Colour: fixed(u.ColourTemperature(), 0), HighSpeed: u.HighSpeed, Losses: []kitLoss{},
		Recycle: exact(u.RecycleFull), Floor: exact(u.RecycleFloor), Set: exact(u.FlashesASet), Burst: exact(u.BurstLimit), Rest: exact(u.BurstRest)}
	for _, g := range u.Guide {
		f.Guide = append(f.Guide, kitGuide{known(g.Zoom), exact(g.Number), fixed(u.Reach(g.Zoom, 0), 3), fixed(u.Reach(g.Zoom, reachAperture), 3)})
	}
	if u.HighSpeed {
		for _, l := range speedLosses(u) {
			f.Losses = append(f.Losses, kitLoss{l.Shutter.String(), exact(l.Shutter.Seconds()), fixed(l.Loss, 3)})
		}
		if len(u.Losses) == 0 {
			f.Plateau = exact(u.Plateau * 1000)
		}
	}
	return f
}

// kitCSV writes a line for every item, with the names, units and values of the
// JSON; of a flash the guide number at the longest zoom. What an item does not
// have is empty.
func kitCSV(b *bytes.Buffer, k *Kit, o Options) error {
	d := newKitDocument(k)
	records := []*record{newKitRecord("", &kitItem{})}
	for i := range d.Cameras {
		records = append(records, newKitRecord(shoot.CameraKit, &kitItem{camera: d.Cameras[i], kitNamed: d.Cameras[i].kitNamed}))
	}
	for i := range d.Flashes {
		records = append(records, newKitRecord(shoot.FlashKit, &kitItem{flash: d.Flashes[i], kitNamed: d.Flashes[i].kitNamed}))
	}
	for i := range d.Modifiers {
		records = append(records, newKitRecord(shoot.ModifierKit, &kitItem{modifier: d.Modifiers[i], kitNamed: d.Modifiers[i].kitNamed, loss: d.Modifiers[i].Loss}))
	}
	for i := range d.Gels {
		records = append(records, newKitRecord(shoot.GelKit, &kitItem{gel: d.Gels[i], kitNamed: d.Gels[i].kitNamed, loss: d.Gels[i].Loss}))
	}
	for i := range d.Scrims {
		records = append(records, newKitRecord(shoot.ScrimKit, &kitItem{scrim: d.Scrims[i], kitNamed: d.Scrims[i].kitNamed, loss: d.Scrims[i].Loss}))
	}
	for i := range d.Filters {
		records = append(records, newKitRecord(shoot.FilterKit, &kitItem{kitNamed: d.Filters[i].kitNamed, loss: d.Filters[i].Loss}))
	}
	return writeRecords(b, records, o)
}

// kitItem is a piece of any kind; of the kinds it is not, all is unknown.
type kitItem struct {
	kitNamed
	loss     figure
	camera   kitCamera
	flash    kitFlash
	modifier kitModifier
	gel      kitGel
	scrim    kitScrim
}

func newKitRecord(kind shoot.KitKind, i *kitItem) *record {
	r := &record{}
	r.text("kind", string(kind))
	r.text("name", i.Name)
	r.figure("loss_stops", i.loss)
	r.figure("size_m", i.modifier.Size)
	r.figure("inside_zoom_mm", i.modifier.Zoom)
	r.figure("shift_mired", i.gel.Shift)
	r.figure("width_m", i.scrim.Width)
	r.figure("length_m", i.scrim.Length)
	var guide kitGuide
	if n := len(i.flash.Guide); n > 0 {
		guide = i.flash.Guide[n-1]
	}
	r.figure("guide_number_m", guide.Number)
	r.figure("zoom_mm", guide.Zoom)
	r.figure("outdoor_number_m", guide.Outdoors)
	r.figure("reach_f8_iso100_m", guide.Reach)
	r.text("lowest_power", i.flash.Lowest)
	r.figure("derate_stops", i.flash.Derate)
	r.figure("colour_k", i.flash.Colour)
	highSpeed := ""
	if kind == shoot.FlashKit {
		highSpeed = strconv.FormatBool(i.flash.HighSpeed)
	}
	r.text("high_speed_sync", highSpeed)
	r.figure("plateau_ms", i.flash.Plateau)
	r.figure("recycle_full_s", i.flash.Recycle)
	r.figure("recycle_floor_s", i.flash.Floor)
	r.figure("flashes_a_set", i.flash.Set)
	r.figure("burst_flashes", i.flash.Burst)
	r.figure("burst_rest_min", i.flash.Rest)
	r.text("sync", i.camera.Sync)
	r.text("fastest", i.camera.Fastest)
	r.figure("lowest_iso", i.camera.Lowest)
	r.figure("highest_iso", i.camera.Highest)
	r.text("steps", i.camera.Steps+i.flash.Steps)
	r.text("iso_steps", i.camera.ISOSteps)
	r.figure("frame_height_mm", i.camera.Frame)
	r.optional("source", i.Source)
	r.text("defined_in", i.File)
	return r
}
