package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/report"
	"evenfall/internal/report/text"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// studio is the library with kit of the photographer's own.
func studio(t *testing.T) *report.Kit {
	own, err := shootfile.ParseKit("/home/someone/kit.toml", []byte(`
[[flash]]
name = "pocket"
guide_numbers = [{zoom_mm = 24, number_m = 12}, {zoom_mm = 50, number_m = 16}]
high_speed_losses = [{shutter = "1/250", loss_stops = 1.8}, {shutter = "1/2000", loss_stops = 5.1}]
derate_stops = -0.3
[[flash]]
name = "plain"
guide_numbers = [{zoom_mm = 35, number_m = 20}]
high_speed_sync = false
[[gel]]
name = "straw | <b>*größe*"
shift_mired = 90
source = "metered"
[[filter]]
name = "odd"
loss_stops = 6.64
`))
	require.NoError(t, err)
	l, err := shootfile.KitWith(own)
	require.NoError(t, err)
	return &report.Kit{Library: l, Kinds: shoot.KitKinds[:], Own: "/home/someone/kit.toml", Found: true}
}

func kitAs(t *testing.T, k *report.Kit, f report.Format, o report.Options) string {
	var b bytes.Buffer
	require.NoError(t, k.Report().Write(&b, f, o))
	return b.String()
}

// shown is a report on a terminal.
func shown(t *testing.T, r *report.Report, o text.Options) string {
	var b bytes.Buffer
	require.NoError(t, text.Write(&b, &r.Document, o))
	return b.String()
}

// columns is the width of a terminal that a line takes, an East Asian letter
// two, an accent none (Unicode Standard Annex 11); enough for the names used here.
func columns(s string) int {
	n := 0
	for _, r := range strings.ReplaceAll(s, "\u0301", "") {
		if n++; r >= 0x1100 && r <= 0xffdc && r != '−' && (r < 0x2000 || r > 0x2bff) {
			n++
		}
	}
	return n
}

func TestKitFitsTheWidth(t *testing.T) {
	k := studio(t)
	k.Blocks = map[shoot.KitKind]string{shoot.FlashKit: "[[flash]]\nname = \"größe\"\n"}
	for _, name := range []string{"", "pocket", "plain", "overhead-240x240", "octa-90-double", "full-cto", "nd-6",
		"crop-250"} {
		k.Name = name
		for _, width := range []int{60, 80, 120} {
			for _, plain := range []bool{false, true} {
				for _, l := range strings.Split(shown(t, k.Report(), text.Options{Width: width, Plain: plain}), "\n") {
					assert.LessOrEqual(t, columns(l), width, l)
				}
			}
		}
		all := shown(t, k.Report(), text.Options{ASCII: true, Full: true})
		for _, f := range []report.Format{report.JSON, report.CSV, report.Markdown} {
			all += kitAs(t, k, f, report.Options{ASCII: true})
		}
		for _, r := range all {
			require.Less(t, r, rune(0x80))
		}
	}
}

// Names of any length and script.
func TestKitOfStrangeNames(t *testing.T) {
	for _, name := range []string{strings.Repeat("x", 200), strings.Repeat("水車小屋", 16),
		strings.Repeat("e\u0301", 60), "=1+1|", "a b"} {
		own, err := shootfile.ParseKit("kit.toml", []byte(fmt.Sprintf("[[gel]]\nname = %s\nshift_mired = 9\n",
			quoted(name))))
		require.NoError(t, err)
		l, err := shootfile.KitWith(own)
		require.NoError(t, err)
		for _, only := range []string{"", name} {
			k := &report.Kit{Library: l, Kinds: shoot.KitKinds[:], Name: only, Own: "/\x1b[31m\u202e/kit.toml"}
			for _, width := range []int{60, 80, 120} {
				for _, line := range strings.Split(shown(t, k.Report(), text.Options{Width: width}), "\n") {
					assert.LessOrEqual(t, columns(line), width, line)
					assert.NotContains(t, line, "\x1b")
					assert.NotContains(t, line, "\u202e")
				}
			}
			sheet := kitAs(t, k, report.CSV, report.Options{})
			assert.NotContains(t, sheet, ",=")
			assert.NotContains(t, sheet, "\x1b")
		}
	}
}

// quoted writes a TOML string.
func quoted(s string) string {
	b, _ := json.Marshal(s)
	return string(b)
}

func TestKitList(t *testing.T) {
	k := studio(t)
	list := shown(t, k.Report(), text.Options{Width: 120})
	for _, kind := range shoot.KitKinds {
		assert.Contains(t, list, "\n"+report.KitPlural(kind)+" ")
		for _, name := range k.Library.Names(kind) {
			assert.Contains(t, list, "\n"+name+" ")
		}
	}
	assert.Regexp(t, `(?m)^pocket .* kit\.toml$`, list)
	assert.Regexp(t, `(?m)^speedlight-60 .* library$`, list)
	assert.Contains(t, list, "Read from /home/someone/kit.toml")
	assert.Contains(t, shown(t, k.Report(), text.Options{Full: true}),
		"flashes per set: at full power, from one set of batteries\n")
	k.Kinds = []shoot.KitKind{shoot.ScrimKit}
	k.Found = false
	list = shown(t, k.Report(), text.Options{})
	assert.NotContains(t, list, "speedlight-60")
	assert.NotContains(t, list, "defined")
	assert.Contains(t, list, "None yet")
}

// Filters by what is marked on them: density 0.3 for each stop, and the factor
// of the exposure. 0.9 is 8 times, 3.0 is 1000 times (density is log10 of the
// opacity, ISO 5-2; the pairs are those that filters bear).
func TestKitFiltersByTheirMarks(t *testing.T) {
	k := studio(t)
	list := shown(t, k.Report(), text.Options{})
	assert.Regexp(t, `(?m)^nd-1 +1\.00 +0\.3 +2 `, list)
	assert.Regexp(t, `(?m)^nd-3 +3\.00 +0\.9 +8 `, list)
	assert.Regexp(t, `(?m)^nd-10 +10\.00 +3\.0 +1000 `, list)
	assert.Regexp(t, `(?m)^odd +6\.64 +2\.0 +100 `, list)
	for name, want := range map[string]string{
		"nd-3": "density 0.9, or factor 8\n", "nd-6": "density 1.8, or factor 64\n",
		"nd-10": "density 3.0, or factor 1000\n",
		"odd":   "density 2.0, or factor 100\n",
	} {
		k.Name = name
		assert.Contains(t, shown(t, k.Report(), text.Options{}), want)
	}
	k.Name = "nd-3"
	assert.Contains(t, shown(t, k.Report(), text.Options{}), "3-stop ND")
	assert.Contains(t, kitAs(t, k, report.Markdown, report.Options{}), "- **Marked**: density 0.9, or factor 8\n")
}

// Numbers of the speedlight worked by hand: GN 40 at 50 mm, less 0.7 stop is
// 40 * 2^-0.35 = 31.4, and at f/8 reaches 3.92 m; high-speed sync at 1/1000,
// exactly 1/1024 s, loses log2(0.016 * 1024) = 4.03 stops.
func TestKitShowsFlash(t *testing.T) {
	k := studio(t)
	k.Name = "speedlight-60"
	one := shown(t, k.Report(), text.Options{})
	assert.Regexp(t, `(?m)^ +50 +40\.0 +31\.4 +3\.9$`, one)
	assert.Regexp(t, `(?m)^1/1000 +4\.03 +11\.6 +4\.1$`, one)
	assert.Contains(t, one, "plateau of 16 ms")
	assert.Contains(t, one, "a system flash's instruction manual")
	assert.Contains(t, one, "150 flashes per set at full power, 600 at 1/4\n")
	assert.NotContains(t, one, "To paste")
	k.Blocks = map[shoot.KitKind]string{shoot.FlashKit: "[[flash]]\nname = \"speedlight-60\"\n"}
	one = shown(t, k.Report(), text.Options{})
	assert.Regexp(t,
		`To paste into a shoot; into a kit file of your own, as \[\[flash\]\] ─+\n\[\[flash\]\]\nname = "speedlight-60"\n$`, one)
	assert.Contains(t, kitAs(t, k, report.Markdown, report.Options{}),
		"```toml\n[[flash]]\nname = \"speedlight-60\"\n```\n")

	k.Name = "pocket"
	one = shown(t, k.Report(), text.Options{})
	assert.Regexp(t, `(?m)^1/2000 +5\.10 `, one)
	assert.NotContains(t, one, "1/500")
	assert.Contains(t, one, "Losses as stated")
	assert.Contains(t, one, "not stated") // where its numbers are from
	assert.Contains(t, one, "0.3 stop more than the guide numbers")

	k.Name = "plain"
	one = shown(t, k.Report(), text.Options{})
	assert.Regexp(t, `High-speed sync +none`, one)
	assert.NotContains(t, one, "shutter")
}

func TestKitJSON(t *testing.T) {
	k := studio(t)
	var got struct {
		Schema  string
		Cameras []map[string]any
		Flashes []map[string]any
		Gels    []map[string]any
		Filters []map[string]any
	}
	require.NoError(t, json.Unmarshal([]byte(kitAs(t, k, report.JSON, report.Options{})), &got))
	assert.Equal(t, "evenfall/kit/1", got.Schema)
	assert.Len(t, got.Cameras, len(k.Library.Cameras))
	assert.Len(t, got.Filters, len(k.Library.Filters))
	require.Len(t, got.Flashes, len(k.Library.Flashes))
	for i, u := range k.Library.Flashes {
		f := got.Flashes[i]
		assert.Equal(t, u.Name, f["name"])
		assert.Equal(t, float64(u.Derate), f["derate_stops"])
		guide := f["guide_numbers"].([]any)
		require.Len(t, guide, len(u.Guide))
		for j, g := range u.Guide {
			row := guide[j].(map[string]any)
			assert.Equal(t, g.Number, row["number_m"])
			assert.InDelta(t, g.Number*math.Exp2(-float64(u.Derate)/2)/8, row["reach_f8_iso100_m"], 0.001)
			if g.Zoom == 0 {
				assert.Nil(t, row["zoom_mm"])
			} else {
				assert.Equal(t, g.Zoom, row["zoom_mm"])
			}
		}
		for _, l := range f["high_speed_losses"].([]any) {
			row := l.(map[string]any)
			s, err := exposure.ParseShutter(row["shutter"].(string), exposure.Third)
			require.NoError(t, err)
			assert.InDelta(t, float64(u.HighSpeedLoss(s)), row["loss_stops"], 0.001)
			assert.InEpsilon(t, s.Seconds(), row["shutter_s"], 1e-9)
		}
		assert.Equal(t, u.HighSpeed, len(f["high_speed_losses"].([]any)) > 0)
	}
	last := got.Gels[len(got.Gels)-1]
	assert.Equal(t, "metered", last["source"])
	assert.Equal(t, "/home/someone/kit.toml", last["defined_in"])
	assert.Equal(t, "kit library", got.Gels[0]["defined_in"])
	pocket := got.Flashes[len(got.Flashes)-2]
	assert.Nil(t, pocket["source"])
	assert.Nil(t, pocket["plateau_ms"])
}

// Each value of the JSON is the library's own under its name: two that change
// places are found.
func TestKitJSONHasTheLibrary(t *testing.T) {
	k := studio(t)
	var got map[string]any
	require.NoError(t, json.Unmarshal([]byte(kitAs(t, k, report.JSON, report.Options{})), &got))
	check := func(list string, i int, want map[string]any) {
		item := got[list].([]any)[i].(map[string]any)
		for name, v := range want {
			if x, ok := v.(float64); ok && x != 0 {
				assert.InEpsilon(t, x, item[name], 1e-9, "%s %s", list, name)
				continue
			}
			assert.Equal(t, v, item[name], "%s %s", list, name)
		}
	}
	for i, c := range k.Library.Cameras {
		check("cameras", i, map[string]any{"kind": "camera", "name": c.Name, "sync": c.Sync.String(),
			"sync_s":  c.Sync.Seconds(),
			"fastest": c.Fastest.String(), "fastest_s": c.Fastest.Seconds(), "lowest_iso": c.Lowest.Speed(),
			"highest_iso": c.Highest.Speed(), "frame_height_mm": float64(c.FrameHeight)})
	}
	for i, u := range k.Library.Flashes {
		check("flashes", i, map[string]any{"kind": "flash", "name": u.Name, "recycle_full_s": u.RecycleFull.Seconds(),
			"recycle_floor_s": u.RecycleFloor.Seconds(), "flashes_per_set": u.FlashesPerSet, "burst_flashes": u.BurstLimit,
			"burst_rest_minutes": u.BurstRest.Minutes(), "lowest_power": u.LowestPower.String(),
			"lowest_power_fraction": u.LowestPower.Fraction(), "derate_stops": float64(u.Derate),
			"colour_k": float64(u.ColourTemperature()), "high_speed_sync": u.HighSpeed})
	}
	for i, m := range k.Library.Modifiers {
		if m.Size > 0 {
			check("modifiers", i, map[string]any{"kind": "modifier", "loss_stops": float64(m.Loss),
				"size_m": m.Size, "inside_zoom_mm": m.Zoom})
		}
	}
	for i, g := range k.Library.Gels {
		check("gels", i, map[string]any{"kind": "gel", "loss_stops": float64(g.Loss), "shift_mired": float64(g.Shift)})
	}
	for i, s := range k.Library.Scrims {
		check("scrims", i, map[string]any{"kind": "scrim", "width_m": s.Width, "length_m": s.Length,
			"loss_stops": float64(s.Loss)})
	}
	for i, r := range k.Library.Reflectors {
		surface := map[bool]string{true: "white", false: "silver"}[r.Gain == 1]
		check("reflectors", i, map[string]any{"kind": "reflector", "name": r.Name, "surface": surface, "width_m": r.Width,
			"length_m": r.Length, "reflectance": r.Reflectance, "gain": r.Gain})
	}
	for i, f := range k.Library.Filters {
		check("filters", i, map[string]any{"kind": "filter", "name": f.Name, "loss_stops": float64(f.Loss)})
	}
}

// Each value of the JSON stands in the CSV, in the row of its item and under
// its own name; lists are joined.
func TestKitCSV(t *testing.T) {
	k := studio(t)
	lines, err := csv.NewReader(strings.NewReader(kitAs(t, k, report.CSV, report.Options{}))).ReadAll()
	require.NoError(t, err)
	rows := map[string]map[string]string{}
	for _, l := range lines[1:] {
		row := map[string]string{}
		for i, v := range l {
			row[lines[0][i]] = v
		}
		rows[row["kind"]+" "+row["name"]] = row
	}
	var doc map[string]any
	require.NoError(t, json.Unmarshal([]byte(kitAs(t, k, report.JSON, report.Options{})), &doc))
	delete(doc, "schema")
	items, values := 0, 0
	for _, list := range doc {
		for _, one := range list.([]any) {
			item := one.(map[string]any)
			items++
			row := rows[fmt.Sprint(item["kind"], " ", item["name"])]
			require.NotNil(t, row, "%v", item["name"])
			for name, want := range item {
				if elements, ok := want.([]any); ok {
					for field := range fields(elements) {
						require.Equal(t, joined(elements, field), row[name+"_"+field], "%v %s", item["name"], name)
						values++
					}
					continue
				}
				got, known := row[name]
				require.True(t, known, "%s is lost", name)
				require.Equal(t, value(want), got, "%v %s", item["name"], name)
				values++
			}
		}
	}
	assert.Len(t, rows, items)
	assert.Greater(t, values, 300)
	assert.Equal(t, "20; 24; 28; 35; 50; 70; 85; 105; 200", rows["flash speedlight-60"]["guide_numbers_zoom_mm"])
	assert.Equal(t, []string{"1/250", "half", "15.6", ""}, []string{rows["camera crop-250"]["sync"],
		rows["camera crop-250"]["steps"],
		rows["camera crop-250"]["frame_height_mm"], rows["camera crop-250"]["loss_stops"]})
}

// value is one of JSON's as the CSV has it.
func value(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case float64:
		b, _ := json.Marshal(v)
		return string(b)
	}
	return fmt.Sprint(v)
}

func fields(elements []any) map[string]bool {
	names := map[string]bool{}
	for _, e := range elements {
		for name := range e.(map[string]any) {
			names[name] = true
		}
	}
	return names
}

func joined(elements []any, field string) string {
	var parts []string
	for _, e := range elements {
		parts = append(parts, value(e.(map[string]any)[field]))
	}
	return strings.Join(parts, "; ")
}

func TestKitMarkdownIsEscaped(t *testing.T) {
	k := studio(t)
	text := kitAs(t, k, report.Markdown, report.Options{})
	assert.Contains(t, text, `straw \| \<b\>\*größe\*`)
	assert.Contains(t, text, "| speedlight-60 ")
}

// The arithmetic that is shown comes to what was found.
func TestCalibrationReport(t *testing.T) {
	l, err := shootfile.KitWith(nil)
	require.NoError(t, err)
	h, err := shootfile.SetUp(l, map[string]string{"flash": "speedlight-60", "distance": "2", "modifier": "softbox-60x90"})
	require.NoError(t, err)
	c := &report.Calibration{Head: h, Power: -6, With: flash.Reading{Light: 100, FNumber: 6.3246},
		Without: flash.Reading{Light: 10}}
	c.Found, err = flash.Calibrate(&h, c.Power, 100, 10)
	require.NoError(t, err)
	// GN 28 inside the softbox: 2.5 * 784 * 0.5 / 4 = 245; less 1.5 stops is
	// 86.6, and near a side of 0.54 m2 4 / (4 + 0.54 / pi) of that, 0.06 stop
	// less, 83.1; log2(83.1 / 90) = -0.12.
	one := shown(t, c.Report(), text.Options{Width: 120, ASCII: true})
	for _, want := range []string{
		"speedlight-60 at 1/2, 2 m away, softbox-60x90\n", "250 x 6.32^2 / 100 = 100 lx s",
		"Flash alone  100 - 10 = 90 lx s",
		"2.5 x 28^2 x 0.5 x 1 / 2^2 = 245 lx s", "less 1.56 stops of modifier, its near field and gel = 83.1 lx s",
		"log2(83.1 / 90) = -0.12 stop",
		"Result  0.1 stop more than stated; the kit has 0.7 stop less than stated\n", "\nderate_stops = -0.1\n",
	} {
		assert.Contains(t, one, want)
	}
	for _, l := range strings.Split(shown(t, c.Report(), text.Options{Width: 60}), "\n") {
		assert.LessOrEqual(t, columns(l), 60)
	}
	var got map[string]any
	var b bytes.Buffer
	require.NoError(t, c.Report().Write(&b, report.JSON, report.Options{}))
	require.NoError(t, json.Unmarshal(b.Bytes(), &got))
	assert.InDelta(t, math.Log2(83.1/90), got["derate_stops"], 0.005)
	assert.Equal(t, 90.0, got["measured_lux_seconds"])
	assert.Equal(t, "softbox-60x90", got["modifier"])
	assert.Nil(t, got["gel"])
	b.Reset()
	require.NoError(t, c.Report().Write(&b, report.CSV, report.Options{}))
	assert.Regexp(t, `(?s)^schema,flash,.*,derate_stops\r\nevenfall/calibration/1,speedlight-60,1,0\.5,1/2,2,`,
		b.String())
}

func TestKitCheckReport(t *testing.T) {
	own, err := shootfile.ParseKit("mine.toml",
		[]byte("[[gel]]\nname = \"half-cto\"\nshift_mired = 80\n[[gel]]\nname = \"straw\"\nshift_mired = 9\n"))
	require.NoError(t, err)
	standard, err := shootfile.StandardKit()
	require.NoError(t, err)
	r := (&report.KitCheck{File: "mine.toml", Library: own, Standard: standard}).Report()
	got := shown(t, r, text.Options{})
	assert.Contains(t, got, "mine.toml: good, 2 items\n")
	assert.Regexp(t, `(?m)^gel +half-cto +overrides the library$`, got)
	assert.Regexp(t, `(?m)^gel +straw +new$`, got)
	var b bytes.Buffer
	require.NoError(t, r.Write(&b, report.CSV, report.Options{}))
	assert.Equal(t, "file,kind,name,overrides_library\r\n"+
		"mine.toml,gel,half-cto,true\r\nmine.toml,gel,straw,false\r\n", b.String())
	empty, err := shootfile.ParseKit("empty.toml", nil)
	require.NoError(t, err)
	r = (&report.KitCheck{File: "empty.toml", Library: empty, Standard: standard}).Report()
	assert.Equal(t, "empty.toml: good, and empty\n", shown(t, r, text.Options{}))
}
