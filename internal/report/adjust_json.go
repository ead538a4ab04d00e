package report

import (
	"evenfall/internal/exposure"
	"evenfall/internal/plan"
	"evenfall/internal/reading"
	"evenfall/internal/words"
)

// adjustSchema names the contract of adjust. From here on it only grows.
const adjustSchema = "evenfall/adjust/1"

// adjusted is the rest of the timeline, with what the readings change.
type adjusted struct {
	timelineJSON
	Adjustment adjustment `json:"adjustment" csv:"-"`
	// Planned are the methods at the first and the last moment without the
	// readings.
	Planned plannedEnds `json:"planned" csv:"-"`
	Cues    []cueRun    `json:"cue_runs" csv:"-"`
}

type adjustment struct {
	From       string  `json:"from"`
	Method     string  `json:"method"`
	Was        string  `json:"planned_method"`
	Lit        figure  `json:"lit_stops"`
	Shade      figure  `json:"shade_stops"`
	Background figure  `json:"background_stops"`
	Next       *string `json:"next_cue"`
	WasNext    *string `json:"planned_next_cue"`
	Normal     *string `json:"background_normal_at"`
	WasNormal  *string `json:"background_planned_normal_at"`
	Text       string  `json:"text"`
}

type plannedEnds struct {
	First []method `json:"first"`
	Last  []method `json:"last"`
}

// readingJSON is a reading with what it says.
type readingJSON struct {
	Time      string  `json:"time"`
	Value     string  `json:"value"`
	Plane     string  `json:"plane"`
	Lux       figure  `json:"lux"`
	EV        figure  `json:"ev100"`
	Altitude  figure  `json:"sun_altitude_deg"`
	Condition string  `json:"condition"`
	Case      *string `json:"case"`
	Model     figure  `json:"planned_lux"`
	Offset    figure  `json:"offset_stops"`
	Weight    figure  `json:"weight"`
	Fits      *string `json:"fits"`
	FitsCase  *string `json:"fits_case"`
	FitsBy    figure  `json:"fits_offset_stops"`
	Remark    string  `json:"remark"`
}

func newReadings(list []reading.Weighed) []readingJSON {
	out := []readingJSON{}
	for i := range list {
		w := &list[i]
		one := readingJSON{
			Time: w.Time.Format("2006-01-02T15:04:05Z07:00"), Value: w.Given, Plane: w.Plane.String(),
			Lux: amount(w.Light), EV: fixed(exposure.Incident(w.Light), 3),
			Altitude: fixed(w.Sun.Altitude.Degrees(), 3), Condition: w.Under.String(),
			Model: amount(w.Model), Offset: fixed(w.Offset, 3), Weight: fixed(w.Weight, 3), Remark: words.ReadingRemark(w),
		}
		if w.Under.Cases() > 1 {
			word := w.Case.String()
			one.Case = &word
		}
		if f := w.Fits; f != nil {
			word, which := f.Word.String(), f.Case.String()
			one.Fits, one.FitsCase, one.FitsBy = &word, &which, fixed(f.Offset, 3)
		}
		out = append(out, one)
	}
	return out
}

// newAdjusted puts an adjustment in the contract's terms.
func newAdjusted(a *plan.Adjustment, o Options) *adjusted {
	p, s := a.After, a.After.Shoot
	from, _ := p.Window()
	text, _ := Adjusted(a)
	out := &adjusted{
		timelineJSON: *newTimeline(p, o),
		Adjustment: adjustment{
			From: stamp(from, s), Method: a.Method.String(), Was: a.Was.String(),
			Lit: fixed(a.Lit, 3), Shade: fixed(a.Shade, 3),
			Background: fixed(a.Backdrop, 3), Next: stampOf(a.Next[1], s), WasNext: stampOf(a.Next[0], s),
			Normal: stampOf(a.Normal[1], s), WasNormal: stampOf(a.Normal[0], s),
			Text: text,
		},
		Planned: plannedEnds{newRow(&a.Before.Rows[0], s).Methods, newRow(&a.Before.Rows[len(a.Before.Rows)-1], s).Methods},
		Cues:    []cueRun{},
	}
	out.Schema = adjustSchema
	for _, r := range p.RunsOf(p.Index(a.Method)) {
		out.Cues = append(out.Cues, newCueRun(r, s))
	}
	return out
}
