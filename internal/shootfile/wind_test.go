package shootfile

import (
	"errors"
	"strings"
	"testing"

	"evenfall/internal/scene"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Upper ends of the Beaufort forces in m/s (WMO-No. 306, code table 1100); a
// kilometre an hour is 1 / 3.6 m/s.
func TestParseWind(t *testing.T) {
	for text, want := range map[string]float64{
		"5": 5, "5 m/s": 5, "5m/s": 5, " 4.5  M/S ": 4.5, "0": 0, "20 km/h": 20 / 3.6, "36kmh": 10, "18 kph": 5,
		"force 4": 7.9, "Force 0": 0.2, "4 bft": 7.9, "3 Beaufort": 5.4, "bft 2": 3.3, "beaufort 6": 13.8, "force 12": 32.7,
		"60 m/s": 60,
	} {
		got, err := parseWind(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, float64(got), 1e-9, text)
	}
}

// A hint is a wind that is read: a knot is 1852 m an hour, a mile an hour
// 0.44704 m/s.
func TestParseWindRefuses(t *testing.T) {
	for text, hint := range map[string]string{
		"10 knots": "5.1 m/s", "10 kn": "5.1 m/s", "20 mph": "8.9 m/s", "30 ft/s": "9.1 m/s", "-5": "5 m/s",
		"4,5 m/s":  "4.5 m/s",
		"force 13": "force 12", "gentle breeze": "force 3", "gentle breese": "force 3", "windy": "5 m/s", "": "5 m/s",
		"400 m/s": "60 m/s", "5 stops": "5 m/s", "nan": "5 m/s", "1e3": "5 m/s",
	} {
		_, err := parseWind(text)
		var f Fault
		require.ErrorAs(t, err, &f, text)
		assert.Contains(t, f.What, quoted(text))
		if text != "1e3" {
			assert.Equal(t, hint, f.Hint, text)
		}
		_, err = parseWind(f.Hint)
		assert.NoError(t, err, "%q hints %q", text, f.Hint)
	}
}

func TestWindOfShoot(t *testing.T) {
	assert.Nil(t, resolved(t, somewhere).Wind)
	assert.Nil(t, resolved(t, somewhere+"[wind]\n").Wind)
	assert.Equal(t, scene.WindSpeed(7.9), *resolved(t, somewhere+"[wind]\nspeed = 'force 4'\n").Wind)
	assert.Equal(t, scene.WindSpeed(3), *resolved(t, somewhere+"[wind]\nspeed = 3\n").Wind)
	s, err := overridden(t, "wind", "10 m/s")
	require.NoError(t, err)
	assert.Equal(t, scene.WindSpeed(10), *s.Wind)

	_, err = overridden(t, "wind", "10 kn")
	assert.EqualError(t, err, `--wind: "10 kn" is neither in m/s nor in km/h`+"\nhint: --wind '5.1 m/s'")
	f := faultsOf(t, somewhere+"[wind]\nspeed = 'gale'\n")
	require.Len(t, f, 1)
	assert.Equal(t, `speed = "force 8"`, f[0].Hint)
	f = faultsOf(t, somewhere+"[wind]\nspeed = true\n")
	require.Len(t, f, 1)
	assert.Contains(t, f[0].What, "wind.speed is true or false; it must be a speed")
	assert.Equal(t, "--wind '5 m/s'", Rejoined("wind", strings.Fields("5 m/s")))
	assert.Equal(t, "--wind 'force 4'", Rejoined("wind", strings.Fields("force 4")))
}

func FuzzParseWind(f *testing.F) {
	for _, text := range []string{"5 m/s", "force 4", "20 km/h", "10 knots", "4,5", "-,5", "99,5 km/h", "bft", "−3"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		v, err := parseWind(text)
		if err == nil {
			assert.True(t, v >= 0 && v <= strongestWind, "%q: %v", text, v)
			return
		}
		var fault Fault
		require.True(t, errors.As(err, &fault))
		_, err = parseWind(fault.Hint)
		assert.NoError(t, err, "%q hints %q", text, fault.Hint)
	})
}
