package shootfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNearestName(t *testing.T) {
	cameras := []string{"full-frame-200", "crop-250"}
	modifiers := []string{"bare", "dish", "shoot-through-umbrella", "white-umbrella", "softbox-60x90",
		"softbox-60x90-double", "octa-90", "octa-150"}
	filters := []string{"nd-1", "nd-3", "nd-4", "nd-6", "nd-10"}
	keys := []string{"name", "latitude_deg", "longitude_deg", "elevation_m", "background",
		"background_distance_m", "distance_m"}
	methods := []string{"sync", "hss", "nd", "scrim", "scrim+hss"}
	for _, c := range []struct {
		word    string
		choices []string
		want    string
	}{
		// Letters wrong, missing or too many.
		{"lattitude_deg", keys, "latitude_deg"},
		{"nmae", keys, "name"},
		{"hs", methods, "hss"},
		{"HHS", methods, "hss"},
		{"scrim-hss", methods, "scrim+hss"},
		{"scrm", methods, "scrim"},
		// A part of the name, alone misspelt or not.
		{"fullframe", cameras, "full-frame-200"},
		{"full frame", cameras, "full-frame-200"},
		{"crop", cameras, "crop-250"},
		{"lattitude", keys, "latitude_deg"},
		{"lat", keys, "latitude_deg"},
		{"umbrela", modifiers, "shoot-through-umbrella"},
		{"umbrella", modifiers, "shoot-through-umbrella"},
		{"softbx", modifiers, "softbox-60x90"},
		{"softbox", modifiers, "softbox-60x90"},
		{"softbox double", modifiers, "softbox-60x90-double"},
		{"distance", keys, "distance_m"},
		{"background_distance", keys, "background_distance_m"},
		{"octa-90-grid", modifiers, "octa-90"},
		// The nearest number.
		{"nd-5", filters, "nd-4"},
		{"nd9", filters, "nd-10"},
		{"nd-33", filters, "nd-10"},
		{"ND 3", filters, "nd-3"},
		{"octa-140", modifiers, "octa-150"},
		{"softbox-60x9", modifiers, "softbox-60x90"},
		{"crop-25", cameras, "crop-250"},
		// None is close.
		{"", cameras, ""},
		{"x", cameras, ""},
		{"200", cameras, ""},
		{"xyzzy", keys, ""},
		{"brolly", modifiers, ""},
		{strings.Repeat("crop", 20), cameras, ""},
		{"crop", nil, ""},
	} {
		assert.Equal(t, c.want, Nearest(c.word, c.choices), c.word)
	}
}

// Of choices that are right already each is nearest to itself.
func TestNearestToItself(t *testing.T) {
	choices := []string{"nd-1", "nd-10", "softbox-60x90", "softbox-60x90-double", "full-cto", "full-ctb", "sync",
		"scrim", "scrim+nd", "scrim+hss"}
	for _, c := range choices {
		assert.Equal(t, c, Nearest(c, choices))
	}
}

func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"", "abc", 3}, {"kitten", "sitting", 3}, {"flaw", "lawn", 2}, {"größe", "grösse", 2}} {
		assert.Equal(t, c.want, distance(c.a, c.b))
		assert.Equal(t, c.want, distance(c.b, c.a))
	}
}
