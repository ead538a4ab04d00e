package shoot

import (
	"testing"

	"evenfall/internal/exposure"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestStandardKit(t *testing.T) {
	l, err := StandardKit()
	require.NoError(t, err)
	for _, kind := range KitKinds {
		names := l.Names(kind)
		t.Log(kind, names)
		assert.NotEmpty(t, names)
		for _, name := range names {
			assert.NotEmpty(t, l.Source(kind, name), "%s %s", kind, name)
		}
	}
	for _, u := range l.Flashes {
		for i := 1; i < len(u.Guide); i++ {
			assert.Greater(t, u.Guide[i].Number, u.Guide[i-1].Number, "%s: a longer zoom throws farther", u.Name)
		}
	}
	// "Compact GN 36 at 105 mm", "speedlight GN 60 at 200 mm".
	compact, _ := l.Flash("compact-36")
	assert.Equal(t, 36.0, compact.GuideAt(105))
	speedlight, _ := l.Flash("speedlight-60")
	assert.Equal(t, 60.0, speedlight.GuideAt(200))
	assert.Equal(t, 0.016, speedlight.Plateau)
	strobe, _ := l.Flash("strobe-400")
	assert.Equal(t, 85.0, strobe.GuideAt(24))
	assert.Zero(t, strobe.LongestZoom())
	full, _ := l.Camera("full-frame-200")
	crop, _ := l.Camera("crop-250")
	assert.Equal(t, "1/200", full.Sync.String())
	assert.Equal(t, "1/250", crop.Sync.String())
	assert.Equal(t, exposure.Half, crop.Click)
}

func TestNearest(t *testing.T) {
	l, err := StandardKit()
	require.NoError(t, err)
	for _, c := range []struct {
		kind       KitKind
		name, want string
	}{
		{FlashKit, "speedlite-60", "speedlight-60"},
		{FlashKit, "Strobe400", "strobe-400"},
		{ModifierKit, "octa90", "octa-90"},
		{ModifierKit, "white umbrela", "white-umbrella"},
		{GelKit, "CTO full", ""},
		{GelKit, "fullcto", "full-cto"},
		{FilterKit, "nd6", "nd-6"},
		{ScrimKit, "panel", "panel-120x180"},
		{CameraKit, "x", ""},
		{CameraKit, "", ""},
	} {
		assert.Equal(t, c.want, l.Nearest(c.kind, c.name), c.name)
	}
}

func TestEditDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"", "abc", 3}, {"kitten", "sitting", 3}, {"flaw", "lawn", 2}, {"größe", "grösse", 2}} {
		assert.Equal(t, c.want, editDistance(c.a, c.b))
		assert.Equal(t, c.want, editDistance(c.b, c.a))
	}
}

// Own kit adds to the library, and takes the place of what has its name.
func TestOwnKit(t *testing.T) {
	const text = somewhere + `
[camera]
kit = "medium-format"
[flash]
kit = "speedlight-60"
modifier = "sail"
gel = "straw"
[scrim]
kit = "sheet"
height_m = 1.2
tilt_deg = 20
[filters]
kit = ["nd-8"]
nd_stops = [2]
[[kit.camera]]
name = "medium-format"
steps = "half"
sync = "1/1000"
fastest = "1/4000"
frame_height_mm = 33
[[kit.flash]]
name = "speedlight-60"
guide_number_m = 50
high_speed_sync = false
plateau_ms = 20
derate_stops = 0.2
lowest_power = "1/32"
[[kit.modifier]]
name = "sail"
loss_stops = 2.2
size_m = 2
[[kit.gel]]
name = "straw"
loss_stops = 0.6
shift_mired = 95
[[kit.scrim]]
name = "sheet"
width_m = 1.5
length_m = 2
loss_stops = 0.8
source = "metered"
[[kit.filter]]
name = "nd-8"
loss_stops = 8
`
	s := resolved(t, text)
	assert.Equal(t, "medium-format", s.Camera.Name)
	assert.Equal(t, "1/1000", s.Camera.Sync.String())
	assert.Equal(t, 33.0, s.Frame)
	assert.Equal(t, 50.0, s.Flash.GuideNumber())
	assert.False(t, s.Flash.Unit.HighSpeed)
	assert.Equal(t, 0.02, s.Flash.Unit.Plateau)
	assert.Equal(t, "1/32", s.Flash.Unit.LowestPower.String())
	assert.InDelta(t, 0.2+2.2+0.6, float64(s.Flash.Loss()), 1e-9)
	assert.Equal(t, 1.5, s.Scrim.Width)
	assert.Equal(t, 1.2, s.Scrim.Height)
	assert.Zero(t, s.Scrim.Distance)
	assert.Equal(t, []Filter{{"ND 2", 2}, {"nd-8", 8}}, s.Filters)

	d, err := Parse("shoot.toml", []byte(text))
	require.NoError(t, err)
	l, err := d.Kit()
	require.NoError(t, err)
	standard, err := StandardKit()
	require.NoError(t, err)
	assert.Len(t, l.Flashes, len(standard.Flashes), "shadowed")
	assert.Len(t, l.Scrims, len(standard.Scrims)+1)
	assert.Equal(t, "metered", l.Source(ScrimKit, "sheet"))
	assert.Empty(t, l.Source(FlashKit, "speedlight-60"), "no longer the library's")
}

func TestParseKit(t *testing.T) {
	l, err := ParseKit("mine.toml", []byte("[[gel]]\nname = 'a'\nshift_mired = 10\n"))
	require.NoError(t, err)
	assert.Len(t, l.Gels, 1)
	_, err = ParseKit("mine.toml", []byte("[[gel]]\nname = 'a'\n[[flsh]]\n"))
	assert.EqualError(t, err, "mine.toml:1:3: gel \"a\" has no shift_mired\nhint: shift_mired = 159\nmine.toml:3:3: unknown key flsh\nhint: flash")
}

// The ends of a lens lie on the camera's clicks, inside what the lens has.
func TestLensOnHalfStopCamera(t *testing.T) {
	s := resolved(t, somewhere+"[camera]\nkit = 'crop-250'\n[lens]\nwidest = 1.8\nnarrowest = 20\naperture = 2\n")
	assert.Equal(t, "f/2", s.Lens.Widest.String())
	assert.Equal(t, "f/19", s.Lens.Narrowest.String())
}

func TestScrimIsAimedByDefault(t *testing.T) {
	s := resolved(t, somewhere+"[scrim]\nkit = 'panel-120x180'\n")
	assert.Equal(t, 1.0, s.Scrim.Distance)
	assert.Zero(t, s.Scrim.Height)
	assert.Nil(t, resolved(t, somewhere+"[scrim]\nkit = 'none'\n").Scrim)
}
