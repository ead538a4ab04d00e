package report

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// cuesSample makes cues by hand: of a run that begins out of reach, of one that
// puts filter, gel, scrim and flash on and off, and of one with nothing to set.
func cuesSample(t testing.TB) *Cues {
	p := sample(t)
	s := p.Shoot
	s.Methods = []shoot.Method{shoot.HSS, shoot.Scrim | shoot.ND, shoot.ND}
	var runs []plan.Run
	for n, m := range s.Methods {
		r := plan.Run{Method: m}
		for _, row := range p.Rows {
			row.Methods = []plan.Solution{row.Methods[n]}
			row.Methods[0].Method = m
			r.Rows = append(r.Rows, row)
		}
		runs = append(runs, r)
	}
	set := func(n, i int) *plan.Solution { return &runs[n].Rows[i].Methods[0] }
	// The sample's first method holds nearly throughout; its second begins too
	// weak. They change places.
	runs[0].Rows, runs[1].Rows = runs[1].Rows, runs[0].Rows
	for n := range 2 {
		for i := range runs[n].Rows {
			set(n, i).Method = runs[n].Method
		}
	}
	runs[0].Cues = []plan.Cue{
		{Time: runs[0].Rows[0].Time, Reason: "the start", Problem: set(0, 0).Problem, Set: set(0, 0)},
		{Time: runs[0].Rows[3].Time, Problem: set(0, 3).Problem, Set: set(0, 3), Reason: "lit side -0.3, shade -0.4 stop since 17:00",
			Changes: []plan.Change{{Control: plan.ShutterControl, From: "1/5000", To: "1/4000", By: 1. / 3}}},
		{Time: runs[0].Rows[5].Time, Set: set(0, 5), Reason: "the look can be held again"},
		{Time: runs[0].Rows[9].Time, Problem: set(0, 9).Problem, Set: set(0, 9), Reason: set(0, 9).Problem.Text},
	}
	first, last := set(1, 0), set(1, 8)
	first.Settings.ND, first.ScrimUp = 3, true
	first.Gel.Name = "1/4 CTO"
	last.Gel.Name = "1/2 CTO"
	off := set(1, 7)
	off.Role, off.Power = plan.None, 0
	runs[1].Cues = []plan.Cue{
		{Time: runs[1].Rows[0].Time, Reason: "the start", Set: first},
		{Time: runs[1].Rows[7].Time, Set: off, Reason: "no sun is left to keep off", Changes: []plan.Change{
			{Control: plan.ScrimControl, From: "up", To: "down"},
			{Control: plan.FilterControl, From: "3 stops", To: "none", By: 3},
			{Control: plan.ApertureControl, From: "f/13", To: "f/3.2", By: 4.166666666666667},
			{Control: plan.ISOControl, From: "200", To: "100", By: -1},
			{Control: plan.RoleControl, From: "fill", To: "none"},
			{Control: plan.PowerControl, From: "1/4+2/3", To: "off"},
		}},
		{Time: runs[1].Rows[8].Time, Set: last, Reason: "lit side -3.9, shade -2.6 stop since 19:20", Changes: []plan.Change{
			{Control: plan.ApertureControl, From: "f/2.8", To: "f/3.2", By: -1. / 3},
			{Control: plan.RoleControl, From: "none", To: "key"},
			{Control: plan.PowerControl, From: "off", To: "1/64+1/3"},
			{Control: plan.GelControl, From: "1/4 CTO", To: "1/2 CTO", By: -0.2},
		}},
	}
	for i := range runs[2].Rows {
		set(2, i).Feasible, set(2, i).Problem = false, &plan.Problem{Kind: plan.NoFilter, Text: "no neutral-density filter is carried"}
	}
	runs[2].Cues = []plan.Cue{{Time: runs[2].Rows[0].Time, Reason: "the start", Problem: set(2, 0).Problem, Set: set(2, 0)}}
	return &Cues{Cues: &plan.Cues{Shoot: s, Day: p.Day, Runs: runs}}
}

// chosenCues are those of one method, under broken cloud.
func chosenCues(t testing.TB) *Cues {
	c := cuesSample(t)
	second := c.Runs[1]
	second.Case = sky.SunIn
	c.Runs = []plan.Run{c.Runs[1], second}
	c.Chosen = &plan.Verdict{Best: c.Runs[0].Method, Held: 1, Text: "Take scrim+nd: holds throughout.", Why: []string{"holds the look: not hss (does not)"}}
	return c
}

func renderCues(t testing.TB, c *Cues, f Format, o Options) string {
	t.Helper()
	return written(t, func(w io.Writer) error { return WriteCues(w, c, f, o) })
}

func TestCuesGolden(t *testing.T) {
	for _, c := range []struct {
		file    string
		what    *Cues
		format  Format
		options Options
	}{
		{"cues-80.txt", cuesSample(t), Text, Options{Demonstration: true}},
		{"cues-120.txt", cuesSample(t), Text, Options{Width: 120}},
		{"cues-chosen-80-ascii.txt", chosenCues(t), Text, Options{ASCII: true}},
		{"cues-80-color.txt", cuesSample(t), Text, Options{Color: true}},
		{"cues.json", cuesSample(t), JSON, Options{}},
		{"cues-chosen.json", chosenCues(t), JSON, Options{}},
		{"cues-chosen.csv", chosenCues(t), CSV, Options{}},
		{"cues.md", cuesSample(t), Markdown, Options{}},
	} {
		t.Run(c.file, func(t *testing.T) { golden(t, c.file, renderCues(t, c.what, c.format, c.options)) })
	}
}

func TestCuesKeepTheWidth(t *testing.T) {
	for _, name := range names {
		named := cuesSample(t)
		renamed(&plan.Plan{Shoot: named.Shoot}, name)
		for i := range named.Runs {
			named.Runs[i].Cues[0].Reason = name
			for j := range named.Runs[i].Cues {
				named.Runs[i].Cues[j].Set.Gel.Name = name
			}
		}
		for _, c := range []*Cues{cuesSample(t), chosenCues(t), named} {
			for _, width := range []int{60, 72, 80, 120} {
				for _, ascii := range []bool{false, true} {
					keepsTheWidth(t, width, renderCues(t, c, Text, Options{Width: width, ASCII: ascii}))
				}
			}
		}
	}
}

func TestCuesASCII(t *testing.T) {
	for _, f := range Formats {
		out := renderCues(t, cuesSample(t), f, Options{ASCII: true})
		require.Equal(t, -1, strings.IndexFunc(out, func(r rune) bool { return r >= utf8.RuneSelf }), "%s", f)
	}
}

// A reader of the JSON alone ends up with the settings that each cue states.
func TestCuesJSONReplayed(t *testing.T) {
	var got struct {
		Schema string
		Runs   []struct {
			Cues []struct {
				Time, Reason string
				Holds        bool
				Problem      *string
				Changes      []struct{ Control, From, To string }
				Set          struct{ Shutter string }
			}
		}
	}
	require.NoError(t, json.Unmarshal([]byte(renderCues(t, cuesSample(t), JSON, Options{})), &got))
	assert.Equal(t, "evenfall/cues/1", got.Schema)
	require.Len(t, got.Runs, 3)
	for _, r := range got.Runs {
		require.NotEmpty(t, r.Cues)
		for _, c := range r.Cues {
			assert.Equal(t, c.Holds, c.Problem == nil)
			assert.NotNil(t, c.Changes)
			for _, ch := range c.Changes {
				if ch.Control == "shutter" {
					assert.Equal(t, c.Set.Shutter, ch.To)
				}
			}
		}
	}
}

// One line for each change; what moves nothing has one as well.
func TestCuesCSV(t *testing.T) {
	c := cuesSample(t)
	want := 1
	for _, r := range c.Runs {
		for _, cue := range r.Cues {
			want += max(1, len(cue.Changes))
		}
	}
	lines, err := csv.NewReader(strings.NewReader(renderCues(t, c, CSV, Options{}))).ReadAll()
	require.NoError(t, err)
	assert.Len(t, lines, want)
}

func TestWriteErrorsOfCues(t *testing.T) {
	for _, f := range Formats {
		assert.ErrorIs(t, WriteCues(&failing{10}, cuesSample(t), f, Options{}), errDiskFull, f)
		assert.ErrorIs(t, WriteCues(short{}, cuesSample(t), f, Options{}), io.ErrShortWrite, f)
	}
	assert.Error(t, WriteCues(io.Discard, cuesSample(t), Format(9), Options{}))
}
