package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The tests of this file know the plan from its JSON alone, and nothing of how
// it was solved. They work every picture out again: from the camera's settings,
// the ambient light on the two sides of the face, and the light of the flash on
// a plane square to it.
//
// Relations: 250 N^2/S lx s at the subject are exposed normally, and 2.5 * 2^EV
// lx is the incident light of an EV at ISO 100 (ISO 2720:1974, C = 250 lx s for
// a flat receptor). The key side and the shadow side are planes 45 degrees to
// the left and right of the camera's direction, so that by the cosine law a
// flash at an angle phi to the camera gives them cos(45 - phi) and cos(45 + phi)
// of its light. Lights add linearly; the lighting ratio is key side to shadow
// side with flash and ambient light together.

// planned is the part of the JSON that pictures are recomputed from.
type planned struct {
	Look struct {
		Kind       string
		Ratio      float64
		Background *float64 `json:"background_stops"`
		AtMost     *float64 `json:"background_at_most_stops"`
		Bias       float64  `json:"bias_stops"`
	}
	Place struct {
		Zone string `json:"time_zone"`
	}
	Events  []struct{ Name, Time string }
	Runs    []plannedRun
	Verdict struct{ Method string }
	Rows    []plannedRow
}

type plannedRun struct {
	Method string
	Case   *string
	Flash  struct {
		Angle float64 `json:"angle_deg"`
	}
	Moved *struct {
		Angle float64 `json:"angle_deg"`
	} `json:"flash_moved_to"`
	Fill *struct {
		Angle float64 `json:"angle_deg"`
	}
	Held   int `json:"minutes_held"`
	Softer int `json:"minutes_softer"`
	Missed int `json:"minutes_missed"`
}

type plannedRow struct {
	Time  string
	Case  *string
	Light struct {
		Lit          float64  `json:"lit_lux"`
		LitEV        float64  `json:"lit_ev100"`
		Shade        float64  `json:"shade_lux"`
		Level        float64  `json:"level_lux"`
		Face         float64  `json:"face_lux"`
		Key          float64  `json:"key_side_lux"`
		Shadow       float64  `json:"shadow_side_lux"`
		KeySide      string   `json:"key_side"`
		BackgroundEV *float64 `json:"background_ev100"`
		Ratio        float64  `json:"ambient_ratio"`
	}
	Methods []picture
}

// second is the fill.
type second struct {
	Power    *float64 `json:"flash_power"`
	Angle    float64  `json:"angle_deg"`
	Flash    float64  `json:"flash_lux_seconds"`
	OnKey    float64  `json:"flash_key_side_lux_seconds"`
	OnShadow float64  `json:"flash_shadow_side_lux_seconds"`
	Meter    *float64 `json:"meter_f_number"`
	Headroom *float64 `json:"headroom_stops"`
	Recycle  *float64 `json:"recycle_s"`
}

// picture is what one method comes to at one time.
type picture struct {
	Method  string
	Outcome string
	Problem *struct {
		Kind  string
		Stops *float64
		Text  string
	}
	Cures []struct {
		Kind  string
		Value *float64
		Text  string
	}
	ISO           float64
	ISOExact      float64 `json:"iso_exact"`
	Aperture      float64
	ApertureExact float64 `json:"aperture_exact"`
	Shutter       string
	Seconds       float64  `json:"shutter_s"`
	ND            float64  `json:"nd_stops"`
	Lit           float64  `json:"lit_lux"`
	Face          float64  `json:"face_lux"`
	Key           float64  `json:"key_side_lux"`
	Shadow        float64  `json:"shadow_side_lux"`
	Role          string   // of the flash
	Power         *float64 `json:"flash_power"`
	PowerText     *string  `json:"flash_power_text"`
	Angle         float64  `json:"flash_angle_deg"`
	Flash         float64  `json:"flash_lux_seconds"`
	OnKey         float64  `json:"flash_key_side_lux_seconds"`
	OnShadow      float64  `json:"flash_shadow_side_lux_seconds"`
	Meter         *float64 `json:"flash_meter_f_number"`
	Fill          *second
	Headroom      *float64 `json:"headroom_stops"`
	Recycle       *float64 `json:"recycle_s"`
	Ratio         float64
	Exposure      float64  `json:"exposure_offset_stops"`
	Background    *float64 `json:"background_offset_stops"`
	Rim           float64  `json:"rim_offset_stops"`
	FaceOffset    float64  `json:"face_offset_stops"`
	ScrimUp       bool     `json:"scrim_up"`
	SkyShare      *float64 `json:"sky_share"`
	Reflector     *struct {
		Turn   string
		Key    float64 `json:"key_side_lux"`
		Shadow float64 `json:"shadow_side_lux"`
	}
}

// ev is the luminance that the settings expose normally, as an EV at ISO 100.
func (m *picture) ev() float64 {
	return math.Log2(m.ApertureExact*m.ApertureExact/m.Seconds*100/m.ISOExact) + m.ND
}

// camera is a body and its lens as a shoot file describes them, with what the
// JSON does not say.
type camera struct {
	toml      string
	clicks    float64 // of aperture and shutter in a stop; 0 for a camera that the tests know nothing of
	isoClicks float64
	sync      float64 // stops faster than 1 s: 1/200 is 7 2/3
}

var (
	thirds = camera{"", 3, 3, 7 + 2./3}
	halves = camera{"[camera]\nkit = \"crop-250\"\n", 2, 3, 8}
	full   = camera{`
[camera]
kit = "whole-stops"
[[kit.camera]]
name = "whole-stops"
steps = "full"
iso_steps = "full"
sync = "1/125"
fastest = "1/1000"
lowest_iso = 50
highest_iso = 1600
`, 1, 1, 7}
	wholeAndThirds = camera{`
[camera]
kit = "whole-stops"
[[kit.camera]]
name = "whole-stops"
steps = "full"
iso_steps = "third"
sync = "1/250"
fastest = "1/4000"
`, 1, 3, 8}
)

// tolerance is how far exposure, ratio and background may lie from the look: a
// third of a stop, or half a stop where a click of the camera is a whole one.
func (c *camera) tolerance() float64 {
	if c.clicks == 1 {
		return 1. / 2
	}
	return 1. / 3
}

// optics is a lens as a shoot file describes it.
type optics struct {
	toml    string
	slowest float64 // by hand, in stops faster than 1 s
}

// line is one command line with its shoot file, and the camera in it.
type line struct {
	shoot   string // a file; empty for the demonstration
	toml    string // or the text of one
	camera  camera
	slowest float64 // 0 where the tests do not know it
	angle   bool    // the flash stands where the shoot says
	args    []string
}

// lines are the demonstration, the examples, and many combinations of what a
// shoot may be made of: the lists have lengths without common factor, so that
// stepping through all at once pairs them in ever new ways.
func lines(t *testing.T) []line {
	every := []string{"--method", "sync,hss,nd,scrim,scrim+hss,scrim+nd,nd+hss,scrim+nd+hss," +
		"open-shade,reflector,reflector+sync"}
	list := []line{
		{camera: thirds, args: every},
		{camera: thirds, args: append([]string{"--background", "-1"}, every...)},
		{camera: thirds, args: []string{"--sky", "broken", "--step", "30m"}},
		// The sun goes round the face, from one side of the camera to the other.
		{camera: thirds, args: append([]string{"--from", "07:00", "--to", "18:30", "--facing", "160", "--step",
			"30m"}, every...)},
	}
	examples, err := filepath.Glob("../../examples/*.toml")
	require.NoError(t, err)
	require.NotEmpty(t, examples)
	for _, file := range examples {
		list = append(list, line{shoot: file})
	}

	places := [...][]string{ // 7
		{"--at", "54.33,10.15", "--tz", "Europe/Berlin"},
		{"--at", "-33.86,151.21", "--tz", "Australia/Sydney"},
		{"--at", "69.65,18.96", "--tz", "Europe/Oslo", "--elevation", "400"},
		{"--at", "1.3,103.8", "--tz", "Asia/Singapore"},
		{"--at", "-14.28,-170.7", "--tz", "Pacific/Pago_Pago"},
		{"--at", "64.15,-21.94", "--tz", "Atlantic/Reykjavik"},
		{"--at", "37.5,-105.9", "--tz", "America/Denver", "--elevation", "2300"},
	}
	windows := [...][]string{ // 5; clock times, so that polar days have them
		{"--from", "07:00", "--to", "09:00", "--step", "30m"},
		{"--from", "15:30", "--to", "19:30", "--step", "45m"},
		{"--from", "11:00", "--to", "14:00", "--step", "1h"},
		{"--from", "22:30", "--to", "00:30", "--step", "40m"},
		{"--from", "17:00", "--to", "18:30", "--step", "13m"},
	}
	dates := [...]string{"2027-03-28", "2027-06-21", "2026-12-21", "2028-02-29"} // 4
	looks := [...][]string{                                                      // 13
		{"--ratio", "3"}, {"--ratio", "1.5"}, {"--ratio", "8"}, {"--ratio", "3", "--background-at-most", "any"},
		{"--ratio", "2", "--bias", "-0.7"}, {"--ratio", "2", "--background", "-1.5"}, {"--ratio", "3", "--background", "0"},
		{"--ratio", "4", "--bias", "1", "--background-at-most", "0.5"}, {"--background", "1", "--bias", "0.3"},
		{"--ratio", "2", "--background-at-most", "3"}, {"--ratio", "1.2", "--background-at-most", "any"},
		{"--ratio", "6", "--background", "-0.5"}, {"--ratio", "2.5", "--background-at-most", "-1"},
	}
	skies := [...][]string{ // 11
		{"--sky", "clear"}, {"--sky", "hazy"}, {"--sky", "thin"}, {"--sky", "broken"}, {"--sky",
			"overcast"}, {"--sky", "heavy"},
		{"--okta", "0"}, {"--okta", "4"}, {"--okta", "8"}, {"--turbidity", "1.5"}, {"--turbidity", "6"},
	}
	facings := [...]string{"backlit", "front", "left", "right", "0", "135", "250", "310"} // 8
	cameras := [...]camera{thirds, halves, full, wholeAndThirds, halves, thirds}          // 6
	lenses := [...]optics{                                                                // 5
		{"widest = 1.4\nnarrowest = 16\naperture = 2.8\nslowest = \"1/60\"\n", 6},
		{"focal_length_mm = 200\nwidest = 2.8\nnarrowest = 22\naperture = 4\nslowest = \"1/125\"\n", 7},
		{"focal_length_mm = 35\nwidest = 1.4\nnarrowest = 22\naperture = 8\nslowest = \"1/15\"\n", 4},
		{"widest = 2\nnarrowest = 16\naperture = 2\nslowest = \"1/60\"\n", 6},
		{"focal_length_mm = 24\nwidest = 4\nnarrowest = 32\naperture = 5.6\nslowest = \"1/30\"\n", 5},
	}
	flashes := [...]string{ // 7
		"kit = \"speedlight-60\"\n",
		"kit = \"compact-36\"\nmodifier = \"white-umbrella\"\ndistance_m = 1.2\n",
		"kit = \"strobe-400\"\nunits = 2\nmodifier = \"octa-150-double\"\ngel = \"full-cto\"\n",
		"kit = \"speedlight-60\"\nunits = 4\ndistance_m = 3\nzoom_mm = 200\nmodifier = \"bare\"\nderate_stops = 0\n",
		"kit = \"strobe-400\"\nmodifier = \"dish\"\ndistance_m = 4\ngel = \"half-ctb\"\n",
		"kit = \"plain-head\"\nmodifier = \"grid-15\"\n" +
			"[[kit.flash]]\nname = \"plain-head\"\nguide_number_m = 45\nguide_number_zoom_mm = 0\n" +
			"high_speed_sync = false\nsteps = \"half\"\n",
		"kit = \"short-burst\"\ndistance_m = 1\n" +
			"[[kit.flash]]\nname = \"short-burst\"\nguide_number_m = 60\nguide_number_zoom_mm = 0\n" +
			"plateau_ms = 5\nlowest_power = \"1/512\"\n",
	}
	carried := [...]string{ // 4
		"[scrim]\nkit = \"overhead-240x240\"\nheight_m = 1.2\ntilt_deg = 30\n[filters]\nnd_stops = [1.5, 10]\n" +
			"[reflector]\nkit = \"white-120x180\"\n",
		"[scrim]\nkit = \"panel-180x180\"\ndistance_m = 1\n[filters]\nnd_stops = [3, 6]\n" +
			"[reflector]\nkit = \"silver-100x100\"\nangle_deg = 35\ndistance_m = 2\n",
		"[shade]\nsky_share = 0.5\n",
		"[scrim]\nkit = \"panel-120x180\"\ndistance_m = 0.8\n[filters]\nkit = [\"nd-2\", \"nd-4\"]\n" +
			"[reflector]\nkit = \"silver-120x180\"\nangle_deg = -45\ndistance_m = 1\n",
	}
	angles := [...][]string{nil, {"--flash-angle", "30"}, nil, {"--flash-angle", "-20"}, nil,
		{"--flash-angle", "0"}, {"--flash-angle", "45"}}
	// Beside every third of them, where that leaves the flash a place of its own:
	// strong, weak, without high-speed sync, off the axis.
	fills := [...]string{ // 5
		"[fill]\nkit = \"strobe-400\"\nunits = 2\ndistance_m = 1.2\nmodifier = \"white-umbrella\"\n",
		"[fill]\nkit = \"compact-36\"\ndistance_m = 3\n",
		"[fill]\nkit = \"strobe-400\"\nunits = 4\nangle_deg = 10\n",
		"[fill]\nkit = \"second-head\"\nangle_deg = -30\ndistance_m = 1\n" +
			"[[kit.flash]]\nname = \"second-head\"\nguide_number_m = 50\nguide_number_zoom_mm = 0\n" +
			"high_speed_sync = false\nsteps = \"full\"\n",
		"[fill]\nkit = \"speedlight-60\"\nunits = 4\ndistance_m = 1\nangle_deg = -25\n",
	}
	const combinations = 100
	for i := range combinations {
		c, lens, angle := cameras[i%len(cameras)], lenses[i%len(lenses)], angles[i/4%len(angles)]
		l := line{
			camera: c, slowest: lens.slowest, angle: angle != nil,
			toml: c.toml + "[lens]\n" + lens.toml + "[flash]\n" + flashes[i%len(flashes)] + carried[i%len(carried)],
		}
		if i%3 == 0 && (angle == nil || angle[1] == "30" || angle[1] == "45") {
			l.toml += fills[i/3%len(fills)]
		}
		for _, some := range [...][]string{places[i%len(places)], windows[i%len(windows)], {"--date", dates[i/2%len(dates)]},
			looks[i%len(looks)], skies[i%len(skies)], {"--facing", facings[i/3%len(facings)]}, angle, every} {
			l.args = append(l.args, some...)
		}
		list = append(list, l)
	}
	return list
}

// planJSON runs a command line and returns what it prints.
func planJSON(t *testing.T, l line) []byte {
	t.Helper()
	args := append([]string{"timeline", "--format", "json"}, l.args...)
	switch {
	case l.shoot != "":
		args = append(args, "--shoot", l.shoot)
	case l.toml != "":
		file := filepath.Join(t.TempDir(), "shoot.toml")
		require.NoError(t, os.WriteFile(file, []byte(l.toml), 0o600))
		args = append(args, "--shoot", file)
	}
	var stdout, stderr bytes.Buffer
	code := Run(context.Background(), Process{
		Args: args, Stdout: &stdout, Stderr: &stderr, Getenv: func(string) string { return "" }, Now: noon,
	})
	require.Contains(t, []int{exitDone, exitOutOfReach}, code, "%v: %s", args, stderr.String())
	return stdout.Bytes()
}

// onScale returns the exact value of a nominal one: scales run in equal
// fractions of a stop from 1, whatever the rounded numbers engraved (ISO
// 2720:1974 has them as powers of two).
func onScale(nominal, from, perStop, clicks float64) float64 {
	stops := math.Round(math.Log2(nominal/from)/perStop*clicks) / clicks
	return from * math.Exp2(stops*perStop)
}

func TestScales(t *testing.T) {
	// The exact values are powers of the square root of two, and of two.
	for _, c := range []struct{ nominal, clicks, exact float64 }{
		{5.6, 1, 5.65685}, {11, 1, 11.31371}, {22, 3, 22.62742}, {13, 3, 12.69921}, {13, 2, 13.45434}, {3.5, 3,
			3.56359}, {6.7, 2, 6.72717},
	} {
		assert.InDelta(t, c.exact, onScale(c.nominal, 1, 0.5, c.clicks), 1e-5, "f/%v", c.nominal)
	}
	for _, c := range []struct{ nominal, clicks, exact float64 }{{125, 3, 125.9921}, {160, 3, 158.7401},
		{6400, 1, 6400}, {50, 3, 50}, {280, 2, 282.8427}} {
		assert.InDelta(t, c.exact, onScale(c.nominal, 100, 1, c.clicks), 1e-4, "ISO %v", c.nominal)
	}
}

// misses gathers deviations in stops.
type misses struct {
	n           int
	squares     float64
	worst       float64
	worstDetail string
}

func (m *misses) add(stops float64, detail string) {
	m.n++
	m.squares += stops * stops
	if math.Abs(stops) > m.worst {
		m.worst, m.worstDetail = math.Abs(stops), detail
	}
}

func (m *misses) String() string {
	return fmt.Sprintf("%d, RMS %.4f, worst %.4f stop (%s)", m.n, math.Sqrt(m.squares/float64(max(m.n, 1))),
		m.worst, m.worstDetail)
}

// TestJSON plans all lines once and looks at the JSON of each from three sides.
func TestJSON(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	all := lines(t)
	texts := make([][]byte, len(all))
	for i, l := range all {
		texts[i] = planJSON(t, l)
	}
	t.Run("recomputed", func(t *testing.T) { recompute(t, all, texts) })
	t.Run("one place", func(t *testing.T) { onePlace(t, all, texts) })
	t.Run("contract", func(t *testing.T) { honour(t, all, texts) })
}

// reckoning is what recomputed pictures came to.
type reckoning struct {
	exposure, ratio, background, told misses
	rows, bounces, shades             int
	fills, pairs                      int            // pictures with a fill, and with flash and fill
	outcomes                          map[string]int // by method and outcome
	problems                          map[string]int
}

// recompute works every picture out again.
func recompute(t *testing.T, all []line, texts [][]byte) {
	k := &reckoning{outcomes: map[string]int{}, problems: map[string]int{}}
	for i := range all {
		k.plan(t, &all[i], texts[i])
	}
	for _, method := range [...]string{"sync", "hss", "nd", "scrim", "scrim+hss", "scrim+nd", "nd+hss", "scrim+nd+hss",
		"open-shade", "reflector+sync"} {
		assert.Greater(t, k.outcomes[method+" held"], 40, "rows of %s that hold the look", method)
	}
	assert.Greater(t, k.rows, 3000)
	assert.Greater(t, k.bounces, 300, "pictures beside a reflector that is up")
	assert.Greater(t, k.shades, 300, "pictures in open shade")
	assert.Greater(t, k.fills, 200, "pictures with a fill that fires")
	assert.Greater(t, k.pairs, 100, "pictures with flash and fill")
	t.Logf("%d pictures with a fill, %d with the flash too", k.fills, k.pairs)
	t.Logf("%d command lines, %d method rows", len(all), k.rows)
	for _, what := range slices.Sorted(maps.Keys(k.outcomes)) {
		t.Logf("  %s: %d", what, k.outcomes[what])
	}
	t.Logf("problems: %v", k.problems)
	t.Logf("key side from normal plus bias, held or softer: %v", &k.exposure)
	t.Logf("lighting ratio from the one asked, held: %v", &k.ratio)
	t.Logf("background from its offset, or over its limit, held or softer: %v", &k.background)
	t.Logf("reported against recomputed: %v", &k.told)
}

// plan works the pictures of one plan out.
func (k *reckoning) plan(t *testing.T, l *line, text []byte) {
	var p planned
	require.NoError(t, json.Unmarshal(text, &p))
	require.NotEmpty(t, p.Rows, "%v", l.args)
	for r := range p.Rows {
		row := &p.Rows[r]
		where := strings.TrimSpace(fmt.Sprintf("%s at %s: %s %v", p.Look.Kind, row.Time, l.shoot, l.args))
		assert.InDelta(t, math.Log2(row.Light.Lit/2.5), row.Light.LitEV, 0.002, "lit_ev100, %s", where)
		assert.InEpsilon(t, row.Light.Key/row.Light.Shadow, row.Light.Ratio, 1e-4, "ambient_ratio, %s", where)
		for m := range row.Methods {
			k.picture(t, l, &p, row, &row.Methods[m], row.Methods[m].Method+", "+where)
		}
	}
}

// picture works one picture out, and holds it against what the plan says of it
// and against what its outcome claims.
func (k *reckoning) picture(t *testing.T, l *line, p *planned, row *plannedRow, m *picture, where string) {
	k.rows++
	k.outcomes[m.Method+" "+m.Outcome]++
	k.settings(t, l, m, where)
	k.flash(t, l, row, m, where)

	need := 250 * m.ApertureExact * m.ApertureExact / m.ISOExact * math.Exp2(m.ND)
	key, shadow := m.Key*m.Seconds+m.OnKey, m.Shadow*m.Seconds+m.OnShadow
	off := math.Log2(key/need) - p.Look.Bias
	harder := math.Log2(key / shadow / p.Look.Ratio)
	k.same(t, off, m.Exposure, "exposure_offset_stops, "+where)
	k.same(t, math.Log2(key/shadow), math.Log2(m.Ratio), "ratio, "+where)
	k.same(t, math.Log2(m.Lit*m.Seconds/need), m.Rim, "rim_offset_stops, "+where)
	facing := max(0, math.Cos(m.Angle*math.Pi/180)) * m.Flash
	if m.Fill != nil {
		facing += max(0, math.Cos(m.Fill.Angle*math.Pi/180)) * m.Fill.Flash
	}
	k.same(t, math.Log2((m.Face*m.Seconds+facing)/need), m.FaceOffset, "face_offset_stops, "+where)

	over := 0.0 // of the background
	assert.Equal(t, row.Light.BackgroundEV == nil, m.Background == nil, "background_offset_stops, %s", where)
	if row.Light.BackgroundEV != nil && m.Background != nil {
		offset := *row.Light.BackgroundEV - m.ev()
		k.same(t, offset, *m.Background, "background_offset_stops, "+where)
		switch {
		case p.Look.Background != nil:
			over = offset - *p.Look.Background
		case p.Look.AtMost != nil:
			over = max(0, offset-*p.Look.AtMost)
		}
	}

	if m.Outcome == "missed" {
		if assert.NotNil(t, m.Problem, "missed without a problem, %s", where) {
			assert.NotEmpty(t, m.Problem.Kind, where)
			assert.NotEmpty(t, m.Problem.Text, where)
			k.problems[m.Problem.Kind]++
		}
		return
	}
	assert.Nil(t, m.Problem, "a problem of what succeeds, %s", where)
	assert.Empty(t, m.Cures, "cures of what succeeds, %s", where)
	const digits = 0.002 // six digits of light, and three decimals of EV
	within := l.camera.tolerance() + digits
	assert.LessOrEqual(t, math.Abs(off), within, "exposure, %s", where)
	assert.LessOrEqual(t, math.Abs(over), within, "background, %s", where)
	assert.LessOrEqual(t, harder, within, "harder than asked, %s", where)
	k.exposure.add(off, where)
	k.background.add(over, where)
	switch m.Outcome {
	case "held":
		assert.GreaterOrEqual(t, harder, -within, "held, but softer, %s", where)
		k.ratio.add(harder, where)
	case "softer":
		assert.Less(t, harder, -within+2*digits, "softer, but held, %s", where)
		if !m.ScrimUp && m.Method != "open-shade" {
			assert.GreaterOrEqual(t, harder, -1-digits, "softer than softer may be, %s", where)
		}
	default:
		assert.Fail(t, "no such outcome", "%s, %s", m.Outcome, where)
	}
	if p.Look.Kind == "background" {
		assert.NotNil(t, row.Light.BackgroundEV, "a background held that nobody knows, %s", where)
	}
}

// same compares what the plan says with what comes out here.
func (k *reckoning) same(t *testing.T, want, got float64, what string) {
	const rounded = 0.002 // three decimals of stops, four of the ratio
	assert.InDelta(t, want, got, rounded, what)
	k.told.add(want-got, what)
}

// settings checks what camera, lens and method allow.
func (k *reckoning) settings(t *testing.T, l *line, m *picture, where string) {
	const exactly = 1e-6
	if c := &l.camera; c.clicks > 0 {
		assert.InEpsilon(t, onScale(m.Aperture, 1, 0.5, c.clicks), m.ApertureExact, exactly, "aperture_exact, %s", where)
		assert.InEpsilon(t, onScale(m.ISO, 100, 1, c.isoClicks), m.ISOExact, exactly, "iso_exact, %s", where)
		if !strings.Contains(m.Method, "hss") {
			assert.GreaterOrEqual(t, math.Log2(m.Seconds), -c.sync-exactly, "faster than the sync speed, %s", where)
		}
	}
	if l.slowest > 0 {
		// A hand-held speed that is no click of the camera is the next slower.
		assert.LessOrEqual(t, math.Log2(m.Seconds), -l.slowest+exactly, "slower than by hand, %s", where)
	}
	if !strings.Contains(m.Method, "nd") {
		assert.Zero(t, m.ND, "a filter, %s", where)
	}
	assert.False(t, m.ScrimUp && !strings.Contains(m.Method, "scrim"), "a scrim, %s", where)
	assert.Less(t, math.Abs(math.Log2(spoken(t, m.Shutter)/m.Seconds)), 0.2, "shutter %s is %v s, %s", m.Shutter,
		m.Seconds, where)
}

// around checks the light without flash: under the open sky that of the sky;
// beside a reflector what the JSON says that it adds; in open shade a share of
// the sky's light and all of the ground's, which is level light times half the
// ground's reflectance, 0.2 where a shoot does not say it.
func (k *reckoning) around(t *testing.T, l *line, row *plannedRow, m *picture, where string) {
	open := &row.Light
	const six = 5e-6 // significant digits of each light, at the worst
	switch {
	case m.ScrimUp:
	case m.Reflector != nil && m.Reflector.Turn != "down":
		k.bounces++
		assert.InDelta(t, open.Key+m.Reflector.Key, m.Key, six*(open.Key+m.Key), "key side beside a reflector, %s", where)
		assert.InDelta(t, open.Shadow+m.Reflector.Shadow, m.Shadow, six*(open.Shadow+m.Shadow),
			"shadow side beside a reflector, %s", where)
	case m.SkyShare != nil:
		if l.toml != "" {
			k.shades++
			ground := 0.2 / 2 * open.Level
			assert.InEpsilon(t, *m.SkyShare*(open.Shade-ground)+ground, m.Face, 1e-5, "face in open shade, %s", where)
		}
	default:
		assert.Equal(t, [4]float64{open.Lit, open.Face, open.Key, open.Shadow}, [4]float64{m.Lit, m.Face, m.Key, m.Shadow},
			"other light than the open sky's, %s", where)
	}
	assert.Equal(t, m.Method == "open-shade", m.SkyShare != nil, "sky_share, %s", where)
	if m.Method == "reflector" {
		assert.Equal(t, "none", m.Role, where)
	}
}

// flash checks what the plan says of the flash, and of the light without it.
func (k *reckoning) flash(t *testing.T, l *line, row *plannedRow, m *picture, where string) {
	k.around(t, l, row, m, where)
	assert.LessOrEqual(t, math.Abs(m.Angle), 45., "flash angle, %s", where)
	onKey, onShadow := shares(m.Flash, m.Angle)
	const six = 1e-5 // digits
	all := m.Flash
	if f := m.Fill; f != nil {
		all += f.Flash
		key, shadow := shares(f.Flash, f.Angle)
		assert.InDelta(t, key, f.OnKey, six*f.Flash, "fill on the key side, %s", where)
		assert.InDelta(t, shadow, f.OnShadow, six*f.Flash, "fill on the shadow side, %s", where)
		onKey, onShadow = onKey+key, onShadow+shadow
	}
	assert.InDelta(t, onKey, m.OnKey, six*all, "flash on the key side, %s", where)
	assert.InDelta(t, onShadow, m.OnShadow, six*all, "flash on the shadow side, %s", where)

	none := m.Role == "none"
	assert.Equal(t, none, m.Headroom == nil, "headroom_stops, %s", where)
	assert.Equal(t, none, m.Recycle == nil, "recycle_s, %s", where)
	assert.Equal(t, m.Flash == 0, m.Power == nil, "flash_power, %s", where)
	assert.Equal(t, m.Flash == 0, m.PowerText == nil, "flash_power_text, %s", where)
	assert.Equal(t, m.Flash == 0, m.Meter == nil, "flash_meter_f_number, %s", where)
	assert.Equal(t, none, all == 0, "light of the flashes, %s", where)
	if none || m.Headroom == nil {
		return
	}
	lacks := 0.0
	if p := m.Problem; p != nil && (p.Kind == "flash-too-weak" || p.Kind == "fill-too-weak") && p.Stops != nil {
		lacks = *p.Stops
	}
	k.same(t, k.spare(t, m, where)-lacks, *m.Headroom, "headroom_stops, "+where)
	if m.Outcome != "missed" {
		assert.GreaterOrEqual(t, *m.Headroom, 0., "headroom, %s", where)
	}
	was, is := m.Key/m.Shadow, (m.Key*m.Seconds+m.OnKey)/(m.Shadow*m.Seconds+m.OnShadow)
	switch m.Role {
	case "key":
		assert.Greater(t, is, was, "a key that does not raise the ratio, %s", where)
	case "fill":
		assert.LessOrEqual(t, is, was*(1+six), "a fill that raises the ratio, %s", where)
	default:
		assert.Fail(t, "no such role", "%s, %s", m.Role, where)
	}
}

// shares are what a flash from an angle in degrees gives the two sides.
func shares(light, angle float64) (key, shadow float64) {
	a := angle * math.Pi / 180
	return light * math.Cos(math.Pi/4-a), light * math.Cos(math.Pi/4+a)
}

// spare returns the least of the stops to full power of the flashes that fire,
// and checks what a meter reads of each.
func (k *reckoning) spare(t *testing.T, m *picture, where string) float64 {
	least := math.Inf(1)
	if m.Power != nil && m.Meter != nil {
		least = -math.Log2(*m.Power)
		assert.InEpsilon(t, math.Sqrt(m.Flash*m.ISOExact/250), *m.Meter, 1e-3, "flash_meter_f_number, %s", where)
	}
	f := m.Fill
	if f == nil || f.Flash == 0 {
		return least
	}
	if k.fills++; m.Flash > 0 {
		k.pairs++
	}
	if assert.NotNil(t, f.Power, where) && assert.NotNil(t, f.Meter, where) && assert.NotNil(t, f.Headroom, where) {
		k.same(t, -math.Log2(*f.Power), *f.Headroom, "headroom of the fill, "+where)
		assert.InEpsilon(t, math.Sqrt(f.Flash*m.ISOExact/250), *f.Meter, 1e-3, "meter of the fill, %s", where)
		least = min(least, -math.Log2(*f.Power))
	}
	assert.LessOrEqual(t, *f.Recycle, *m.Recycle+0.01, "recycling, %s", where)
	return least
}

// onePlace checks that the flash of a method stands at one place through the
// window, or at two where the plan says that it is moved. Where the key side
// changes, a flash that stays put has its angle with the other sign.
func onePlace(t *testing.T, all []line, texts [][]byte) {
	runs, moved := 0, 0
	for i, l := range all {
		var p planned
		require.NoError(t, json.Unmarshal(texts[i], &p))
		where := fmt.Sprintf("%s %v", l.shoot, l.args)
		minutes := map[int]bool{}
		named := map[string]bool{}
		for _, r := range p.Runs {
			runs++
			named[r.Method] = true
			minutes[r.Held+r.Softer+r.Missed] = true
			places := []float64{math.Abs(r.Flash.Angle)}
			if r.Moved != nil {
				moved++
				places = append(places, math.Abs(r.Moved.Angle))
			}
			stands := map[float64]bool{} // to the camera's left, deg
			fills := map[float64]bool{}
			for _, row := range p.Rows {
				if r.Case != nil && row.Case != nil && *r.Case != *row.Case {
					continue
				}
				for _, m := range row.Methods {
					if m.Method != r.Method {
						continue
					}
					assert.Contains(t, places, math.Abs(m.Angle), "%s at %s: %s", m.Method, row.Time, where)
					left := m.Angle
					if row.Light.KeySide == "right" {
						left = -left
					}
					stands[left+0] = true
					if assert.Equal(t, r.Fill == nil, m.Fill == nil, where); m.Fill != nil {
						fill := m.Fill.Angle
						if row.Light.KeySide == "right" {
							fill = -fill
						}
						fills[fill+0] = true
						assert.InDelta(t, math.Abs(r.Fill.Angle), math.Abs(fill), 1e-9, where)
						assert.NotEqual(t, m.Fill.Angle, m.Angle, "two flashes in one place: %s", where)
					}
				}
			}
			assert.LessOrEqual(t, len(fills), 1, "%s, the fill stands at %v: %s", r.Method, fills, where)
			assert.LessOrEqual(t, len(stands), len(places), "%s stands at %v: %s", r.Method, stands, where)
			if l.angle {
				assert.Len(t, stands, 1, "%s was told where to stand: %s", r.Method, where)
			}
		}
		assert.Len(t, minutes, 1, "minutes of the runs, %s", where)
		assert.True(t, named[p.Verdict.Method], "verdict for %q, %s", p.Verdict.Method, where)
		for _, r := range p.Rows {
			assert.Contains(t, []string{"left", "right"}, r.Light.KeySide)
		}
	}
	assert.Positive(t, moved, "runs in which the flash is moved")
	t.Logf("%d runs, the flash moved in %d", runs, moved)
}

// contract lists the keys of the JSON with what may stand under them: one may
// be null only where its key ends in "?".
var contract = map[string][]string{
	"": {"schema", "name", "demonstration", "place", "look", "events", "runs", "verdict", "rows", "wind?",
		"picture", "packing", "checks", "cautions"},
	"place":  {"name", "latitude_deg", "longitude_deg", "elevation_m", "time_zone"},
	"look":   {"kind", "ratio", "background_stops?", "background_at_most_stops?", "bias_stops"},
	"events": {"name", "time", "azimuth_deg"},
	"runs": {"method", "case?", "flash", "fill?", "minutes_held", "minutes_softer", "minutes_missed",
		"least_headroom_stops?"},
	"flash":   {"angle_deg", "side?", "bearing_deg", "distance_m"},
	"verdict": {"method", "from?", "until?", "text"},
	"rows":    {"time", "facing_deg", "sun", "condition", "case?", "light", "methods"},
	"sun": {"altitude_deg", "true_altitude_deg", "azimuth_deg", "bearing", "visible", "in_frame", "flare",
		"in_eyes"},
	"light": {"direct_normal_lux", "diffuse_horizontal_lux", "level_lux", "lit_lux", "shade_lux", "face_lux",
		"key_side_lux",
		"shadow_side_lux", "key_side", "lit_ev100", "shade_ev100", "sky_ev100?", "background_ev100?",
		"ambient_ratio", "band_stops",
		"shade_band_stops", "level_band_stops", "background_band_stops", "lit_cct_k?", "shade_cct_k?", "face_cct_k?",
		"key_side_cct_k?"},
	"methods": {"method", "outcome", "problem?", "cures", "iso", "iso_exact", "aperture", "aperture_exact",
		"shutter", "shutter_s",
		"nd_stops", "lit_lux", "shade_lux", "face_lux", "key_side_lux", "shadow_side_lux", "role", "flash_power?",
		"flash_power_text?",
		"units", "flash_angle_deg", "flash_side?", "flash_lux_seconds", "flash_key_side_lux_seconds",
		"flash_shadow_side_lux_seconds",
		"flash_meter_f_number?", "headroom_stops?", "ratio", "exposure_offset_stops", "background_offset_stops?",
		"rim_offset_stops",
		"face_offset_stops", "scrim_up", "scrim_in_frame", "recycle_s?", "gel?", "gel_mired", "fill?", "rim?",
		"reflector?", "sky_share?"},
	"reflector": {"turn", "angle_deg", "side?", "bearing_deg", "distance_m", "key_side_lux", "shadow_side_lux", "in_frame"},
	"fill":      {"angle_deg", "side?"},
	"problem":   {"kind", "stops?", "text"},
	"cures":     {"kind", "value?", "text"},
	"packing":   {"item", "count", "text"},
	"picture": {"method", "white_balance_k", "key_side_cct_k", "densest_nd_stops", "densest_nd_from?", "focus_before_nd",
		"flash_beam?"},
	"flash_beam": {"falls_to", "below_face_m", "fall_off_stops", "least_fall_with_daylight_stops",
		"most_fall_with_daylight_stops", "pool_model", "pool_within_one_stop", "pool_within_two_stops", "frame",
		"less_at_sides_stops?", "less_at_top_and_bottom_stops?", "less_at_figure_corners_stops?"},
	"checks": {"check", "value", "name", "text"},
}

// checkKeys walks the JSON and returns what breaks the contract.
func checkKeys(name string, v any) (faults []string) {
	switch v := v.(type) {
	case map[string]any:
		for _, key := range contract[name] {
			bare, nullable := strings.CutSuffix(key, "?")
			one, there := v[bare]
			switch {
			case !there:
				faults = append(faults, name+" lacks "+bare)
			case one == nil && !nullable:
				faults = append(faults, name+"."+bare+" is null")
			}
		}
		for key, one := range v {
			faults = append(faults, checkKeys(key, one)...)
		}
	case []any:
		for _, one := range v {
			faults = append(faults, checkKeys(name, one)...)
		}
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			faults = append(faults, name+" is not finite")
		}
	}
	return faults
}

// honour checks the JSON against the contract: its keys, its times, and the
// order of its rows.
func honour(t *testing.T, all []line, texts [][]byte) {
	for i, l := range all {
		text := texts[i]
		where := fmt.Sprintf("%s %v", l.shoot, l.args)
		var tree map[string]any
		require.NoError(t, json.Unmarshal(text, &tree))
		assert.Empty(t, checkKeys("", tree), where)
		assert.Equal(t, "evenfall/timeline/2", tree["schema"])
		assert.NotEmpty(t, tree["cautions"])

		var p planned
		require.NoError(t, json.Unmarshal(text, &p))
		zone, err := time.LoadLocation(p.Place.Zone)
		require.NoError(t, err)
		moment := func(text string) time.Time {
			at, err := time.Parse(time.RFC3339, text)
			require.NoError(t, err, where)
			assert.Equal(t, at.In(zone).Format(time.RFC3339), text, "the offset is not the zone's, %s", where)
			return at
		}
		switch p.Look.Kind {
		case "background":
			assert.NotNil(t, p.Look.Background, where)
			assert.Nil(t, p.Look.AtMost, where)
		default:
			assert.Equal(t, "ratio", p.Look.Kind, where)
			assert.Nil(t, p.Look.Background, where)
		}

		var last time.Time
		for _, e := range p.Events {
			at := moment(e.Time)
			assert.False(t, at.Before(last), "events out of order, %s", where)
			last = at
		}
		if len(p.Rows) > 0 && len(p.Events) > 0 {
			assert.Equal(t, p.Rows[0].Time[:len(time.DateOnly)], p.Events[0].Time[:len(time.DateOnly)],
				"events of another day than the window starts in, %s", where)
		}
		last = time.Time{}
		lastCase := ""
		for _, r := range p.Rows {
			at := moment(r.Time)
			if r.Case != nil && *r.Case == "cloud" {
				assert.True(t, at.Equal(last) && lastCase == "sun", "cloud comes after sun, at the same moment, %s", where)
			} else {
				assert.True(t, at.After(last), "rows out of order, %s", where)
			}
			last, lastCase = at, ""
			if r.Case != nil {
				lastCase = *r.Case
			}
		}
	}
}

// spoken reads a nominal shutter time: 1/250, or 0.5s.
func spoken(t *testing.T, text string) float64 {
	t.Helper()
	var v float64
	format, of := "1/%g", func(v float64) float64 { return 1 / v }
	if strings.HasSuffix(text, "s") {
		format, of = "%gs", func(v float64) float64 { return v }
	}
	_, err := fmt.Sscanf(text, format, &v)
	require.NoError(t, err, "shutter %q", text)
	return of(v)
}
