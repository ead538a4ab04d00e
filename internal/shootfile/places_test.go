package shootfile

import (
	"strings"
	"testing"
	"unicode/utf8"

	"evenfall/internal/words"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// savedFile is a file of places as somebody may have written it.
const savedFile = `# my places

[west-quay] # the crane is gone
name = "West quay"
latitude_deg = 54.33
longitude_deg = 10.15
time_zone = "Europe/Berlin"
elevation_m = 3
ground = "water"
horizon_deg = [
  [240, 2],
  [270, 9], # the silo
]
# elevation of the lower steps: 1

# ask at the lodge
["The park"]
latitude_deg = 48.2
longitude_deg = 16.37
ground_reflectance = 0.3
`

func somePlaces(t testing.TB) Places {
	places, err := ParsePlaces("places.toml", []byte(savedFile), environment(t))
	require.NoError(t, err)
	return places
}

func TestSavedPlaces(t *testing.T) {
	places := somePlaces(t)
	assert.Equal(t, []string{"west-quay", "The park"}, places.Names())
	quay, ok := places.Find("West Quay")
	require.True(t, ok)
	assert.Equal(t, "water", quay.Ground)
	assert.Equal(t, 3., quay.Place.Site.Elevation)
	assert.Len(t, quay.Place.Horizon, 2)
	park, ok := places.Find("the-park")
	require.True(t, ok)
	assert.Nil(t, park.Place.Zone)
	assert.Equal(t, 0.3, park.Place.Ground)
}

// A shoot that picks a saved place is the shoot that says all of it, and what it
// says besides goes before.
func TestShootPicksPlace(t *testing.T) {
	env := environment(t)
	env.Places = somePlaces(t)
	resolveWith := func(text string, flags ...string) *Document {
		d, err := Parse("shoot.toml", []byte(text))
		require.NoError(t, err)
		for i := 0; i < len(flags); i += 2 {
			d.Set(flags[i], flags[i+1])
		}
		return d
	}
	const whole = "[place]\nname = 'West quay'\nlatitude_deg = 54.33\nlongitude_deg = 10.15\n" +
		"time_zone = 'Europe/Berlin'\nelevation_m = 3\nground = 'water'\nhorizon_deg = [[240, 2], [270, 9]]\n"
	want, err := resolveWith(whole).Resolve(env)
	require.NoError(t, err)
	for name, d := range map[string]*Document{
		"by the file":           resolveWith("[place]\nsaved = 'west-quay'\n"),
		"by another spelling":   resolveWith("[place]\nsaved = 'West Quay'\n"),
		"by flag":               resolveWith(somewhere+"elevation_m = 170\n", "place", "west-quay"),
		"by flag over the file": resolveWith("[place]\nsaved = 'The park'\nground = 'snow'\n", "place", "west-quay"),
		"of its own": resolveWith("[place]\nsaved = 'mine'\n" +
			strings.Replace(whole, "[place]", "[places.mine]", 1)),
		"of its own before the other": resolveWith("[place]\nsaved = 'The park'\n" +
			strings.Replace(whole, "[place]", "[places.the-park]", 1)),
	} {
		s, err := d.Resolve(env)
		require.NoError(t, err, name)
		assert.Equal(t, want.Place, s.Place, name)
	}
	s, err := resolveWith("[place]\nsaved = 'west-quay'\nground = 'snow'\n", "elevation", "20", "tz", "UTC+1", "skyline",
		"W=5").Resolve(env)
	require.NoError(t, err)
	assert.Equal(t, 0.85, s.Place.Ground)
	assert.Equal(t, 20., s.Place.Site.Elevation)
	assert.Equal(t, "UTC+1", s.Place.Zone.String())
	assert.Len(t, s.Place.Horizon, 1)
	assert.Equal(t, want.Place.Site.Latitude, s.Place.Site.Latitude)

	s, err = resolveWith("[place]\nsaved = 'the park'\n").Resolve(env)
	require.NoError(t, err)
	assert.Equal(t, "The park", s.Place.Name, "its name is the one it is saved under")
	assert.True(t, s.Place.ZoneAssumed)
	// A place by flag takes the saved place's place.
	s, err = resolveWith("[place]\nsaved = 'west-quay'\n", "at", "48.2,16.37", "tz", "Europe/Vienna").Resolve(env)
	require.NoError(t, err)
	assert.Empty(t, s.Place.Horizon)
	assert.Equal(t, 0.2, s.Place.Ground)
}

func TestPlaceFaults(t *testing.T) {
	env := environment(t)
	env.Places = somePlaces(t)
	for _, c := range []struct {
		text, flags, what, hint string
	}{
		{"[place]\nsaved = 'west-qauy'\n", "", `shoot.toml:2:1: there is no saved place "west-qauy"`, `saved = "west-quay"`},
		{"", "place west-qauy", `--place: there is no saved place "west-qauy"`, "--place west-quay"},
		{"", "place xyz", `--place: there is no saved place "xyz"`, "--place west-quay; all are west-quay or The park"},
		{"", "place west-quay at 54,10", "--at cannot be combined with --place", "--at 54,10 without --place"},
		{"", "at 54,10 place west-quay", "--place cannot be combined with --at", "--place west-quay without --at"},
		{"[place]\nsaved = 'west-quay'\nlatitude_deg = 1\nlongitude_deg = 2\n", "",
			"shoot.toml:2:1: place.saved picks a place that has a latitude and a longitude of its own", "leave saved out"},
		{"[place]\nsaved = 3\n", "", "shoot.toml:2:1: place.saved is a number; it must be text in quotes",
			`saved = "west-quay"`},
		{"[place]\nsaved = 'west-quay'\n[places.x]\nlatitude_deg = 1\nlongtude_deg = 2\n", "",
			"shoot.toml:3:9: places.x has no longitude_deg", "longitude_deg = 10.15"},
		{"[place]\nsaved = 'west-quay'\n[places]\nx = 3\n", "", "shoot.toml:4:1: places.x is a number; it must be a table",
			"[places.x]"},
		{"[place]\nsaved = 'west-quay'\n", "tz Asia/Tokyo", "--tz: this cannot be time zone Asia/Tokyo", "--tz UTC+1"},
		{"", "place west-quay skyline 240", "--skyline: must be azimuth=altitude, azimuth=altitude, ... in degrees",
			"--skyline " + skylineExample},
	} {
		d := Defaults()
		if c.text != "" {
			var err error
			d, err = Parse("shoot.toml", []byte(c.text))
			require.NoError(t, err)
		}
		flags := strings.Fields(c.flags)
		for i := 0; i < len(flags); i += 2 {
			d.Set(flags[i], flags[i+1])
		}
		_, err := d.Resolve(env)
		var faults Faults
		require.ErrorAs(t, err, &faults, "%v", c)
		assert.True(t, strings.HasPrefix(faults[0].Error(), c.what), "%v: %v", c, faults[0])
		assert.Equal(t, c.hint, faults[0].Hint, "%v", c)
	}
	env.Places = nil
	d := Defaults()
	d.Set("place", "west quay")
	_, err := d.Resolve(env)
	assert.EqualError(t, err, `--place: there is no saved place "west quay"`+
		"\nhint: evenfall place save west-quay --at 54.33,10.15 --tz Europe/Berlin")
}

func TestPlacesFileFaults(t *testing.T) {
	for _, c := range []struct{ text, what string }{
		{"[a]\n", "places.toml:1:2: a has no latitude_deg"},
		{"[a]\nlatitude_deg = 91\nlongitude_deg = 0\n", "places.toml:2:1: a.latitude_deg = 91: must be -90 to 90"},
		{"[a]\nlatitude_deg = 54\nlongitude_deg = 10\ntime_zone = 'Asia/Tokyo'\n",
			"places.toml:4:1: this cannot be time zone Asia/Tokyo"},
		{"[a]\nlatitude_deg = 54\nlongitude_deg = 10\nsaved = 'b'\n", "places.toml:4:1: unknown key a.saved"},
		{"[a-b]\nlatitude_deg = 54\nlongitude_deg = 10\n['A B']\nlatitude_deg = 54\nlongitude_deg = 10\n",
			`places.toml:4:2: "A B" is called as a-b is, but for capitals, spaces and hyphens`},
		{"['a\\u001b']\nlatitude_deg = 54\nlongitude_deg = 10\n[\"a\\u001b\"]\n", "places.toml"},
		{"['" + strings.Repeat("a", 61) + "']\nlatitude_deg = 54\nlongitude_deg = 10\n",
			"places.toml:1:2: the name of a saved place is longer than 60 characters"},
		{"[places.a]\nlatitude_deg = 54\nlongitude_deg = 10\n", "places.toml:1:2: a file of places has no table places"},
		{"a = 3\n", "places.toml:1:1: a is a number; it must be a table"},
	} {
		_, err := ParsePlaces("places.toml", []byte(c.text), environment(t))
		var faults Faults
		require.ErrorAs(t, err, &faults, c.text)
		assert.True(t, strings.HasPrefix(faults[0].Error(), c.what), "%v", faults)
		reported(t, err)
	}
}

// What is printed to paste is the place, in a shoot and in a file of places.
func TestPlaceBlocks(t *testing.T) {
	env := environment(t)
	for _, one := range somePlaces(t) {
		again, err := ParsePlaces("places.toml", []byte(one.Block(false)), env)
		require.NoError(t, err)
		require.Len(t, again, 1)
		again[0].line = one.line
		assert.Equal(t, one, again[0])
		d, err := Parse("shoot.toml", []byte(one.Block(true)))
		require.NoError(t, err)
		places, err := d.SavedPlaces(env)
		require.NoError(t, err)
		require.Len(t, places, 1)
		assert.Equal(t, one.Place, places[0].Place)
	}
}

func TestPlacesAreSavedAndRemoved(t *testing.T) {
	env := environment(t)
	env.Places = somePlaces(t)
	d := Defaults()
	d.Set("place", "west-quay")
	d.Set("ground", "snow")
	frozen, err := d.SavedPlace("west-quay", env)
	require.NoError(t, err)
	assert.Equal(t, "snow", frozen.Ground)
	text, err := WithPlace("places.toml", []byte(savedFile), &frozen, env)
	require.NoError(t, err)
	want := strings.Replace(savedFile, "[west-quay] # the crane is gone\n", "[west-quay]\n", 1)
	want = strings.Replace(want, "ground = \"water\"\nhorizon_deg = [\n  [240, 2],\n  [270, 9], # the silo\n]\n",
		"ground = \"snow\"\nhorizon_deg = [[240, 2], [270, 9]]\n", 1)
	assert.Equal(t, want, string(text), "comments outside of it are kept, and the other place")

	frozen.Name = "Winter quay"
	text, err = WithPlace("places.toml", []byte(savedFile), &frozen, env)
	require.NoError(t, err)
	assert.Equal(t, savedFile+"\n"+frozen.Block(false), string(text))
	text, err = WithoutPlace("places.toml", text, "winter-quay", env)
	require.NoError(t, err)
	assert.Equal(t, savedFile, string(text))
	text, err = WithoutPlace("places.toml", []byte(savedFile), "west quay", env)
	require.NoError(t, err)
	assert.Equal(t, "# my places\n\n# elevation of the lower steps: 1\n\n# ask at the lodge\n"+
		savedFile[strings.Index(savedFile, `["The park"]`):], string(text))

	text, err = WithPlace("places.toml", nil, &frozen, env)
	require.NoError(t, err)
	assert.Equal(t, placesHead+"\n"+frozen.Block(false), string(text))
	text, err = WithoutPlace("places.toml", text, frozen.Name, env)
	require.NoError(t, err)
	assert.Equal(t, placesHead, string(text))
	windows, err := WithPlace("places.toml", []byte(strings.ReplaceAll(savedFile, "\n", "\r\n")), &frozen, env)
	require.NoError(t, err)
	assert.Equal(t, strings.ReplaceAll(savedFile+"\n"+frozen.Block(false), "\n", "\r\n"), string(windows))
}

// A file that holds places in another way than a table each is left alone where
// another place would change with the one.
func TestPlacesThatCannotBeEditedAlone(t *testing.T) {
	env := environment(t)
	dotted := "a.latitude_deg = 54\nb.latitude_deg = 53\na.longitude_deg = 10\nb.longitude_deg = 10\n"
	_, err := WithoutPlace("places.toml", []byte(dotted), "a", env)
	assert.ErrorContains(t, err, "places.toml:1:1: the definition of \"a\" is written so that it cannot be changed alone")
	inline := "a = {latitude_deg = 54, longitude_deg = 10}\nb = {latitude_deg = 53, longitude_deg = 10}\n"
	text, err := WithoutPlace("places.toml", []byte(inline), "a", env)
	require.NoError(t, err)
	assert.Equal(t, inline[strings.Index(inline, "b ="):], string(text))
}

func TestSkylineByFlag(t *testing.T) {
	for text, want := range map[string][][2]float64{
		"240=2,270=9,300=2": {{240, 2}, {270, 9}, {300, 2}}, "W=9": {{270, 9}}, "300=2; 240=2°": {{240, 2}, {300, 2}},
		"0=-1.5": {{0, -1.5}},
	} {
		s, err := overridden(t, "skyline", text)
		require.NoError(t, err, text)
		require.Len(t, s.Place.Horizon, len(want), text)
		for i, one := range want {
			assert.InDelta(t, one[0], s.Place.Horizon[i].Azimuth.Degrees(), 1e-9, text)
			assert.InDelta(t, one[1], s.Place.Horizon[i].Altitude.Degrees(), 1e-9, text)
		}
	}
	for _, text := range []string{"", "240", "240=2,270", "400=2", "240=95", "240=2,240=3", "=",
		"north=x", "240=2,,270=9,x", "-10=4"} {
		_, err := overridden(t, "skyline", text)
		var faults Faults
		require.ErrorAs(t, err, &faults, text)
		require.Len(t, faults, 1, text)
		t.Logf("%v\n  %s", faults[0], faults[0].Hint)
		better, ok := strings.CutPrefix(faults[0].Hint, "--skyline ")
		require.True(t, ok)
		_, err = overridden(t, "skyline", better)
		assert.NoError(t, err, text)
	}
	many := strings.Repeat("1=1,", mostPoints) + "2=2"
	_, err := overridden(t, "skyline", many)
	assert.ErrorContains(t, err, "has 721 points, more than 720")
}

func FuzzSkyline(f *testing.F) {
	for _, text := range []string{skylineExample, "W=9", "300=2; 240=2°", "400=2", "240=95,240=3", "=", "x"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := overridden(t, "skyline", text)
		if err != nil {
			reported(t, err)
			return
		}
		sane(t, s)
	})
}

// Whatever a file of places holds, it is refused or what it says is in its range,
// and a place saved in it changes no other.
func FuzzPlaces(f *testing.F) {
	f.Add([]byte(savedFile), "east-quay")
	f.Add([]byte("a.latitude_deg = 54\nb.latitude_deg = 53\na.longitude_deg = 10\nb.longitude_deg = 10\n"), "a")
	f.Add([]byte("a = {latitude_deg = 54, longitude_deg = 10}\n# x\nb = {latitude_deg = 53, longitude_deg = 10}"), "b")
	f.Add([]byte("[a]\nlatitude_deg = 1\nlongitude_deg = 2\nname = \"\"\"x\n[b]\ny\"\"\"\n"), "b")
	f.Fuzz(func(t *testing.T, data []byte, name string) {
		env := environment(t)
		places, err := ParsePlaces("places.toml", data, env)
		if err != nil {
			reported(t, err)
			return
		}
		for _, one := range places {
			assert.Equal(t, words.Safe(one.Name), one.Name)
			assert.True(t, utf8.ValidString(one.Name))
			assert.LessOrEqual(t, one.Place.Site.Latitude.Abs(), sky.Degrees(90.001))
		}
		d := Defaults()
		d.Set("at", "54.33,10.15")
		d.Set("tz", "Europe/Berlin")
		saved, err := d.SavedPlace(name, env)
		if err != nil {
			reported(t, err)
			return
		}
		text, err := WithPlace("places.toml", data, &saved, env)
		if err != nil {
			reported(t, err)
			return
		}
		after, err := ParsePlaces("places.toml", text, env)
		require.NoError(t, err)
		got, found := after.Find(name)
		require.True(t, found)
		assert.Equal(t, saved.Place, got.Place)
	})
}
