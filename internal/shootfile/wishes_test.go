package shootfile

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// search resolves a text for a search over dates.
func search(t testing.TB, text string) (shoot.Wishes, error) {
	d, err := Parse("shoot.toml", []byte(text))
	require.NoError(t, err)
	_, w, err := d.ResolveSearch(environment(t))
	return w, err
}

// searchBy resolves a place and flags for a search over dates.
func searchBy(t testing.TB, flags ...string) (shoot.Wishes, error) {
	d := Defaults()
	d.Set("at", "48.2,16.37")
	d.Set("tz", "Europe/Vienna")
	for i := 0; i < len(flags); i += 2 {
		d.Set(flags[i], flags[i+1])
	}
	_, w, err := d.ResolveSearch(environment(t))
	return w, err
}

// heeded checks that a search is refused, and that the hint of each fault is a
// flag with which it is not.
func heeded(t *testing.T, flag, value string) {
	_, err := searchBy(t, flag, value)
	var faults Faults
	if !assert.True(t, errors.As(err, &faults), "--%s %q: %v", flag, value, err) {
		return
	}
	require.Len(t, faults, 1, "--%s %q", flag, value)
	f := faults[0]
	t.Logf("%v\n  %s", f, f.Hint)
	assert.Equal(t, flag, f.Flag)
	first, _, _ := strings.Cut(f.Hint, " or ")
	typed, ok := strings.CutPrefix(first, "--"+flag)
	require.True(t, ok, "%q: %s", value, f.Hint)
	typed = strings.Trim(strings.TrimSpace(typed), "'")
	if k, _ := flagKey(flag); k.Switch && typed == "" {
		typed = "true"
	}
	_, err = searchBy(t, flag, typed)
	assert.NoError(t, err, "--%s %q, heeded", flag, value)
}

// Today is 3 May 2027, a Monday.
func TestDates(t *testing.T) {
	for text, want := range map[string]string{
		"2027-05-01..2027-05-31": "2027-05-01..2027-05-31", "2027-05": "2027-05-01..2027-05-31",
		"2028-02": "2028-02-01..2028-02-29",
		"2027":    "2027-01-01..2027-12-31", "May 2027": "2027-05-01..2027-05-31", "may 2027": "2027-05-01..2027-05-31",
		"2027 May": "2027-05-01..2027-05-31", "Sept 2027": "2027-09-01..2027-09-30",
		"05/2027": "2027-05-01..2027-05-31",
		"5.2027":  "2027-05-01..2027-05-31", "2027-05-14": "2027-05-14", "14 May 2027": "2027-05-14",
		"14.5.2027":        "2027-05-14",
		"2027-05..2027-07": "2027-05-01..2027-07-31", "2027..2029": "2027-01-01..2029-12-31",
		"1 to 15 May 2027": "2027-05-01..2027-05-15", "1..15 May 2027": "2027-05-01..2027-05-15",
		"May..July 2027": "2027-05-01..2027-07-31", "1 May..15 June 2028": "2028-05-01..2028-06-15",
		"2027-05-01..31": "2027-05-01..2027-05-31", "2027-05-01..06-15": "2027-05-01..2027-06-15",
		"2027-05..08": "2027-05-01..2027-08-31", "1 Dec 2027..15 Jan": "2027-12-01..2028-01-15",
		"2027-05-01 - 2027-05-31": "2027-05-01..2027-05-31", "2027-05-01 … 2027-05-31": "2027-05-01..2027-05-31",
		"2027-05-01–2027-05-31": "2027-05-01..2027-05-31", "2027-05-01 until 2027-06-15": "2027-05-01..2027-06-15",
		"today": "2027-05-03", "tomorrow..2027-06-01": "2027-05-04..2027-06-01",
		"today..Sunday": "2027-05-03..2027-05-09",
		"June":          "2027-06-01..2027-06-30", "May": "2027-05-03..2027-05-31", "April": "2028-04-01..2028-04-30",
		"June..August": "2027-06-01..2027-08-31", "Saturday": "2027-05-08", "12 June": "2027-06-12",
		"12 April":   "2028-04-12",
		"1950..2049": "1950-01-01..2049-12-31", "2100": "2100-01-01..2100-12-31",
		"2001-01-01..2100-12-31": "2001-01-01..2100-12-31",
	} {
		w, err := searchBy(t, "dates", text)
		if assert.NoError(t, err, text) {
			assert.Equal(t, want, w.Dates.String(), text)
		}
	}
	w, err := searchBy(t)
	require.NoError(t, err)
	assert.Equal(t, "2027-05-03..2028-05-01", w.Dates.String(), "a year from today on")
	assert.Equal(t, 30*time.Minute, w.AtLeast)
}

func TestDatesRefused(t *testing.T) {
	for _, text := range []string{
		"", "soon", "2027-13", "2027-02-30", "2027-05-01..", "..2027-05-01", "2027-05-31..2027-05-01", "1900",
		"1949..1951", "2099..2105",
		"1950..2100", "1990-06-01..2090-06-01", "2027-05-01..2027-02-30", "2027-00..2027-05", "05/06/2027",
		"2027-05-01..06/07/2027",
		"May..Jun..Jul", "2027-05-01..later", "sooner..2027-05-01", "..", "0000", "9999", "1.1.1900..5.5.1910",
	} {
		heeded(t, "dates", text)
	}
}

// A clock that nobody has set names the flag.
func TestDatesFromAClockThatIsWrong(t *testing.T) {
	d, err := Parse("shoot.toml", []byte(somewhere))
	require.NoError(t, err)
	env := environment(t)
	env.Today = shoot.Date{Year: 1900, Month: time.January, Day: 1}
	_, _, err = d.ResolveSearch(env)
	assert.ErrorContains(t, err, "--dates is not given")
	d.Set("dates", "2027")
	_, _, err = d.ResolveSearch(env)
	assert.NoError(t, err)
}

func TestDaysOfTheWeek(t *testing.T) {
	const sat, sun = time.Saturday, time.Sunday
	for text, want := range map[string][]time.Weekday{
		"sat,sun": {sat, sun}, "sun, Sat": {sat, sun}, "weekend": {sat, sun}, "Weekends": {sat, sun},
		"saturday":  {sat},
		"Saturdays": {sat}, "fri-sun": {time.Friday, sat, sun}, "fri..sun": {time.Friday, sat, sun},
		"tues,thurs": {time.Tuesday, time.Thursday},
		"weekdays":   {time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday},
		"sun-mon":    {time.Monday, sun},
		"mon-sun":    nil, "weekday,weekend": nil, "mo,mo": {time.Monday},
	} {
		w, err := searchBy(t, "on", text)
		require.NoError(t, err, text)
		assert.Equal(t, want, w.On, text)
	}
	for _, text := range []string{"", "satuday", "s", "sat,,sun", "2027", "sat sun", "mon-xyz", "someday"} {
		heeded(t, "on", text)
	}
}

func TestHoursBetween(t *testing.T) {
	for text, want := range map[string]string{
		"15:00..21:30": "15:00..21:30", "15:00-21:30": "15:00..21:30", "3pm to 9:30 pm": "15:00..21:30",
		"3pm-9pm":               "15:00..21:00",
		"sunset-2h..sunset+20m": "sunset-2h..sunset+20m", "sunset - 2h .. sunset + 20 min": "sunset-2h..sunset+20m",
		"22:00..01:00": "22:00..01:00", "sunrise..10:00": "sunrise..10:00", "15:00 – 21:30": "15:00..21:30",
		"morning-golden-hour-begins..golden-hour-ends": "morning-golden-hour-begins..golden-hour-ends",
		"sunset-2h...sunset":                           "sunset-2h..sunset",
	} {
		w, err := searchBy(t, "between", text)
		if assert.NoError(t, err, text) {
			assert.Equal(t, want, w.Between.String(), text)
		}
	}
	for _, text := range []string{"", "15:00", "15", "15..21", "sunset", "sunset+11h", "sunset..sunset-2h",
		"15:00..15:00", "15:00..14:00",
		"sunset..sunset", "25:00..26:00", "15:00..", "..21:30", "noon..sunset", "sunste..21:00", "evening",
		"sunset-13h..sunset"} {
		heeded(t, "between", text)
	}
}

func TestShortestWindow(t *testing.T) {
	for text, want := range map[string]time.Duration{
		"45m": 45 * time.Minute, "2h": 2 * time.Hour, "1h30m": 90 * time.Minute, "45 min": 45 * time.Minute,
		"2 hours":           2 * time.Hour,
		"1 hour 30 minutes": 90 * time.Minute, "45": 45 * time.Minute, "1m": time.Minute, "24h": 24 * time.Hour,
	} {
		w, err := searchBy(t, "at-least", text)
		require.NoError(t, err, text)
		assert.Equal(t, want, w.AtLeast, text)
	}
	for _, text := range []string{"", "0", "25h", "-2h", "long", "1:30:00", "30s"} {
		heeded(t, "at-least", text)
	}
}

func TestNamedLight(t *testing.T) {
	for text, want := range map[string]shoot.NamedLight{
		"golden-hour": shoot.GoldenHour, "Golden hour": shoot.GoldenHour, "last_light": shoot.LastLight,
		"blue-hour": shoot.BlueHour,
	} {
		w, err := searchBy(t, "light", text)
		require.NoError(t, err, text)
		assert.Equal(t, want, w.Light, text)
	}
	for _, text := range []string{"", "golden", "green", "last"} {
		heeded(t, "light", text)
	}
}

func TestSunAltitude(t *testing.T) {
	for text, want := range map[string][2]float64{
		"-4..6": {-4, 6}, "2..10": {2, 10}, "2-10": {2, 10}, "-4 to 6": {-4, 6}, "-4°..6°": {-4, 6},
		"..6": {-90, 6}, "6..": {6, 90},
		"\u22124..6": {-4, 6}, "0.5..1.5": {0.5, 1.5}, "-6..-4": {-6, -4},
	} {
		w, err := searchBy(t, "sun-altitude", text)
		if assert.NoError(t, err, text) {
			assert.InDelta(t, want[0], w.SunAltitude.Low.Degrees(), 1e-9, text)
			assert.InDelta(t, want[1], w.SunAltitude.High.Degrees(), 1e-9, text)
		}
	}
	for _, text := range []string{"", "6", "-6", "90", "low", "6..2", "6..6", "80..100", "-100..-95", "95..99",
		"a..6", "..", "1,5..6"} {
		heeded(t, "sun-altitude", text)
	}
}

func TestSunAzimuth(t *testing.T) {
	for text, want := range map[string][2]float64{
		"225..270": {225, 270}, "SW..W": {225, 270}, "225-270": {225, 270}, "south-west to west": {225, 270},
		"350..10": {350, 10},
		"-10..10": {350, 10}, "NNW..NNE": {337.5, 22.5}, "180°..270°": {180, 270}, "270..360": {270, 0},
	} {
		w, err := searchBy(t, "sun-azimuth", text)
		if assert.NoError(t, err, text) {
			assert.InDelta(t, want[0], w.SunAzimuth.Low.Degrees(), 1e-9, text)
			assert.InDelta(t, want[1], w.SunAzimuth.High.Degrees(), 1e-9, text)
		}
	}
	for _, text := range []string{"", "SW", "225", "0..360", "400..500", "225..", "x..W", "N..N", "9e99",
		"-200..10"} {
		heeded(t, "sun-azimuth", text)
	}
}

func TestSunFrom(t *testing.T) {
	for text, want := range map[string][]string{
		"back": {"back"}, "back-left,back": {"back-left", "back"}, "Back left": {"back-left"},
		"backlit": {"back-left", "back", "back-right"}, "left, backlit": {"left", "back-left", "back", "back-right"},
	} {
		w, err := searchBy(t, "sun-from", text)
		require.NoError(t, err, text)
		assert.Equal(t, want, w.SunFrom, text)
	}
	for _, text := range []string{"", "behind", "bcak", "SW", "back;left"} {
		heeded(t, "sun-from", text)
	}
}

func TestSwitchesAndStops(t *testing.T) {
	w, err := searchBy(t, "held", "true", "sun-visible", "true", "keep-aperture", "yes", "headroom", "0.7")
	require.NoError(t, err)
	assert.True(t, w.Held && w.SunVisible && w.KeepAperture)
	assert.Equal(t, sky.Stops(0.7), w.Headroom)
	w, err = searchBy(t, "held", "false")
	require.NoError(t, err)
	assert.False(t, w.Held)
	for _, pair := range [][2]string{{"held", "maybe"}, {"held", ""}, {"headroom", "-1"}, {"headroom", "9"},
		{"headroom", "0,7"},
		{"headroom", "much"}} {
		heeded(t, pair[0], pair[1])
	}
}

func TestOdds(t *testing.T) {
	clear, broken, overcast := sky.Described(sky.Clear), sky.Described(sky.Broken), sky.Described(sky.Overcast)
	for text, want := range map[string][]shoot.Odds{
		"clear=40,broken=30,overcast=30": {{Condition: clear, Share: .4}, {Condition: broken,
			Share: .3}, {Condition: overcast, Share: .3}},
		"overcast=30%, Clear = 40 %, broken=30 %": {{Condition: clear, Share: .4}, {Condition: broken,
			Share: .3}, {Condition: overcast, Share: .3}},
		"clear=0.4,broken=0.6": {{Condition: clear, Share: .4}, {Condition: broken, Share: .6}},
		"clear=100":            {{Condition: clear, Share: 1}},
		"clear=1":              {{Condition: clear, Share: 1}},
		"clear=100,broken=0":   {{Condition: clear, Share: 1}},
		"clear=33,broken=33,overcast=33": {{Condition: clear, Share: 1. / 3}, {Condition: broken,
			Share: 1. / 3}, {Condition: overcast, Share: 1. / 3}},
	} {
		w, err := searchBy(t, "odds", text)
		require.NoError(t, err, text)
		require.Len(t, w.Odds, len(want), text)
		for i, one := range want {
			assert.Equal(t, one.Condition, w.Odds[i].Condition, text)
			assert.InDelta(t, one.Share, w.Odds[i].Share, 1e-12, text)
		}
	}
	for _, text := range []string{"", "clear", "clear=", "clear=40", "clear=40,broken=40",
		"clear=60,broken=60,overcast=7", "clear=0",
		"clear=-1,broken=101", "clear=50,clear=50", "sunny=50,broken=50", "clera=50,broken=50",
		"clear=x,broken=60", ",", "0.5", "clear=1e5"} {
		heeded(t, "odds", text)
	}
	// What no condition is like is not left out of the hint: its share counts too.
	_, err := searchBy(t, "odds", "clear=60,foggy=40")
	assert.ErrorContains(t, err, "hint: --odds clear=60,hazy=40")
	for _, sky := range []string{"sky", "okta", "turbidity"} {
		_, err = searchBy(t, "odds", "clear=60,hazy=40", sky, "3")
		assert.ErrorContains(t, err, "--"+sky+" cannot be combined with --odds")
	}
	_, err = searchBy(t, "odds", "clear=40,broken=30,overcast=20")
	assert.ErrorContains(t, err, "the odds add up to 90, not to 100")
	// Of 44.4, 33.3 and 22.2 the largest remainder is rounded up.
	assert.ErrorContains(t, err, "hint: --odds clear=45,broken=33,overcast=22")
}

// The same in a file as by flags, and lists and tables besides.
func TestScheduleSection(t *testing.T) {
	want, err := searchBy(t, "dates", "2027-05", "on", "weekend", "between", "15:00..21:30", "at-least", "45m",
		"light", "golden-hour",
		"sun-altitude", "-4..6", "sun-azimuth", "SW..W", "sun-from", "backlit", "sun-visible", "true", "held",
		"true", "headroom", "0.7",
		"keep-aperture", "true", "odds", "clear=40,broken=60")
	require.NoError(t, err)
	for _, lists := range []bool{false, true} {
		text := "[schedule]\ndates = '2027-05'\nbetween = '15:00..21:30'\nat_least_minutes = 45\nlight = 'golden-hour'\n" +
			"sun_visible = true\nheld = true\nheadroom_stops = 0.7\nkeep_aperture = true\n"
		if lists {
			text += "on = ['sat', 'sun']\nsun_altitude_deg = [-4, 6]\nsun_azimuth_deg = ['SW', 270]\n" +
				"sun_from = ['back-left', 'back', 'back-right']\nodds = {clear = 40, broken = 60}\n"
		} else {
			text += "on = 'weekend'\nsun_altitude_deg = '-4..6'\nsun_azimuth_deg = 'SW..W'\nsun_from = 'backlit'\n" +
				"odds = 'clear=40,broken=60'\n"
		}
		got, err := search(t, somewhere+text)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	w, err := search(t, somewhere+"[schedule]\ndates = 2027-05-14\n")
	require.NoError(t, err)
	assert.Equal(t, "2027-05-14", w.Dates.String())
	w, err = search(t, somewhere+"[schedule]\ndates = 2027\n")
	require.NoError(t, err)
	assert.Equal(t, "2027-01-01..2027-12-31", w.Dates.String())
}

// A flag takes the place of the file's value.
func TestWishesByFlagOverFile(t *testing.T) {
	d, err := Parse("shoot.toml",
		[]byte(somewhere+"[schedule]\ndates = '2027-05'\nodds = {clear = 100}\nforecast = [{time = '2027-05-01 15:00', oktas = 3}]\n"))
	require.NoError(t, err)
	d.Set("dates", "2027-06")
	d.Set("odds", "broken=100")
	d.SetForecast("cloud.csv", []byte("2027-06-01 15:00,5\n"))
	_, w, err := d.ResolveSearch(environment(t))
	require.NoError(t, err)
	assert.Equal(t, "2027-06-01..2027-06-30", w.Dates.String())
	assert.Equal(t, []shoot.Odds{{Condition: sky.Described(sky.Broken), Share: 1}}, w.Odds)
	require.Len(t, w.Forecast, 1)
	assert.Equal(t, 5., w.Forecast[0].Oktas)
}

// All faults come together, each at its place, and unknown keys are faults.
func TestScheduleFaults(t *testing.T) {
	text := somewhere + "[schedule]\n" + // line 5
		"dates = 'whenever'\non = ['sat', 3]\nbetween = 17\nat_least_minutes = 'x'\nlight = 1\nsun_altitude_deg = 6\n" +
		"sun_azimuth_deg = ['SW', 'x']\nsun_from = 'behind'\nheld = 1\nodds = 7\nforecast = 'cloud.csv'\nwhen = 1\n"
	_, err := search(t, text)
	var faults Faults
	require.ErrorAs(t, err, &faults)
	var lines []int
	for _, f := range faults {
		lines = append(lines, f.Line)
		assert.Equal(t, "shoot.toml", f.File)
		assert.NotEmpty(t, f.Hint)
	}
	assert.Equal(t, []int{6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17}, lines, "%v", faults)
	// A plan of the shoot's own day looks at the keys alone.
	faults = faultsOf(t, text)
	require.Len(t, faults, 1)
	assert.Equal(t, "unknown key schedule.when", faults[0].What)
}

// What the shoot's own day does not have is no fault of a search.
func TestSearchLeavesTheShootsOwnDay(t *testing.T) {
	north := "[place]\nlatitude_deg = 69.65\nlongitude_deg = 18.96\ntime_zone = 'Europe/Oslo'\n[when]\ndate = 2027-06-21\n" +
		"[schedule]\ndates = '2027-09'\n"
	assert.NotEmpty(t, faultsOf(t, north))
	d, err := Parse("shoot.toml", []byte(north))
	require.NoError(t, err)
	s, w, err := d.ResolveSearch(environment(t))
	require.NoError(t, err)
	assert.Equal(t, w.Dates.First, s.When.Date)
	_, err = search(t, strings.Replace(north, "Europe/Oslo", "Asia/Tokyo", 1))
	assert.ErrorContains(t, err, "this cannot be time zone Asia/Tokyo", "but a wrong zone is")
}

func TestForecast(t *testing.T) {
	vienna := zone(t, "Europe/Vienna")
	at := func(day, hour, minute int) time.Time {
		return time.Date(2027, time.May, day, hour, minute, 0, 0, vienna)
	}
	for name, text := range map[string]string{
		"plain":                "2027-05-01 15:00,3\n2027-05-01 16:00,6.5\n",
		"out of order":         "2027-05-01 16:00,6.5\n2027-05-01 15:00,3",
		"a header":             "time,oktas\n2027-05-01 15:00,3\n2027-05-01 16:00,6.5\n",
		"other columns":        "place,Oktas,TIME\nquay,3,2027-05-01 15:00\nquay,6.5,2027-05-01 16:00\n",
		"semicolons":           "2027-05-01T15:00;3\n2027-05-01T16:00:00;6.5\n",
		"tabs":                 "2027-05-01 15:00\t3\n2027-05-01 16:00\t6.5\n",
		"comments, line ends":  "\ufeff# by hand\r\n\r\n2027-05-01 15:00, 3\r\n2027-05-01 16:00, 6.5\r\n",
		"offsets":              "2027-05-01T15:00:00+02:00,3\n2027-05-01T14:00:00Z,6.5\n",
		"quotes and no minute": "\"2027-05-01 15:00\",\"3\"\n\"2027-05-01 16:00\",\"6.5\"\n",
	} {
		f, err := forecastOf("cloud.csv", []byte(text), vienna)
		require.NoError(t, err, name)
		require.Len(t, f, 2, name)
		assert.True(t, f[0].Time.Equal(at(1, 15, 0)), name)
		assert.True(t, f[1].Time.Equal(at(1, 16, 0)), name)
		assert.Equal(t, []float64{3, 6.5}, []float64{f[0].Oktas, f[1].Oktas}, name)
	}
	oktas, ok := shoot.Forecast{{Time: at(1, 15, 0), Oktas: 3}, {Time: at(1, 16, 0), Oktas: 6}}.At(at(1, 15, 59))
	assert.True(t, ok)
	assert.Equal(t, 3., oktas)
	for _, list := range []string{
		"[schedule]\nforecast = [{time = '2027-05-01 15:00', oktas = 3}, {time = 2027-05-01T16:00:00+02:00, oktas = 6.5}]\n",
		"[[schedule.forecast]]\ntime = 2027-05-01 16:00:00\noktas = 6.5\n[[schedule.forecast]]\ntime = '2027-05-01 15:00'\noktas = 3\n",
	} {
		w, err := search(t, somewhere+list)
		require.NoError(t, err)
		require.Len(t, w.Forecast, 2)
		assert.True(t, w.Forecast[0].Time.Equal(at(1, 15, 0)))
		assert.True(t, w.Forecast[1].Time.Equal(at(1, 16, 0)))
	}
}

// The hint of a line is the line to write instead.
func TestForecastRefused(t *testing.T) {
	vienna := zone(t, "Europe/Vienna")
	for _, line := range []string{
		"2027-05-01 15:00,9", "2027-05-01 15:00,75", "2027-05-01 15:00,-1", "2027-05-01 15:00,clear",
		"2027-05-01 15:00", "2027-05-01,3",
		"15:00,3", "3", "2027-02-30 15:00,3", "2027-05-01 25:00,3", "2027-03-28 02:30,3", "1900-05-01 15:00,3",
		"2150-02-29T15:00,3",
		"1 May 2027 15:00,3", "2027-05-01 15:00,NaN", "2027-05-01 15:00,3 oktas", "2027-05-01 15:00,1e1",
		"when,cloud", "2027-05-01 15:00,\x1b[31m",
	} {
		text := "2027-06-01 12:00,1\n" + line + "\n"
		_, err := forecastOf("cloud.csv", []byte(text), vienna)
		var faults Faults
		require.ErrorAs(t, err, &faults, line)
		require.Len(t, faults, 1, line)
		t.Logf("%v\n  %s", faults[0], faults[0].Hint)
		assert.Equal(t, 2, faults[0].Line, line)
		reported(t, err)
		_, err = forecastOf("cloud.csv", []byte(strings.Replace(text, line, faults[0].Hint, 1)), vienna)
		assert.NoError(t, err, "%q, heeded", line)
	}
	for _, text := range []string{"", "\n#\n", "time,oktas\n", "\xff\xfet\x00", strings.Repeat("#", LargestFile+1)} {
		_, err := forecastOf("cloud.csv", []byte(text), vienna)
		reported(t, err)
	}
	_, err := forecastOf("cloud.csv", []byte("2027-05-01 15:00,3\n2027-05-01T13:00Z,4\n"), vienna)
	assert.ErrorContains(t, err, "cloud.csv:2:1: 2027-05-01 13:00 is on line 1 already")
	// Three faults together, in order.
	_, err = forecastOf("cloud.csv", []byte("x,3\n2027-05-01 15:00,9\ny,1\n"), vienna)
	var faults Faults
	require.ErrorAs(t, err, &faults)
	assert.Equal(t, []int{1, 2, 3}, []int{faults[0].Line, faults[1].Line, faults[2].Line})
	// Through the document, with what else is wrong.
	d, err := Parse("shoot.toml", []byte(somewhere+"[lens]\naperture = 99\n"))
	require.NoError(t, err)
	d.SetForecast("cloud.csv", []byte("x,3\n"))
	_, _, err = d.ResolveSearch(environment(t))
	require.ErrorAs(t, err, &faults)
	assert.Len(t, faults, 2)
}

// saneWishes checks that what is wished for is finite and in its range.
func saneWishes(t *testing.T, w *shoot.Wishes) {
	within := func(name string, v, low, high float64) {
		assert.True(t, v >= low && v <= high, "%s = %v", name, v)
	}
	within("first year", float64(w.Dates.First.Year), 1950, 2100)
	within("last year", float64(w.Dates.Last.Year), 1950, 2100)
	assert.False(t, w.Dates.Last.Compare(w.Dates.First) < 0, "%v", w.Dates)
	within("length", w.AtLeast.Minutes(), 1, 1440)
	within("headroom", float64(w.Headroom), 0, 8)
	if w.Between != nil {
		assert.False(t, w.Between.Backwards(), "%v", w.Between)
	}
	if r := w.SunAltitude; r != nil {
		within("altitude", r.Low.Degrees(), -90.001, r.High.Degrees())
		within("altitude", r.High.Degrees(), r.Low.Degrees(), 90.001)
	}
	if r := w.SunAzimuth; r != nil {
		within("azimuth", float64(r.Low), 0, 2*math.Pi)
		within("azimuth", float64(r.High), 0, 2*math.Pi)
		assert.NotEqual(t, r.Low, r.High)
	}
	sum := 0.0
	for _, one := range w.Odds {
		within("share", one.Share, 0, 1)
		sum += one.Share
	}
	if len(w.Odds) > 0 {
		assert.InDelta(t, 1, sum, 1e-9)
	}
	saneForecast(t, w.Forecast)
}

func saneForecast(t *testing.T, f shoot.Forecast) {
	for i, one := range f {
		assert.True(t, one.Oktas >= 0 && one.Oktas <= 8, "%v", one)
		assert.True(t, i == 0 || one.Time.After(f[i-1].Time))
	}
}

// Whatever is typed is refused with a hint, or is in its range.
func FuzzWishes(f *testing.F) {
	for _, k := range SearchFlags() {
		if k.Group == WishGroup {
			f.Add(k.Flag, k.Example)
		}
	}
	for flag, value := range map[string]string{"dates": "1 to 15 May 2027", "on": "fri-sun",
		"between": "3pm-9pm", "odds": "clear=.5,thin=.5",
		"sun-altitude": "..6", "sun-azimuth": "NNW..10", "at-least": "1 h 30 min"} {
		f.Add(flag, value)
	}
	f.Fuzz(func(t *testing.T, flag, value string) {
		if k, known := flagKey(flag); !known || k.Group != WishGroup {
			return
		}
		w, err := searchBy(t, flag, value)
		if err != nil {
			reported(t, err)
			return
		}
		saneWishes(t, &w)
	})
}

// A range that is read is read again as it is written.
func FuzzDates(f *testing.F) {
	for _, text := range []string{"2027-05-01..2027-05-31", "2027-05", "2027", "May 2027", "1..15 May 2027",
		"2027-05-01..31", "today..Sunday",
		"05/06/2027", "May..July"} {
		f.Add(text)
	}
	today := shoot.Date{Year: 2027, Month: time.May, Day: 3}
	f.Fuzz(func(t *testing.T, text string) {
		dates, err := parseDates(text, today)
		if err != nil {
			var fault Fault
			require.True(t, errors.As(err, &fault))
			reported(t, Faults{fault})
			hint, _, _ := strings.Cut(fault.Hint, " or ")
			_, err = parseDates(hint, today)
			assert.NoError(t, err, "%q: %s", text, fault.Hint)
			return
		}
		again, err := parseDates(dates.String(), today)
		require.NoError(t, err, "%q as %v", text, dates)
		assert.Equal(t, dates, again)
	})
}

func FuzzForecast(f *testing.F) {
	f.Add([]byte("time,oktas\n2027-05-01 15:00,3\n"))
	f.Add([]byte("2027-05-01T15:00:00+02:00;3\n# x\n2027-05-01 16:00;9\n"))
	f.Add([]byte("a,time,oktas\n1,2,3\n\x1b,,"))
	vienna := zone(f, "Europe/Vienna")
	f.Fuzz(func(t *testing.T, text []byte) {
		forecast, err := forecastOf("cloud.csv", text, vienna)
		if err != nil {
			reported(t, err)
			return
		}
		saneForecast(t, forecast)
		again := "time,oktas\n"
		for _, one := range forecast {
			again += fmt.Sprintf("%s,%v\n", one.Time.Format(time.RFC3339), plain(one.Oktas))
		}
		same, err := forecastOf("cloud.csv", []byte(again), vienna)
		require.NoError(t, err, again)
		require.Len(t, same, len(forecast))
	})
}

// A sky that is typed goes before the odds in the file, as any flag does.
func TestATypedSkyGoesBeforeOdds(t *testing.T) {
	const text = "[place]\nlatitude_deg = 50\nlongitude_deg = 10\ntime_zone = \"UTC+1\"\n" +
		"[schedule]\nodds = \"clear=40,overcast=60\"\n"
	for flag, value := range map[string]string{"": "", "sky": "hazy", "okta": "3", "turbidity": "4"} {
		d, err := Parse("shoot.toml", []byte(text))
		require.NoError(t, err)
		if flag != "" {
			d.Set(flag, value)
		}
		_, w, err := d.ResolveSearch(environment(t))
		require.NoError(t, err)
		assert.Equal(t, flag == "", len(w.Odds) > 0, flag)
	}
}

// forecastOf reads a forecast; the error is of its faults.
func forecastOf(name string, text []byte, zone *time.Location) (shoot.Forecast, error) {
	forecast, faults := parseForecast(name, text, zone)
	if len(faults) > 0 {
		return nil, faults.inOrder()
	}
	return forecast, nil
}
