package report

import (
	"evenfall/internal/plan"
	"evenfall/internal/words"
)

// colourFacts say which white balance to set, how to focus behind a dense
// filter, and where the flash does not light all that the frame shows.
func colourFacts(p *plan.Plan, n int) Facts {
	f := p.Facts(n)
	list := Facts{{Label: "Colour", Text: words.Colour(&f)}}
	if f.Filter >= plan.DenseFilter {
		list = append(list, Fact{Label: "Focus", Text: words.FocusFirst(f.Filter), Tone: Warn})
	}
	if !f.Flashes {
		return list
	}
	b := &f.Beam
	if b.Feet {
		list = append(list, Fact{Label: "Feet", Text: words.FallOff(b)})
	}
	const seen = 1 // stop
	if b.AtFigure > seen {
		list = append(list, Fact{Label: "Pool", Text: words.Uncovered(b), Tone: Warn})
	}
	return list
}

// beamBlocks say how the flash's light lies over the picture of the verdict's
// method.
func beamBlocks(p *plan.Plan, v *plan.Verdict) []Block {
	f := p.Facts(p.Index(v.Best))
	if !f.Flashes {
		return nil
	}
	b := &f.Beam
	to := "Lower edge"
	if b.Feet {
		to = "Feet"
	}
	return []Block{
		Heading{Text: "The flash's light over the picture, " + v.Best.String()},
		Facts{{Label: "Pool", Text: words.Pool(b)}, {Label: "Vignette", Text: words.Vignette(b)},
			{Label: to, Text: words.FallOff(b)}},
		Note{Kind: Remark, Text: "Estimates: " + words.PoolModel(b.Pool.Kind) + ", aimed at the middle of the " +
			"figure; the fall to the feet or the lower edge is that of distance and slant, the flash as high as the face."},
	}
}

// checkBlocks list what to see to before the first frame.
func checkBlocks(p *plan.Plan) []Block {
	checks := p.Preflight()
	var items []string
	for i := range checks {
		items = append(items, words.Sentence(words.Check(&checks[i])))
	}
	if len(items) == 0 {
		return nil
	}
	return []Block{Heading{Text: "Before the first frame"}, List{Items: items}}
}

// pictured is what else there is to know of the picture, with the verdict's
// method.
type pictured struct {
	Method       string    `json:"method"`
	WhiteBalance figure    `json:"white_balance_k"`
	KeyCCT       [2]figure `json:"key_side_cct_k"` // the least and the most, without flash
	ND           figure    `json:"densest_nd_stops"`
	NDFrom       *string   `json:"densest_nd_from"`
	FocusFirst   bool      `json:"focus_before_nd"`
	Beam         *beam     `json:"flash_beam"`
}

// beam is how the flash's light lies over the picture; null without flash.
type beam struct {
	To       string  `json:"falls_to"`
	Below    figure  `json:"below_face_m"`
	FallOff  figure  `json:"fall_off_stops"`
	Least    figure  `json:"least_fall_with_daylight_stops"`
	Most     figure  `json:"most_fall_with_daylight_stops"`
	Model    string  `json:"pool_model"`
	One      extentM `json:"pool_within_one_stop"`
	Two      extentM `json:"pool_within_two_stops"`
	Frame    extentM `json:"frame"`
	AtSides  figure  `json:"less_at_sides_stops"`
	AtEnds   figure  `json:"less_at_top_and_bottom_stops"`
	AtFigure figure  `json:"less_at_figure_corners_stops"`
}

type extentM struct {
	Width  figure `json:"width_m"`
	Height figure `json:"height_m"`
}

type check struct {
	Check string `json:"check"`
	Value figure `json:"value"`
	Name  string `json:"name"`
	Text  string `json:"text"`
}

func newPictured(p *plan.Plan) pictured {
	f := p.Facts(p.Index(p.Verdict().Best))
	out := pictured{
		Method: f.Method.String(), WhiteBalance: tens(f.WhiteBalance),
		ND: fixed(f.Filter, 3), FocusFirst: f.Filter >= plan.DenseFilter,
	}
	if f.KeyHigh > 0 {
		out.KeyCCT = [2]figure{fixed(f.KeyLow, 0), fixed(f.KeyHigh, 0)}
	}
	if f.Filter > 0 {
		out.NDFrom = stampOf(f.FilterOn, p.Shoot)
	}
	if f.Flashes {
		out.Beam = newBeam(&f.Beam)
	}
	return out
}

func newBeam(b *plan.Beam) *beam {
	size := func(w, h float64) extentM { return extentM{fixed(w, 3), fixed(h, 3)} }
	out := &beam{
		To: "lower-edge", Below: fixed(b.Below, 3), FallOff: fixed(b.FallOff, 3),
		Least: fixed(b.Least, 3), Most: fixed(b.Most, 3),
		Model: b.Pool.Kind.String(), One: size(b.Pool.Within(1)), Two: size(b.Pool.Within(2)), Frame: size(b.Width, b.Height),
		AtSides: fixed(b.AtSides, 3), AtEnds: fixed(b.AtEnds, 3), AtFigure: fixed(b.AtFigure, 3),
	}
	if b.Feet {
		out.To = "feet"
	}
	return out
}

func newChecks(p *plan.Plan) []check {
	list := []check{}
	for _, c := range p.Preflight() {
		value := fixed(c.Value, 1)
		if c.Shutter != 0 {
			value = exact(c.Shutter.Seconds())
		}
		list = append(list, check{words.CheckKind(c.Kind), value, c.Name, words.Check(&c)})
	}
	return list
}

// windy is the stated wind; null where nothing is known of it.
type windy struct {
	Speed figure `json:"speed_m_per_s"`
	Gust  figure `json:"gust_m_per_s"`
	Force int    `json:"beaufort"`
	Name  string `json:"name"`
	Scrim *load  `json:"scrim"`
	Flies *bool  `json:"scrim_may_stand"`
}

func newWindy(p *plan.Plan) *windy {
	w := p.Wind()
	if w == nil {
		return nil
	}
	out := &windy{Speed: fixed(w.Speed, 1), Gust: fixed(w.Gust, 2), Force: int(w.Force), Name: w.Force.String()}
	if w.Scrim != nil {
		l, flies := newLoad(w.Scrim), w.Scrim.Handling.Flies()
		out.Scrim, out.Flies = &l, &flies
	}
	return out
}
