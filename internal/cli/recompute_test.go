package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The tests of this file know the plan from its JSON alone. They work the
// exposure out again from the camera's settings, the ambient light and what
// the flash adds, by the relations of exposure meters (ISO 2720:1974, C = 250
// lx s for a flat receptor): 250 N^2/S lx s at the subject are exposed
// normally, and 2.5 * 2^EV lx is the incident light of an EV at ISO 100.

// planned is the part of the JSON that a plan is recomputed from.
type planned struct {
	Look struct {
		Kind  string
		Ratio *float64
		Dark  *float64 `json:"dark_sky_stops"`
		Bias  float64  `json:"bias_stops"`
	}
	Place struct {
		Zone string `json:"time_zone"`
	}
	Events []struct{ Name, Time string }
	Rows   []struct {
		Time  string
		Case  *string
		Light struct {
			SkyEV float64 `json:"sky_ev100"`
			Lit   float64 `json:"lit_lux"`
			LitEV float64 `json:"lit_ev100"`
			Shade float64 `json:"shade_lux"`
			Ratio float64 `json:"ambient_ratio"`
		}
		Methods []struct {
			Method     string
			Feasible   bool
			Problem    *string
			Cures      []string
			ISO        float64
			Aperture   float64
			Shutter    string
			Seconds    float64 `json:"shutter_s"`
			ND         float64 `json:"nd_stops"`
			Lit        float64 `json:"lit_lux"`
			Shade      float64 `json:"shade_lux"`
			Face       float64 `json:"face_lux"`
			Role       string
			Power      *float64 `json:"flash_power"`
			PowerText  *string  `json:"flash_power_text"`
			Recycle    *float64 `json:"recycle_s"`
			Added      float64  `json:"flash_lux_seconds"`
			Headroom   *float64 `json:"headroom_stops"`
			Ratio      float64
			Exposure   float64 `json:"exposure_offset_stops"`
			Background float64 `json:"background_offset_stops"`
		}
	}
}

// camera is a body as a shoot file describes it, with what the JSON does not
// say: how many clicks make a stop, and the exact sync speed.
type camera struct {
	toml          string
	clicks        float64 // of the aperture in a stop
	isoClicks     float64
	stopsFromSync float64 // of 1 s; 1/200 is 7 2/3 stops faster
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
sync = "1/60"
fastest = "1/4000"
`, 1, 3, 6}
)

// line is one command line with its shoot file and the camera in it.
type line struct {
	shoot  string // a file; empty for the demonstration
	toml   string // or the text of one
	camera camera
	args   []string
}

// lines are the demonstration, the examples, and many combinations of what a
// shoot may be made of: the lists have lengths without common factor, so that
// stepping through all at once pairs them in ever new ways.
func lines() []line {
	list := []line{
		{camera: thirds},
		{camera: thirds, args: []string{"--dark-sky", "1"}},
		{camera: thirds, args: []string{"--sky", "broken", "--step", "30m"}},
		{camera: thirds, shoot: "../../examples/beach-summer-south.toml"},
		{camera: halves, shoot: "../../examples/harbour-autumn.toml"},
		{camera: thirds, shoot: "../../examples/midnight-sun.toml"},
		{camera: thirds, shoot: "../../examples/tropics-overcast.toml"},
	}
	// The example cameras that are not the kit's own sync speed.
	list[3].camera.stopsFromSync = 7 + 1./3 // 1/160
	list[6].camera.stopsFromSync = 8        // 1/250

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
		{"--from", "07:00", "--to", "11:00", "--step", "80"},
		{"--from", "15:30", "--to", "19:30", "--step", "60"},
		{"--from", "10:00", "--to", "16:00", "--step", "2h"},
		{"--from", "22:30", "--to", "01:30", "--step", "90"},
		{"--from", "17:00", "--to", "18:30", "--step", "15"},
	}
	dates := [...]string{"2027-03-28", "2027-06-21", "2026-12-21", "2028-02-29"} // 4
	looks := [...][]string{                                                      // 9
		{"--ratio", "3"}, {"--ratio", "1.5"}, {"--ratio", "8"}, {"--dark-sky", "1.5"}, {"--ratio", "2", "--bias", "-0.7"},
		{"--dark-sky", "0.3", "--bias", "0.3"}, {"--ratio", "4", "--bias", "1"}, {"--dark-sky", "3"}, {"--ratio", "1.1"},
	}
	skies := [...][]string{ // 11
		{"--sky", "clear"}, {"--sky", "hazy"}, {"--sky", "thin"}, {"--sky", "broken"}, {"--sky", "overcast"}, {"--sky", "heavy"},
		{"--okta", "0"}, {"--okta", "4"}, {"--okta", "8"}, {"--turbidity", "1.5"}, {"--turbidity", "6"},
	}
	facings := [...]string{"backlit", "front", "left", "right", "0", "135", "250", "310"} // 8
	cameras := [...]camera{thirds, halves, full, wholeAndThirds, halves, thirds}          // 6
	lenses := [...]string{                                                                // 5
		"widest = 1.4\nnarrowest = 16\naperture = 2.8\n",
		"focal_length_mm = 200\nwidest = 2.8\nnarrowest = 22\naperture = 4\n",
		"focal_length_mm = 35\nwidest = 1.4\nnarrowest = 22\naperture = 8\nslowest = \"1/15\"\n",
		"widest = 2\nnarrowest = 16\naperture = 2\n",
		"focal_length_mm = 24\nwidest = 4\nnarrowest = 32\naperture = 5.6\nslowest = \"1/30\"\n",
	}
	flashes := [...]string{ // 7
		"kit = \"speedlight-60\"\n",
		"kit = \"compact-36\"\nmodifier = \"white-umbrella\"\ndistance_m = 1.2\n",
		"kit = \"strobe-400\"\nunits = 2\nmodifier = \"octa-150-double\"\ngel = \"full-cto\"\n",
		"kit = \"speedlight-60\"\nunits = 4\ndistance_m = 3\nzoom_mm = 200\nderate_stops = 0\n",
		"kit = \"strobe-400\"\nmodifier = \"dish\"\ndistance_m = 4\ngel = \"half-ctb\"\n",
		"kit = \"plain-head\"\nmodifier = \"grid-15\"\n[[kit.flash]]\nname = \"plain-head\"\nguide_number_m = 45\nhigh_speed_sync = false\nsteps = \"half\"\n",
		"kit = \"short-burst\"\ndistance_m = 1\n[[kit.flash]]\nname = \"short-burst\"\nguide_number_m = 60\nplateau_ms = 5\nlowest_power = \"1/512\"\n",
	}
	carried := [...]string{ // 4
		"[scrim]\nkit = \"overhead-240x240\"\nheight_m = 1.2\ntilt_deg = 30\n[filters]\nnd_stops = [1.5, 10]\n",
		"[scrim]\nkit = \"panel-180x180\"\ndistance_m = 1\n[filters]\nnd_stops = [3, 6]\n",
		"",
		"[scrim]\nkit = \"panel-120x180\"\ndistance_m = 0.8\n[filters]\nkit = [\"nd-2\", \"nd-4\"]\n",
	}
	const combinations = 90
	for i := range combinations {
		c := cameras[i%len(cameras)]
		l := line{camera: c, toml: c.toml + "[lens]\n" + lenses[i%len(lenses)] + "[flash]\n" + flashes[i%len(flashes)] + carried[i%len(carried)]}
		for _, some := range [...][]string{places[i%len(places)], windows[i%len(windows)], {"--date", dates[i/2%len(dates)]},
			looks[i%len(looks)], skies[i%len(skies)], {"--facing", facings[i/3%len(facings)]}} {
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
		Args: args, Stdout: &stdout, Stderr: &stderr,
		Getenv: func(string) string { return "" },
		Now:    time.Date(2027, time.September, 18, 12, 0, 0, 0, time.UTC),
	})
	require.Contains(t, []int{0, 3}, code, "%v: %s", args, stderr.String())
	return stdout.Bytes()
}

// onScale returns the exact value of a nominal one: scales run in equal
// fractions of a stop from 1, whatever the rounded numbers engraved (ISO
// 2720:1974 has them as powers of two). perStop is how far the logarithm to
// the base two goes with a stop.
func onScale(nominal, from, perStop, clicks float64) float64 {
	stops := math.Round(math.Log2(nominal/from)/perStop*clicks) / clicks
	return from * math.Exp2(stops*perStop)
}

func TestScales(t *testing.T) {
	// The exact values are powers of the square root of two, and of two.
	for _, c := range []struct{ nominal, clicks, exact float64 }{
		{5.6, 1, 5.65685}, {11, 1, 11.31371}, {22, 3, 22.62742}, {13, 3, 12.69921}, {13, 2, 13.45434}, {3.5, 3, 3.56359}, {6.7, 2, 6.72717},
	} {
		assert.InDelta(t, c.exact, onScale(c.nominal, 1, 0.5, c.clicks), 1e-5, "f/%v", c.nominal)
	}
	for _, c := range []struct{ nominal, clicks, exact float64 }{{125, 3, 125.9921}, {160, 3, 158.7401}, {6400, 1, 6400}, {50, 3, 50}, {280, 2, 282.8427}} {
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
	return fmt.Sprintf("RMS %.4f, worst %.4f stop (%s)", math.Sqrt(m.squares/float64(max(m.n, 1))), m.worst, m.worstDetail)
}

// TestJSON plans all lines once and looks at the JSON of each from two sides.
func TestJSON(t *testing.T) {
	all := lines()
	texts := make([][]byte, len(all))
	for i, l := range all {
		texts[i] = planJSON(t, l)
	}
	t.Run("recomputed", func(t *testing.T) { recompute(t, all, texts) })
	t.Run("contract", func(t *testing.T) { honour(t, all, texts) })
}

// recompute works the exposure of every row out again.
func recompute(t *testing.T, all []line, texts [][]byte) {
	const (
		most    = 1./6 + 0.001 // the bar, and a little for six digits of light
		rounded = 0.02         // what is reported against what comes out here
	)
	var exposure, look, told misses
	rows, feasible := 0, map[string]int{}
	for i, l := range all {
		var p planned
		require.NoError(t, json.Unmarshal(texts[i], &p))
		require.NotEmpty(t, p.Rows, "%v", l.args)
		for _, r := range p.Rows {
			assert.InDelta(t, math.Log2(r.Light.Lit/2.5), r.Light.LitEV, 0.002, "lit_ev100 of %v", l.args)
			assert.InEpsilon(t, r.Light.Lit/r.Light.Shade, r.Light.Ratio, 1e-4, "ambient_ratio of %v", l.args)
			for _, m := range r.Methods {
				rows++
				if !m.Feasible {
					continue
				}
				feasible[m.Method]++
				where := strings.TrimSpace(fmt.Sprintf("%s %s at %s: %s %v", p.Look.Kind, m.Method, r.Time, l.shoot, l.args))

				n := onScale(m.Aperture, 1, 0.5, l.camera.clicks)
				s := onScale(m.ISO, 100, 1, l.camera.isoClicks)
				need := 250 * n * n / s * math.Exp2(m.ND)
				lit, shade, face := m.Lit*m.Seconds, m.Shade*m.Seconds, m.Face*m.Seconds
				ev := math.Log2(n*n/m.Seconds*100/s) + m.ND
				background := r.Light.SkyEV - ev

				main := lit
				if p.Look.Dark != nil {
					main = face
				}
				off := math.Log2((main+m.Added)/need) - p.Look.Bias
				assert.LessOrEqual(t, math.Abs(off), most, "exposure, %s", where)
				assert.InDelta(t, off, m.Exposure, rounded, "exposure_offset_stops, %s", where)
				exposure.add(off, where)
				told.add(off-m.Exposure, where)

				assert.InDelta(t, background, m.Background, rounded, "background_offset_stops, %s", where)
				told.add(background-m.Background, where)
				if p.Look.Dark != nil {
					assert.LessOrEqual(t, math.Abs(background+*p.Look.Dark), most, "sky, %s", where)
					look.add(background+*p.Look.Dark, where)
				} else {
					ratio := (lit + m.Added) / shade
					if m.Role == "fill" {
						ratio = (lit + m.Added) / (shade + m.Added)
					}
					assert.LessOrEqual(t, math.Abs(math.Log2(ratio / *p.Look.Ratio)), most, "ratio, %s", where)
					assert.InDelta(t, 0, math.Log2(ratio/m.Ratio), rounded, "ratio told, %s", where)
					look.add(math.Log2(ratio / *p.Look.Ratio), where)
					told.add(math.Log2(ratio/m.Ratio), where)
				}

				switch m.Role {
				case "none":
					assert.Zero(t, m.Added, "flash without a role, %s", where)
				default:
					assert.Positive(t, m.Added, "%s", where)
					require.NotNil(t, m.Headroom, "%s", where)
					assert.GreaterOrEqual(t, *m.Headroom, 0., "%s", where)
				}
				if !strings.Contains(m.Method, "hss") {
					assert.GreaterOrEqual(t, math.Log2(m.Seconds), -l.camera.stopsFromSync-1e-9, "faster than the sync speed, %s", where)
				}
				if !strings.Contains(m.Method, "nd") {
					assert.Zero(t, m.ND, "a filter, %s", where)
				}
				if !strings.Contains(m.Method, "scrim") {
					assert.Equal(t, [2]float64{r.Light.Lit, r.Light.Shade}, [2]float64{m.Lit, m.Shade}, "no scrim, %s", where)
				}
			}
		}
	}
	for _, method := range [...]string{"sync", "hss", "nd", "scrim", "scrim+hss"} {
		assert.Greater(t, feasible[method], 50, "rows of %s that hold the look", method)
	}
	t.Logf("%d command lines, %d method rows, of which hold the look %d: %v", len(all), rows, exposure.n, feasible)
	t.Logf("exposure: %v", &exposure)
	t.Logf("ratio or sky: %v", &look)
	t.Logf("reported against recomputed: %v", &told)
}

// contract lists the keys of the JSON with what may stand under them: a number
// may be null only where its key ends in "?".
var contract = map[string][]string{
	"":       {"schema", "place", "look", "events", "rows", "cautions"},
	"place":  {"name", "latitude_deg", "longitude_deg", "elevation_m", "time_zone"},
	"look":   {"kind", "ratio?", "dark_sky_stops?", "bias_stops"},
	"events": {"name", "time", "azimuth_deg"},
	"rows":   {"time", "sun", "condition", "case?", "light", "methods"},
	"sun":    {"altitude_deg", "true_altitude_deg", "azimuth_deg", "bearing", "visible"},
	"light": {"direct_normal_lux", "diffuse_horizontal_lux", "level_lux", "lit_lux", "shade_lux", "face_lux", "lit_ev100",
		"shade_ev100", "sky_ev100", "ambient_ratio", "band_stops", "shade_band_stops", "level_band_stops", "lit_cct_k?", "shade_cct_k?"},
	"methods": {"method", "feasible", "problem?", "cures", "iso", "aperture", "shutter", "shutter_s", "nd_stops", "lit_lux",
		"shade_lux", "face_lux", "role", "flash_power?", "flash_power_text?", "units", "flash_lux_seconds", "headroom_stops?",
		"ratio", "exposure_offset_stops", "background_offset_stops", "recycle_s?", "gel?"},
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

// honour checks the JSON against the contract: its keys, times, and what has to
// be null with what.
func honour(t *testing.T, all []line, texts [][]byte) {
	for i, l := range all {
		text := texts[i]
		where := fmt.Sprintf("%s %v", l.shoot, l.args)
		var tree map[string]any
		require.NoError(t, json.Unmarshal(text, &tree))
		assert.Empty(t, checkKeys("", tree), where)
		assert.Equal(t, "evenfall/timeline/1", tree["schema"])
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
		assert.True(t, (p.Look.Ratio == nil) != (p.Look.Dark == nil), "one look, %s", where)

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
			for _, m := range r.Methods {
				what := m.Method + " at " + r.Time + ": " + where
				none := m.Role == "none"
				assert.Contains(t, []string{"none", "fill", "key"}, m.Role, what)
				assert.Equal(t, none, m.Headroom == nil, "headroom_stops, %s", what)
				assert.Equal(t, none, m.Power == nil, "flash_power, %s", what)
				assert.Equal(t, none, m.PowerText == nil, "flash_power_text, %s", what)
				assert.Equal(t, none, m.Recycle == nil, "recycle_s, %s", what)
				assert.Equal(t, m.Feasible, m.Problem == nil, "problem, %s", what)
				if m.Feasible {
					assert.Empty(t, m.Cures, what)
				}
				assert.Less(t, math.Abs(math.Log2(spoken(t, m.Shutter)/m.Seconds)), 0.2, "shutter %s is %v s, %s", m.Shutter, m.Seconds, what)
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
