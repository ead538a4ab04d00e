package shootfile

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestStarterResolves(t *testing.T) {
	for _, c := range []struct {
		name             string
		flags            map[string]string
		place, date      string // as they resolve
		shoot, from, lat string
	}{
		{"as it is", nil, "Europe/Berlin", "2027-05-03", "My shoot", "sunset-2h", "54.33"},
		{"filled in", map[string]string{"at": "-33.86,151.21", "tz": "Australia/Sydney", "date": "2028-02-29",
			"name": `Jetty "A" \ ü`},
			"Australia/Sydney", "2028-02-29", `Jetty "A" \ ü`, "sunset-2h", "-33.86"},
		{"the system's zone", map[string]string{"at": "48.2N 16.37E"}, "Europe/Vienna", "2027-05-03", "My shoot",
			"sunset-2h", "48.2"},
		{"midnight sun", map[string]string{"at": "78.22,15.65", "tz": "Arctic/Longyearbyen", "date": "2027-06-21"},
			"Arctic/Longyearbyen", "2027-06-21", "My shoot", "20:00", "78.22"},
		{"polar night", map[string]string{"at": "-77.85,166.67", "tz": "Antarctica/McMurdo", "date": "2027-06-21"},
			"Antarctica/McMurdo", "2027-06-21", "My shoot", "20:00", "-77.85"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text, err := Starter(c.flags, environment(t))
			require.NoError(t, err)
			assert.NotContains(t, string(text), "{{")
			s := resolved(t, string(text))
			assert.Equal(t, c.place, s.Place.Zone.String())
			_, named := c.flags["tz"]
			assert.Equal(t, c.flags["at"] != "" && !named, strings.Contains(string(text), "taken from the system"))
			assert.Equal(t, c.date, s.When.Date.String())
			assert.Equal(t, c.shoot, s.Name)
			assert.Equal(t, c.from, s.When.From.String())
			assert.Contains(t, string(text), "\nlatitude_deg = "+c.lat+" ")
			for _, l := range strings.Split(string(text), "\n") {
				assert.LessOrEqual(t, len(l), 80, l)
			}
		})
	}
}

// Every key that the starter has in a comment may be said.
func TestStarterOptionsResolve(t *testing.T) {
	text, err := Starter(nil, environment(t))
	require.NoError(t, err)
	lines := strings.Split(string(text), "\n")
	option := regexp.MustCompile(`^# (\[+[a-z.]+\]+|[a-z_]+ = .*)$`)
	tried := 0
	for i := 0; i < len(lines); i++ {
		if !option.MatchString(lines[i]) {
			continue
		}
		said := slices.Clone(lines)
		said[i] = strings.TrimPrefix(lines[i], "# ")
		first := lines[i]
		if strings.HasPrefix(first, "# [") { // a table's keys go with it
			for ; i+1 < len(lines) && option.MatchString(lines[i+1]); i++ {
				said[i+1] = strings.TrimPrefix(lines[i+1], "# ")
			}
		}
		_, err := resolve(t, strings.Join(said, "\n"))
		assert.NoError(t, err, first)
		tried++
	}
	t.Logf("%d options tried", tried)
	assert.Greater(t, tried, 20)
}

// The values in the comments are those that hold where nothing is said.
func TestStarterStatesTheDefaults(t *testing.T) {
	text, err := Starter(nil, environment(t))
	require.NoError(t, err)
	plainly := resolved(t, string(text))
	for _, said := range []string{
		"methods =", "elevation_m =", "ground =", "ground_reflectance =", "horizon_deg =", "step_minutes =", "figure =",
		"sky_altitude_deg =", "background =", "bias_stops =", "sync =", "fastest =", "lowest_iso =",
		"highest_iso =", "frame_height_mm =",
		"slowest =", "zoom_mm =", "gel =", "derate_stops =",
	} {
		require.Contains(t, string(text), "\n# "+said)
		s := resolved(t, strings.Replace(string(text), "\n# "+said, "\n"+said, 1))
		s.Place.Zone, s.Place.Horizon = plainly.Place.Zone, plainly.Place.Horizon // an empty skyline is none
		assert.Equal(t, plainly, s, said)
	}
}

func TestStarterRefuses(t *testing.T) {
	for _, c := range []struct {
		flags      map[string]string
		flag, what string
	}{
		{map[string]string{"at": "somewhere"}, "at", "not a latitude and longitude"},
		{map[string]string{"at": "95,0"}, "at", "must be -90 to 90"},
		{map[string]string{"at": "-33.86,151.21"}, "", "no time zone is given, and the system has"},
		{map[string]string{"at": "54,10", "tz": "Europe/Kiel"}, "tz", "unknown time zone"},
		{map[string]string{"tz": "Australia/Sydney"}, "tz", "goes with its place"},
		{map[string]string{"date": "2027-02-29"}, "date", "2027-02-29"},
		{map[string]string{"name": "a\x1b[31m"}, "name", "U+001B"},
		{map[string]string{"name": "\xff"}, "name", "not UTF-8"},
		{map[string]string{"name": ""}, "name", "is empty"},
		{map[string]string{"name": strings.Repeat("a", 201)}, "name", "longer than 200"},
	} {
		_, err := Starter(c.flags, environment(t))
		var faults Faults
		require.ErrorAs(t, err, &faults, "%v", c.flags)
		t.Log(faults)
		if c.flag != "" {
			assert.Equal(t, c.flag, faults[0].Flag)
		}
		assert.Contains(t, faults[0].What, c.what)
	}
}

// A system whose zone has no name leaves it open.
func TestStarterWithoutZoneName(t *testing.T) {
	env := environment(t)
	env.Zone = time.FixedZone("Local", 3600)
	text, err := Starter(map[string]string{"at": "54,10"}, env)
	require.NoError(t, err)
	assert.Contains(t, string(text), "\n# time_zone = ")
}
