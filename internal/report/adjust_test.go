package report_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"evenfall/internal/exposure"
	"evenfall/internal/plan"
	"evenfall/internal/reading"
	"evenfall/internal/report"
	"evenfall/internal/report/text"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// adjusted is a shoot's plan after a reading of the lit side a third into the
// window that lies so many stops off it.
func adjusted(t testing.TB, s *shoot.Shoot, off sky.Stops) (*plan.Adjustment, []reading.Weighed) {
	before, err := plan.Make(context.Background(), s)
	require.NoError(t, err)
	from, to := before.Window()
	at := before.At(from.Add(to.Sub(from) / 3))[0]
	r := reading.Reading{Time: at.Time, Light: at.Light.Lit * sky.Lux(off.Factor()), Given: "ev12.3"}
	weighed, learned, err := reading.Learn(s, []reading.Reading{r}, reading.UsualError)
	require.NoError(t, err)
	read := *s
	read.Learned = learned
	after, err := plan.Make(context.Background(), &read)
	require.NoError(t, err)
	a, err := plan.Adjust(context.Background(), before, after, at.Time, weighed[0].Case)
	require.NoError(t, err)
	return a, weighed
}

// adjustOf is what the document of an adjustment has to hold.
func adjustOf(a *plan.Adjustment, weighed []reading.Weighed) object {
	s := a.After.Shoot
	from, _ := a.After.Window()
	o := timelineOf(a.After)
	o["schema"] = "evenfall/adjust/1"
	o["readings"] = list(weighed, func(w *reading.Weighed) any {
		one := object{
			"time": instant{w.Time, s.Place.Zone}, "value": w.Given, "plane": w.Plane.String(), "lux": digits(w.Light, 6),
			"ev100": number(exposure.Incident(w.Light), 3), "sun_altitude_deg": number(w.Sun.Altitude.Degrees(), 3),
			"condition": w.Under.String(), "case": when(w.Under.Cases() > 1, caseOf(w.Case)), "planned_lux": digits(w.Model, 6),
			"offset_stops": number(math.Log2(float64(w.Light/w.Model)), 3), "weight": number(w.Weight, 3),
			"fits": nil, "fits_case": nil, "fits_offset_stops": nil, "remark": words.ReadingRemark(w),
		}
		if f := w.Fits; f != nil {
			one["fits"], one["fits_case"], one["fits_offset_stops"] = f.Word.String(), caseOf(f.Case), number(f.Offset, 3)
		}
		return one
	})
	methods := func(i int) any {
		r := &a.Before.Rows[i]
		return list(r.Methods, func(m *plan.Solution) any { return methodOf(m, &r.Moment, s) })
	}
	o["planned"] = object{"first": methods(0), "last": methods(len(a.Before.Rows) - 1)}
	o["adjustment"] = object{
		"from": instant{from, s.Place.Zone}, "method": a.Method.String(), "planned_method": a.Was.String(),
		"lit_stops": number(a.Lit, 3), "shade_stops": number(a.Shade, 3), "background_stops": number(a.Backdrop, 3),
		"next_cue":                     when(!a.Next[1].IsZero(), any(instant{a.Next[1], s.Place.Zone})),
		"planned_next_cue":             when(!a.Next[0].IsZero(), any(instant{a.Next[0], s.Place.Zone})),
		"background_normal_at":         when(!a.Normal[1].IsZero(), any(instant{a.Normal[1], s.Place.Zone})),
		"background_planned_normal_at": when(!a.Normal[0].IsZero(), any(instant{a.Normal[0], s.Place.Zone})),
		"text":                         words.Adjusted(a) + " " + words.GoOn(a),
	}
	runs := []any{}
	for _, r := range a.After.RunsOf(a.After.Index(a.Method)) {
		one := runOf(r, s)
		last := len(r.Minutes) - 1
		one["from"], one["to"] = instant{r.Minutes[0].Time, s.Place.Zone}, instant{r.Minutes[last].Time, s.Place.Zone}
		one["cues"] = list(r.Cues(), func(c *plan.Cue) any { return cueOf(c, s) })
		runs = append(runs, one)
	}
	o["cue_runs"] = runs
	return o
}

func TestJSONOfAnAdjustment(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	check := func(name string, a *plan.Adjustment, weighed []reading.Weighed) {
		got := decoded(t, report.Adjust(a, report.Options{Demonstration: true, Readings: weighed}))
		assert.Empty(t, differences("", adjustOf(a, weighed), got), name)
	}
	for name, file := range all(t) {
		w := workedOut(t, file)
		check(name, w.adjustment, w.weighed)
	}
	for name, file := range map[string]string{"demonstration": shoots(t)["demonstration"], "broken": shoots(t)["broken cloud"]} {
		lighter, weighed := adjusted(t, resolved(t, file), 0.3)
		check(name+", lighter", lighter, weighed)
	}
}

// Every report of a plan with readings says so, in text and in JSON.
func TestReportsNameTheirReadings(t *testing.T) {
	w := workedOut(t, shoots(t)["demonstration"])
	weighed := w.weighed
	for kind, r := range w.reports(report.Options{Readings: weighed}) {
		if kind == "adjust" {
			continue // it tells each
		}
		page := strings.Join(lines(t, r, text.Options{}), "\n")
		assert.Contains(t, page, "The light is by a reading at 18:09.\n", kind)
		assert.Len(t, decoded(t, r)["readings"], 1, kind)
	}
	assert.Equal(t, "The light is by 2 readings, the last at 18:09.", words.Readings(append(weighed, weighed...)))
	assert.Empty(t, words.Readings(nil))
}

// The first screen says what the readings change and how all is set now.
func TestTheAdjustmentIsFirst(t *testing.T) {
	for name, file := range all(t) {
		w := workedOut(t, file)
		a, r := w.adjustment, report.Adjust(w.adjustment, report.Options{Readings: w.weighed})
		for _, width := range []int{60, 80, 120} {
			first := oneLine(head(lines(t, r, text.Options{Width: width}), 24))
			first = strings.NewReplacer("✗ ", "", "~ ", "").Replace(first)
			m := &a.After.RunsOf(a.After.Index(a.Method))[0].Minutes[0]
			now := "Now " + words.Clock{}.Time(m.Time) + " " + words.Setting(&m.Solution)
			for _, want := range []string{words.Adjusted(a), "Reading", now, "Face", "Background"} {
				assert.Contains(t, first, want, "%s at %d", name, width)
			}
		}
	}
}

// What an adjustment says is its facts.
func TestAdjustmentInWords(t *testing.T) {
	s := resolved(t, shoots(t)["demonstration"])
	a, weighed := adjusted(t, s, 0)
	assert.Contains(t, words.Adjusted(a), "From 18:09 the light is as planned.")
	assert.Contains(t, words.Reading(&weighed[0]), ", as planned")
	a, weighed = adjusted(t, s, -0.6)
	assert.Regexp(t, `^From 18:09 the light is 0\.[4-6] stop under the plan, .* in the shade: haze\.`, words.Adjusted(a))
	assert.Regexp(t, `^lit side EV 13\.[0-9], 0\.6 stop under the plan; [6-9][0-9] % of that counts$`,
		words.Reading(&weighed[0]))
	a, _ = adjusted(t, s, 0.2)
	assert.Contains(t, words.Adjusted(a), ": clear air.")
	cloudy := resolved(t, shoots(t)["no flash needed"])
	a, _ = adjusted(t, cloudy, -0.6)
	assert.Regexp(t, `the light is 0\.5 stop under the plan: thicker cloud\.`, words.Adjusted(a))
	a, _ = adjusted(t, cloudy, 0.5)
	assert.Contains(t, words.Adjusted(a), ": thinner cloud.")
}
