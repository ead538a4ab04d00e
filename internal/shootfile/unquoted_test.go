package shootfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Lines that people write for TOML: what is said of them, and the line to type,
// which is read.
func TestValuesThatAreNotTOML(t *testing.T) {
	const flashHead = "[[kit.flash]]\nname = 'a'\nguide_number_m = 36\nguide_number_zoom_mm = 105\n"
	for _, c := range []struct{ before, line, what, hint string }{
		{flashHead, "lowest_power = 1/128", "lowest_power = 1/128 needs quotes", `lowest_power = "1/128"`},
		{somewhere, "ground = sand # dry", "ground = sand needs quotes", `ground = "sand"`},
		{"[lens]\nwidest = 1.8\n", "aperture = f/1.8", "aperture = f/1.8 needs quotes", `aperture = "f/1.8"`},
		{"[look]\n", "ratio = 3:1", "ratio = 3:1 needs quotes", `ratio = "3:1"`},
		{"[when]\n", "  from = sunset-2h", "from = sunset-2h needs quotes", `from = "sunset-2h"`},
		{"[when]\n", "date = 12 June 2027", "date = 12 June 2027 needs quotes", `date = "12 June 2027"`},
		{"", "methods = [sync, hss]", "methods = [sync, hss] needs quotes", `methods = ["sync", "hss"]`},
		{flashHead, "high_speed_sync = yes", "high_speed_sync = yes is neither true nor false", "high_speed_sync = true"},
		{"[flash]\n", "distance_m = 2 m", "distance_m = 2 m is not a number alone", "distance_m = 2"},
		{"[when]\n", "date = 2027-02-30", "date = 2027-02-30 is a day that the calendar does not have",
			"date = 2027-02-28"},
		{"[flash]\n", "distance_m = 6ft", "distance_m = 6ft is not a number alone", "distance_m = 1.83"},
		{"[flash]\n", "distance_m = .5", "distance_m = .5 is not a number as TOML has them", "distance_m = 0.5"},
		{"[place]\nlongitude_deg = -2\n", "latitude_deg = 50°38N", "latitude_deg = 50°38N is not a number alone",
			"latitude_deg = 50.63333"},
	} {
		_, err := Parse("shoot.toml", []byte(c.before+c.line+"\n"))
		var faults Faults
		require.ErrorAs(t, err, &faults, c.line)
		require.Len(t, faults, 1)
		assert.Contains(t, faults[0].What, c.what)
		assert.Equal(t, c.hint, faults[0].Hint)
		assert.Equal(t, strings.Count(c.before, "\n")+1, faults[0].Line, c.line)
		assert.Equal(t, len(c.line)-len(strings.TrimLeft(c.line, " "))+1, faults[0].Column, c.line)

		text := c.before + c.hint + "\n"
		if !strings.Contains(text, "[place]") {
			text += somewhere
		}
		resolved(t, text)
	}
	for _, line := range []string{"a = 2027-02-30T17:30:00", "a = 1 b = 2", "a = [1", "a 1", "a = \"b", "a = b\x1bc",
		"a = b" + strings.Repeat("c", 300)} {
		_, err := Parse("shoot.toml", []byte(line))
		assert.ErrorContains(t, err, "cannot be read as TOML", line)
	}
}

// Text that other tools take for numbers. 50°38'N are 50 + 38/60 degrees.
func TestNumbersAsText(t *testing.T) {
	s := resolved(t, "[place]\nlatitude_deg = \"50°38N\"\nlongitude_deg = \"2°3'24\\\"W\"\ntime_zone = 'UTC'\n"+
		"[look]\nratio = '3:1'")
	assert.InDelta(t, 50.63333, s.Place.Site.Latitude.Degrees(), 1e-5)
	assert.InDelta(t, -2.05667, s.Place.Site.Longitude.Degrees(), 1e-5)
	assert.Equal(t, 3.0, s.Look.Ratio)

	for _, c := range []struct{ text, what, hint string }{
		{"[place]\nlatitude_deg = '50°38E'\nlongitude_deg = 16", "latitude_deg is text; it must be a number", ""},
		{somewhere + "[[kit.flash]]\nname = 'a'\nguide_numbers = 'GN 43 at 105 mm'", "is not a table of numbers by zoom",
			"guide_number_m = 43 with guide_number_zoom_mm = 105"},
		{somewhere + "[[kit.flash]]\nname = 'a'\nguide_numbers = '50mm: 30'", "is not a table of numbers by zoom",
			"guide_number_m = 30 with guide_number_zoom_mm = 50"},
		{somewhere + "[[kit.flash]]\nname = 'a'\nguide_numbers = 43", "is not a table of numbers by zoom",
			"guide_number_m = 43 with guide_number_zoom_mm = 105"},
		{somewhere + "ground = 'beach'", "ground = \"beach\" is not known", `ground = "sand"`},
		{somewhere + "[lense]\naperture = 2", "unknown key lense", "[lens]"},
		{somewhere + "[[skye]]\noktas = 2", "unknown key skye", "[[sky]]"},
		{somewhere + "[skye]\noktas = 2", "unknown key skye", "[[sky]]"},
		{somewhere + "[[kit.flesh]]\nname = 'a'", "unknown key kit.flesh", "[[kit.flash]]"},
	} {
		faults := faultsOf(t, c.text)
		require.Len(t, faults, 1, "%v", faults)
		assert.Contains(t, faults[0].What, c.what)
		assert.Contains(t, faults[0].Hint, c.hint)
	}
}
