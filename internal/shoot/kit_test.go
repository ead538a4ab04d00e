package shoot

import (
	"testing"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"

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
		{ModifierKit, "octa90", "octa-90-double"},
		{ModifierKit, "umbrela", "shoot-through-umbrella"},
		{ModifierKit, "softbx", "softbox-60x90"},
		{FilterKit, "nd-5", "nd-4"},
		{CameraKit, "fullframe", "full-frame-200"},
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
	l, err := d.Kit(nil)
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

// The photographer's own kit stands between the library and the shoot's.
func TestKitOfThreeFiles(t *testing.T) {
	own, err := ParseKit("own.toml", []byte(`
[[flash]]
name = "speedlight-60"
guide_number_m = 50
source = "metered"
[[flash]]
name = "pocket"
guide_number_m = 20
[[gel]]
name = "straw"
shift_mired = 90
`))
	require.NoError(t, err)
	text := somewhere + `
[flash]
kit = "pocket"
gel = "straw"
modifier = "octa-90-double"
[[kit.flash]]
name = "pocket"
guide_number_m = 12
`
	d, err := Parse("shoot.toml", []byte(text))
	require.NoError(t, err)
	env := environment(t)
	env.Kit = own
	s, err := d.Resolve(env)
	require.NoError(t, err)
	assert.Equal(t, 12.0, s.Flash.GuideNumber(), "the shoot's before the own")
	assert.EqualValues(t, 90, s.Flash.Gel.Shift)
	_, err = d.Resolve(environment(t))
	assert.ErrorContains(t, err, `there is no gel "straw"`, "without the own kit")

	l, err := d.Kit(own)
	require.NoError(t, err)
	for name, file := range map[string]string{
		"speedlight-60": "own.toml", "pocket": "shoot.toml", "strobe-400": StandardKitName,
	} {
		assert.Equal(t, file, l.File(FlashKit, name), name)
	}
	assert.Equal(t, "metered", l.Source(FlashKit, "speedlight-60"))
	assert.True(t, l.Has(GelKit, "straw"))
	assert.False(t, l.Has(FlashKit, "straw"))
}

// The demonstration does as the library says, whatever names are in the
// photographer's own kit; what is new there can be used.
func TestOwnKitLeavesTheDemonstrationAlone(t *testing.T) {
	own, err := ParseKit("own.toml", []byte(`
[[flash]]
name = "speedlight-60"
guide_number_m = 50
[[camera]]
name = "full-frame-200"
sync = "1/180"
steps = "half"
[[modifier]]
name = "sail"
loss_stops = 2
`))
	require.NoError(t, err)
	env := environment(t)
	env.Kit = own
	d, err := Demo()
	require.NoError(t, err)
	require.NoError(t, d.Set("modifier", "sail"))
	s, err := d.Resolve(env)
	require.NoError(t, err)
	assert.Equal(t, 200.0, s.Flash.Unit.LongestZoom())
	assert.Equal(t, "sail", s.Flash.Modifier.Name)
}

func TestHighSpeedLosses(t *testing.T) {
	l, err := ParseKit("own.toml", []byte(`
[[flash]]
name = "a"
guide_number_m = 36
high_speed_losses = [{shutter = "1/250", loss_stops = 1.8}, {shutter = "1/350", loss_stops = 2.2}, {shutter = "1/8000", loss_stops = 7.1}]
`))
	require.NoError(t, err)
	u, _ := l.Flash("a")
	assert.Equal(t, []flash.SpeedLoss{{Shutter: 48, Loss: 1.8}, {Shutter: 51, Loss: 2.2}, {Shutter: 78, Loss: 7.1}}, u.Losses)
	for _, c := range []struct {
		rows         string
		line, column int
		what, hint   string
	}{
		{`[]`, 4, 1, "high_speed_losses has no rows", "{shutter"},
		{`3`, 4, 1, "flash.high_speed_losses is a number; it must be a list of tables", ""},
		{`[{shutter = "1/250"}]`, 4, 22, "has no loss_stops", "loss_stops = 2"},
		{`[{loss_stops = 1}]`, 4, 22, "has no shutter", "shutter ="},
		{`[{shutter = "1/290", loss_stops = 1}]`, 4, 23, `shutter = "1/290" is not on the camera's scale`, `shutter = "1/320"`},
		{`[{shutter = "1/250", loss_stops = 13}]`, 4, 42, "loss_stops = 13 lies outside 0 to 12", ""},
		{`[{shutter = "1/250", loss_stops = nan}]`, 4, 42, "is not a number", ""},
		{`[{shutter = "1/250", loss = 1}]`, 4, 22, "has no loss_stops", ""},
		{`[{shutter = "1/500", loss_stops = 3}, {shutter = "1/250", loss_stops = 2}]`, 4, 60, "shutter = 1/250 comes after 1/500", "shorter"},
		{`[{shutter = "1/250", loss_stops = 2}, {shutter = "1/250", loss_stops = 2}]`, 4, 60, "shutter = 1/250 comes after 1/250", "once"},
		{`[{shutter = "1/250", loss_stops = 2}, {shutter = "1/500", loss_stops = 1}]`, 4, 79, "1/500 loses 1 stops, less than 1/250 does, 2", ""},
		{"[{shutter = \"1/250\", loss_stops = 2}]\nplateau_ms = 16", 5, 1, "flash.plateau_ms cannot be combined with high_speed_losses", ""},
	} {
		_, err := ParseKit("own.toml", []byte("[[flash]]\nname = 'a'\nguide_number_m = 36\nhigh_speed_losses = "+c.rows+"\n"))
		var faults Faults
		require.ErrorAs(t, err, &faults, c.rows)
		f := faults[0]
		t.Log(f)
		assert.Equal(t, [2]int{c.line, c.column}, [2]int{f.Line, f.Column}, c.rows)
		assert.Contains(t, f.What, c.what)
		assert.Contains(t, f.Hint, c.hint)
	}
}

// A flash may be found to give more than its figures, within reason.
func TestDerateRange(t *testing.T) {
	for text, ok := range map[string]bool{"-2": true, "-0.3": true, "0": true, "4": true, "4.1": false, "-2.1": false, "nan": false} {
		_, err := ParseKit("own.toml", []byte("[[flash]]\nname = 'a'\nguide_number_m = 36\nderate_stops = "+text+"\n"))
		assert.Equal(t, ok, err == nil, text)
		_, err = resolve(t, somewhere+"[flash]\nderate_stops = "+text+"\n")
		assert.Equal(t, ok, err == nil, text)
	}
}

// All faults of a kit file are told, its tables' names included.
func TestKitFileNamedAsInAShoot(t *testing.T) {
	_, err := ParseKit("own.toml", []byte("[[kit.flash]]\nname = 'a'\n[[gel]]\nname = 'b'\n"))
	assert.EqualError(t, err, "own.toml:1:3: a kit file has no table kit\n"+
		"hint: [[flash]] in place of [[kit.flash]]; --shoot takes a shoot file\n"+
		"own.toml:3:3: gel \"b\" has no shift_mired\nhint: shift_mired = 159")
}

func TestSetUp(t *testing.T) {
	l, err := KitWith(nil)
	require.NoError(t, err)
	h, err := l.SetUp(map[string]string{"flash": "compact-36", "distance": "1.5", "zoom": "70", "gel": "half-cto", "units": "2"})
	require.NoError(t, err)
	assert.Equal(t, "compact-36", h.Unit.Name)
	assert.Equal(t, 1.5, h.Distance)
	assert.Equal(t, 70.0, h.Zoom)
	assert.Equal(t, 2, h.Units)
	assert.Equal(t, "half-cto", h.Gel.Name)
	for _, c := range []struct {
		flags      map[string]string
		flag       string
		what, hint string
	}{
		{map[string]string{"flash": "compact36"}, "flash", `no flash "compact36" in the kit`, "--flash compact-36"},
		{map[string]string{"distance": "0"}, "distance", "lies outside 0.2 to 100", "--distance 0.2"},
		{map[string]string{"distance": "nan"}, "distance", `"nan" cannot be read`, "--distance 2"},
		{map[string]string{"distance": "-1"}, "distance", "lies outside", ""},
		{map[string]string{"units": "1.5"}, "units", "no whole number", "--units 2"},
		{map[string]string{"zoom": "400"}, "zoom", "lies outside 20 to 200", "--zoom 200"},
		{map[string]string{"flash": "strobe-400", "zoom": "50"}, "zoom", "has no zoom", ""},
		{map[string]string{"modifier": "octa-90-double", "zoom": "50"}, "zoom", `inside "octa-90-double" is set to 24 mm`, "leave --zoom out"},
		{map[string]string{"gel": "a\x1b[31m"}, "gel", "control character U+001B", ""},
		{map[string]string{"filter": "x"}, "filter", "is no flag", ""},
	} {
		_, err := l.SetUp(c.flags)
		var faults Faults
		require.ErrorAs(t, err, &faults, "%v", c.flags)
		t.Log(faults)
		assert.Equal(t, c.flag, faults[0].Flag)
		assert.Contains(t, faults[0].What, c.what)
		assert.Contains(t, faults[0].Hint, c.hint)
	}
}
