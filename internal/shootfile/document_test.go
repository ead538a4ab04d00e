package shootfile

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"evenfall/internal/exposure"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// somewhere is a place that is complete, for tests of the other sections.
const somewhere = `[place]
latitude_deg = 48.2
longitude_deg = 16.37
time_zone = "Europe/Vienna"
`

func zone(t testing.TB, name string) *time.Location {
	z, err := time.LoadLocation(name)
	require.NoError(t, err)
	return z
}

func environment(t testing.TB) Environment {
	return Environment{Today: shoot.Date{Year: 2027, Month: time.May, Day: 3}, Zone: zone(t, "Europe/Vienna"),
		Zones: time.LoadLocation}
}

func resolve(t testing.TB, text string) (*shoot.Shoot, error) {
	d, err := Parse("shoot.toml", []byte(text))
	require.NoError(t, err)
	return d.Resolve(environment(t))
}

func resolved(t testing.TB, text string) *shoot.Shoot {
	s, err := resolve(t, text)
	require.NoError(t, err)
	return s
}

// faultsOf reads and resolves a text that must not do.
func faultsOf(t testing.TB, text string) Faults {
	d, err := Parse("shoot.toml", []byte(text))
	if err == nil {
		_, err = d.Resolve(environment(t))
	}
	var faults Faults
	require.True(t, errors.As(err, &faults), "%v", err)
	require.NotEmpty(t, faults)
	return faults
}

func TestDefaults(t *testing.T) {
	s := resolved(t, somewhere)
	assert.Equal(t, "shoot", s.Name)
	assert.Empty(t, s.Place.Name)
	assert.Equal(t, "Europe/Vienna", s.Place.Zone.String())
	assert.InDelta(t, 48.2, s.Place.Site.Latitude.Degrees(), 1e-12)
	assert.InDelta(t, 16.37, s.Place.Site.Longitude.Degrees(), 1e-12)
	assert.Equal(t, 0.2, s.Place.Ground)
	assert.Empty(t, s.Place.Horizon)
	assert.Equal(t, shoot.When{
		Date: shoot.Date{Year: 2027, Month: time.May, Day: 3},
		From: shoot.Instant{Event: sky.Sunset, Offset: -2 * time.Hour},
		To:   shoot.Instant{Event: sky.Sunset, Offset: 30 * time.Minute},
		Step: 15 * time.Minute,
	}, s.When)
	assert.Equal(t, []shoot.SkySpan{{Condition: sky.Described(sky.Clear)}}, s.Sky)
	assert.Equal(t, scene.Facing{Side: scene.Backlit}, s.Subject.Facing)
	assert.Equal(t, scene.HeadAndShoulders, s.Subject.Figure)
	assert.InDelta(t, 10, s.Subject.SkyAltitude.Degrees(), 1e-12)
	assert.Equal(t, shoot.Look{Kind: shoot.RatioLook, Ratio: 3, AtMost: 1.5}, s.Look)
	assert.Equal(t, shoot.FlashPlace{}, s.Stand)
	assert.Equal(t, exposure.Third, s.Camera.Click)
	assert.Equal(t, "1/200", s.Camera.Sync.String())
	assert.Equal(t, "f/2.8", s.Lens.Wanted.String())
	assert.Equal(t, "1/80", s.Lens.Slowest.String(), "hand-held, 1/85 on the scale")
	assert.Equal(t, 1, s.Flash.Units)
	assert.Equal(t, sky.Stops(0.7), s.Flash.Unit.Derate)
	assert.Equal(t, "bare", s.Flash.Modifier.Name)
	assert.Nil(t, s.Scrim)
	assert.Empty(t, s.Filters)
	assert.Equal(t, shoot.Methods[:], s.Methods)
	assert.Equal(t, 6.0, s.Pace.FramesPerMinute)
}

func TestHandHeldFollowsFocalLengthAndCamera(t *testing.T) {
	for _, c := range []struct{ lens, camera, want string }{
		{"35", "full-frame-200", "1/30"}, // exactly 1/32
		{"50", "full-frame-200", "1/50"},
		{"85", "full-frame-200", "1/80"},
		{"135", "full-frame-200", "1/125"},
		{"400", "full-frame-200", "1/200"}, // the sync speed
		{"85", "crop-250", "1/90"},
		{"60", "crop-250", "1/60"},
	} {
		s := resolved(t, somewhere+"[camera]\nkit = '"+c.camera+"'\n[lens]\nfocal_length_mm = "+c.lens)
		assert.Equal(t, c.want, s.Lens.Slowest.String(), "%s mm on %s", c.lens, c.camera)
	}
}

// Every single fault, where it lies, and what its hint offers.
func TestFaults(t *testing.T) {
	for _, c := range []struct {
		name         string
		text         string // after the place, which takes four lines
		line, column int
		what, hint   string
	}{
		{"unknown section", "[pase]", 5, 2, "unknown key pase", "[pace]"},
		{"unknown key", "[lens]\nfocal_lenght_mm = 50", 6, 1, "unknown key lens.focal_lenght_mm", "focal_length_mm"},
		{"unknown key, nothing near", "[pace]\nxyzzy = 1", 6, 1, "unknown key pace.xyzzy",
			"the keys here are frames_per_minute"},
		{"unknown key in a list", "[[sky]]\ncondition = 'clear'\nmood = 1", 7, 1, "unknown key sky.mood",
			"the keys here"},
		{"unknown key inline", "lens = {focal_length_mm = 50, apertur = 2}", 5, 1, "unknown key place.lens", ""},
		{"key with an escape", "\"a\\u001b[31m\" = 1", 5, 1, `unknown key place."a\x1b[31m"`, ""},
		{"control character", "name = \"a\\u001b[31mb\"", 5, 1, "place.name holds the control character U+001B",
			`name = "ab"`},
		{"turned text", "name = \"a\\u202eb\"", 5, 1, "U+202E", `name = "ab"`},
		{"control character deep in a list", "[filters]\nkit = ['nd-3', \"\\u0000\"]", 6, 16, "U+0000", "leave it out"},
		{"newline in a name", "name = \"\"\"a\nb\"\"\"", 5, 1, "U+000A", ""},
		{"empty name", "name = ''", 5, 1, "place.name is empty", ""},
		{"infinite name", "name = '" + strings.Repeat("a", 300) + "'", 5, 1, "longer than 200", ""},

		{"elevation", "elevation_m = 9001", 5, 1, "place.elevation_m = 9001: must be -430 to 9000",
			"elevation_m = 9000"},
		{"elevation NaN", "elevation_m = nan", 5, 1, "place.elevation_m is not a number", "elevation_m = 0"},
		{"elevation Inf", "elevation_m = -inf", 5, 1, "must be -430 to 9000", "elevation_m = 0"},
		{"elevation of very many digits", "elevation_m = 1e300", 5, 1, "place.elevation_m = 1e+300: must be",
			"elevation_m = 9000"},
		{"text for a number", "elevation_m = '12'", 5, 1, "place.elevation_m is text; it must be a number",
			"elevation_m = 12"},
		{"list for a number", "elevation_m = [1]", 5, 1, "place.elevation_m is a list; it must be a number", ""},
		{"date for a number", "elevation_m = 2027-01-01", 5, 1, "is a date or time", ""},
		{"number for text", "name = 5", 5, 1, "place.name is a number; it must be text", `name = "a name"`},
		{"ground", "ground = 'gras'", 5, 1, `ground = "gras" is not known`, `ground = "grass"`},
		{"two grounds", "ground = 'grass'\nground_reflectance = 0.1", 6, 1, "cannot be combined with ground",
			"leave ground_reflectance out, or ground"},
		{"ground above one", "ground_reflectance = 1.01", 5, 1, "must be 0 to 1", "ground_reflectance = 1"},
		{"horizon of numbers", "horizon_deg = [1]", 5, 16, "[azimuth, altitude] pairs", ""},
		{"horizon pair", "horizon_deg = [[1, 2], [3]]", 5, 25, "[azimuth, altitude] pairs", "horizon_deg = "},
		{"horizon azimuth", "horizon_deg = [[1, 2], [360, 2]]", 5, 25, "azimuth 360: must be",
			"[0, 2] in place of [360, 2]"},
		{"horizon NaN", "horizon_deg = [[nan, 2]]", 5, 17, "azimuth NaN: must be", "[0, 2] in place of [NaN, 2]"},
		{"horizon altitude", "horizon_deg = [[1, 90]]", 5, 17, "altitude 90: must be", "[1, 89] in place of [1, 90]"},
		{"horizon twice", "horizon_deg = [[1, 2],\n  [1, 3]]", 6, 4, "azimuth 1 twice", "leave [1, 3] out"},

		{"date and time", "[when]\ndate = '2027-06-19T18:00'", 6, 1,
			`when.date = "2027-06-19T18:00" is not a date alone`, `date = "2027-06-19", and from = "18:00"`},
		{"date and time of TOML", "[when]\ndate = 2027-06-19T18:00:00", 6, 1, "is a date with a time of day",
			`date = "2027-06-19"`},
		{"date of no month", "[when]\ndate = '19 Juno 2027'", 6, 1, "is not a date", `date = "2027-05-03"`},
		{"date without a year", "[when]\ndate = '31 June'", 6, 1, "is not a date", `date = "2027-06-30"`},
		{"no day of the calendar", "[when]\ndate = '2027-02-30'", 6, 1, "is not a date", `date = "2027-02-28"`},
		{"date with the month first, or not", "[when]\ndate = '9/8/2027'", 6, 1, "may be either of two dates",
			`date = "2027-08-09" or "2027-09-08"`},
		{"year", "[when]\ndate = 1949-12-31", 6, 1, "must be 1950 to 2100", ""},
		{"year", "[when]\ndate = '2101-01-01'", 6, 1, "must be 1950 to 2100", ""},
		{"event", "[when]\nfrom = 'sunest-2h'", 6, 1, `when.from: "sunest" is not an event of the day`,
			`from = "sunset-2h"`},
		{"noon", "[when]\nfrom = 'noon'", 6, 1, "is not an event", `from = "12:00"`},
		{"clock", "[when]\nto = '24:30'", 6, 1, `"24:30" is not a clock time`, `to = "00:30"`},
		{"offset", "[when]\nto = 'sunset+13h'", 6, 1, `when.to: "+13h" is not an offset of up to 12h`,
			`to = "sunset+12h"`},
		{"number for an instant", "[when]\nto = 7", 6, 1, "when.to is a number; it must be a time of day",
			`to = "07:00"`},
		{"number with a point for an instant", "[when]\nfrom = 17.30", 6, 1, "when.from is a number", `from = "17:30"`},
		{"no number of an instant", "[when]\nfrom = 77.7", 6, 1, "when.from is a number", `from = "sunset-2h"`},
		{"time that clocks skip", "[when]\ndate = 2027-03-28\nfrom = '02:30'\nto = '05:00'", 7, 1,
			"when.from: clocks skip 02:30 on 2027-03-28: they go forward to 03:00", `from = "03:00"`},
		{"time that clocks skip after midnight", "[when]\ndate = 2027-03-27\nfrom = '22:00'\nto = '02:00'", 8, 1,
			"when.to: clocks skip 02:00 on 2027-03-28", `to = "03:00"`},
		{"from after to", "[when]\nfrom = '18:00'\nto = '17:00'", 7, 1, "ends before it begins", `to = "20:00"`},
		{"steps", "[when]\nfrom = '08:00'\nto = '18:00'\nstep_minutes = 0.1", 8, 1, "make 6001 moments",
			"step_minutes = 1"},
		{"step of nothing", "[when]\nstep_minutes = 0", 6, 1, "less than a second", "step_minutes = 15"},
		{"step of NaN", "[when]\nstep_minutes = nan", 6, 1, "is not a number", "step_minutes = 15"},
		{"step with a dash too many", "[when]\nstep_minutes = -20", 6, 1, "less than a second", "step_minutes = 20"},
		{"step of two days", "[when]\nstep_minutes = 2880", 6, 1, "must be 0 to 1440", ""},

		{"sky as a table", "[sky]\ncondition = 'clear'", 5, 2, "sky is a table; it must be a list", "[[sky]]"},
		{"sky as text", "[when]\n[lens]\n[camera]\n[[sky]]\ncondition = 'clera'", 9, 1, `unknown sky "clera"`,
			`condition = "clear"`},
		{"unknown sky", "[[sky]]\ncondition = 'sunny spells'", 6, 1, `unknown sky "sunny spells"`, "clear, hazy, thin"},
		{"two skies in one", "[[sky]]\ncondition = 'clear'\noktas = 3", 7, 1,
			"sky.oktas cannot be combined with condition", ""},
		{"sky of nothing", "[[sky]]", 5, 3, "says nothing of the sky", ""},
		{"oktas", "[[sky]]\noktas = 9", 6, 1, "must be 0 to 8", "oktas = 8"},
		{"turbidity", "[[sky]]\nturbidity = 0.5", 6, 1, "must be 1 to 10", "turbidity = 1"},
		{"first sky late", "[[sky]]\nfrom = '17:00'\noktas = 1", 6, 1, "the first [[sky]] begins at 17:00",
			"leave from out"},
		{"second sky without a time", "[[sky]]\noktas = 1\n[[sky]]\noktas = 2", 7, 3, "does not say when", ""},
		{"skies out of order",
			"[[sky]]\noktas = 1\n[[sky]]\nfrom = 'sunset'\noktas = 2\n[[sky]]\nfrom = 'sunset-1h'\noktas = 3",
			11, 1, "not after the one before", ""},

		{"facing", "[subject]\nfacing = 'up'", 6, 1, `subject.facing = "up" is not a direction`,
			"facing = 225, a point of the compass such as SW, or the side the sun is kept on: backlit, front, left or right"},
		{"facing", "[subject]\nfacing = 'baklit'", 6, 1, `subject.facing = "baklit" is not a direction`,
			`facing = "backlit"`},
		{"facing", "[subject]\nfacing = 361", 6, 1, "must be -180 to 360", "facing = 1"},
		{"facing", "[subject]\nfacing = -190", 6, 1, "must be -180 to 360", "facing = 170"},
		{"facing", "[subject]\nfacing = inf", 6, 1, "must be -180 to 360", "facing = 225"},
		{"facing", "[subject]\nfacing = nan", 6, 1, "must be -180 to 360", "facing = 225"},
		{"figure", "[subject]\nfigure = 'toes'", 6, 1, `figure = "toes" is not known`, `"full length"`},
		{"ratio below one", "[look]\nratio = 0.5", 6, 1, "look.ratio = 0.5: must be at least 1.1; below 1:1",
			"ratio = 1.1"},
		{"ratio of one", "[look]\nratio = 1", 6, 1,
			"look.ratio = 1: must be at least 1.1; toward 1:1 the fill would have to be infinite", "ratio = 1.1"},
		{"ratio", "[look]\nratio = 65", 6, 1, "must be 1.1 to 64", "ratio = 64"},
		{"ratio NaN", "[look]\nratio = nan", 6, 1, "look.ratio is not a number", "ratio = 3"},
		{"two looks", "[look]\nbackground_stops = 1\nbackground_at_most_stops = 3", 7, 1,
			"look.background_at_most_stops cannot be combined with background_stops",
			"leave background_at_most_stops out"},
		{"background", "[look]\nbackground_stops = -9", 6, 1, "must be -8 to 8", "background_stops = -8"},
		{"no limit of the background", "[look]\nbackground_at_most_stops = 'all'", 6, 1,
			"is text; it must be a number", "= 1.5"},
		{"flash angle", "[flash]\nangle_deg = 60", 6, 1, "flash.angle_deg = 60: must be -45 to 45", "angle_deg = 45"},
		{"flash side", "[flash]\nside = 'front'", 6, 1, `flash.side = "front" is not a side`,
			`side = "left" or "right"`},
		{"bias", "[look]\nbias_stops = 5.1", 6, 1, "must be -5 to 5", "bias_stops = 5"},

		{"camera", "[camera]\nkit = 'full-frame-250'", 6, 1, `unknown camera "full-frame-250"`,
			`kit = "full-frame-200"`},
		{"sync off the scale", "[camera]\nsync = '1/222'", 6, 1,
			`camera.sync = "1/222" is not on the camera's scale of third stops`, `sync = "1/200"`},
		{"sync of no kind", "[camera]\nsync = true", 6, 1, "camera.sync is true or false", ""},
		{"fastest slower than sync", "[camera]\nfastest = '1/100'", 6, 1,
			"the fastest time 1/100 is slower than the sync speed 1/200", `fastest = "1/4000"`},
		{"fastest slower than a fast sync", "[camera]\nsync = '1/8000'\nfastest = '1/100'", 7, 1,
			"is slower than the sync speed 1/8000", `fastest = "1/8000"`},
		{"sync faster than the camera", "[camera]\nkit = 'crop-250'\nsync = '1/8000'", 7, 1,
			"the fastest time 1/4000 is slower", `sync = "1/4000", or fastest = "1/8000"`},
		{"lowest ISO above the camera's", "[camera]\nlowest_iso = 12800", 6, 1,
			"the highest ISO 6400 lies below the lowest, 12800", "lowest_iso = 6400, or highest_iso = 12800"},
		{"ISO upside down", "[camera]\nlowest_iso = 800\nhighest_iso = 400", 7, 1,
			"the highest ISO 400 lies below the lowest, 800", "highest_iso = 800"},
		{"aperture the lens lacks", "[lens]\nwidest = 1.8\naperture = 1.4", 7, 1,
			"the lens has no f/1.4: it goes from f/1.8 to f/16", "aperture = 1.8"},
		{"aperture no lens is said to have", "[lens]\naperture = 1.4", 6, 1,
			"the lens has no f/1.4: it goes from f/2 to f/16", "aperture = 2, or widest = 1.4"},
		{"aperture too narrow", "[lens]\nnarrowest = 22\naperture = 32", 7, 1, "the lens has no f/32", "aperture = 22"},
		{"widest of no lens", "[lens]\nwidest = 1000", 6, 1, "is not on the camera's scale", "widest = 16"},
		{"narrowest of no lens", "[lens]\nnarrowest = 0.1", 6, 1, "is not on the camera's scale", "narrowest = 2"},
		{"aperture off the scale", "[lens]\naperture = 3", 6, 1,
			"lens.aperture = 3 is not on the camera's scale", "aperture = 3.2"},
		{"aperture of nothing", "[lens]\nwidest = 1.8\naperture = 0", 7, 1,
			"lens.aperture = 0 is not on the camera's scale", "aperture = 1.8"},
		{"aperture of a pinhole", "[lens]\naperture = 100", 6, 1, "is not on the camera's scale", "aperture = 16"},
		{"widest narrower than a lens is taken to be", "[lens]\nwidest = 22", 6, 1,
			"the narrowest aperture f/16 is wider than the widest, f/22", "widest = 16, or narrowest = 22"},
		{"narrowest wider than the widest", "[lens]\nwidest = 22\nnarrowest = 20", 7, 1,
			"is wider than the widest, f/22", "narrowest = 22"},
		{"lens upside down", "[lens]\nwidest = 16\nnarrowest = 2", 7, 1,
			"the narrowest aperture f/2 is wider than the widest", ""},
		{"slowest faster than sync", "[lens]\nslowest = '1/500'", 6, 1, "faster than the sync speed",
			`slowest = "1/200"`},

		{"flash", "[flash]\nkit = 'speedlite-60'", 6, 1, `unknown flash "speedlite-60"`, `kit = "speedlight-60"`},
		{"half a unit", "[flash]\nunits = 1.5", 6, 1, "flash.units = 1.5 is not a whole number", "units = 2"},
		{"no units", "[flash]\nunits = 0", 6, 1, "must be 1 to 12", "units = 1"},
		{"units Inf", "[flash]\nunits = inf", 6, 1, "must be 1 to 12", "units = 1"},
		{"distance", "[flash]\ndistance_m = 0.1", 6, 1, "must be 0.2 to 100", "distance_m = 0.2"},
		{"zoom", "[flash]\nzoom_mm = 300", 6, 1, "must be 20 to 200", "zoom_mm = 200"},
		{"zoom of a head without", "[flash]\nkit = 'strobe-400'\nzoom_mm = 50", 7, 1,
			`the flash "strobe-400" has no zoom`, "leave zoom_mm out"},
		{"modifier", "[flash]\nmodifier = 'umbrella'", 6, 1, `unknown modifier "umbrella"`, "umbrella"},
		{"gel", "[flash]\ngel = 'purple'", 6, 1, `unknown gel "purple"`, `gel = "none"; all are full-cto, half-cto`},
		{"scrim", "[scrim]\nkit = 'overhead'", 6, 1, `unknown scrim "overhead"`, `kit = "overhead-240x240"`},
		{"scrim without a name", "[scrim]\ndistance_m = 1", 5, 2, "scrim does not say which it is",
			`kit = "panel-120x180"`},
		{"scrim twice placed", "[scrim]\nkit = 'panel-120x180'\nheight_m = 1\ndistance_m = 1", 8, 1,
			"scrim.distance_m cannot be combined with height_m", ""},
		{"tilt of an aimed scrim", "[scrim]\nkit = 'panel-120x180'\ntilt_deg = 10", 7, 1,
			"scrim.tilt_deg is of a scrim overhead", "height_m = 1.5"},
		{"reflector", "[reflector]\nkit = 'white'", 6, 1, `unknown reflector "white"`, `kit = "white-100x100"`},
		{"reflector without a name", "[reflector]\ndistance_m = 1", 5, 2, "reflector does not say which it is",
			`kit = "white-100x100"`},
		{"reflector too near", "[reflector]\nkit = 'white-100x100'\ndistance_m = 0.1", 7, 1, "must be 0.3 to 20",
			"distance_m = 0.3"},
		{"reflector behind", "[reflector]\nkit = 'white-100x100'\nangle_deg = 90", 7, 1, "must be -80 to 80",
			"angle_deg = 80"},
		{"shade of no sky", "[shade]\nsky_share = 0", 6, 1, "must be 0.05 to 1", "sky_share = 0.05"},
		{"own reflector, surface", "[[kit.reflector]]\nname = 'a'\nwidth_m = 1\nlength_m = 1\nsurface = 'gold'", 9, 1,
			`surface = "gold" is neither white nor silver`, `surface = "white"`},
		{"own reflector, no surface", "[[kit.reflector]]\nname = 'a'\nwidth_m = 1\nlength_m = 1", 5, 3,
			`kit.reflector "a" has no surface`, `surface = "white"`},
		{"own reflector, gain of a white one",
			"[[kit.reflector]]\nname = 'a'\nwidth_m = 1\nlength_m = 1\nsurface = 'white'\ngain = 2", 10, 1,
			"gain is of a silver reflector", `surface = "silver"`},
		{"own reflector, gain",
			"[[kit.reflector]]\nname = 'a'\nwidth_m = 1\nlength_m = 1\nsurface = 'silver'\ngain = 1", 10, 1,
			"must be 1.01 to 20", "gain = 1.01"},
		{"filter", "[filters]\nkit = ['nd-3',\n 'nd-33']", 7, 2, `unknown filter "nd-33"`, "nd-10"},
		{"filter stops", "[filters]\nnd_stops = [3, 20]", 6, 16,
			"filters.nd_stops holds 20; it must be 0.1 to 15 stops", ""},
		{"filter text", "[filters]\nnd_stops = ['a']", 6, 13, "filters.nd_stops holds text", ""},
		{"filters no list", "[filters]\nnd_stops = 3", 6, 1, "filters.nd_stops is a number; it must be a list",
			"nd_stops = [3, 6]"},
		{"pace", "[pace]\nframes_per_minute = 0", 6, 1, "must be 0.1 to 600", ""},

		{"own flash without a guide number", "[[kit.flash]]\nname = 'a'", 5, 3, `kit.flash "a" has no guide number`, "guide_number_m"},
		{"own flash without a name", "[[kit.flash]]\nguide_number_m = 36\nguide_number_zoom_mm = 105", 5, 3, "a flash has no name", `name = "my-flash"`},
		{"own flash with both", "[[kit.flash]]\nname = 'a'\nguide_number_m = 36\nguide_numbers = [{zoom_mm = 50, number_m = 30}]", 8, 1, "guide_numbers cannot be combined with guide_number_m", ""},
		{"own flash at which zoom", "[[kit.flash]]\nname = 'a'\nguide_number_m = 43", 7, 1, "kit.flash.guide_number_m = 43 does not say at which zoom position", "guide_number_zoom_mm = 105"},
		{"own flash at no zoom", "[[kit.flash]]\nname = 'a'\nguide_number_m = 43\nguide_number_zoom_mm = 5", 8, 1, "kit.flash.guide_number_zoom_mm = 5 is no zoom position", "guide_number_zoom_mm = 0"},
		{"own flash beyond all zoom", "[[kit.flash]]\nname = 'a'\nguide_number_m = 43\nguide_number_zoom_mm = 700", 8, 1, "must be 0 to 600", "guide_number_zoom_mm = 600"},
		{"own flash, zoom of a table", "[[kit.flash]]\nname = 'a'\nguide_numbers = [{zoom_mm = 50, number_m = 30}]\nguide_number_zoom_mm = 105", 8, 1, "guide_number_zoom_mm cannot be combined with guide_numbers", ""},
		{"own flash, misspelt", "[[kit.flash]]\nname = 'a'\nguide_number_m = 43\nguide_number_zoom_mm = 105\nguide_numbrs = []", 9, 1, "unknown key kit.flash.guide_numbrs", "guide_numbers"},
		{"zoom beyond the one stated", "[flash]\nkit = 'a'\nzoom_mm = 135\n[[kit.flash]]\nname = 'a'\nguide_number_m = 43\nguide_number_zoom_mm = 105", 7, 1, "must be 24 to 105", "zoom_mm = 105"},
		{"own modifier, one side", "[[kit.modifier]]\nname = 'a'\nwidth_m = 0.6", 7, 1, `kit.modifier "a" has width_m and no length_m`, "length_m = 0.9"},
		{"own modifier, other side", "[[kit.modifier]]\nname = 'a'\nlength_m = 0.6", 7, 1, `kit.modifier "a" has length_m and no width_m`, "width_m = 0.9"},
		{"own modifier, round and not", "[[kit.modifier]]\nname = 'a'\nsize_m = 0.6\nwidth_m = 0.6\nlength_m = 0.9", 8, 1, "kit.modifier.width_m cannot be combined with size_m", ""},
		{"own scrim, straight share", "[[kit.scrim]]\nname = 'a'\nwidth_m = 1\nlength_m = 1\nloss_stops = 1\nstraight_share = 1.1", 10, 1, "must be 0 to 1", "straight_share = 1"},
		{"straight share", "[scrim]\nkit = 'panel-120x180'\nstraight_share = -0.1", 7, 1, "must be 0 to 1", "straight_share = 0"},
		{"zoom positions fall", "[[kit.flash]]\nname = 'a'\nguide_numbers = [{zoom_mm = 50, number_m = 30}, {zoom_mm = 24, number_m = 20}]", 7, 50, "zoom_mm = 24 comes after 50", "rising"},
		{"own kit twice", "[[kit.gel]]\nname = 'a'\nshift_mired = 1\n[[kit.gel]]\nname = 'a'\nshift_mired = 1", 9, 1, `two of kit.gel "a"`, ""},
		{"own kit called none", "[[kit.gel]]\nname = 'none'\nshift_mired = 1", 6, 1, "stands for carrying none", ""},
		{"own kit, unknown key", "[[kit.gel]]\nname = 'a'\nshift_mired = 1\nloss = 1", 8, 1, "unknown key kit.gel.loss", "loss_stops"},
		{"own kit, power", "[[kit.flash]]\nname = 'a'\nguide_numbers = [{zoom_mm = 105, number_m = 36}]\nlowest_power = '1/100'", 8, 1, "is not a power of a flash", "1/128"},
		{"own kit, steps", "[[kit.flash]]\nname = 'a'\nguide_numbers = [{zoom_mm = 105, number_m = 36}]\nsteps = 'tenth'", 8, 1, "is not a size of click", "third"},
	} {
		t.Run(c.name, func(t *testing.T) {
			faults := faultsOf(t, somewhere+c.text)
			require.Len(t, faults, 1, "%v", faults)
			f := faults[0]
			assert.Equal(t, "shoot.toml", f.File)
			assert.Equal(t, [2]int{c.line, c.column}, [2]int{f.Line, f.Column}, "%v", f)
			assert.Contains(t, f.What, c.what)
			assert.Contains(t, f.Hint, c.hint)
			assert.NotContains(t, f.Error()+f.Hint, "\x1b")
		})
	}
}

func TestFaultsOfPlaces(t *testing.T) {
	const berlin = "[place]\nlatitude_deg = 52\nlongitude_deg = 13\ntime_zone = "
	for _, c := range []struct {
		name, text   string
		line, column int
		what, hint   string
	}{
		{"latitude", "[place]\nlatitude_deg = 91\nlongitude_deg = 16", 2, 1,
			"place.latitude_deg = 91: must be -90 to 90", "latitude_deg = 90"},
		{"longitude", "[place]\nlatitude_deg = 9\nlongitude_deg = -180.5", 3, 1, "must be -180 to 180",
			"longitude_deg = -180"},
		{"latitude NaN", "[place]\nlatitude_deg = nan\nlongitude_deg = 16", 2, 1,
			"place.latitude_deg is not a number", ""},
		{"longitude Inf", "[place]\nlatitude_deg = 1\nlongitude_deg = inf", 3, 1, "must be -180 to 180", ""},
		{"no longitude", "[place]\nlatitude_deg = 1", 1, 2, "place has no longitude_deg", "--at"},
		{"place is text", "place = 'Vienna'", 1, 1, "place is text; it must be a table", "[place]"},
		{"unknown zone", berlin + "'Europe/Berln'", 4, 1, `unknown time zone "Europe/Berln"`,
			`time_zone = "Europe/Berlin"`},
		{"zone with two slashes", berlin + "'Europe//Berlin'", 4, 1, `unknown time zone "Europe//Berlin"`,
			`time_zone = "Europe/Berlin"`},
		{"zone with leap seconds", berlin + "'right/Europe/Berlin'", 4, 1, "unknown time zone",
			`time_zone = "Europe/Berlin"`},
		{"short zone", berlin + "'CEST'", 4, 1, `"CEST" is short for several time zones`,
			`time_zone = "Europe/Berlin"`},
		{"short zone that the database knows", berlin + "'EST'", 4, 1, `"EST" is short for several time zones`,
			`time_zone = "America/New_York"`},
		{"offset of no clock", berlin + "'UTC+15'", 4, 1, "unknown time zone", `time_zone = "UTC+1"`},
		{"zone without a continent", berlin + "'berlin'", 4, 1, `unknown time zone "berlin"`,
			`time_zone = "Europe/Berlin"`},
		{"zone of nowhere", berlin + "'Xqzzy/Vrumpf'", 4, 1, "unknown time zone", `time_zone = "UTC+1"`},
		{"empty zone is not UTC", berlin + "''", 4, 1, `unknown time zone ""`, "Europe/Berlin"},
		{"local zone", berlin + "'Local'", 4, 1, `unknown time zone "Local"`,
			`time_zone = "UTC+1", or a name such as Europe/Berlin`},
		{"zone outside its folder", berlin + "'../../etc/passwd'", 4, 1, "unknown time zone", ""},
		{"zone of a number", berlin + "2", 4, 1, "place.time_zone is a number", ""},
		{"zone hours off", "[place]\nlatitude_deg = -33.86\nlongitude_deg = 151.21\ntime_zone = 'Europe/Berlin'",
			4, 1, "more than two and a half hours from noon", `time_zone = "UTC+10"`},
		{"system zone hours off", "[place]\nlatitude_deg = 40\nlongitude_deg = -74", 3, 1,
			"the system has time zone Europe/Vienna", "--tz UTC-5"},
		{"skipped day", "[place]\nlatitude_deg = -13.83\nlongitude_deg = -171.77\ntime_zone = 'Pacific/Apia'\n[when]\ndate = 2011-12-30", 6, 1, "2011-12-30 does not exist", `date = "2011-12-31"`},
		{"polar day", "[place]\nlatitude_deg = 70\nlongitude_deg = 20\n[when]\ndate = 2027-06-20\nfrom = '21:00'\nto = 'sunset'", 7, 1,
			"when.to: 2027-06-20 has no sunset here: the sun does not set", `to = "23:00"`},
		{"polar night", "[place]\nlatitude_deg = 75\nlongitude_deg = 20\n[when]\ndate = 2027-12-20\nfrom = 'sunrise'\nto = '12:00'", 6, 1,
			"the sun does not rise", `from = "10:00"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			faults := faultsOf(t, c.text)
			require.Len(t, faults, 1, "%v", faults)
			f := faults[0]
			assert.Equal(t, [2]int{c.line, c.column}, [2]int{f.Line, f.Column}, "%v", f)
			assert.Contains(t, f.What, c.what)
			assert.Contains(t, f.Hint, c.hint)
		})
	}
	t.Run("empty", func(t *testing.T) {
		faults := faultsOf(t, "")
		require.Len(t, faults, 1)
		assert.Equal(t, "shoot.toml:1:1: the file is empty", faults[0].Error())
		assert.Equal(t, "evenfall new my-shoot.toml", faults[0].Hint)
		faults = faultsOf(t, "name = 'a'")
		require.Len(t, faults, 1)
		assert.Equal(t, "shoot.toml:1:1: the shoot has no place", faults[0].Error())
		assert.Contains(t, faults[0].Hint, "--at 54.33,10.15")
	})
	t.Run("polar day by default", func(t *testing.T) {
		faults := faultsOf(t, "[place]\nlatitude_deg = 70\nlongitude_deg = 20\n[when]\ndate = 2027-06-20")
		require.Len(t, faults, 2)
		assert.Equal(t, "shoot.toml:4:2: when.from: 2027-06-20 has no sunset here: the sun does not set",
			faults[0].Error())
		assert.Equal(t, "--from 20:00", faults[0].Hint)
		assert.Equal(t, "--to 22:00", faults[1].Hint)
	})
	t.Run("polar night by default", func(t *testing.T) {
		faults := faultsOf(t,
			"[place]\nlatitude_deg = 75\nlongitude_deg = 20\n[when]\ndate = 2027-12-20\nfrom = 'sunrise'\nto = 'sunset'")
		require.Len(t, faults, 2)
		assert.Equal(t, `from = "11:00"`, faults[0].Hint)
		assert.Equal(t, `to = "13:00"`, faults[1].Hint)
	})
}

// Texts that are no TOML give one fault, where the reading stopped.
func TestNoTOML(t *testing.T) {
	for _, c := range []struct {
		name, text   string
		line, column int
	}{
		{"table twice", somewhere + "[lens]\naperture = 2\n[lens]", 7, 2},
		{"key twice", somewhere + "latitude_deg = 3", 5, 1},
		{"table and list", "[[sky]]\n[sky]", 2, 2},
		{"open text", "name = \"a", 1, 8},
		{"raw control character", "name = \"a\x1b\"", 1, 10},
		{"bytes that are no UTF-8", "name = 'a\xff'", 1, 10},
		{"after other letters", "name = 'äöü' x", 1, 14},
		{"two keys in a line", "a = 1 b = 2", 1, 7},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Parse("shoot.toml", []byte(c.text))
			var faults Faults
			require.True(t, errors.As(err, &faults), "%v", err)
			require.Len(t, faults, 1)
			t.Log(faults)
			assert.Equal(t, c.line, faults[0].Line)
			assert.InDelta(t, c.column, faults[0].Column, 1)
			assert.NotContains(t, faults.Error(), "\x1b")
		})
	}
}

func TestFileTooLarge(t *testing.T) {
	text := somewhere + strings.Repeat("#", LargestFile)
	_, err := Parse("shoot.toml", []byte(text))
	assert.ErrorContains(t, err, "is longer than 65536 bytes")
	_, err = Parse("shoot.toml", []byte(text[:LargestFile]))
	assert.NoError(t, err)
}

// Files made to be costly are answered like any other.
func TestCostlyFiles(t *testing.T) {
	for name, text := range map[string]string{
		"deep keys":   strings.Repeat("a.", 100_000) + "b = 1",
		"deep lists":  "a = " + strings.Repeat("[", 9_000) + strings.Repeat("]", 9_000),
		"many keys":   "[place]\n" + manyKeys(5_000),
		"many tables": strings.Repeat("[[sky]]\noktas = 1\n", 20_000),
	} {
		start := time.Now()
		faults := faultsOf(t, text)
		t.Logf("%s: %d faults in %v", name, len(faults), time.Since(start).Round(time.Millisecond))
	}
}

func manyKeys(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString("k")
		b.WriteString(strings.Repeat("x", i%5))
		b.WriteString(plain(float64(i)))
		b.WriteString(" = 1\n")
	}
	return b.String()
}

// All that is wrong with a file is said at once, in the file's order.
func TestAllFaultsAtOnce(t *testing.T) {
	const text = `nmae = "x"
methods = ["sync", "hhs"]
[place]
latitude_deg = 91
longitude_deg = "10"
time_zone = "Berlin"
[when]
date = "1927-02-03"
from = "sunest-2h"
[[sky]]
condition = "clera"
[[sky]]
from = "18:00"
oktas = 9
[look]
ratio = 0.5
[camera]
kit = "full-frame-250"
[lens]
aperture = 1.4
[flash]
units = true
[pase]
`
	var got []string
	for _, f := range faultsOf(t, text) {
		got = append(got, f.Error()+" | "+f.Hint)
	}
	assert.Equal(t, []string{
		`shoot.toml:1:1: unknown key nmae | name`,
		`shoot.toml:2:20: unknown method "hhs" | hss`,
		`shoot.toml:4:1: place.latitude_deg = 91: must be -90 to 90 | latitude_deg = 90`,
		`shoot.toml:5:1: place.longitude_deg is text; it must be a number | longitude_deg = 10`,
		`shoot.toml:6:1: unknown time zone "Berlin" | time_zone = "Europe/Berlin"`,
		`shoot.toml:8:1: when.date = 1927-02-03: must be 1950 to 2100, the years that the sun's position is stated for | date = "2027-05-03"`,
		`shoot.toml:9:1: when.from: "sunest" is not an event of the day | from = "sunset-2h"`,
		`shoot.toml:11:1: unknown sky "clera" | condition = "clear"`,
		`shoot.toml:14:1: sky.oktas = 9: must be 0 to 8 | oktas = 8`,
		`shoot.toml:16:1: look.ratio = 0.5: must be at least 1.1; below 1:1 the fill would be brighter than the key and fill together | ratio = 1.1`,
		`shoot.toml:18:1: unknown camera "full-frame-250" | kit = "full-frame-200"`,
		`shoot.toml:20:1: the lens has no f/1.4: it goes from f/2 to f/16 | aperture = 2, or widest = 1.4`,
		`shoot.toml:22:1: flash.units = true is not a whole number | units = 1`,
		`shoot.toml:23:2: unknown key pase | [pace]`,
	}, got)
}

// Columns count characters, as editors do, and not bytes.
func TestColumnsCountCharacters(t *testing.T) {
	faults := faultsOf(t, somewhere+`flash = {modifier = "größer", units = 99}`)
	require.NotEmpty(t, faults)
	faults = faultsOf(t, `flash = {modifier = "größer", units = 99}`+"\n"+somewhere)
	require.Len(t, faults, 2)
	assert.Equal(t, 10, faults[0].Column)
	assert.Equal(t, 31, faults[1].Column)
}

func TestFilesOfOtherSystems(t *testing.T) {
	s := resolved(t, "\ufeff"+strings.ReplaceAll(somewhere+"[look]\nratio = 4\n", "\n", "\r\n"))
	assert.Equal(t, 4.0, s.Look.Ratio)
	faults := faultsOf(t, strings.ReplaceAll(somewhere+"[look]\nratio = 0\n", "\n", "\r\n"))
	assert.Equal(t, [2]int{6, 1}, [2]int{faults[0].Line, faults[0].Column})
}

func TestFaultText(t *testing.T) {
	assert.Equal(t, "a.toml:2:3: wrong", Fault{File: "a.toml", Line: 2, Column: 3, What: "wrong"}.Error())
	assert.Equal(t, `"a\x1b.toml": wrong`, Fault{File: "a\x1b.toml", What: "wrong"}.Error())
	assert.Equal(t, "--ratio: wrong", Fault{Flag: "ratio", What: "wrong"}.Error())
	assert.Equal(t, "wrong", Fault{What: "wrong"}.Error())
	assert.Equal(t, "a: one\nhint: do\n--b: two", Faults{{File: "a", What: "one", Hint: "do"}, {Flag: "b",
		What: "two"}}.Error())
}

func TestDemo(t *testing.T) {
	d, err := Demo()
	require.NoError(t, err)
	s, err := d.Resolve(Environment{Today: shoot.Date{Year: 2030, Month: time.January, Day: 1}, Zones: time.LoadLocation})
	require.NoError(t, err)
	assert.Equal(t, "Harbour wall", s.Name)
	assert.Equal(t, shoot.Date{Year: 2027, Month: time.September, Day: 18}, s.When.Date)
	assert.Equal(t, shoot.Look{Kind: shoot.RatioLook, Ratio: 3, AtMost: 1.5}, s.Look)
	assert.Equal(t, shoot.FlashPlace{}, s.Stand)
	assert.Equal(t, 2, s.Flash.Units)
	assert.Equal(t, 60.0, guideAt(s.Flash.Unit, 200))
	assert.Equal(t, "f/2.8", s.Lens.Wanted.String())
	assert.Equal(t, sky.Stops(1), s.Scrim.Loss)
	assert.Equal(t, []shoot.Filter{{Name: "3-stop ND", Loss: 3}, {Name: "6-stop ND", Loss: 6}}, s.Filters)
	assert.Equal(t, shoot.Methods[:], s.Methods)
	assert.Equal(t, string(demoText), string(DemoFile()))
}

func TestExamples(t *testing.T) {
	files, err := filepath.Glob("../../examples/*.toml")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 4)
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			d, err := Parse(filepath.Base(file), data)
			require.NoError(t, err)
			s, err := d.Resolve(Environment{Today: shoot.Date{Year: 2030, Month: time.January, Day: 1}, Zones: time.LoadLocation})
			require.NoError(t, err)
			day := s.Observer().Day(s.When.Date.Year, s.When.Date.Month, s.When.Date.Day, s.Place.Zone)
			from, to, err := s.Window(day)
			require.NoError(t, err)
			t.Logf("%s: %s to %s, %s", s.Name, from.Format("Jan 2 15:04 MST"), to.Format("Jan 2 15:04"),
				s.ConditionAt(to, day))
			sane(t, s)
		})
	}
}

func BenchmarkParseAndResolve(b *testing.B) {
	env := environment(b)
	for b.Loop() {
		d, err := Demo()
		if err != nil {
			b.Fatal(err)
		}
		if _, err := d.Resolve(env); err != nil {
			b.Fatal(err)
		}
	}
}

func TestZoneAssumed(t *testing.T) {
	const place = "[place]\nlatitude_deg = 48.2\nlongitude_deg = 16.37\n"
	for _, c := range []struct {
		name, file, zone string
		flags            [2]string
		assumed          bool
	}{
		{"nobody says", place, "Europe/Vienna", [2]string{}, true},
		{"the file says", place + "time_zone = \"Europe/Vienna\"\n", "Europe/Vienna", [2]string{}, false},
		{"the flag says", place, "Europe/Berlin", [2]string{"tz", "Europe/Berlin"}, false},
		{"moved from the file's place", place + "time_zone = \"Europe/Berlin\"\n", "Europe/Vienna",
			[2]string{"at", "48,16"}, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, err := Parse("shoot.toml", []byte(c.file))
			require.NoError(t, err)
			if c.flags[0] != "" {
				d.Set(c.flags[0], c.flags[1])
			}
			s, err := d.Resolve(environment(t))
			require.NoError(t, err)
			assert.Equal(t, c.zone, s.Place.Zone.String())
			assert.Equal(t, c.assumed, s.Place.ZoneAssumed)
		})
	}
}
