package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

var update = flag.Bool("update", false, "write the golden files anew")

func render(t testing.TB, p *plan.Plan, f Format, o Options) string {
	t.Helper()
	return written(t, func(w io.Writer) error { return Timeline(w, p, f, o) })
}

func written(t testing.TB, write func(io.Writer) error) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write(&b))
	return b.String()
}

// golden compares with a file, or writes it anew.
func golden(t *testing.T, file, got string) {
	t.Helper()
	path := filepath.Join("testdata", file)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

func TestTimelineGolden(t *testing.T) {
	for _, c := range []struct {
		file    string
		plan    *plan.Plan
		format  Format
		options Options
	}{
		{"sample-80.txt", sample(t), Text, Options{Demonstration: true}},
		{"sample-120.txt", sample(t), Text, Options{Width: 120}},
		{"sample-60-ascii.txt", sample(t), Text, Options{Width: 60, ASCII: true}},
		{"sample-80-color.txt", sample(t), Text, Options{Width: 80, Color: true}},
		{"broken-80.txt", broken(t), Text, Options{Width: 80}},
		{"night-80.txt", night(t), Text, Options{Width: 80}},
		{"sample.json", sample(t), JSON, Options{}},
		{"broken.json", broken(t), JSON, Options{}},
		{"broken.csv", broken(t), CSV, Options{}},
		{"broken.md", broken(t), Markdown, Options{}},
	} {
		t.Run(c.file, func(t *testing.T) { golden(t, c.file, render(t, c.plan, c.format, c.options)) })
	}
}

// renamed returns the plan with everything that people name renamed.
func renamed(p *plan.Plan, name string) *plan.Plan {
	s := p.Shoot
	s.Name, s.Place.Name, s.Camera.Name, s.Lens.Name = name, name, name, name
	unit := *s.Flash.Unit
	unit.Name = name
	s.Flash.Unit = &unit
	s.Flash.Modifier.Name, s.Flash.Gel.Name = name, name
	s.Scrim = &scene.Scrim{Name: name, Width: 1, Length: 2, Loss: 1, Height: 1}
	s.Filters = []shoot.Filter{{Name: name, Loss: 2}}
	s.Subject.Figure.Name = name
	for i := range p.Rows {
		for j := range p.Rows[i].Methods {
			m := &p.Rows[i].Methods[j]
			if m.Problem != nil {
				m.Problem.Text = name
				m.Cures = []plan.Cure{{Text: name}, {Text: name}}
			}
		}
	}
	for i := range p.Methods {
		p.Methods[i].Text = name
	}
	return p
}

var names = map[string]string{
	"letters without a space": strings.Repeat("Wintergarten", 17)[:200],
	"words":                   strings.Repeat("by the old mill, ", 12),
	"wide":                    strings.Repeat("水車小屋", 50),
	"combining":               strings.Repeat("e\u0301", 100),
	"pipes and marks":         strings.Repeat("a|b*c_d`e<f>[g](h) \\| # &amp; ", 7),
	"empty":                   "",
}

func TestTextKeepsTheWidth(t *testing.T) {
	for what, name := range names {
		for _, width := range []int{60, 72, 80, 100, 120, 200} {
			for _, ascii := range []bool{false, true} {
				for _, p := range []*plan.Plan{sample(t), broken(t), night(t), renamed(sample(t), name), renamed(broken(t), name)} {
					for i, l := range strings.Split(render(t, p, Text, Options{Width: width, ASCII: ascii}), "\n") {
						require.LessOrEqual(t, cells(l), width, "%s, line %d: %s", what, i+1, l)
						require.Equal(t, strings.TrimRight(l, " "), l, "line %d ends in spaces", i+1)
					}
				}
			}
		}
	}
}

func TestWidthOutOfRange(t *testing.T) {
	assert.Equal(t, render(t, sample(t), Text, Options{Width: 80}), render(t, sample(t), Text, Options{}))
	assert.Equal(t, render(t, sample(t), Text, Options{Width: 60}), render(t, sample(t), Text, Options{Width: 3}))
}

func TestWhatAWidthLeavesOutIsSaid(t *testing.T) {
	assert.Contains(t, render(t, broken(t), Text, Options{Width: 60}), "Left out for want of width: ")
	assert.NotContains(t, render(t, sample(t), Text, Options{Width: 120}), "Left out")
}

func TestSignsAreExplainedOnce(t *testing.T) {
	for _, p := range []*plan.Plan{sample(t), broken(t)} {
		assert.Equal(t, 1, strings.Count(render(t, p, Text, Options{}), words{}.marks(hasCases(p))))
	}
}

func TestASCII(t *testing.T) {
	for what, name := range names {
		for _, f := range Formats {
			for _, p := range []*plan.Plan{sample(t), broken(t), night(t), renamed(broken(t), name)} {
				out := render(t, p, f, Options{ASCII: true})
				at := strings.IndexFunc(out, func(r rune) bool { return r >= utf8.RuneSelf })
				require.Equal(t, -1, at, "%s, %s", f, what)
			}
		}
	}
	// JSON loses nothing by it, letters beyond the first plane included.
	p := renamed(sample(t), "Mühlteich 水車 𝄞")
	assert.JSONEq(t, render(t, p, JSON, Options{}), render(t, p, JSON, Options{ASCII: true}))
}

func TestControlCharactersAreShownNotObeyed(t *testing.T) {
	evil := "a\x1b[31mb\u202ec\u009bd\x07e\rf\ng\th\u2028i\x00j\x7fk\xffl\u2066m\U000e0041n"
	for _, f := range Formats {
		for _, p := range []*plan.Plan{renamed(sample(t), evil), renamed(broken(t), evil)} {
			out := render(t, p, f, Options{})
			if f == CSV {
				out = strings.ReplaceAll(out, "\r\n", "\n") // its line ends
			}
			require.True(t, utf8.ValidString(out), f)
			for _, r := range out {
				require.False(t, r != '\n' && hidden(r), "%s lets %U through", f, r)
			}
			require.Contains(t, strings.ReplaceAll(out, `\\`, `\`), `\u001b`, f)
		}
	}
	var got struct{ Name string }
	require.NoError(t, json.Unmarshal([]byte(render(t, renamed(sample(t), evil), JSON, Options{})), &got))
	assert.Equal(t, strings.ToValidUTF8(evil, "\ufffd"), got.Name, "JSON keeps the name, escaped")
}

var colors = regexp.MustCompile("\x1b\\[[0-9;]*m")

func TestColorIsOnlyAnAid(t *testing.T) {
	for _, p := range []*plan.Plan{sample(t), broken(t)} {
		without := render(t, p, Text, Options{})
		with := render(t, p, Text, Options{Color: true})
		assert.NotContains(t, without, "\x1b")
		assert.Contains(t, with, "\x1b[31m")
		assert.Equal(t, without, colors.ReplaceAllString(with, ""))
		for _, f := range []Format{JSON, CSV, Markdown} {
			assert.NotContains(t, render(t, p, f, Options{Color: true}), "\x1b", f)
		}
	}
}

// contract is the design of the format: what every document has to carry.
const contract = `{"schema": "", "place": {"name": "", "latitude_deg": 0, "longitude_deg": 0, "elevation_m": 0, "time_zone": ""},
 "look": {"kind": "", "ratio": 0, "dark_sky_stops": 0, "bias_stops": 0},
 "events": [{"name": "", "time": "", "azimuth_deg": 0}],
 "rows": [{"time": "", "case": "",
   "sun": {"altitude_deg": 0, "true_altitude_deg": 0, "azimuth_deg": 0, "bearing": "", "visible": true},
   "condition": "",
   "light": {"direct_normal_lux": 0, "diffuse_horizontal_lux": 0, "level_lux": 0, "lit_lux": 0, "shade_lux": 0, "face_lux": 0,
     "lit_ev100": 0, "shade_ev100": 0, "sky_ev100": 0, "ambient_ratio": 0,
     "band_stops": [0], "shade_band_stops": [0], "level_band_stops": [0], "lit_cct_k": 0, "shade_cct_k": 0},
   "methods": [{"method": "", "feasible": true, "problem": "", "cures": [""],
     "iso": 0, "aperture": 0, "shutter": "", "shutter_s": 0, "nd_stops": 0, "lit_lux": 0, "shade_lux": 0, "face_lux": 0,
     "role": "", "flash_power": 0, "flash_power_text": "", "units": 0, "flash_lux_seconds": 0, "headroom_stops": 0,
     "ratio": 0, "exposure_offset_stops": 0, "background_offset_stops": 0, "recycle_s": 0, "gel": {}}]}],
 "cautions": [""]}`

// checkContract compares a document with the contract, kind by kind; null goes
// for anything, and keys may be added.
func checkContract(t *testing.T, path string, want, got any) {
	t.Helper()
	if got == nil {
		return
	}
	switch want := want.(type) {
	case map[string]any:
		object, ok := got.(map[string]any)
		require.True(t, ok, "%s is no object", path)
		for key, v := range want {
			require.Contains(t, object, key, path)
			checkContract(t, path+"."+key, v, object[key])
		}
	case []any:
		list, ok := got.([]any)
		require.True(t, ok, "%s is no list", path)
		for _, v := range list {
			checkContract(t, path+"[]", want[0], v)
		}
	default:
		require.IsType(t, want, got, path)
	}
}

func TestJSONKeepsTheContract(t *testing.T) {
	var want any
	require.NoError(t, json.Unmarshal([]byte(contract), &want))
	for _, p := range []*plan.Plan{sample(t), broken(t), night(t)} {
		var got map[string]any
		require.NoError(t, json.Unmarshal([]byte(render(t, p, JSON, Options{})), &got))
		checkContract(t, "", want, got)
		assert.Equal(t, "evenfall/timeline/1", got["schema"])
		assert.Len(t, got["rows"], len(p.Rows))
	}
}

// decoded is a document read back.
func decoded(t *testing.T, p *plan.Plan) *timeline {
	t.Helper()
	var out timeline
	d := json.NewDecoder(strings.NewReader(render(t, p, JSON, Options{})))
	d.DisallowUnknownFields()
	require.NoError(t, d.Decode(&out))
	return &out
}

func TestJSONValues(t *testing.T) {
	p := sample(t)
	got := decoded(t, p)
	assert.Equal(t, "2026-09-12T17:00:00+01:00", got.Rows[0].Time)
	assert.Equal(t, "2026-09-12T19:29:20+01:00", got.Events[4].Time)
	assert.Nil(t, got.Look.Dark)
	for i, r := range got.Rows {
		assert.Nil(t, r.Case)
		for j, m := range r.Methods {
			s := &p.Rows[i].Methods[j]
			assert.InDelta(t, s.Settings.Shutter.Seconds(), *m.ShutterExact, 1e-12)
			assert.InDelta(t, s.Settings.Aperture.FNumber(), *m.ApertureExact, 1e-9)
			assert.InDelta(t, s.Power.Fraction(), *m.Power, 1e-12)
			assert.InEpsilon(t, float64(s.Added), *m.Added, 1e-5)
			assert.InEpsilon(t, float64(s.Ambient.Lit), *m.Lit, 1e-5)
			assert.Equal(t, s.Feasible, m.Problem == nil)
			assert.NotNil(t, m.Cures)
		}
	}
	assert.Equal(t, 13.0, *got.Rows[0].Methods[0].Aperture, "nominal")
	assert.Equal(t, 0.86, *got.Rows[0].Methods[1].ProblemStops)
	assert.Equal(t, -0.86, *got.Rows[0].Methods[1].Headroom)

	got = decoded(t, broken(t))
	assert.Nil(t, got.Look.Ratio)
	assert.Equal(t, 1.5, *got.Look.Dark)
	assert.Nil(t, got.Rows[0].Case)
	assert.Equal(t, "sun", *got.Rows[4].Case)
	assert.Equal(t, "cloud", *got.Rows[5].Case)
	none := got.Rows[5].Methods[1]
	assert.Equal(t, "none", none.Role)
	assert.Nil(t, none.Power)
	assert.Nil(t, none.PowerText)
	assert.Nil(t, none.Headroom)
}

func TestJSONHasNoValueForWhatIsNotFinite(t *testing.T) {
	p := night(t)
	nan := sky.Stops(math.NaN())
	p.Rows[1].Light.LitBand = sky.Band{Low: nan, High: sky.StopsOf(0)}
	p.Rows[1].Methods[0].Ratio = math.Inf(1)
	p.Rows[1].Methods[0].Exposure = nan
	got := decoded(t, p).Rows[1]
	assert.Nil(t, got.Light.LitEV, "no light has no exposure value")
	assert.Nil(t, got.Light.AmbientRatio)
	assert.Equal(t, [2]figure{}, got.Light.Band)
	assert.Nil(t, got.Methods[0].Ratio)
	assert.Nil(t, got.Methods[0].Exposure)
	assert.Nil(t, got.Methods[0].Background)
	for _, f := range []Format{Text, CSV, Markdown} {
		assert.NotRegexp(t, `NaN|Inf`, render(t, p, f, Options{Width: 120}), f)
	}
}

func TestCSVReadsBack(t *testing.T) {
	for _, p := range []*plan.Plan{sample(t), broken(t), night(t), renamed(broken(t), "a,\"b\"\nc")} {
		out := render(t, p, CSV, Options{})
		assert.Equal(t, strings.Count(out, "\n"), strings.Count(out, "\r\n"))
		lines, err := csv.NewReader(strings.NewReader(out)).ReadAll()
		require.NoError(t, err)
		head := lines[0]
		seen := map[string]int{}
		for i, name := range head {
			require.NotContains(t, seen, name)
			seen[name] = i
		}
		require.Len(t, lines, 1+len(p.Rows)*len(p.Shoot.Methods))
		for i, l := range lines[1:] {
			r := &p.Rows[i/len(p.Shoot.Methods)]
			s := &r.Methods[i%len(p.Shoot.Methods)]
			assert.Equal(t, s.Method.String(), l[seen["method"]])
			assert.Equal(t, s.Settings.Shutter.String(), l[seen["shutter"]])
			assert.Equal(t, caseWord(r.Condition, r.Case), l[seen["case"]])
			assert.Equal(t, s.Role == plan.None, l[seen["flash_power"]] == "")
		}
	}
}

func TestMarkdownTablesHold(t *testing.T) {
	escaped := regexp.MustCompile(`\\.`)
	for what, name := range names {
		for _, p := range []*plan.Plan{sample(t), broken(t), night(t), renamed(broken(t), name)} {
			columns, tables := 0, 0
			for _, l := range strings.Split(render(t, p, Markdown, Options{}), "\n") {
				bare := escaped.ReplaceAllString(l, "")
				if !strings.HasPrefix(l, "|") {
					assert.NotContains(t, bare, "|", what)
					columns = 0
					continue
				}
				if columns == 0 {
					columns = strings.Count(bare, "|")
					tables++
				}
				require.Equal(t, columns, strings.Count(bare, "|"), "%s: %s", what, l)
			}
			assert.GreaterOrEqual(t, tables, 2)
		}
	}
	out := render(t, renamed(sample(t), "<b>|x|</b> _y_"), Markdown, Options{})
	assert.Contains(t, out, `# \<b\>\|x\|\</b\> \_y\_`)
}

// A table is rows that all formats tell alike: each time and each setting.
func TestEveryFormatHasEveryRow(t *testing.T) {
	for _, p := range []*plan.Plan{sample(t), broken(t)} {
		for _, f := range Formats {
			out := render(t, p, f, Options{Width: 120})
			for _, r := range p.Rows {
				require.Contains(t, out, r.Time.Format("15:04"), f)
				for _, s := range r.Methods {
					if s.Problem == nil {
						require.Contains(t, out, s.Settings.Shutter.String(), f)
					} else {
						require.Contains(t, out, s.Problem.Text[:10], f)
					}
				}
			}
			for _, c := range Cautions(p.Shoot) {
				require.Contains(t, render(t, p, Markdown, Options{}), literal.Replace(c))
			}
		}
	}
}

func TestEmptyWindow(t *testing.T) {
	p := sample(t)
	p.Rows = nil
	for _, f := range Formats {
		out := render(t, p, f, Options{})
		assert.NotEmpty(t, out, f)
	}
	assert.Contains(t, render(t, p, Text, Options{}), Cautions(p.Shoot)[0][:20], "cautions always come")
}

type failing struct{ after int }

var errDiskFull = errors.New("disk full")

func (f *failing) Write(b []byte) (int, error) {
	if len(b) > f.after {
		return f.after, errDiskFull
	}
	return len(b), nil
}

type short struct{}

func (short) Write(b []byte) (int, error) { return len(b) / 2, nil }

func TestWriteErrorsAreReported(t *testing.T) {
	for _, f := range Formats {
		assert.ErrorIs(t, Timeline(&failing{10}, sample(t), f, Options{}), errDiskFull, f)
		assert.ErrorIs(t, Timeline(short{}, sample(t), f, Options{}), io.ErrShortWrite, f)
	}
	assert.ErrorContains(t, Timeline(io.Discard, sample(t), Format(9), Options{}), "format")
}

func TestParseFormat(t *testing.T) {
	for _, f := range Formats {
		got, err := ParseFormat(f.String())
		require.NoError(t, err)
		assert.Equal(t, f, got)
	}
	for _, s := range []string{"", "JSON", "html", "te\x1bxt"} {
		_, err := ParseFormat(s)
		require.Error(t, err)
		assert.NotContains(t, err.Error(), "\x1b")
	}
}

func TestCautions(t *testing.T) {
	with, without := Cautions(sample(t).Shoot), Cautions(broken(t).Shoot)
	assert.Contains(t, with[0], "panel", "a scrim is carried")
	assert.Contains(t, strings.Join(with, " "), "high-speed sync")
	for _, list := range [][]string{with, without} {
		all := strings.Join(list, " ")
		for _, word := range []string{"Wind", "sandbag", "sun through a lens", "drivers", "animals", "flashing light", "burn",
			"lithium", "rain", "water", "Thunder"} {
			assert.Contains(t, all, word)
		}
		last := list[len(list)-1]
		for _, word := range []string{"Local rules", "venue", "licensed", "riggers", "electricians"} {
			assert.Contains(t, last, word)
		}
		assert.InDelta(t, 8, len(list), 1, "short enough to be read")
	}
	assert.NotContains(t, strings.Join(without[:1], " "), "overhead is")
}

// A gel or modifier of no name shows by its figures.
func TestUnnamedKit(t *testing.T) {
	p := sample(t)
	p.Shoot.Flash.Gel = flash.Gel{Loss: 0.5, Shift: 81}
	p.Shoot.Flash.Modifier = flash.Modifier{Loss: 2}
	p.Shoot.Look.Bias = 1.5
	out := strings.Join(strings.Fields(render(t, p, Text, Options{})), " ")
	assert.Contains(t, out, "gel 81 mired (0.5 stop)")
	assert.Contains(t, out, "modifier (2 stops)")
	assert.Contains(t, out, "lit side +1.5 stops")
}

func BenchmarkTimeline(b *testing.B) {
	p := sample(b)
	for _, f := range Formats {
		b.Run(f.String(), func(b *testing.B) {
			for b.Loop() {
				if err := Timeline(io.Discard, p, f, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
