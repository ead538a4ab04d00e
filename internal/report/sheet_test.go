package report_test

import (
	"strings"
	"testing"

	"evenfall/internal/plan"
	"evenfall/internal/report"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// blocksUnder is what stands under a heading of a document.
func blocksUnder(d *report.Document, name string) []report.Block {
	var list []report.Block
	in := false
	for _, b := range d.Blocks {
		if h, ok := b.(report.Heading); ok && h.Level == 0 {
			in = h.Name == name
			continue
		}
		if in {
			list = append(list, b)
		}
	}
	return list
}

// The steps of a sheet are those of the timeline, of many every so manieth, so
// that they have room; the first always.
func TestSheetSteps(t *testing.T) {
	demo := shoots(t)["demonstration"]
	for step, want := range map[string][]string{
		"15": {"17:29", "17:44", "17:59", "18:14", "18:29", "18:44", "18:59", "19:14", "19:29"},
		"1": {"17:29", "17:37", "17:45", "17:53", "18:01", "18:09", "18:17", "18:25", "18:33", "18:41", "18:49", "18:57",
			"19:05", "19:13", "19:21", "19:29"},
	} {
		require.Contains(t, demo, "step_minutes = 15")
		file := strings.Replace(demo, "step_minutes = 15", "step_minutes = "+step, 1)
		steps := blocksUnder(&report.Sheet(planned(t, file), report.Options{}).Document, "steps")
		require.Len(t, steps, 1)
		var times []string
		for _, r := range steps[0].(*report.Table).Rows {
			times = append(times, r.Cells[0].Text)
		}
		assert.Equal(t, want, times, "every %s minutes", step)
	}
}

// Every shoot's sheet has its answer first, cues, steps, the plan view and the
// light, what to pack, the cautions; the flash's power where a flash is used.
func TestSheetHasAll(t *testing.T) {
	for name, file := range shoots(t) {
		p := planned(t, file)
		d := report.Sheet(p, report.Options{}).Document
		v := p.Verdict()
		lead, ok := d.Blocks[0].(report.Paragraph)
		assert.True(t, ok && lead.Strong, "%s: the answer first", name)
		for _, want := range []string{"cues", "steps", "places", "picture", "light", "pack"} {
			assert.NotEmpty(t, blocksUnder(&d, want), "%s: %s", name, want)
		}
		assert.Equal(t, p.Flashes(v.Best) || p.Fills(v.Best), len(blocksUnder(&d, "power")) > 0, name)
		last := d.Blocks[len(d.Blocks)-1].(report.List)
		assert.Equal(t, report.Cautions(p), last.Items, name)
		folded := 0
		for _, b := range blocksUnder(&d, "others") {
			if f, ok := b.(report.Fold); ok {
				folded++
				assert.Len(t, f.Blocks, 1, "%s: %s", name, f.Summary)
			}
		}
		assert.Equal(t, carriedBeside(p, &v), folded, name)
	}
}

// carriedBeside counts the methods whose kit is carried beside the verdict's.
func carriedBeside(p *plan.Plan, v *plan.Verdict) int {
	count := 0
	for n, m := range p.Shoot.Methods {
		if m != v.Best && p.Lacks(n) == 0 {
			count++
		}
	}
	return count
}
