package report_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"evenfall/internal/exposure"
	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/scene"
	"evenfall/internal/words"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// section returns the table under a heading that begins so, and the facts of a
// document in order.
func section(t testing.TB, d *report.Document, heading string) *report.Table {
	under := false
	for _, b := range d.Blocks {
		if h, ok := b.(report.Heading); ok {
			under = strings.HasPrefix(h.Text, heading)
		}
		if table, ok := b.(*report.Table); ok && under {
			return table
		}
	}
	require.Fail(t, "no table", heading)
	return nil
}

// fact returns the text of the first fact of a name.
func fact(d *report.Document, label string) string {
	for _, b := range d.Blocks {
		if facts, ok := b.(report.Facts); ok {
			for _, f := range facts {
				if f.Label == label {
					return f.Text
				}
			}
		}
	}
	return ""
}

// under returns all of a row's cell under a title.
func under(t testing.TB, table *report.Table, row int, title string) string {
	for i := range table.Columns {
		if table.Columns[i].Title == title {
			return table.Rows[row].Cells[i].Joined()
		}
	}
	require.Fail(t, "no column", title)
	return ""
}

// check compares some cells of a row with what they have to say.
func check(t testing.TB, name string, table *report.Table, row int, want map[string]string) {
	for title, text := range want {
		assert.Equal(t, text, under(t, table, row, title), "%s, row %d: %s", name, row, title)
	}
}

func TestTheLightInFull(t *testing.T) {
	for name, file := range shoots(t) {
		p := planned(t, file)
		r := report.Timeline(p, report.Options{Full: true})
		light := section(t, &r.Document, "Light")
		require.Len(t, light.Rows, len(p.Rows))
		for i := range p.Rows {
			m := &p.Rows[i].Moment
			open := scene.Open(&m.Light, m.Sun, m.Stance)
			ev := func(e sky.Lux) string { return words.EV(exposure.Incident(e)) }
			colour := m.Light.Colour()
			behind := words.Unknown
			if m.Known {
				behind = words.EV(exposure.Reflected(m.Backdrop))
			}
			check(t, name, light, i, map[string]string{
				"Lit side": ev(m.Light.Lit), "Shade side": ev(m.Light.Shade), "Key side": ev(open.Key),
				"Shadow side":   ev(open.Shadow),
				"Ambient ratio": words.Ratio(float64(open.Key / open.Shadow)), "Background": behind,
				"Band":       words.Band(m.Light.LitBand),
				"Sun":        words.Number(m.Sun.Altitude.Degrees(), 1),
				"Lit colour": words.KelvinNumber(colour.Lit), "Face colour": words.KelvinNumber(colour.Face),
			})
		}
	}
}

func TestEveryMethodInFull(t *testing.T) {
	for name, file := range shoots(t) {
		p := planned(t, file)
		r := report.Timeline(p, report.Options{Full: true})
		for n, m := range p.Shoot.Methods {
			if p.Lacks(n) != 0 {
				continue
			}
			table := section(t, &r.Document, m.String())
			for i := range p.Rows {
				s := &p.Rows[i].Methods[n]
				want := map[string]string{
					"Aperture": s.Settings.Aperture.String(), "Shutter": s.Settings.Shutter.String(), "ISO": s.Settings.ISO.String(),
					"Ratio": words.Ratio(s.Ratio), "Key side": words.Offset(s.Exposure), "Background": words.Offset(s.Background),
					"Rim": words.Offset(s.Rim), "Face": words.Offset(s.Face), "Headroom": words.Unknown, "Flash meter": words.Unknown,
					"Recycle": words.Unknown,
				}
				if s.Flash > 0 {
					want["Flash meter"] = words.Number(s.FlashReading(), 1)
				}
				if p.Shoot.Fill != nil {
					want["Fill meter"], want["Flash"] = fillMeter(s), words.Flash(s)
				}
				if s.Role != plan.None {
					want["Headroom"] = words.Offset(s.Headroom)
					want["Recycle"] = words.Number(s.Recycle.Seconds(), 1)
				}
				if s.RimFlash != nil {
					want["Rim flash"] = s.RimFlash.Power.String()
				}
				check(t, name+", "+m.String(), table, i, want)
			}
		}
	}
}

// fillMeter is what a flash meter reads of the fill.
func fillMeter(s *plan.Solution) string {
	if s.Fill == nil || s.Fill.Flash == 0 {
		return words.Unknown
	}
	return words.Number(math.Sqrt(float64(s.Fill.Flash)*100*math.Exp2(float64(s.Settings.ISO)/6)/250), 1)
}

// Side by side, a method's heading and cell together give its settings.
func TestSideBySide(t *testing.T) {
	for name, file := range all(t) {
		p := planned(t, file)
		r := report.Timeline(p, report.Options{})
		table := section(t, &r.Document, "Side by side")
		for n, m := range p.Shoot.Methods {
			if p.Lacks(n) != 0 {
				continue
			}
			for i := range p.Rows {
				s := &p.Rows[i].Methods[n]
				cell := under(t, table, i, m.String())
				for c := range table.Columns {
					if table.Columns[c].Title == m.String() {
						cell = strings.ReplaceAll(table.Columns[c].Unit, "\u00a0", " ") + " " + cell
					}
				}
				want := []string{s.Settings.Aperture.String(), s.Settings.Shutter.String(), "ISO " + s.Settings.ISO.String()}
				switch {
				case s.Problem != nil:
					want = append(want, words.Missing(s.Problem.Misses))
					if s.Problem.Misses == 0 {
						want = want[:3]
					}
				case s.Role == plan.None:
					want = append(want, "no flash")
				default:
					want = append(want, s.Power.String()+" "+words.Offset(s.Headroom))
				}
				if s.Settings.ND > 0 {
					want = append(want, words.Filter(s.Settings.ND))
				}
				if s.ScrimInFrame || s.FlashInFrame {
					want = append(want, "in frame")
				}
				for _, w := range want {
					assert.Contains(t, cell, w, "%s, %s, row %d", name, m, i)
				}
			}
		}
	}
}

// The answer's facts are those of the plan: settings at both ends, and the
// picture between its extremes.
func TestTheFactsOfTheAnswer(t *testing.T) {
	for name, file := range all(t) {
		p := planned(t, file)
		v := p.Verdict()
		r := report.Timeline(p, report.Options{})
		runs := p.RunsOf(p.Index(v.Best))
		works := runs[0].Missed < len(runs[0].Minutes)
		var first, last *plan.Minute
		low, high := math.Inf(1), math.Inf(-1)
		for _, one := range runs {
			for i := range one.Minutes {
				m := &one.Minutes[i]
				if works && !m.Outcome.Succeeds() {
					continue
				}
				if one == runs[0] {
					if last = m; first == nil {
						first = m
					}
				}
				if !math.IsNaN(float64(m.Background)) {
					low, high = min(low, float64(m.Background)), max(high, float64(m.Background))
				}
			}
		}
		for label, m := range map[string]*plan.Minute{"Start": first, "End": last} {
			assert.Regexp(t, "^"+words.Clock{}.Time(m.Time)+"[, ]", fact(&r.Document, label), name)
			assert.Contains(t, fact(&r.Document, label), words.Setting(&m.Solution), name)
		}
		if high >= low {
			assert.Contains(t, fact(&r.Document, "Background"), words.OffsetRangeStops(sky.Stops(low), sky.Stops(high)), name)
		} else {
			assert.Contains(t, fact(&r.Document, "Background"), "unknown", name)
		}
		for _, i := range p.Packing() {
			assert.Contains(t, fact(&r.Document, "Pack"), words.Item(&i), name)
		}
	}
}

func TestTheMethodsOfAMoment(t *testing.T) {
	for name, file := range shoots(t) {
		c := compared(t, file)
		r := report.Compare(c, report.Options{Full: true})
		for k := range c.Moments {
			m := &c.Moments[k]
			heading := words.Clock{}.Time(m.Row.Time)
			if m.Name != heading {
				heading += ", " + strings.ReplaceAll(m.Name, " deg", "°")
			}
			if m.Row.Condition.Cases() > 1 {
				heading += map[sky.Case]string{sky.SunOut: ", sun out", sky.SunIn: ", sun in"}[m.Row.Case]
			}
			table, row := section(t, &r.Document, heading), 0
			for n := range m.Row.Methods {
				if c.Plan.Lacks(n) != 0 {
					continue
				}
				s, e := &m.Row.Methods[n], &m.Entries[n]
				want := map[string]string{
					"Ratio": words.Ratio(s.Ratio), "Background": words.Offset(s.Background), "Blur": words.Number(100*e.Blur, 1),
					"Face": words.Offset(s.Face), "Rim": words.Offset(s.Rim), "Flash": words.Flash(s),
				}
				if s.Role != plan.None {
					want["Flash"] += ", " + words.OffsetStops(s.Headroom)
					want["Recycle"] = words.Number(s.Recycle.Seconds(), 1)
				}
				check(t, name, table, row, want)
				assert.Regexp(t, `^`+s.Settings.Aperture.String()+" "+s.Settings.Shutter.String()+", ISO "+s.Settings.ISO.String(),
					under(t, table, row, "Camera"), name)
				row++
			}
			assert.Len(t, table.Rows, row)
		}
		totals, row := section(t, &r.Document, "What it costs"), 0
		for n := range c.Totals {
			if c.Plan.Lacks(n) != 0 {
				continue
			}
			u := &c.Totals[n]
			want := map[string]string{"Method": u.Method.String(), "Batteries": strconv.Itoa(u.Key.Sets),
				"Frames": words.Number(u.Frames, 0)}
			counts := func(of func(*plan.Run) int) string {
				var parts []string
				for _, run := range c.Plan.RunsOf(n) {
					parts = append(parts, strconv.Itoa(of(run)))
				}
				return strings.Join(parts, "/")
			}
			want["Held"] = counts(func(r *plan.Run) int { return r.Held })
			want["Softer"] = counts(func(r *plan.Run) int { return r.Softer })
			want["Missed"] = counts(func(r *plan.Run) int { return r.Missed })
			if u.Key.BurstFrames > 0 {
				want["In a row"], want["Recycle"] = words.Number(math.Floor(u.Key.BurstFrames), 0),
					words.Number(u.Key.Recycle.Seconds(), 1)
				want["Then rest"] = words.UpTo(u.Key.Rest.Minutes(), 0)
			}
			check(t, name, totals, row, want)
			if row++; u.Fill != nil && u.Frames > 0 {
				check(t, name, totals, row, map[string]string{"Group": "fill", "Batteries": strconv.Itoa(u.Fill.Sets)})
				row++
			}
			if u.Rim != nil && u.Frames > 0 {
				row++
			}
		}
	}
}

func TestTheCuesInTheirTable(t *testing.T) {
	for name, file := range shoots(t) {
		p := planned(t, file)
		v := p.Verdict()
		cues := report.Cues{Plan: p, Method: v.Best, Chosen: true}
		r := cues.Report(report.Options{Full: true})
		run := p.RunsOf(p.Index(v.Best))[0]
		table := section(t, &r.Document, v.Best.String())
		list := run.Cues()
		require.Len(t, table.Rows, len(list))
		for i := range list {
			c := &list[i]
			want := map[string]string{"Time": words.Clock{}.Time(c.Time), "Why": words.Reason(&c.Reason, c, p.Shoot),
				"Flash meter": words.Unknown, "Headroom": words.Unknown}
			if c.Set.Flash > 0 {
				want["Flash meter"] = words.Number(c.Set.FlashReading(), 1)
			}
			if p.Shoot.Fill != nil {
				want["Fill meter"] = fillMeter(c.Set)
			}
			if c.Set.Role != plan.None {
				want["Headroom"] = words.Offset(c.Set.Headroom)
			}
			check(t, name, table, i, want)
			assert.Contains(t, under(t, table, i, "Do"), words.Cue(c, p.Shoot), name)
		}
	}
}
