package report

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"strconv"
	"strings"
	"testing"
	"time"

	"evenfall/internal/explain"
	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// explainedDemo is the report of some moments from the demonstration's sunset,
// of all its methods.
func explainedDemo(t *testing.T, set map[string]string, fromSunset time.Duration) (*Report, *plan.Plan,
	[]explain.Explanation) {
	t.Helper()
	d, err := shootfile.Demo()
	require.NoError(t, err)
	for flag, value := range set {
		d.Set(flag, value)
	}
	s, err := d.Resolve(shootfile.Environment{Zone: time.UTC, Zones: time.LoadLocation})
	require.NoError(t, err)
	p, err := plan.Make(context.Background(), s)
	require.NoError(t, err)
	at, err := p.TimeOf(&shoot.Instant{Event: sky.Sunset, Offset: fromSunset})
	require.NoError(t, err)
	rows, err := p.Answers(context.Background(), at)
	require.NoError(t, err)
	var list []explain.Explanation
	for i := range rows {
		list = append(list, explain.Explain(p, &rows[i]))
	}
	return Explain(p, list, Options{}), p, list
}

// countSteps counts those of an explanation.
func countSteps(list []explain.Explanation) int {
	n := 0
	count := func(groups []explain.Group) {
		for _, g := range groups {
			n += len(g.Steps)
		}
	}
	for _, e := range list {
		count(e.Light)
		for _, m := range e.Methods {
			count(m.Groups)
		}
	}
	return n
}

// The settings of every method come before the first step, each step has its
// number, and no symbol of a template is left.
func TestExplainBeginsWithTheResult(t *testing.T) {
	r, p, list := explainedDemo(t, nil, -30*time.Minute)
	var results []string
	steps := 0
	for _, b := range r.Document.Blocks {
		switch b := b.(type) {
		case Paragraph:
			if b.Strong {
				assert.Zero(t, steps)
				results = append(results, b.Text)
			}
		case Calculation:
			for _, s := range b {
				steps++
				assert.Equal(t, steps, s.Number)
				assert.NotEmpty(t, s.Title)
				assert.NotEmpty(t, s.Result, s.Title)
				assert.NotContains(t, s.Formula+s.Numbers, "{", s.Title)
				assert.NotContains(t, s.Result, "unknown", s.Title)
			}
		}
	}
	assert.Equal(t, countSteps(list), steps)
	require.Len(t, results, len(p.Shoot.Methods))
	for i, text := range results {
		m := list[0].Methods[i].Solution
		assert.Contains(t, text, m.Settings.Aperture.String())
		assert.Contains(t, text, m.Settings.Shutter.String())
		assert.Equal(t, m.Outcome == plan.Missed, strings.Contains(text, "missed"), text)
	}
}

func TestExplainOutsideTheWindow(t *testing.T) {
	says := func(d Document) bool {
		for _, b := range d.Blocks {
			if text, ok := b.(Paragraph); ok && strings.HasPrefix(text.Text, "Outside the window") {
				return true
			}
		}
		return false
	}
	in, _, _ := explainedDemo(t, nil, -30*time.Minute)
	out, _, _ := explainedDemo(t, nil, -6*time.Hour)
	assert.False(t, says(in.Document))
	assert.True(t, says(out.Document))
	assert.False(t, in.Data.(*explained).Outside)
	assert.True(t, out.Data.(*explained).Outside)
}

// The JSON has every step, the result as the model has it; the CSV a row for
// each.
func TestExplainForPrograms(t *testing.T) {
	for _, sky := range []string{"clear", "broken"} {
		r, _, list := explainedDemo(t, map[string]string{"sky": sky}, -time.Hour)
		require.Len(t, list, map[string]int{"clear": 1, "broken": 2}[sky])
		var b bytes.Buffer
		require.NoError(t, r.Write(&b, JSON, Options{}))
		var got struct {
			Schema string
			Rows   []struct {
				Time   string
				Case   *string
				Groups []explainGroup `json:"light_groups"`
				Method []struct {
					Method   string
					Exposure float64 `json:"exposure_offset_stops"`
					Groups   []explainGroup
				} `json:"methods"`
			}
		}
		require.NoError(t, json.Unmarshal(b.Bytes(), &got))
		assert.Equal(t, "evenfall/explain/2", got.Schema)
		require.Len(t, got.Rows, len(list))
		for i, row := range got.Rows {
			assert.Equal(t, len(list) > 1, row.Case != nil)
			require.Len(t, row.Method, len(list[i].Methods))
			require.Len(t, row.Groups, len(list[i].Light))
			for _, m := range row.Method {
				last := m.Groups[len(m.Groups)-1]
				require.Equal(t, "How it comes out", last.Group)
				for _, s := range last.Steps {
					if s.Title == "Key side against normal and bias" {
						assert.InDelta(t, m.Exposure, *s.Result, 0.0006)
					}
				}
			}
		}

		b.Reset()
		require.NoError(t, r.Write(&b, CSV, Options{}))
		records, err := csv.NewReader(&b).ReadAll()
		require.NoError(t, err)
		assert.Len(t, records, 1+countSteps(list))
		at := map[string]int{}
		for i, name := range records[0] {
			at[name] = i
		}
		for i, record := range records[1:] {
			require.NotEmpty(t, record[at["title"]])
			require.NotEmpty(t, record[at["group"]])
			require.NotEmpty(t, record[at["step"]], i)
		}
	}
}

func TestExplainMarkdown(t *testing.T) {
	r, _, list := explainedDemo(t, nil, -30*time.Minute)
	var b bytes.Buffer
	require.NoError(t, r.Write(&b, Markdown, Options{ASCII: true}))
	text := b.String()
	assert.Contains(t, text, "\n## Light\n")
	assert.Contains(t, text, "`m = 1 / (sin(h) + 0.50572 * (h + 6.07995)^-1.6364)`\\\n", "as it is typed")
	assert.Contains(t, text, "`tau = ")
	assert.NotContains(t, text, "\n\n\n")
	assert.Equal(t, 1, strings.Count(text, "\n1. "))
	assert.Contains(t, text, "\n"+strconv.Itoa(countSteps(list))+". ")
	for _, c := range text {
		require.Less(t, c, rune(0x80))
	}
}
