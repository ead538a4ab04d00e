package shootfile

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Flags that there are not, by what the file or the section calls them.
func TestFlagsThatAreMeant(t *testing.T) {
	var flags []string
	for _, k := range Flags() {
		flags = append(flags, k.Flag)
	}
	for _, c := range []struct{ name, value, want string }{
		{"flash-distance", "1", "--distance 1"},
		{"distance-m", "1.5", "--distance 1.5"},
		{"flash-kit", "speedlight-60", "--flash speedlight-60"},
		{"sky-condition", "clear", "--sky clear"},
		{"lens-aperture", "", "--aperture"},
		{"figure", "full length", "--figure 'full length'"},
		{"time_zone", "UTC+1", "--tz UTC+1"},
		{"iso", "200", "ISO limits are lowest_iso and highest_iso in [camera] of the shoot file"},
		{"highest-iso", "3200", "highest_iso = 3200 in [camera] of the shoot file"},
		{"sync", "1/160", `sync = "1/160" in [camera] of the shoot file`},
		{"orientation", "landscape", `orientation = "landscape" in [camera] of the shoot file`},
		{"scrim", "panel-120x180", `kit = "panel-120x180" in [scrim] of the shoot file`},
		{"scrim-distance", "1", "distance_m = 1 in [scrim] of the shoot file"},
		{"nd", "3", "nd_stops = [3] in [filters] of the shoot file"},
		{"derate", "", "derate_stops = 0.7 in [flash] of the shoot file"},
		{"xyzzy", "1", ""}, {"kit", "1", ""}, {"", "", ""},
	} {
		assert.Equal(t, c.want, Meant(c.name, c.value, flags), c.name)
	}
	assert.Equal(t, "ratio = 3 in [look] of the shoot file", Meant("ratio", "3", nil), "of a command without it")
	assert.Equal(t, `ground = "sand" in [place] of the shoot file`, Meant("ground", "sand", nil))
}
