package shootfile

import (
	"strings"
	"testing"

	"evenfall/internal/shoot"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sameKit compares all that two libraries know of one piece of kit.
func sameKit(t *testing.T, want, got *shoot.Library, kind shoot.KitKind, name string) {
	t.Helper()
	definition := func(l *shoot.Library) (any, bool) {
		switch kind {
		case shoot.CameraKit:
			return l.Camera(name)
		case shoot.FlashKit:
			return l.Flash(name)
		case shoot.ModifierKit:
			return l.Modifier(name)
		case shoot.GelKit:
			return l.Gel(name)
		case shoot.ScrimKit:
			return l.Scrim(name)
		case shoot.ReflectorKit:
			return l.Reflector(name)
		}
		return l.Filter(name)
	}
	a, known := definition(want)
	require.True(t, known, "%s %s", kind, name)
	b, known := definition(got)
	require.True(t, known, "%s %s", kind, name)
	assert.Equal(t, a, b)
	assert.Equal(t, want.Source(kind, name), got.Source(kind, name))
}

// Pasted into a shoot, or under the shorter name into a kit file, a block
// defines the very piece it was written for: all of the library, and own kit
// with stated losses, names in other letters and a single guide number.
func TestBlockIsTakenBack(t *testing.T) {
	own, err := ParseKit("own.toml", []byte(`
[[flash]]
name = "größer \"43\""
guide_number_m = 43
guide_number_zoom_mm = 105
high_speed_losses = [{shutter = "1/250", loss_stops = 1.8}, {shutter = "1/350", loss_stops = 2.2}]
derate_stops = -0.3
[[flash]]
name = "slow"
guide_numbers = [{zoom_mm = 24, number_m = 20.5}, {zoom_mm = 50, number_m = 28}]
high_speed_sync = false
plateau_ms = 7.7
[[modifier]]
name = "strip"
loss_stops = 2
width_m = 0.3
length_m = 1.2
[[camera]]
name = "medium"
sync = "1/180"
steps = "half"
lowest_iso = 50
source = "its manual, p. 9"
`))
	require.NoError(t, err)
	l, err := KitWith(own)
	require.NoError(t, err)
	tried := 0
	for _, kind := range shoot.KitKinds {
		for _, name := range l.Names(kind) {
			text, known := Block(l, kind, name)
			require.True(t, known)
			d, err := Parse("shoot.toml", []byte(text))
			require.NoError(t, err, text)
			inShoot, err := d.Kit(nil)
			require.NoError(t, err, text)
			assert.Equal(t, "shoot.toml", inShoot.File(kind, name))
			sameKit(t, l, inShoot, kind, name)

			inKit, err := ParseKit("kit.toml", []byte(strings.Replace(text, "[[kit.", "[[", 1)))
			require.NoError(t, err, text)
			sameKit(t, l, inKit, kind, name)
			tried++
		}
	}
	assert.Greater(t, tried, 35)
}

func TestBlockText(t *testing.T) {
	l, err := StandardKit()
	require.NoError(t, err)
	text, known := Block(l, shoot.ModifierKit, "softbox-60x90")
	require.True(t, known)
	for _, line := range []string{
		"[[kit.modifier]]", `name = "softbox-60x90"`, "loss_stops = 1.5", "reflector_loss_stops = 2.3",
		"width_m = 0.6", "length_m = 0.9", "inside_zoom_mm = 24",
	} {
		assert.Contains(t, "\n"+text, "\n"+line+"\n")
	}
	assert.NotContains(t, text, "size_m")
	for _, kind := range shoot.KitKinds {
		text, known := Block(l, kind, "no such thing")
		assert.False(t, known)
		assert.Empty(t, text)
	}
	_, known = Block(l, "lens", "x")
	assert.False(t, known)
}
