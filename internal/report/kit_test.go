package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/shoot"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// studio is the library with kit of the photographer's own.
func studio(t *testing.T) *Kit {
	own, err := shoot.ParseKit("/home/someone/kit.toml", []byte(`
[[flash]]
name = "pocket"
guide_numbers = [{zoom_mm = 24, number_m = 12}, {zoom_mm = 50, number_m = 16}]
high_speed_losses = [{shutter = "1/250", loss_stops = 1.8}, {shutter = "1/2000", loss_stops = 5.1}]
derate_stops = -0.3
[[flash]]
name = "plain"
guide_number_m = 20
high_speed_sync = false
[[gel]]
name = "straw | <b>*größe*"
shift_mired = 90
source = "metered"
`))
	require.NoError(t, err)
	l, err := shoot.KitWith(own)
	require.NoError(t, err)
	return &Kit{Library: l, Kinds: shoot.KitKinds[:], Own: "/home/someone/kit.toml", Found: true}
}

func kitAs(t *testing.T, k *Kit, f Format, o Options) string {
	var b bytes.Buffer
	require.NoError(t, WriteKit(&b, k, f, o))
	return b.String()
}

func TestKitFitsTheWidth(t *testing.T) {
	k := studio(t)
	for _, name := range []string{"", "pocket", "plain", "overhead-240x240", "octa-90-double", "full-cto", "nd-6", "crop-250"} {
		k.Name = name
		for _, width := range []int{60, 80, 120} {
			for _, l := range strings.Split(kitAs(t, k, Text, Options{Width: width}), "\n") {
				assert.LessOrEqual(t, cells(l), width, l)
			}
		}
		for _, f := range Formats {
			for _, r := range kitAs(t, k, f, Options{ASCII: true}) {
				require.Less(t, r, rune(0x80), "%v", f)
			}
		}
	}
}

func TestKitList(t *testing.T) {
	k := studio(t)
	text := kitAs(t, k, Text, Options{Width: 120})
	for _, kind := range shoot.KitKinds {
		assert.Contains(t, text, " "+KitPlural(kind)+" ")
		for _, name := range k.Library.Names(kind) {
			assert.Contains(t, text, "\n"+name+" ")
		}
	}
	assert.Regexp(t, `(?m)^pocket .* kit\.toml$`, text)
	assert.Regexp(t, `(?m)^speedlight-60 .* library$`, text)
	assert.Contains(t, text, "Own kit is read from /home/someone/kit.toml")
	k.Kinds = []shoot.KitKind{shoot.ScrimKit}
	k.Found = false
	text = kitAs(t, k, Text, Options{})
	assert.NotContains(t, text, "speedlight-60")
	assert.NotContains(t, text, "defined")
	assert.Contains(t, text, "no kit of your own")
}

// Figures of the speedlight worked by hand: GN 40 at 50 mm, less 0.7 stop is
// 40 * 2^-0.35 = 31.4, and at f/8 reaches 3.92 m; high-speed sync at 1/1000,
// exactly 1/1024 s, loses log2(0.016 * 1024) = 4.03 stops.
func TestKitShowsFlash(t *testing.T) {
	k := studio(t)
	k.Name = "speedlight-60"
	text := kitAs(t, k, Text, Options{})
	assert.Regexp(t, `(?m)^ +50 +40\.0 +31\.4 +3\.9$`, text)
	assert.Regexp(t, `(?m)^1/1000 +4\.03 +11\.6 +4\.1$`, text)
	assert.Contains(t, text, "plateau of 16 ms")
	assert.Contains(t, text, "a system flash's instruction manual")

	k.Name = "pocket"
	text = kitAs(t, k, Text, Options{})
	assert.Regexp(t, `(?m)^1/2000 +5\.10 `, text)
	assert.NotContains(t, text, "1/500")
	assert.Contains(t, text, "Losses as stated")
	assert.Contains(t, text, "not stated") // where its figures are from

	k.Name = "plain"
	text = kitAs(t, k, Text, Options{})
	assert.Contains(t, text, "no high-speed sync")
	assert.NotContains(t, text, "shutter")
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
	require.NoError(t, json.Unmarshal([]byte(kitAs(t, k, JSON, Options{})), &got))
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

func TestKitCSV(t *testing.T) {
	k := studio(t)
	rows, err := csv.NewReader(strings.NewReader(kitAs(t, k, CSV, Options{}))).ReadAll()
	require.NoError(t, err)
	items := 0
	for _, kind := range shoot.KitKinds {
		items += len(k.Library.Names(kind))
	}
	require.Len(t, rows, 1+items)
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	for _, r := range rows[1:] {
		switch r[column["name"]] {
		case "crop-250":
			assert.Equal(t, []string{"camera", "1/250", "half", "15.6", ""},
				[]string{r[column["kind"]], r[column["sync"]], r[column["steps"]], r[column["frame_height_mm"]], r[column["loss_stops"]]})
		case "speedlight-60":
			assert.Equal(t, []string{"flash", "60", "200", "true"},
				[]string{r[column["kind"]], r[column["guide_number_m"]], r[column["zoom_mm"]], r[column["high_speed_sync"]]})
		case "panel-120x180":
			assert.Equal(t, []string{"scrim", "1.2", "1.8", "1", ""},
				[]string{r[column["kind"]], r[column["width_m"]], r[column["length_m"]], r[column["loss_stops"]], r[column["high_speed_sync"]]})
		}
	}
}

func TestKitMarkdownIsEscaped(t *testing.T) {
	k := studio(t)
	text := kitAs(t, k, Markdown, Options{})
	assert.Contains(t, text, `straw \| \<b\>\*größe\*`)
	assert.Contains(t, text, "| speedlight-60 ")
}

func TestWriteKitReportsTheWriter(t *testing.T) {
	assert.ErrorIs(t, WriteKit(deaf{}, studio(t), Text, Options{}), errDeaf)
	assert.Error(t, WriteKit(&bytes.Buffer{}, studio(t), Format(9), Options{}))
}

var errDeaf = errors.New("broken pipe")

type deaf struct{}

func (deaf) Write([]byte) (int, error) { return 0, errDeaf }

// The arithmetic that is shown comes to what was found.
func TestWriteCalibration(t *testing.T) {
	l, err := shoot.KitWith(nil)
	require.NoError(t, err)
	h, err := l.SetUp(map[string]string{"flash": "speedlight-60", "distance": "2", "modifier": "softbox-60x90"})
	require.NoError(t, err)
	c := &Calibration{Head: h, Power: -6, With: flash.Reading{Light: 100, FNumber: 6.3246}, Without: flash.Reading{Light: 10}}
	c.Found, err = flash.Calibrate(&h, c.Power, 100, 10)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, WriteCalibration(&b, c, Options{ASCII: true}))
	text := b.String()
	t.Log(text)
	// GN 28 inside the softbox: 2.5 * 784 * 0.5 / 4 = 245; less 1.5 stops is
	// 86.6; log2(86.6 / 90) = -0.06.
	for _, want := range []string{
		"1 x speedlight-60 at 1/2, 2 m away, softbox-60x90", "250 x 6.32^2 / 100 = 100 lx s", "the flash alone 100 - 10 = 90 lx s",
		"2.5 x 28^2 x 0.5 x 1 / 2^2 = 245 lx s", "less 1.5 stops of modifier and gel = 86.6 lx s",
		"log2(86.6 / 90) = -0.06 stop", "\nderate_stops = -0.1\n",
	} {
		assert.Contains(t, text, want)
	}
	for _, l := range strings.Split(text, "\n") {
		assert.LessOrEqual(t, cells(l), 80)
	}
	assert.ErrorIs(t, WriteCalibration(deaf{}, c, Options{}), errDeaf)
}
