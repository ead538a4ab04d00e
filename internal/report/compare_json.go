package report

import (
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
)

// compareSchema names the contract of compare. From here on it only grows.
const compareSchema = "evenfall/compare/2"

type comparison struct {
	preamble
	Moments  []comparedMoment `json:"moments" csv:"rows"`
	Totals   []totalled       `json:"totals" csv:"-"`
	Wind     *windy           `json:"wind" csv:"-"`
	Scrim    *panel           `json:"scrim" csv:"-"`
	Verdict  judged           `json:"verdict" csv:"-"`
	Cautions []string         `json:"cautions" csv:"-"`
}

// judged is a verdict with how each rule went.
type judged struct {
	verdict
	Why []string `json:"why"`
}

type comparedMoment struct {
	Name    string `json:"moment"`
	Outside bool   `json:"outside_window"`
	instant
	Methods []comparedMethod `json:"methods" csv:"rows"`
	Verdict picked           `json:"verdict"`
}

// picked is the pick of one moment.
type picked struct {
	Method  string `json:"method"`
	Outcome string `json:"outcome"`
	Text    string `json:"text"`
}

type comparedMethod struct {
	method
	Blur         figure    `json:"blur_share"`
	Depth        figure    `json:"depth_of_field_m"`
	Near         figure    `json:"sharp_from_m"`
	Far          figure    `json:"sharp_to_m"`
	FramesPerSet figure    `json:"frames_per_set"`
	Rise         figure    `json:"rise_stops"`
	Scrim        *standing `json:"scrim"`
}

type standing struct {
	Azimuth      figure  `json:"azimuth_deg"`
	Tilt         figure  `json:"tilt_deg"`
	Out          figure  `json:"centre_out_m"`
	AboveHead    figure  `json:"centre_above_head_m"`
	AboveGround  figure  `json:"centre_above_ground_m"`
	LowEdge      figure  `json:"low_edge_above_ground_m"`
	Covers       bool    `json:"covers"`
	Coverage     figure  `json:"coverage_share"`
	SpareAcross  figure  `json:"spare_across_m"`
	SpareAlong   figure  `json:"spare_along_m"`
	Holds        figure  `json:"covers_for_minutes"`
	LongestHolds bool    `json:"covers_longer"`
	Drift        figure  `json:"shadow_drift_m_per_minute"`
	SkyTaken     covered `json:"sky_taken_share"`
	LevelHead    bool    `json:"level_covers_head_and_shoulders"`
	LevelFigure  bool    `json:"level_covers_full_length"`
}

type covered struct {
	Level figure `json:"level"`
	Lit   figure `json:"lit"`
	Shade figure `json:"shade"`
}

type totalled struct {
	Method string `json:"method"`
	Frames figure `json:"frames"`
	Key    used   `json:"main"`
	Fill   *used  `json:"fill"`
	Rim    *used  `json:"rim"`
}

type used struct {
	FullFlashes figure  `json:"full_power_flashes_per_flash"`
	Sets        int     `json:"battery_sets_per_flash"`
	BurstFrames figure  `json:"burst_frames"`
	Rest        figure  `json:"burst_rest_minutes"`
	Recycle     figure  `json:"recycle_s"`
	Pace        figure  `json:"pace_s"`
	At          *string `json:"hardest_time"`
}

type panel struct {
	Name   string   `json:"name"`
	Lowest figure   `json:"lowest_sun_deg"`
	Ever   bool     `json:"ever_covers"`
	Misses []missed `json:"cannot_cover"`
	Area   figure   `json:"area_m2"`
	Height figure   `json:"middle_above_ground_m"`
	Stands int      `json:"stands"`
	Foot   figure   `json:"stand_foot_m"`
	Wind   []load   `json:"wind"`
}

type missed struct {
	From string `json:"from"`
	To   string `json:"to"`
}

type load struct {
	Force    int    `json:"beaufort"`
	Name     string `json:"name"`
	Low      figure `json:"from_m_per_s"`
	High     figure `json:"to_m_per_s"`
	Push     figure `json:"push_n"`
	Weight   figure `json:"push_kgf"`
	Gust     figure `json:"gust_push_n"`
	GustKG   figure `json:"gust_push_kgf"`
	Ballast  figure `json:"ballast_per_stand_kg"`
	Handling string `json:"handling"`
	Advice   string `json:"advice"`
}

// newComparison puts the comparison in the contract's terms.
func newComparison(c *plan.Comparison, o Options) *comparison {
	s := c.Plan.Shoot
	out := &comparison{
		preamble: newHeading(compareSchema, s, o),
		Moments:  []comparedMoment{},
		Totals:   []totalled{},
		Verdict:  judged{newVerdict(c.Plan), words.Rulings(&c.Verdict)},
		Wind:     newWindy(c.Plan),
		Scrim:    newPanel(c, s),
		Cautions: Cautions(c.Plan),
	}
	for i := range c.Moments {
		out.Moments = append(out.Moments, newComparedMoment(&c.Moments[i], s))
	}
	for i := range c.Totals {
		t := &c.Totals[i]
		total := totalled{Method: t.Method.String(), Frames: fixed(t.Frames, 1), Key: newUsed(&t.Key, s)}
		if t.Fill != nil {
			fill := newUsed(t.Fill, s)
			total.Fill = &fill
		}
		if t.Rim != nil {
			rim := newUsed(t.Rim, s)
			total.Rim = &rim
		}
		out.Totals = append(out.Totals, total)
	}
	return out
}

func newComparedMoment(m *plan.Compared, s *shoot.Shoot) comparedMoment {
	out := comparedMoment{
		Name: m.Name, Outside: m.Outside, instant: newInstant(&m.Row.Moment),
		Methods: []comparedMethod{}, Verdict: newPicked(m, s),
	}
	for i := range m.Entries {
		e := &m.Entries[i]
		one := comparedMethod{
			method: newMethod(&m.Row.Methods[i], &m.Row.Moment, s), Blur: fixed(e.Blur, 4), Depth: fixed(e.Far-e.Near, 3),
			Near: fixed(e.Near, 3), Far: fixed(e.Far, 3), Rise: fixed(e.Rise, 3), Scrim: newStanding(e.Scrim),
		}
		if e.FramesPerSet > 0 {
			one.FramesPerSet = fixed(e.FramesPerSet, 1)
		}
		out.Methods = append(out.Methods, one)
	}
	return out
}

func newStanding(u *plan.Standing) *standing {
	if u == nil {
		return nil
	}
	share := func(v float64) figure { return fixed(v, 3) }
	return &standing{
		Azimuth: fixed(u.Azimuth.Normal().Degrees(), 2), Tilt: fixed(u.Tilt.Degrees(), 2),
		Out: fixed(u.Out, 3), AboveHead: fixed(u.AboveHead, 3), AboveGround: fixed(u.AboveGround, 3),
		LowEdge: fixed(u.LowEdge, 3),
		Covers:  u.Coverage.Whole, Coverage: share(u.Coverage.Share),
		SpareAcross: fixed(u.Coverage.Spare.Across, 3), SpareAlong: fixed(u.Coverage.Spare.Along, 3),
		Holds: fixed(u.Holds, 1), LongestHolds: u.Holds >= scene.LongestHold, Drift: fixed(u.Drift, 4),
		SkyTaken:  covered{share(u.Taken.Level), share(u.Taken.Lit), share(u.Taken.Shade)},
		LevelHead: u.LevelHead, LevelFigure: u.LevelFull,
	}
}

func newPicked(m *plan.Compared, s *shoot.Shoot) picked {
	best := m.Best()
	return picked{best.Method.String(), best.Outcome.String(), words.Pick(m, s)}
}

func newUsed(u *plan.Use, s *shoot.Shoot) used {
	out := used{FullFlashes: fixed(u.FullFlashes, 1), Sets: u.Sets, Pace: fixed(u.Pace.Seconds(), 2)}
	if u.BurstFrames > 0 {
		at := stamp(u.At, s)
		out.BurstFrames, out.Rest, out.Recycle, out.At = fixed(u.BurstFrames, 1), fixed(u.Rest.Minutes(), 1),
			fixed(u.Recycle.Seconds(), 2), &at
	}
	return out
}

func newPanel(c *plan.Comparison, s *shoot.Shoot) *panel {
	if c.Panel == nil {
		return nil
	}
	out := &panel{Name: s.Scrim.Name, Ever: c.Panel.Ever, Misses: []missed{}, Wind: []load{},
		Area: fixed(c.Panel.Sail.Area, 3), Height: fixed(c.Panel.Sail.Height, 3), Stands: c.Panel.Sail.Stands,
		Foot: fixed(scene.LightStandFoot, 3)}
	if c.Panel.Ever {
		out.Lowest = fixed(c.Panel.Lowest.Degrees(), 2)
	}
	for _, m := range c.Panel.Misses {
		out.Misses = append(out.Misses, missed{stamp(m.From, s), stamp(m.To, s)})
	}
	for i := range c.Panel.Wind {
		out.Wind = append(out.Wind, newLoad(&c.Panel.Wind[i]))
	}
	return out
}

func newLoad(l *plan.Load) load {
	return load{
		Force: int(l.Force), Name: l.Force.String(), Low: fixed(l.Low, 1), High: fixed(l.High, 1),
		Push: fixed(l.Push, 1), Weight: fixed(l.Push.Kilograms(), 2),
		Gust: fixed(l.Gust, 1), GustKG: fixed(l.Gust.Kilograms(), 2),
		Ballast: fixed(l.Ballast, 1), Handling: words.HandlingKind(l.Handling), Advice: words.Handling(l.Handling),
	}
}
