package engine

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"evenfall/internal/shootfile"
	"evenfall/internal/timezone"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// demonstration is the shoot of a page that was made without one.
func demonstration(t testing.TB) Shoot {
	return Shoot{Today: "2027-06-12", Zones: []timezone.Rules{timezone.Of(zone(t, "Europe/Berlin"), on(2026), on(2029))}}
}

func zone(t testing.TB, name string) *time.Location {
	z, err := time.LoadLocation(name)
	require.NoError(t, err)
	return z
}

func on(year int) time.Time { return time.Date(year, time.January, 1, 0, 0, 0, 0, time.UTC) }

// ask asks an engine for a plan of a shoot with changes.
func ask(t testing.TB, e *Engine, s Shoot, changes ...Setting) Response {
	return request(t, e, s, Request{Changes: changes})
}

// request asks an engine for a shoot's plan.
func request(t testing.TB, e *Engine, s Shoot, r Request) Response {
	var err error
	r.Shoot, err = json.Marshal(s)
	require.NoError(t, err)
	request, err := json.Marshal(r)
	require.NoError(t, err)
	var response Response
	require.NoError(t, json.Unmarshal(e.Plan(request), &response))
	return response
}

// texts are all of some blocks, a line each.
func texts(blocks []block) string {
	data, _ := json.MarshalIndent(blocks, "", " ")
	return string(data)
}

func TestPlanAndWhatMoves(t *testing.T) {
	var e Engine
	r := ask(t, &e, demonstration(t))
	require.Empty(t, r.Faults)
	assert.Contains(t, r.Title, "Harbour wall")
	assert.Contains(t, texts(r.Blocks), "\\u003csvg", "pictures are drawn")
	assert.Empty(t, r.Moved, "nothing was changed")
	printed := string(e.Timeline())
	assert.Contains(t, printed, `"demonstration": true`)

	r = ask(t, &e, demonstration(t), Setting{"distance", "2"})
	require.Empty(t, r.Faults)
	moved := texts(r.Moved)
	assert.Contains(t, moved, "1.5 m from the sitter")
	assert.Contains(t, moved, "2 m from the sitter")
	assert.NotContains(t, moved, "Colour", "what stays is not said")
	assert.NotEqual(t, printed, string(e.Timeline()))

	r = ask(t, &e, demonstration(t), Setting{"distance", "1.5"})
	assert.Contains(t, texts(r.Moved), "Nothing moves")
	ask(t, &e, demonstration(t))
	assert.Equal(t, printed, string(e.Timeline()), "taken back")
}

// A place that is changed leaves the demonstration's name and skyline behind.
func TestAnotherPlace(t *testing.T) {
	var e Engine
	s := demonstration(t)
	s.Anywhere = true
	s.Zones = append(s.Zones, timezone.Of(zone(t, "America/Halifax"), on(2026), on(2029)))
	r := ask(t, &e, s, Setting{"at", "44.65,-63.57"}, Setting{"tz", "America/Halifax"})
	require.Empty(t, r.Faults)
	assert.NotContains(t, r.Title, "Harbour")
	assert.Contains(t, r.Title, "America/Halifax")
	assert.Equal(t, "Place and day", r.Controls[0].Name)
	assert.Contains(t, string(e.Timeline()), `"demonstration": false`)
	r = ask(t, &e, demonstration(t))
	assert.NotEqual(t, "Place and day", r.Controls[0].Name, "a page of a shoot is for its place")
}

// Everything that is wrong is said at its field, without flags.
func TestFaults(t *testing.T) {
	var e Engine
	r := ask(t, &e, demonstration(t), Setting{"ratio", "900"}, Setting{"distance", "2 ft"}, Setting{"facing", "up"},
		Setting{"tz", "Europe/Nowhere"}, Setting{"at", "95,10"}, Setting{"modifier", "lamp"}, Setting{"nonsense", "1"})
	fields := map[string]Fault{}
	for _, f := range r.Faults {
		fields[f.Field] = f
		assert.NotContains(t, f.Text+f.Hint, "--")
		assert.NotContains(t, f.Hint, "evenfall")
	}
	assert.Equal(t, Fault{"ratio", "Lighting ratio 900: must be 1.1 to 64", "Lighting ratio 64"}, fields["ratio"])
	assert.Equal(t, Fault{"distance", `"2 ft" is not a number`, "Flash to sitter 0.61"}, fields["distance"])
	for _, flag := range []string{"facing", "tz", "at", "modifier", "nonsense"} {
		assert.NotEmpty(t, fields[flag].Text, flag)
	}
	assert.Empty(t, r.Blocks)
}

// Nothing that it is sent makes it fail.
func TestRequestsThatAreNone(t *testing.T) {
	var e Engine
	assert.Empty(t, e.Timeline())
	assert.JSONEq(t, `{"lines": null, "inside": false, "clock": ""}`, string(e.Now(0)))
	for _, request := range []string{"", "null", "{}", "[]", `{"shoot": 3}`, `{"shoot": {}}`, `{"shoot": {"today": "x"}}`,
		`{"shoot": {"today": "2027-01-01", "file": "a.toml", "text": "]"}}`,
		`{"shoot": {"today": "2027-01-01", "zone": "Mars"}}`,
		`{"shoot": {"today": "2027-01-01", "flags": [{"flag": "at", "value": "0,0"}],
			"zone": "A", "zones": [{"name": "A"}]}}`,
		`{"shoot": {"today": "2027-01-01", "kit": "[["}}`, `{"shoot"`} {
		var r Response
		require.NoError(t, json.Unmarshal(e.Plan([]byte(request)), &r), request)
		assert.NotEmpty(t, r.Faults, request)
	}
}

func FuzzPlan(f *testing.F) {
	shoot, err := json.Marshal(demonstration(f))
	require.NoError(f, err)
	f.Add("distance", "2", "America/New_York", int64(0), 3600)
	f.Add("tz", "X", "X", int64(-1<<62), -100000)
	f.Fuzz(func(t *testing.T, flag, value, name string, from int64, offset int) {
		if flag == "from" || flag == "to" || flag == "step" {
			return // a day in seconds takes its time
		}
		request, err := json.Marshal(Request{Shoot: shoot, Changes: []Setting{{flag, value}},
			Zones: []timezone.Rules{{Name: name, Changes: []timezone.Change{{From: from, Offset: offset}}}}})
		require.NoError(t, err)
		var e Engine
		var r Response
		require.NoError(t, json.Unmarshal(e.Plan(request), &r))
		assert.Equal(t, len(r.Faults) == 0, len(r.Blocks) > 0)
	})
}

// Each control is a flag that shoots have, named once, and goes as far as the
// table of keys lets it.
func TestControls(t *testing.T) {
	var e Engine
	s := demonstration(t)
	s.Anywhere = true
	seen := map[string]bool{}
	for _, g := range ask(t, &e, s, Setting{"ratio", "2.5"}).Controls {
		for _, c := range g.Controls {
			assert.False(t, seen[c.Flag], c.Flag)
			seen[c.Flag] = true
			key := keyOf(c.Flag)
			require.NotEmpty(t, key.Flag, c.Flag)
			if low, high, ok := key.Range(); ok && c.Kind == "number" {
				assert.Equal(t, low, *c.Low, c.Flag)
				assert.Equal(t, high, *c.High, c.Flag)
				assert.Positive(t, c.Step)
			}
			if c.Kind == "choice" {
				assert.Contains(t, labels(c.Choices), c.called(c.Value), c.Flag)
			}
			assert.Equal(t, c.Flag == "ratio", c.Note != "", c.Flag)
			assert.NotEmpty(t, labelOf(c.Flag))
			if c.Flag == "ratio" {
				assert.Equal(t, []string{"2.5", "3", "Printed: 3"}, []string{c.Value, c.Printed, c.Note})
			}
		}
	}
	for _, flag := range []string{"sky", "facing", "distance", "flash-angle", "units", "modifier", "fill",
		"ratio", "background",
		"background-at-most", "aperture", "method", "from", "to", "at", "date", "tz"} {
		assert.True(t, seen[flag], flag)
	}
}

func labels(choices []Choice) []string {
	var list []string
	for _, c := range choices {
		list = append(list, c.Label)
	}
	return list
}

// Every choice of every control can be planned, and taken for what it was
// called.
func TestEveryChoice(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	var e Engine
	s := demonstration(t)
	for _, g := range ask(t, &e, s).Controls {
		for _, c := range g.Controls {
			for _, choice := range c.Choices {
				if choice.Value == "" || choice.Value == c.Printed {
					continue
				}
				r := ask(t, &e, s, Setting{c.Flag, choice.Value})
				assert.Empty(t, r.Faults, "%s %s", c.Flag, choice.Value)
			}
		}
	}
}

// By the clock: before and after the window when it is, in it the settings that
// the cues have come to, and the next of the cues that the page has.
func TestNow(t *testing.T) {
	var e Engine
	r := ask(t, &e, demonstration(t))
	require.Empty(t, r.Faults)
	present := func(at int64) Present {
		var p Present
		require.NoError(t, json.Unmarshal(e.Now(at), &p))
		return p
	}
	const begin, end = 1821281340, 1821288540 // 17:29 and 19:29 in Berlin on 18 September 2027
	for at, want := range map[int64]string{
		begin - 3*24*3600 - 3600: "the window begins on Sat 18 September 2027 at 17:29, in 3 days.",
		begin - 3660:             "the window begins on Sat 18 September 2027 at 17:29, in 1 h ",
		end + 180:                "Now 19:32: the window ended on Sat 18 September 2027 at 19:29.",
	} {
		p := present(at)
		assert.False(t, p.Inside)
		require.Len(t, p.Lines, 1)
		assert.Contains(t, p.Lines[0], want)
	}
	cues := r.Blocks[slices.IndexFunc(r.Blocks, func(b block) bool { return b.Name == "cues" })+1].Rows
	require.Greater(t, len(cues), 2)
	for i := range cues[1:] {
		p := present(cues[i+1].At - 61)
		assert.True(t, p.Inside)
		cell := cues[i+1].Cells
		assert.Equal(t, "Next cue "+cell[0].Text+", in 61 s: "+cell[1].Text+".", p.Lines[1])
	}
	p := present(cues[0].At + 1)
	settings := strings.TrimPrefix(cues[0].Cells[1].Text, "Set ")
	assert.Contains(t, p.Lines[0], settings)
	assert.Equal(t, "No further cue until 19:29.", present(end - 30).Lines[1])
}

// A photographer's own kit travels along.
func TestOwnKit(t *testing.T) {
	var e Engine
	s := demonstration(t)
	demo := string(shootfile.DemoFile())
	s.File, s.Text = "mine.toml", strings.Replace(demo, `kit = "speedlight-60"`, `kit = "my-flash"`, 1)
	assert.NotEmpty(t, ask(t, &e, s).Faults)
	s.KitFile, s.Kit = "kit.toml", "[[flash]]\nname = \"my-flash\"\nguide_number_m = 40\nguide_number_zoom_mm = 50\n"
	assert.Empty(t, ask(t, &e, s).Faults)
}

func BenchmarkPlan(b *testing.B) {
	var e Engine
	s := demonstration(b)
	distances := []string{"1.6", "1.7"}
	for i := 0; b.Loop(); i++ {
		ask(b, &e, s, Setting{"distance", distances[i%2]})
	}
}

// A saved place that the shoot picks comes along with it, and can be left for
// another.
func TestSavedPlace(t *testing.T) {
	const place = "[west-quay]\nlatitude_deg = 54.33\nlongitude_deg = 10.15\ntime_zone = \"Europe/Berlin\"\n" +
		"horizon_deg = [[240, 2], [270, 9]]\n"
	s := demonstration(t)
	s.Place, s.Anywhere = place, true
	s.Flags = []Setting{{"place", "west-quay"}, {"date", "2027-06-12"}}
	var e Engine
	r := ask(t, &e, s)
	require.Empty(t, r.Faults)
	assert.Contains(t, r.Title, "west-quay")
	r = ask(t, &e, s, Setting{"at", "54.4,10.2"}, Setting{"tz", "Europe/Berlin"})
	require.Empty(t, r.Faults)
	assert.NotContains(t, r.Title, "west-quay")
	s.Place = ""
	r = ask(t, &e, s)
	assert.NotEmpty(t, r.Faults)
}
