package report

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"math"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// compared makes a comparison of some rows of a plan by hand, with figures
// that are plausible and no more.
func compared(p *plan.Plan, rows map[string]int) *Comparison {
	s := p.Shoot
	s.Frame = 24
	s.Subject.CameraDistance = 2.5
	s.Subject.Background.Distance = math.Inf(1)
	c := &plan.Comparison{Plan: p, Verdict: plan.Verdict{
		Best: s.Methods[0], Held: 0.9, Text: "No method holds the look throughout; take " + s.Methods[0].String() + ": not at 20:00.",
		Why: []string{"holds the look: not hss (at 40 % of the moments)", "keeps the pace: no difference"},
	}}
	for _, name := range []string{"start", "17:40", "sun at 6 deg", "end"} {
		n, ok := rows[name]
		if !ok {
			continue
		}
		m := plan.Compared{Name: name, Outside: name == "17:40", Row: p.Rows[n], Verdict: plan.Verdict{
			Best: s.Methods[0], Held: 1, Text: "Take " + s.Methods[0].String() + "; hss: the flash is 0.9 stops too weak.",
			Why: []string{"holds the look: not hss (does not)"},
		}}
		for i := range m.Row.Methods {
			one := &m.Row.Methods[i]
			optics := s.Optics(one.Settings.Aperture)
			e := plan.Entry{Blur: optics.Blur(2.5, math.Inf(1))}
			e.Near, e.Far = optics.DepthOfField(2.5)
			if one.Role != plan.None {
				e.FramesASet = 200 / one.Power.Fraction()
			}
			if one.ScrimUp {
				e.Rise = 1.5
				e.Scrim = &plan.Standing{Holds: float64(12 + 11*n*n), Setup: scene.Setup{Shines: true, Azimuth: m.Row.Sun.Azimuth, Tilt: sky.Degrees(20),
					Out: 0.7, AboveHead: 0.7, AboveGround: 2.3, LowEdge: 2,
					Coverage: scene.Coverage{Spare: scene.Size{Across: 0.35, Along: 0.25 - 0.1*float64(n)}, Share: 1 - 0.1*float64(n), Whole: n < 3}}}
			}
			m.Entries = append(m.Entries, e)
		}
		c.Moments = append(c.Moments, m)
	}
	at := p.Rows[0].Time
	for i, m := range s.Methods {
		c.Totals = append(c.Totals, plan.Totals{Method: m, Frames: float64(1080 - 300*i), Key: plan.Use{
			FullFlashes: 310.4, Sets: 2, BurstFrames: 27.6, Rest: 10, Recycle: 1.9, Pace: 10, At: at}})
	}
	c.Totals[1].Key = plan.Use{Pace: 10}
	if s.Scrim != nil {
		c.Panel = &plan.Panel{Lowest: sky.Degrees(31), Ever: true, Misses: []scene.Span{{From: at.Add(time.Hour), To: at.Add(2 * time.Hour)}}}
		for b := scene.Beaufort(0); b <= 12; b++ {
			low, high := b.Speeds()
			c.Panel.Wind = append(c.Panel.Wind, plan.Load{Force: b, Low: low, High: high, Push: s.Scrim.Drag(high), Gust: s.Scrim.Drag(high.Gust())})
		}
	}
	return &Comparison{Comparison: c}
}

func clearComparison(t testing.TB) *Comparison {
	return compared(sample(t), map[string]int{"start": 0, "17:40": 2, "sun at 6 deg": 5, "end": 9})
}

// brokenComparison has a sky to hold dark, cloud and a rim flash that is
// slower than the pace; no scrim is carried.
func brokenComparison(t testing.TB) *Comparison {
	p := broken(t)
	p.Shoot.Rim = &shoot.Rim{Head: p.Shoot.Flash, Over: 1}
	for i := range p.Rows {
		for j := range p.Rows[i].Methods {
			p.Rows[i].Methods[j].RimFlash = &plan.RimFlash{Power: -8, Headroom: 1.3, Over: 1, Recycle: 1.2}
		}
	}
	c := compared(p, map[string]int{"start": 0, "17:40": 6, "end": 9})
	for i := range c.Totals {
		c.Totals[i].Rim = &plan.Use{FullFlashes: 100, Sets: 1, BurstFrames: 50, Rest: 10, Recycle: 12, Pace: 10, At: p.Rows[1].Time}
	}
	c.Why = true
	return c
}

func renderComparison(t testing.TB, c *Comparison, f Format, o Options) string {
	t.Helper()
	return written(t, func(w io.Writer) error { return Compare(w, c, f, o) })
}

func TestCompareGolden(t *testing.T) {
	for _, c := range []struct {
		file    string
		what    *Comparison
		format  Format
		options Options
	}{
		{"compare-80.txt", clearComparison(t), Text, Options{Demonstration: true}},
		{"compare-120.txt", clearComparison(t), Text, Options{Width: 120}},
		{"compare-broken-80-ascii.txt", brokenComparison(t), Text, Options{Width: 80, ASCII: true}},
		{"compare-80-color.txt", clearComparison(t), Text, Options{Color: true}},
		{"compare.json", clearComparison(t), JSON, Options{}},
		{"compare-broken.json", brokenComparison(t), JSON, Options{}},
		{"compare-broken.csv", brokenComparison(t), CSV, Options{}},
		{"compare.md", clearComparison(t), Markdown, Options{}},
	} {
		t.Run(c.file, func(t *testing.T) { golden(t, c.file, renderComparison(t, c.what, c.format, c.options)) })
	}
}

// keepsTheWidth checks every line of a text.
func keepsTheWidth(t *testing.T, width int, text string) {
	t.Helper()
	for i, l := range strings.Split(text, "\n") {
		require.LessOrEqual(t, cells(l), width, "line %d: %s", i+1, l)
		require.Equal(t, strings.TrimRight(l, " "), l, "line %d ends in spaces", i+1)
	}
}

func TestCompareKeepsTheWidth(t *testing.T) {
	for what, name := range names {
		named := clearComparison(t)
		renamed(named.Plan, name)
		for _, c := range []*Comparison{clearComparison(t), brokenComparison(t), named} {
			for _, width := range []int{60, 72, 80, 100, 120, 200} {
				for _, ascii := range []bool{false, true} {
					t.Log(what, width)
					keepsTheWidth(t, width, renderComparison(t, c, Text, Options{Width: width, ASCII: ascii}))
				}
			}
		}
	}
}

func TestCompareASCII(t *testing.T) {
	for _, f := range Formats {
		for _, c := range []*Comparison{clearComparison(t), brokenComparison(t)} {
			out := renderComparison(t, c, f, Options{ASCII: true})
			require.Equal(t, -1, strings.IndexFunc(out, func(r rune) bool { return r >= utf8.RuneSelf }), "%s", f)
		}
	}
}

// Each moment, method, problem and verdict is in every format; the cautions
// wherever there is room for sentences.
func TestEveryFormatComparesAll(t *testing.T) {
	for _, c := range []*Comparison{clearComparison(t), brokenComparison(t)} {
		for _, f := range Formats {
			out := renderComparison(t, c, f, Options{Width: 200})
			for i := range c.Moments {
				m := &c.Moments[i]
				require.Contains(t, out, m.Name)
				for j := range m.Row.Methods {
					s := &m.Row.Methods[j]
					require.Contains(t, out, s.Method.String())
					if s.Problem != nil {
						require.Contains(t, out, s.Problem.Text)
					}
				}
				if f != CSV {
					require.Contains(t, out, m.Verdict.Text)
				}
			}
			if f != CSV {
				require.Contains(t, strings.ReplaceAll(out, "\n  ", " "), Cautions(c.Plan.Shoot)[0][:60])
			}
		}
	}
}

func TestWhyIsToldWhenAsked(t *testing.T) {
	c := clearComparison(t)
	for _, f := range []Format{Text, Markdown} {
		assert.NotContains(t, renderComparison(t, c, f, Options{}), "keeps the pace")
	}
	assert.Contains(t, renderComparison(t, c, JSON, Options{}), "keeps the pace", "always")
	c.Why = true
	for _, f := range []Format{Text, Markdown} {
		assert.Contains(t, renderComparison(t, c, f, Options{}), "keeps the pace")
	}
}

// The methods of compare are those of the timeline with more to them, under
// the same names.
func TestCompareJSONHoldsTheTimelines(t *testing.T) {
	c := clearComparison(t)
	var lines struct{ Rows []map[string]any }
	var moments struct{ Moments []map[string]any }
	require.NoError(t, json.Unmarshal([]byte(render(t, c.Plan, JSON, Options{})), &lines))
	require.NoError(t, json.Unmarshal([]byte(renderComparison(t, c, JSON, Options{})), &moments))
	for i, row := range map[int]int{0: 0, 1: 2, 2: 5, 3: 9} {
		for name, want := range lines.Rows[row] {
			if name != "methods" {
				assert.Equal(t, want, moments.Moments[i][name], name)
				continue
			}
			for j, m := range want.([]any) {
				for name, want := range m.(map[string]any) {
					assert.Equal(t, want, moments.Moments[i]["methods"].([]any)[j].(map[string]any)[name], name)
				}
			}
		}
	}
}

func TestCompareCSV(t *testing.T) {
	c := brokenComparison(t)
	lines, err := csv.NewReader(strings.NewReader(renderComparison(t, c, CSV, Options{}))).ReadAll()
	require.NoError(t, err)
	assert.Len(t, lines, 1+len(c.Moments)*len(c.Plan.Shoot.Methods))
	seen := map[string]bool{}
	for _, name := range lines[0] {
		assert.False(t, seen[name], "%s twice", name)
		seen[name] = true
	}
}

func TestWriteErrorsOfCompare(t *testing.T) {
	for _, f := range Formats {
		assert.ErrorIs(t, Compare(&failing{10}, clearComparison(t), f, Options{}), errDiskFull, f)
		assert.ErrorIs(t, Compare(short{}, clearComparison(t), f, Options{}), io.ErrShortWrite, f)
	}
	assert.Error(t, Compare(io.Discard, clearComparison(t), Format(9), Options{}))
}
