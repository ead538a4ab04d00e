package shootfile

import (
	"fmt"
	"slices"
	"strings"

	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Group is where help lists a flag.
type Group string

// The groups of flags, in the order that help has them.
const (
	PlaceAndTime Group = "Place and time"
	WishGroup    Group = "What is wished for" // of a search over dates alone
	SkyGroup     Group = "Sky"
	LookGroup    Group = "Look"
	KitGroup     Group = "Kit"
)

// Groups lists the groups.
var Groups = [...]Group{PlaceAndTime, WishGroup, SkyGroup, LookGroup, KitGroup}

// Key is a value of a shoot: how the file calls it, how the command line
// does, and what both say of it. Reading, help, completion and the starter
// all go by it.
type Key struct {
	Section, Name string // in the file; no name for a flag of several keys
	Flag          string // without dashes; empty where there is none
	Also          string // another spelling of the flag
	Group         Group
	Value         string        // how help calls the flag's value, its unit where it has one
	Help          string        // in a line, without its range
	Example       string        // of the flag's value
	Words         []string      // that it may be
	Kit           shoot.KitKind // whose names it may be; empty for none
	List          bool          // of words, with commas between them
	Switch        bool          // needs no value

	choice    string // keys of one choice exclude each other
	read      func(string) (any, bool)
	low, high float64 // its range; both 0 where it has none
	factor    map[string]float64

	set      string // how the starter says it
	fallback string // how the starter shows it, in a comment
	note     string // more of it in the starter
}

// duration is how help calls a length of time. In a file it is in minutes.
const duration = "DURATION"

// feet are what lengths in metres may be typed in by mistake.
var feet = map[string]float64{"ft": 0.3048, "feet": 0.3048, "foot": 0.3048, "'": 0.3048, "in": 0.0254, "cm": 0.01}

// table lists all keys, in the order of help and of the starter. A further
// flag for a key is a line here; a further key a line here and one in the
// reader of its section.
var table = []Key{
	{Name: "name", set: `"My shoot"`, Help: "for the header"},
	{Name: "methods", Flag: "method", Group: KitGroup, Value: "LIST", List: true, Words: methodWords(), read: readText,
		Help: "ways of working to compare, with commas between", Example: "sync,hss",
		fallback: `["sync", "hss", "nd", "scrim", "scrim+hss"]`,
		note: "The ways of working to compare: sync (at or below the sync speed), hss (high-speed sync), " +
			"nd (sync speed with a neutral-density filter), scrim (diffusion between sun and sitter), scrim+hss. " +
			"Only where they are named: scrim+nd, nd+hss, scrim+nd+hss, open-shade (flash with the sitter in open shade), " +
			"reflector (in the place of the flash), reflector+sync."},

	{Section: "place", Flag: "at", Group: PlaceAndTime, Value: "LAT,LON", choice: "place",
		Help: `place, as 54.33,10.15 or 54°19'48"N 10°9'E; north and east positive`, Example: "54.33,10.15"},
	{Section: "place", Name: "saved", Flag: "place", Group: PlaceAndTime, Value: "NAME", read: readText, choice: "place",
		Help: "a saved place, with its zone, elevation, ground and skyline (evenfall place list)", Example: "west-quay"},
	{Section: "place", Name: "name", fallback: `"West quay"`, Help: "for the header"},
	{Section: "place", Name: "latitude_deg", low: -90, high: 90, set: "54.33", Help: "north positive, south negative"},
	{Section: "place", Name: "longitude_deg", low: -180, high: 180, set: "10.15", Help: "east positive, west negative"},
	{Section: "place", Name: "time_zone", Flag: "tz", Group: PlaceAndTime, Value: "ZONE", read: readText,
		Help: "time zone, such as Europe/Berlin or UTC+1 (default the system's)", Example: "Europe/Berlin",
		set: `"Europe/Berlin"`},
	{Section: "place", Name: "elevation_m", Flag: "elevation", Group: PlaceAndTime, Value: "METRES", read: readNumber,
		Help: "height above sea level", Example: "350", low: -430, high: 9000, factor: feet, fallback: "0"},
	{Section: "place", Name: "ground", Flag: "ground", Group: PlaceAndTime, Value: "GROUND", read: readText,
		choice: "ground", Words: groundWords(), Example: "sand", fallback: `"grass"`,
		Help: "what lies before the sitter: grass, sand, snow, concrete, water, ...",
		note: "What lies before the sitter throws light up: grass, sand, snow, old snow, concrete, brick, asphalt, gravel, earth or water."},
	{Section: "place", Name: "ground_reflectance", choice: "ground", low: 0, high: 1, fallback: "0.2", Help: "or its share of the light"},
	{Section: "place", Name: "horizon_deg", Flag: "skyline", Group: PlaceAndTime, Value: "LIST", read: readText,
		Help:    "what the sun goes behind, as azimuth=altitude in degrees: " + skylineExample,
		Example: skylineExample, fallback: "[]",
		note: "The skyline, as [azimuth, altitude] pairs in degrees clockwise from true north and above " +
			"the horizontal: [[240, 2], [270, 9], [300, 2]]."},

	{Section: "when", Name: "date", Flag: "date", Group: PlaceAndTime, Value: "DATE", read: readText,
		Words: []string{"today",
			"tomorrow"}, Help: "day of the session: 2027-09-18, 18 September 2027, Saturday or today",
		Example: "2027-09-18", set: `"2027-09-18"`},
	{Section: "when", Name: "from", Flag: "from", Group: PlaceAndTime, Value: "TIME", read: readText,
		Help: "start: 17:30, 5:30pm, or an event such as sunset-2h", Example: "sunset-2h", set: `"sunset-2h"`,
		note: `Times are by the clock, "17:30", or an event of the day with or without an offset: sunrise, sunset, ` +
			"solar-noon, civil-dusk, golden-hour-begins, blue-hour-ends, sun-behind-the-skyline, sunset-1h30m, " +
			"sunset+20m."},
	{Section: "when", Name: "to", Flag: "to", Group: PlaceAndTime, Value: "TIME", read: readText,
		Help: "end: 20:15, or sunset+30m", Example: "sunset+30m", set: `"sunset"`},
	{Section: "when", Name: "step_minutes", Flag: "step", Group: PlaceAndTime, Value: duration, read: readMinutes,
		Help: "interval between two moments, such as 15m", Example: "15m", low: 0, high: 1440, fallback: "15"},

	{Section: "sky", Name: "condition", Flag: "sky", Group: SkyGroup, Value: "CONDITION", read: readText, choice: "sky",
		Words: skyWords(), Help: "clear, hazy, thin, broken, overcast or heavy", Example: "clear", set: `"clear"`,
		note: "thin: cloud the sun casts soft shadows through; broken: sun in and out, both are planned. " +
			`In place of a condition: oktas = 3, or turbidity = 4. A further [[sky]] with from = "18:30" is the sky from then on.`},
	{Section: "sky", Name: "oktas", Flag: "okta", Also: "oktas", Group: SkyGroup, Value: "N", read: readNumber,
		choice: "sky",
		Help:   "eighths of the sky under cloud, in place of a condition", Example: "3", low: 0, high: 8},
	{Section: "sky", Name: "turbidity", Flag: "turbidity", Group: SkyGroup, Value: "T", read: readNumber, choice: "sky",
		Help: "luminous turbidity of a cloudless sky, in place of a condition", Example: "3",
		low: sky.LowestTurbidity, high: sky.HighestTurbidity},

	{Section: "wind", Name: "speed", Flag: "wind", Group: SkyGroup, Value: "SPEED", read: readText,
		Help: `mean wind: "5 m/s", "20 km/h" or "force 3"`, Example: "5 m/s", fallback: `"5 m/s"`,
		note: "The mean of the forecast, not its gusts: \"5 m/s\", \"20 km/h\", \"force 3\". A scrim that it is too strong " +
			"for is left out, and sandbags go by it."},

	{Section: "subject", Name: "facing", Flag: "facing", Group: LookGroup, Value: "AZIMUTH", read: readDirection,
		Words:   facingWords(),
		Help:    "where the sitter faces: degrees from true north, NW, or backlit, front, left, right",
		Example: "backlit", set: `"backlit"`,
		note: "From sitter to camera: an azimuth in degrees clockwise from true north, a point of the compass " +
			`such as "NW", or the side the sun comes from, turning with it: backlit, front, left or right.`},
	{Section: "subject", Name: "figure", Flag: "figure", Group: LookGroup, Value: "FIGURE", read: readText,
		Words: figureWords(), Example: "full-length", fallback: `"head and shoulders"`,
		Help: `framing: head-and-shoulders or full-length`,
		note: "The framing: what fills the frame, and what a scrim has to shade; or \"full length\"."},
	{Section: "subject", Name: "sky_altitude_deg", low: 0, high: 90, fallback: "10",
		Help: "how high the frame's centre looks", note: "Above the horizontal: the sky seen behind the head."},
	{Section: "subject", Name: "background", fallback: `"sky"`,
		Help: `or "sunlit" or "shaded"`, note: "What stands behind the sitter: the sky, or a landscape or a wall in " +
			"sun or shade, of background_reflectance (0.2) and at background_distance_m."},
	{Section: "subject", Name: "background_reflectance", low: 0.01, high: 1},
	{Section: "subject", Name: "background_distance_m", low: 0.1, high: 100_000},
	{Section: "subject", Name: "camera_distance_m", low: 0.2, high: 1000, fallback: "2.5",
		Help: "default: the figure fills the frame"},

	{Section: "look", Name: "ratio", Flag: "ratio", Group: LookGroup, Value: "R", read: readRatio,
		Help: "lighting ratio to hold, (key + fill) : fill", Example: "3", low: lowestRatio, high: highestRatio,
		set: "3"},
	{Section: "look", Name: "background_at_most_stops", Flag: "background-at-most", Group: LookGroup,
		Value: "STOPS|any",
		read:  readStopsOrAny, Words: []string{anyStops}, choice: "background", low: -8, high: 8, fallback: "1.5",
		Help: "most that the background may come out above normal, or any", Example: "1.5",
		note: "How far above a normal exposure the background may come out, or \"any\". In its place it may be held at an " +
			"exact offset: background_stops = -1.5 is an underexposed sky."},
	{Section: "look", Name: "background_stops", Flag: "background", Group: LookGroup, Value: "STOPS", read: readNumber,
		choice: "background", low: -8, high: 8, Example: "-1.5",
		Help: "hold the background at this offset from normal; -1.5 is an underexposed sky"},
	{Section: "look", Name: "bias_stops", Flag: "bias", Group: LookGroup, Value: "STOPS", read: readNumber,
		Help: "exposure bias of the sitter, + brighter", Example: "0.3", low: -5, high: 5, fallback: "0"},

	{Section: "camera", Name: "kit", Flag: "camera", Group: KitGroup, Value: "NAME", read: readText,
		Kit: shoot.CameraKit, Help: "camera, by its name in the kit", Example: "crop-250", set: `"full-frame-200"`,
		note: "evenfall kit list camera shows the cameras there are."},
	{Section: "camera", Name: "sync", fallback: `"1/200"`, Help: "sync speed"},
	{Section: "camera", Name: "fastest", fallback: `"1/8000"`, Help: "shutter time"},
	{Section: "camera", Name: "lowest_iso", fallback: "100"},
	{Section: "camera", Name: "highest_iso", fallback: "6400", Help: "your limit, not the camera's"},
	{Section: "camera", Name: "frame_height_mm", low: 4, high: 100, fallback: "24"},
	{Section: "camera", Name: "orientation", fallback: `"portrait"`, Help: "or landscape; default by the figure"},

	{Section: "lens", Name: "focal_length_mm", Flag: "focal-length", Group: KitGroup, Value: "MM", read: readNumber,
		Help: "of the lens", Example: "85", low: 4, high: 2000, set: "85"},
	{Section: "lens", Name: "name"},
	{Section: "lens", Name: "widest", set: "1.8", Help: "f-number"},
	{Section: "lens", Name: "narrowest", set: "16", Help: "f-number"},
	{Section: "lens", Name: "aperture", Flag: "aperture", Group: KitGroup, Value: "F", read: readText,
		Help: "f-number wanted, such as 2.8", Example: "2.8", set: "2.8",
		note: "The aperture moves only when shutter and ISO can do no more."},
	{Section: "lens", Name: "slowest", fallback: `"1/80"`, Help: "hand-held; default 1 / focal length"},

	{Section: "flash", Name: "kit", Flag: "flash", Group: KitGroup, Value: "NAME", read: readText, Kit: shoot.FlashKit,
		Help: "flash, by its name in the kit", Example: "speedlight-60", set: `"speedlight-60"`,
		note: "evenfall kit list flash shows the flashes there are. Write your own at the end of this file, or for all shoots into " +
			"the kit file that evenfall kit list names."},
	{Section: "flash", Name: "units", Flag: "units", Group: KitGroup, Value: "N", read: readNumber,
		Help: "flashes side by side in one modifier", Example: "2", low: 1, high: 12, set: "1"},
	{Section: "flash", Name: "distance_m", Flag: "distance", Group: KitGroup, Value: "METRES", read: readNumber,
		Help: "flash-to-sitter distance", Example: "1.5", low: 0.2, high: 100, factor: feet, set: "2"},
	{Section: "flash", Name: "angle_deg", Flag: "flash-angle", Group: KitGroup, Value: "DEG", read: readAngle,
		Help: "between flash and camera, + toward the key side", Example: "30", low: -mostAngle, high: mostAngle, fallback: "30",
		note: "Between flash and camera, seen from the sitter: positive toward the key side, 0 beside the lens. " +
			"Where it is left out the best one is chosen."},
	{Section: "flash", Name: "side", Words: []string{"left", "right"}, fallback: `"left"`,
		Help: "where the sun does not settle the key side",
		note: "As the camera sees it, where the sun does not settle the key side."},
	{Section: "flash", Name: "modifier", Flag: "modifier", Group: KitGroup, Value: "NAME", read: readText,
		Kit:  shoot.ModifierKit,
		Help: "on the flash: bare, softbox-60x90, ...", Example: "bare", set: `"softbox-60x90"`},
	{Section: "flash", Name: "zoom_mm", Flag: "zoom", Group: KitGroup, Value: "MM", read: readNumber,
		Help: "of a bare head; a modifier sets its own", Example: "50", fallback: "50"},
	{Section: "flash", Name: "gel", Flag: "gel", Group: KitGroup, Value: "NAME", read: readText, Kit: shoot.GelKit,
		Words: []string{noKit, matchLight}, Help: "gel by name, none, or match: the one nearest to the light's colour",
		Example: "half-cto", fallback: `"none"`},
	{Section: "flash", Name: "gels"},
	{Section: "flash", Name: "warmer_mired", low: -200, high: 300},
	{Section: "flash", Name: "derate_stops", fallback: "0.7", Help: "what guide numbers lose outdoors",
		note: "Makers measure guide numbers indoors; walls add light. evenfall kit calibrate finds it " +
			"from one test shot."},

	{Section: "fill", Name: "kit", Flag: "fill", Group: KitGroup, Value: "NAME", read: readText, Kit: shoot.FlashKit,
		Words: []string{noKit}, Help: "a second flash beside the lens, or none",
		Example: "speedlight-60", fallback: `"speedlight-60"`},
	{Section: "fill", Name: "distance_m", low: 0.2, high: 100, fallback: "2"},
	{Section: "fill", Name: "angle_deg", low: -45, high: 40, fallback: "0",
		Help: "from the camera, + toward the key side"},

	{Section: "rim", Name: "kit", fallback: `"speedlight-60"`, Kit: shoot.FlashKit},
	{Section: "rim", Name: "distance_m", low: 0.2, high: 100, fallback: "2"},
	{Section: "rim", Name: "over_key_stops", low: -5, high: 5, fallback: "0.5", Help: "above the key"},

	{Section: "scrim", Name: "kit", fallback: `"panel-120x180"`, Kit: shoot.ScrimKit, Help: "evenfall kit list scrim"},
	{Section: "scrim", Name: "straight_share", low: 0, high: 1, fallback: "0.5",
		Help: "part that passes straight through"},
	{Section: "scrim", Name: "distance_m", low: 0.2, high: 20, fallback: "1",
		Help: "from the head, square to the sun",
		note: "Overhead instead: height_m = 1.2 above the head, with tilt_deg = 20 toward the sun and " +
			"reach_m = 0.5, how far its middle may stand off from above the head."},
	{Section: "scrim", Name: "height_m", low: 0.2, high: 6},
	{Section: "scrim", Name: "tilt_deg", low: 0, high: 80},
	{Section: "scrim", Name: "reach_m", low: 0, high: 10},

	{Section: "reflector", Name: "kit", fallback: `"white-100x100"`, Kit: shoot.ReflectorKit,
		Help: "evenfall kit list reflector"},
	{Section: "reflector", Name: "distance_m", low: 0.3, high: 20, fallback: "1.5", Help: "from the head"},
	{Section: "reflector", Name: "angle_deg", low: -80, high: 80, fallback: "-30",
		Help: "from the camera, + toward the key side",
		note: "Seen from the subject; negative is on the shadow side. The panel is turned halfway between sun and sitter."},

	{Section: "shade", Name: "sky_share", low: 0.05, high: 1, fallback: "0.5",
		Help: "of the sky, in open shade", note: "For open-shade: the share of the sky that a wall or trees leave."},

	{Section: "filters", Name: "nd_stops", fallback: "[3, 6]", Help: `or kit = ["nd-3", "nd-6"]`},
	{Section: "filters", Name: "kit", Kit: shoot.FilterKit},

	{Section: "pace", Name: "frames_per_minute", low: 0.1, high: 600, set: "6"},
	{Section: "pace", Name: "cue_step", Flag: "cue-step", Group: KitGroup, Value: "STOPS", read: readText,
		Words: cueSteps[:], Help: "how much light a cue follows at a time: 2/3 stop, or 1/3", Example: "1/3",
		fallback: `"2/3"`, note: "How far the light goes before a control is moved, in stops; finer steps are more cues."},

	{Section: "schedule", Name: "dates", Flag: "dates", Group: WishGroup, Value: "RANGE", read: readText,
		Help:    "days: 2027-05-01..2027-05-31, 2027-05, 2027 or May 2027, at most 100 years (default a year from today)",
		Example: "2027-05-01..2027-05-31", fallback: `"2027-05-01..2027-05-31"`},
	{Section: "schedule", Name: "on", Flag: "on", Group: WishGroup, Value: "LIST", List: true, read: readText,
		Words:   append(weekNames(), weekend, weekdays),
		Help:    "days of the week: sat,sun or weekend, weekdays, fri-sun",
		Example: "sat,sun"},
	{Section: "schedule", Name: "between", Flag: "between", Group: WishGroup, Value: "FROM..TO", read: readText,
		Help:    "times of day, by the clock or by events, as " + exampleHours + " or sunset-2h..sunset+20m",
		Example: exampleHours},
	{Section: "schedule", Name: "at_least_minutes", Flag: "at-least", Group: WishGroup, Value: duration,
		read: readMinutes,
		Help: "shortest window, 1m to 24h, such as 45m or 1h30m (default 30m)", Example: "45m", low: 1, high: 1440},
	{Section: "schedule", Name: "light", Flag: "light", Group: WishGroup, Value: "NAME", read: readText,
		Words:   lights(),
		Help:    "golden-hour, last-light (the sun at most 6 deg over the skyline, sinking) or blue-hour",
		Example: "golden-hour"},
	{Section: "schedule", Name: "sun_altitude_deg", Flag: "sun-altitude", Group: WishGroup, Value: "LOW..HIGH",
		read: readText,
		Help: "true altitude of the sun, degrees from -90 to 90", Example: "-4..6"},
	{Section: "schedule", Name: "sun_azimuth_deg", Flag: "sun-azimuth", Group: WishGroup, Value: "FROM..TO",
		read:    readText,
		Help:    "where the sun stands, clockwise: degrees from true north, or points of the compass (SW..W)",
		Example: "225..270"},
	{Section: "schedule", Name: "sun_from", Flag: "sun-from", Group: WishGroup, Value: "LIST", List: true,
		read:  readText,
		Words: append(sunSides(), backlit), Example: "back-left,back",
		Help: "side the sun comes from, seen from the camera: front, front-left, left, back-left, back, ...; " +
			"backlit is all three from behind"},
	{Section: "schedule", Name: "sun_visible", Flag: "sun-visible", Group: WishGroup, Switch: true, read: readTruth,
		Help: "some of the sun's disc over horizon and skyline", Example: "true"},
	{Section: "schedule", Name: "held", Flag: "held", Group: WishGroup, Switch: true, read: readTruth,
		Help: "the look is held; a softer ratio does not do", Example: "true"},
	{Section: "schedule", Name: "headroom_stops", Flag: "headroom", Group: WishGroup, Value: "STOPS",
		read: readNumber,
		Help: "flash power to spare", Example: "0.7", low: 0, high: 8},
	{Section: "schedule", Name: "keep_aperture", Flag: "keep-aperture", Group: WishGroup, Switch: true,
		read: readTruth,
		Help: "the aperture stays within a third of a stop of the wanted one", Example: "true"},
	{Section: "schedule", Name: "odds", Flag: "odds", Group: WishGroup, Value: "LIST", read: readText, choice: "sky",
		Help:    "how likely each sky is, in percent that add up to 100: clear=40,broken=30,overcast=30",
		Example: exampleOdds},
	{Section: "schedule", Name: "forecast", Flag: "forecast", Group: WishGroup, Value: "FILE", read: readText,
		Help:    "cloud by the hour, a CSV file with a line such as " + exampleForecast + " (time, oktas)",
		Example: "cloud.csv"},
}

// Flags lists the keys that have a flag of a plan, in the order of help.
func Flags() []Key {
	return slices.DeleteFunc(allFlags(), func(k Key) bool { return k.Group == WishGroup })
}

// SearchFlags lists the keys that have a flag of a search over dates, in the
// order of help: the wishes, and all of a plan but its day, its hours and its step.
func SearchFlags() []Key {
	return slices.DeleteFunc(allFlags(), func(k Key) bool { return k.Section == "when" })
}

// PlaceFlags lists the keys of a place that have a flag, in the order of help.
func PlaceFlags() []Key {
	return slices.DeleteFunc(allFlags(), func(k Key) bool { return k.Section != "place" })
}

// allFlags lists the keys that have a flag, in the order of help.
func allFlags() []Key {
	var flags []Key
	for _, group := range Groups {
		for _, k := range table {
			if k.Flag != "" && k.Group == group {
				flags = append(flags, k)
			}
		}
	}
	return flags
}

// flagKey returns the key of a flag.
func flagKey(flag string) (Key, bool) {
	i := slices.IndexFunc(table, func(k Key) bool { return k.Flag != "" && (k.Flag == flag || k.Also == flag) })
	if i < 0 {
		return Key{}, false
	}
	return table[i], true
}

// keyAt returns the key of a section.
func keyAt(section, name string) (Key, bool) {
	i := slices.IndexFunc(table, func(k Key) bool { return k.Section == section && k.Name == name && name != "" })
	if i < 0 {
		return Key{}, false
	}
	return table[i], true
}

// ranged reports whether the key has a range of numbers.
func (k Key) ranged() bool { return k.low != 0 || k.high != 0 }

// Range returns the lowest and the highest value of the key, in the unit of the
// file; ok is false where it has no range of numbers.
func (k Key) Range() (low, high float64, ok bool) { return k.low, k.high, k.ranged() }

// Rivals lists the other flags of the key's choice: one of them at a time.
func (k Key) Rivals() []string {
	var flags []string
	for _, other := range table {
		if k.choice != "" && other.choice == k.choice && other.Flag != k.Flag && other.Flag != "" {
			flags = append(flags, other.Flag)
		}
	}
	return flags
}

// Usage is what help says of the flag: what it is, and its range.
func (k Key) Usage() string {
	switch {
	case !k.ranged():
		return k.Help
	case k.Value == duration: // the range is in minutes, the flag in any unit
		return k.Help
	}
	return fmt.Sprintf("%s (%s to %s)", k.Help, plain(k.low), plain(k.high))
}

func skyWords() []string {
	var words []string
	for _, w := range sky.Words {
		words = append(words, w.String())
	}
	return words
}

func groundWords() []string {
	var words []string
	for _, g := range grounds {
		words = append(words, strings.ReplaceAll(g.name, " ", "-"))
	}
	return words
}

func figureWords() []string {
	var words []string
	for _, figure := range figures {
		words = append(words, strings.ReplaceAll(figure.Name, " ", "-"))
	}
	return words
}

func facingWords() []string {
	var words []string
	for _, side := range litSides {
		words = append(words, scene.Facing{Side: side}.String())
	}
	return words
}

func methodWords() []string {
	var words []string
	for _, m := range shoot.AllMethods {
		words = append(words, m.String())
	}
	return words
}
