package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"time"
	"unicode/utf16"
	"unicode/utf8"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// schema names the contract. It only ever grows.
const schema = "evenfall/timeline/1"

// Figures are rounded to fewer digits than computers differ by, and are nil
// where there is no finite value.
type figure = *float64

// fixed rounds to a count of decimals.
func fixed[T ~float64](v T, decimals int) figure {
	x := float64(v)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return parsed(strconv.FormatFloat(x, 'f', decimals, 64))
}

// significant rounds to a count of digits.
func significant[T ~float64](v T, digits int) figure {
	x := float64(v)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return parsed(strconv.FormatFloat(x, 'g', digits, 64))
}

func parsed(s string) figure {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return nil
	}
	x += 0 // a rounded -0 becomes 0
	return &x
}

// exact keeps all digits that computers agree on: powers of two come out whole.
func exact(v float64) figure { return significant(v, 12) }

// amount rounds light, where six digits are far finer than any meter.
func amount[T ~float64](v T) figure { return significant(v, 6) }

// heading is what all documents of a shoot begin with.
type heading struct {
	Schema string `json:"schema"`
	Name   string `json:"name"`
	Demo   bool   `json:"demonstration"`
	Place  place  `json:"place"`
	Look   looked `json:"look"`
}

type timeline struct {
	heading
	Events    []event   `json:"events"`
	Rows      []row     `json:"rows"`
	Summaries []summary `json:"summaries"`
	Cautions  []string  `json:"cautions"`
}

type place struct {
	Name      string `json:"name"`
	Latitude  figure `json:"latitude_deg"`
	Longitude figure `json:"longitude_deg"`
	Elevation figure `json:"elevation_m"`
	Zone      string `json:"time_zone"`
}

type looked struct {
	Kind  string `json:"kind"`
	Ratio figure `json:"ratio"`
	Dark  figure `json:"dark_sky_stops"`
	Bias  figure `json:"bias_stops"`
}

type event struct {
	Name    string `json:"name"`
	Time    string `json:"time"`
	Azimuth figure `json:"azimuth_deg"`
}

type row struct {
	instant
	Methods []method `json:"methods"`
}

// instant is one time under one sky.
type instant struct {
	Time      string  `json:"time"`
	Sun       sun     `json:"sun"`
	Facing    figure  `json:"facing_deg"`
	Condition string  `json:"condition"`
	Case      *string `json:"case"`
	Light     light   `json:"light"`
}

type sun struct {
	Altitude     figure `json:"altitude_deg"`
	TrueAltitude figure `json:"true_altitude_deg"`
	Azimuth      figure `json:"azimuth_deg"`
	Bearing      string `json:"bearing"`
	Visible      bool   `json:"visible"`
}

type light struct {
	DirectNormal      figure    `json:"direct_normal_lux"`
	DiffuseHorizontal figure    `json:"diffuse_horizontal_lux"`
	Level             figure    `json:"level_lux"`
	Lit               figure    `json:"lit_lux"`
	Shade             figure    `json:"shade_lux"`
	Face              figure    `json:"face_lux"`
	LitEV             figure    `json:"lit_ev100"`
	ShadeEV           figure    `json:"shade_ev100"`
	SkyEV             figure    `json:"sky_ev100"`
	AmbientRatio      figure    `json:"ambient_ratio"`
	Band              [2]figure `json:"band_stops"`
	ShadeBand         [2]figure `json:"shade_band_stops"`
	LevelBand         [2]figure `json:"level_band_stops"`
	LitCCT            figure    `json:"lit_cct_k"`
	ShadeCCT          figure    `json:"shade_cct_k"`
	FaceCCT           figure    `json:"face_cct_k"`
}

type method struct {
	Method        string   `json:"method"`
	Feasible      bool     `json:"feasible"`
	Problem       *string  `json:"problem"`
	ProblemStops  figure   `json:"problem_stops"`
	Cures         []string `json:"cures"`
	ISO           figure   `json:"iso"`
	ISOExact      figure   `json:"iso_exact"`
	Aperture      figure   `json:"aperture"`
	ApertureExact figure   `json:"aperture_exact"`
	Shutter       string   `json:"shutter"`
	ShutterExact  figure   `json:"shutter_s"`
	ND            figure   `json:"nd_stops"`
	ScrimUp       bool     `json:"scrim_up"`
	Lit           figure   `json:"lit_lux"`
	Shade         figure   `json:"shade_lux"`
	Face          figure   `json:"face_lux"`
	Role          string   `json:"role"`
	Power         figure   `json:"flash_power"`
	PowerText     *string  `json:"flash_power_text"`
	Units         int      `json:"units"`
	Added         figure   `json:"flash_lux_seconds"`
	Headroom      figure   `json:"headroom_stops"`
	Ratio         figure   `json:"ratio"`
	Exposure      figure   `json:"exposure_offset_stops"`
	Background    figure   `json:"background_offset_stops"`
	LitSide       figure   `json:"lit_offset_stops"`
	FaceOffset    figure   `json:"face_offset_stops"`
	ScrimInFrame  bool     `json:"scrim_in_frame"`
	Recycle       figure   `json:"recycle_s"`
	Gel           *string  `json:"gel"`
	GelShift      figure   `json:"gel_mired"`
	GelRemains    figure   `json:"gel_remains_mired"`
	RimFlash      *rim     `json:"rim"`
}

type rim struct {
	Power     figure `json:"flash_power"`
	PowerText string `json:"flash_power_text"`
	Units     int    `json:"units"`
	Added     figure `json:"flash_lux_seconds"`
	Headroom  figure `json:"headroom_stops"`
	Over      figure `json:"over_key_stops"`
	Recycle   figure `json:"recycle_s"`
}

type summary struct {
	Method string `json:"method"`
	Holds  int    `json:"rows_held"`
	Of     int    `json:"rows"`
	Text   string `json:"text"`
}

func newHeading(schema string, s *shoot.Shoot, o Options) heading {
	h := heading{
		Schema: schema,
		Name:   s.Name,
		Demo:   o.Demonstration,
		Place: place{
			Name:      s.Place.Name,
			Latitude:  fixed(s.Place.Site.Latitude.Degrees(), 6),
			Longitude: fixed(s.Place.Site.Longitude.Degrees(), 6),
			Elevation: fixed(s.Place.Site.Elevation, 1),
			Zone:      s.Place.Zone.String(),
		},
		Look: looked{Kind: s.Look.Kind.String(), Bias: fixed(s.Look.Bias, 3)},
	}
	if s.Look.Kind == shoot.DarkSky {
		h.Look.Dark = fixed(s.Look.Dark, 3)
	} else {
		h.Look.Ratio = fixed(s.Look.Ratio, 3)
	}
	return h
}

// newTimeline puts the plan in the contract's terms.
func newTimeline(p *plan.Plan, o Options) *timeline {
	s := p.Shoot
	t := &timeline{
		heading:   newHeading(schema, s, o),
		Events:    []event{},
		Rows:      []row{},
		Summaries: []summary{},
		Cautions:  Cautions(s),
	}
	for _, e := range p.Day.Events {
		t.Events = append(t.Events, event{string(e.Name), stamp(e.Time.Round(time.Second), s), fixed(e.Azimuth.Degrees(), 2)})
	}
	for i := range p.Rows {
		t.Rows = append(t.Rows, newRow(&p.Rows[i], s))
	}
	for _, m := range p.Methods {
		t.Summaries = append(t.Summaries, summary{m.Method.String(), m.Holds, m.Of, m.Text})
	}
	return t
}

// stamp writes a moment in the shoot's zone, with its offset.
func stamp(t time.Time, s *shoot.Shoot) string { return t.In(s.Place.Zone).Format(time.RFC3339) }

func newRow(r *plan.Row, s *shoot.Shoot) row {
	out := row{instant: newInstant(r, s), Methods: []method{}}
	for i := range r.Methods {
		out.Methods = append(out.Methods, newMethod(&r.Methods[i], s))
	}
	return out
}

func newInstant(r *plan.Row, s *shoot.Shoot) instant {
	out := instant{
		Time: stamp(r.Time, s),
		Sun: sun{
			Altitude:     fixed(r.Sun.Altitude.Degrees(), 3),
			TrueAltitude: fixed(r.Sun.TrueAltitude.Degrees(), 3),
			Azimuth:      fixed(r.Sun.Azimuth.Degrees(), 3),
			Bearing:      r.Bearing,
			Visible:      r.Visible,
		},
		Facing:    fixed(r.Facing.Normal().Degrees(), 2),
		Condition: r.Condition.String(),
		Light:     newLight(&r.Light),
	}
	if word := caseWord(r.Condition, r.Case); word != "" {
		out.Case = &word
	}
	return out
}

func newLight(l *sky.Light) light {
	out := light{
		DirectNormal:      amount(l.DirectNormal),
		DiffuseHorizontal: amount(l.DiffuseHorizontal),
		Level:             amount(l.Level),
		Lit:               amount(l.Lit),
		Shade:             amount(l.Shade),
		Face:              amount(l.Face),
		LitEV:             fixed(exposure.Incident(l.Lit), 3),
		ShadeEV:           fixed(exposure.Incident(l.Shade), 3),
		SkyEV:             fixed(exposure.Reflected(l.Backdrop), 3),
		AmbientRatio:      significant(l.Lit/l.Shade, 6),
		Band:              newBand(l.LitBand),
		ShadeBand:         newBand(l.ShadeBand),
		LevelBand:         newBand(l.LevelBand),
	}
	out.LitCCT, out.ShadeCCT, out.FaceCCT = colours(l)
	return out
}

func newBand(b sky.Band) [2]figure { return [2]figure{fixed(b.Low, 2), fixed(b.High, 2)} }

// colours returns the colour temperatures of lit, shade and face, in K; nil
// where there are none.
func colours(l *sky.Light) (lit, shade, face figure) {
	c := l.Colour()
	if c.Lit == 0 {
		return nil, nil, nil
	}
	return fixed(c.Lit, 0), fixed(c.Shade, 0), fixed(c.Face, 0)
}

func newMethod(m *plan.Solution, s *shoot.Shoot) method {
	set := &m.Settings
	out := method{
		Method:        m.Method.String(),
		Feasible:      m.Feasible,
		Cures:         []string{},
		ISO:           parsed(set.ISO.String()),
		ISOExact:      exact(set.ISO.Speed()),
		Aperture:      parsed(set.Aperture.Nominal()),
		ApertureExact: exact(set.Aperture.FNumber()),
		Shutter:       set.Shutter.String(),
		ShutterExact:  exact(set.Shutter.Seconds()),
		ND:            fixed(set.ND, 3),
		ScrimUp:       m.ScrimUp,
		Lit:           amount(m.Ambient.Lit),
		Shade:         amount(m.Ambient.Shade),
		Face:          amount(m.Ambient.Face),
		Role:          m.Role.String(),
		Units:         s.Flash.Units,
		Added:         amount(m.Added),
		Ratio:         fixed(m.Ratio, 4),
		Exposure:      fixed(m.Exposure, 3),
		Background:    fixed(m.Background, 3),
		LitSide:       fixed(m.LitSide, 3),
		FaceOffset:    fixed(m.Face, 3),
		ScrimInFrame:  m.ScrimInFrame,
	}
	if g := &m.Gel; g.Name != "" {
		out.Gel, out.GelShift = &g.Name, fixed(g.Shift, 1)
	}
	if s.Wish.Kind != flash.AnyColour {
		out.GelRemains = fixed(m.Gel.Remains, 1)
	}
	if r := m.RimFlash; r != nil {
		out.RimFlash = &rim{
			Power: exact(r.Power.Fraction()), PowerText: r.Power.String(), Units: s.Rim.Units, Added: amount(r.Added),
			Headroom: fixed(r.Headroom, 3), Over: fixed(r.Over, 3), Recycle: fixed(r.Recycle, 2),
		}
	}
	if m.Problem != nil {
		out.Problem = &m.Problem.Text
		if m.Problem.Misses > 0 {
			out.ProblemStops = fixed(m.Problem.Misses, 3)
		}
	}
	for _, c := range m.Cures {
		out.Cures = append(out.Cures, c.Text)
	}
	if m.Role != plan.None {
		power := m.Power.String()
		out.Power, out.PowerText = exact(m.Power.Fraction()), &power
		out.Headroom, out.Recycle = fixed(m.Headroom, 3), fixed(m.Recycle, 2)
	}
	return out
}

// encode writes a document as JSON.
func encode(b *bytes.Buffer, document any, o Options) error {
	var raw bytes.Buffer
	e := json.NewEncoder(&raw)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(document); err != nil {
		return err
	}
	// The encoder lets through some characters that terminals obey. They can
	// only stand within strings, where an escape means the same.
	for _, r := range raw.String() {
		switch {
		case r == '\n' || !hidden(r) && (r < utf8.RuneSelf || !o.ASCII):
			b.WriteRune(r)
		case r > 0xffff:
			high, low := utf16.EncodeRune(r)
			fmt.Fprintf(b, `\u%04x\u%04x`, high, low)
		default:
			fmt.Fprintf(b, `\u%04x`, r)
		}
	}
	return nil
}
