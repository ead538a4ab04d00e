package report_test

import (
	"strings"
	"testing"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"
	"evenfall/internal/words"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// varied sets values of a flag side by side over a shoot.
func varied(t testing.TB, file, text string) *report.Varied {
	d, err := shootfile.Parse("shoot.toml", []byte(file))
	require.NoError(t, err)
	v, err := shootfile.ParseVariation(text)
	require.NoError(t, err)
	shoots, err := d.ResolveEach(v, shootfile.Environment{Zones: time.LoadLocation})
	require.NoError(t, err)
	made, err := plan.Vary(t.Context(), shoots)
	require.NoError(t, err)
	return &report.Varied{Shoot: resolved(t, file), Flag: v.Key.Flag, Values: v.Values, Variation: made}
}

// variations are some of all kinds.
func variations(t testing.TB) []*report.Varied {
	all := shoots(t)
	return []*report.Varied{
		varied(t, all["demonstration"], "units=1,2,4"), varied(t, all["demonstration"], "from=16:00,sunset-1h"),
		varied(t, all["broken cloud"], "distance=1,3"), varied(t, all["nothing works"], "background=-3,-5"),
		varied(t, all["no flash needed"], "sky=overcast,heavy"),
	}
}

func TestJSONOfAVariation(t *testing.T) {
	for _, v := range variations(t) {
		s := v.Shoot
		best := &v.Variation.Variants[v.Variation.Best]
		want := headingOf("evenfall/compare/2", s, object{
			"cautions": cautionsOf(best.Plan),
			"varied": object{
				"key": v.Flag, "verdict": object{
					"value": v.Values[v.Variation.Best], "text": words.Variation(v.Flag, v.Values, v.Variation),
				},
				"values": list(v.Variation.Variants, func(one *plan.Variant) any {
					i := 0
					for &v.Variation.Variants[i] != one {
						i++
					}
					from, to := one.Plan.Window()
					zone := one.Plan.Shoot.Place.Zone
					return object{
						"text": v.Values[i], "method": one.Verdict.Best.String(), "outcome": one.Outcome().String(),
						"window_from": instant{from, zone}, "window_to": instant{to, zone},
						"minutes_held": number(float64(one.Held), 0), "minutes_softer": number(float64(one.Softer), 0),
						"minutes_missed": number(float64(one.Missed), 0), "battery_sets_per_flash": number(float64(one.Sets), 0),
						"from":                 when(!one.Verdict.From.IsZero(), any(instant{one.Verdict.From, zone})),
						"until":                when(!one.Verdict.Until.IsZero(), any(instant{one.Verdict.Until, zone})),
						"least_headroom_stops": when(one.Flashes, number(one.LeastHeadroom, 3)), "as_good_as_best": one.Equal,
						"verdict": words.Lead(one.Plan, &one.Verdict),
					}
				}),
			},
		})
		got := decoded(t, v.Report(report.Options{Demonstration: true}))
		assert.Empty(t, differences("", want, got), v.Flag)
		assert.NotContains(t, got, "moments")
		assert.True(t, best.Equal)
	}
}

// The CSV has a row for each value, with what the JSON has.
func TestCSVOfAVariation(t *testing.T) {
	for _, v := range variations(t) {
		rows := sheet(t, v.Report(report.Options{}))
		document := decoded(t, v.Report(report.Options{}))["varied"].(object)
		values := document["values"].([]any)
		require.Len(t, rows, len(values))
		for i, row := range rows {
			assert.Equal(t, v.Flag, row["varied_key"])
			cells := map[string]string{}
			leaves(cells, "", values[i])
			for name, text := range cells {
				assert.Equal(t, text, row[name], name)
			}
		}
	}
}

// The verdict comes first, then one table with a row for each value.
func TestDocumentOfAVariation(t *testing.T) {
	for _, v := range variations(t) {
		for _, o := range []report.Options{{}, {Full: true, Why: true}} {
			d := v.Report(o).Document
			first := answerAt(d.Blocks)
			p := d.Blocks[first].(report.Paragraph)
			assert.True(t, p.Strong)
			assert.Equal(t, words.Variation(v.Flag, v.Values, v.Variation), p.Text)
			table, ok := d.Blocks[first+1].(*report.Table)
			require.True(t, ok)
			require.Len(t, table.Rows, len(v.Values))
			for i := range table.Rows {
				one := &v.Variation.Variants[i]
				require.Len(t, table.Rows[i].Cells, len(table.Columns))
				assert.Equal(t, v.Values[i], table.Rows[i].Cells[0].Text)
				assert.Equal(t, one.Verdict.Best.String(), table.Rows[i].Cells[1].Text)
			}
			assert.NotEmpty(t, as(t, v.Report(o), report.Markdown, o))
		}
	}
	// A start that varies has no one window.
	d := variations(t)[1].Report(report.Options{}).Document
	assert.True(t, strings.HasSuffix(d.Title, "--from side by side"), d.Title)
}

func answerAt(blocks []report.Block) int {
	for i, b := range blocks {
		if p, ok := b.(report.Paragraph); ok && p.Strong {
			return i
		}
	}
	return -1
}

// Under broken cloud the text follows the sun out, with a line for when it goes
// in; the JSON has both.
func TestCuesOfBrokenCloud(t *testing.T) {
	p, err := plan.Make(t.Context(), resolved(t, shoots(t)["broken cloud"]))
	require.NoError(t, err)
	c := &report.Cues{Plan: p, Method: shoot.ND, Chosen: true}
	r := c.Report(report.Options{})
	tables, lines := 0, 0
	for _, b := range r.Document.Blocks {
		switch b := b.(type) {
		case *report.Table:
			tables++
		case report.Facts:
			for _, f := range b {
				if f.Label == "Sun in" {
					lines++
				}
			}
		}
	}
	assert.Equal(t, [2]int{1, 1}, [2]int{tables, lines})
	assert.Len(t, decoded(t, r)["runs"], 2)
}

// Close cues are a rule in the text, and all in the JSON.
func TestCloseCuesAreARule(t *testing.T) {
	file := strings.NewReplacer(`from = "sunset-2h"`, `from = "sunset-20m"`, `to = "sunset"`, `to = "sunset+20m"`).Replace(shoots(t)["demonstration"])
	s := resolved(t, file)
	s.Pace.CueStep = 1. / 3
	p, err := plan.Make(t.Context(), s)
	require.NoError(t, err)
	rules := 0
	for i := range p.Runs {
		run := &p.Runs[i]
		cues, series := run.Cues(), plan.Grouped(run.Cues())
		if len(series) == len(cues) {
			continue
		}
		c := &report.Cues{Plan: p, Method: run.Method, Chosen: true}
		r := c.Report(report.Options{})
		for _, b := range r.Document.Blocks {
			if table, ok := b.(*report.Table); ok {
				require.Len(t, table.Rows, len(series))
				for k := range series {
					if len(series[k]) > 1 {
						rules++
						assert.Contains(t, table.Rows[k].Cells[1].Text, words.Rule(series[k]))
					}
				}
			}
		}
		runs := decoded(t, r)["runs"].([]any)
		assert.Len(t, runs[0].(object)["cues"], len(cues))
	}
	assert.Positive(t, rules)
}
