package report

import (
	"math"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/sky"
)

// timelineSchema names the contract. From here on it only grows.
const timelineSchema = "evenfall/timeline/2"

// preamble is what all documents of a shoot begin with.
type preamble struct {
	Schema string `json:"schema" csv:"-"`
	Name   string `json:"name"`
	Demo   bool   `json:"demonstration" csv:"-"`
	Place  place  `json:"place" csv:"-"`
	Look   looked `json:"look" csv:"-"`
	// Readings are those in the light.
	Readings []readingJSON `json:"readings" csv:"-"`
}

type timelineJSON struct {
	preamble
	Events   []event       `json:"events" csv:"-"`
	Moon     moon          `json:"moon" csv:"-"`
	Runs     []run         `json:"runs" csv:"-"`
	Verdict  verdict       `json:"verdict" csv:"-"`
	Rows     []timelineRow `json:"rows" csv:"rows"`
	Wind     *windy        `json:"wind" csv:"-"`
	Picture  pictured      `json:"picture" csv:"-"`
	Packing  []packed      `json:"packing" csv:"-"`
	Checks   []check       `json:"checks" csv:"-"`
	Cautions []string      `json:"cautions" csv:"-"`
}

type place struct {
	Name      string `json:"name"`
	Latitude  figure `json:"latitude_deg"`
	Longitude figure `json:"longitude_deg"`
	Elevation figure `json:"elevation_m"`
	Zone      string `json:"time_zone"`
}

type looked struct {
	Kind       string `json:"kind"`
	Ratio      figure `json:"ratio"`
	Background figure `json:"background_stops"`
	AtMost     figure `json:"background_at_most_stops"`
	Bias       figure `json:"bias_stops"`
}

// moon is about what the moon does on the day; its altitude, phase and lit share
// when the sun stands lowest in the window.
type moon struct {
	Phase    string   `json:"phase"`
	Lit      figure   `json:"lit_share"`
	Altitude figure   `json:"altitude_deg"`
	Azimuth  figure   `json:"azimuth_deg"`
	Rises    []string `json:"rises"`
	Sets     []string `json:"sets"`
	// What nine in ten times, angles and lit shares lie within.
	WithinTime  figure `json:"within_minutes"`
	WithinAngle figure `json:"within_deg"`
	WithinLit   figure `json:"within_lit_share"`
}

type event struct {
	Name    string `json:"name"`
	Time    string `json:"time"`
	Azimuth figure `json:"azimuth_deg"`
}

// run is what one method comes to through the window, minute by minute.
type run struct {
	Method        string  `json:"method"`
	Case          *string `json:"case"`
	Flash         stand   `json:"flash"`
	Fill          *stand  `json:"fill"` // null where there is none
	MovedAt       *string `json:"flash_moved_at"`
	Moved         *stand  `json:"flash_moved_to"`
	Held          int     `json:"minutes_held"`
	Softer        int     `json:"minutes_softer"`
	Missed        int     `json:"minutes_missed"`
	LeastHeadroom figure  `json:"least_headroom_stops"`
	LeastAt       *string `json:"least_headroom_at"`
	WhiteBalance  figure  `json:"white_balance_k"`
}

// stand is where the flash stands.
type stand struct {
	Angle    figure  `json:"angle_deg"`
	Side     *string `json:"side"`
	Bearing  figure  `json:"bearing_deg"`
	Distance figure  `json:"distance_m"`
	InFrame  bool    `json:"in_frame"`
}

type verdict struct {
	Method   string  `json:"method"`
	From     *string `json:"from"`
	Until    *string `json:"until"`
	Held     figure  `json:"held_share"`
	Succeeds figure  `json:"held_or_softer_share"`
	Text     string  `json:"text"`
}

// timelineRow is one time under one sky.
type timelineRow struct {
	instant
	Methods []method `json:"methods" csv:"rows"`
}

type instant struct {
	Time      string  `json:"time"`
	Facing    figure  `json:"facing_deg"`
	Sun       sun     `json:"sun"`
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
	InFrame      bool   `json:"in_frame"`
	Flare        bool   `json:"flare"`
	InEyes       bool   `json:"in_eyes"`
}

type light struct {
	DirectNormal      figure    `json:"direct_normal_lux"`
	Moon              figure    `json:"moon_lux"`
	DiffuseHorizontal figure    `json:"diffuse_horizontal_lux"`
	Level             figure    `json:"level_lux"`
	Lit               figure    `json:"lit_lux"`
	Shade             figure    `json:"shade_lux"`
	Face              figure    `json:"face_lux"`
	Key               figure    `json:"key_side_lux"`
	Shadow            figure    `json:"shadow_side_lux"`
	KeySide           string    `json:"key_side"`
	LitEV             figure    `json:"lit_ev100"`
	ShadeEV           figure    `json:"shade_ev100"`
	SkyEV             figure    `json:"sky_ev100"`
	BackgroundEV      figure    `json:"background_ev100"`
	AmbientRatio      figure    `json:"ambient_ratio"`
	Band              [2]figure `json:"band_stops" csv:"low,high"`
	ShadeBand         [2]figure `json:"shade_band_stops" csv:"low,high"`
	LevelBand         [2]figure `json:"level_band_stops" csv:"low,high"`
	BackgroundBand    [2]figure `json:"background_band_stops" csv:"low,high"`
	LitCCT            figure    `json:"lit_cct_k"`
	ShadeCCT          figure    `json:"shade_cct_k"`
	FaceCCT           figure    `json:"face_cct_k"`
	KeyCCT            figure    `json:"key_side_cct_k"`
}

type method struct {
	Method        string   `json:"method"`
	Outcome       string   `json:"outcome"`
	Problem       *problem `json:"problem"`
	Cures         []cure   `json:"cures"`
	ISO           figure   `json:"iso"`
	ISOExact      figure   `json:"iso_exact"`
	Aperture      figure   `json:"aperture"`
	ApertureExact figure   `json:"aperture_exact"`
	Shutter       string   `json:"shutter"`
	ShutterExact  figure   `json:"shutter_s"`
	ND            figure   `json:"nd_stops"`
	Lit           figure   `json:"lit_lux"`
	Shade         figure   `json:"shade_lux"`
	Face          figure   `json:"face_lux"`
	Key           figure   `json:"key_side_lux"`
	Shadow        figure   `json:"shadow_side_lux"`
	Role          string   `json:"role"`
	Power         figure   `json:"flash_power"`
	PowerText     *string  `json:"flash_power_text"`
	Units         int      `json:"units"`
	Angle         figure   `json:"flash_angle_deg"`
	Side          *string  `json:"flash_side"`
	Flash         figure   `json:"flash_lux_seconds"`
	OnKey         figure   `json:"flash_key_side_lux_seconds"`
	OnShadow      figure   `json:"flash_shadow_side_lux_seconds"`
	Meter         figure   `json:"flash_meter_f_number"`
	Headroom      figure   `json:"headroom_stops"`
	Ratio         figure   `json:"ratio"`
	Exposure      figure   `json:"exposure_offset_stops"`
	Background    figure   `json:"background_offset_stops"`
	RimOffset     figure   `json:"rim_offset_stops"`
	FaceOffset    figure   `json:"face_offset_stops"`
	ScrimUp       bool     `json:"scrim_up"`
	ScrimInFrame  bool     `json:"scrim_in_frame"`
	FlashInFrame  bool     `json:"flash_in_frame"`
	Recycle       figure   `json:"recycle_s"`
	Gel           *string  `json:"gel"`
	GelShift      figure   `json:"gel_mired"`
	GelRemains    figure   `json:"gel_remains_mired"`
	// Fill is null where the method has none. With one, role and the flash's light
	// on the two sides are those of both flashes together.
	Fill     *filled `json:"fill"`
	RimFlash *rim    `json:"rim"`
	// Reflector is null where the method has none or none is carried.
	Reflector *reflected `json:"reflector"`
	SkyShare  figure     `json:"sky_share"` // left in open shade; null elsewhere
}

// reflected is what a reflector does. Its light is part of the method's planes:
// what key side and shadow side have more than without it.
type reflected struct {
	Turn     string  `json:"turn"` // down, square (to the sitter) or halfway (between sitter and sun)
	Angle    figure  `json:"angle_deg"`
	Side     *string `json:"side"`
	Bearing  figure  `json:"bearing_deg"`
	Distance figure  `json:"distance_m"`
	Key      figure  `json:"key_side_lux"`
	Shadow   figure  `json:"shadow_side_lux"`
	InFrame  bool    `json:"in_frame"`
}

type problem struct {
	Kind  string `json:"kind"`
	Stops figure `json:"stops"`
	Text  string `json:"text"`
}

type cure struct {
	Kind  string `json:"kind"`
	Value figure `json:"value"`
	Text  string `json:"text"`
}

// filled is the second flash in front. Where it does not fire its light is 0, and
// what else there is to say of that null; likewise of the flash.
type filled struct {
	Power     figure  `json:"flash_power"`
	PowerText *string `json:"flash_power_text"`
	Units     int     `json:"units"`
	Angle     figure  `json:"angle_deg"`
	Side      *string `json:"side"`
	Flash     figure  `json:"flash_lux_seconds"`
	OnKey     figure  `json:"flash_key_side_lux_seconds"`
	OnShadow  figure  `json:"flash_shadow_side_lux_seconds"`
	Meter     figure  `json:"meter_f_number"`
	Headroom  figure  `json:"headroom_stops"`
	Recycle   figure  `json:"recycle_s"`
}

func newFill(m *plan.Solution, at *plan.Moment, s *shoot.Shoot) *filled {
	f := m.Fill
	if f == nil {
		return nil
	}
	out := &filled{
		Units: s.Fill.Units, Angle: fixed(f.Angle.Degrees(), 4), Side: hand(at.Stance.Hand(f.Angle)),
		Flash: amount(f.Flash), OnKey: amount(f.OnKey), OnShadow: amount(f.OnShadow),
	}
	if f.Fires() {
		power := f.Power.String()
		out.Power, out.PowerText = exact(f.Power.Fraction()), &power
		out.Meter, out.Headroom = significant(f.Reading(m.Settings.ISO), 4), fixed(f.Headroom, 3)
		out.Recycle = fixed(f.Recycle.Seconds(), 2)
	}
	return out
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

type packed struct {
	Item  string `json:"item"`
	Count int    `json:"count"`
	Text  string `json:"text"`
}

func newHeading(schema string, s *shoot.Shoot, o Options) preamble {
	h := preamble{
		Schema: schema, Name: s.Name, Demo: o.Demonstration,
		Place: place{
			Name:      s.Place.Name,
			Latitude:  fixed(s.Place.Site.Latitude.Degrees(), 6),
			Longitude: fixed(s.Place.Site.Longitude.Degrees(), 6),
			Elevation: fixed(s.Place.Site.Elevation, 1),
			Zone:      s.Place.Zone.String(),
		},
		Readings: newReadings(o.Readings),
		Look:     looked{Kind: s.Look.Kind.String(), Ratio: fixed(s.Look.Ratio, 3), Bias: fixed(s.Look.Bias, 3)},
	}
	if s.Look.Kind == shoot.BackgroundLook {
		h.Look.Background = fixed(s.Look.Background, 3)
	} else {
		h.Look.AtMost = fixed(s.Look.AtMost, 3)
	}
	return h
}

// newTimeline puts the plan in the contract's terms.
func newTimeline(p *plan.Plan, o Options) *timelineJSON {
	s := p.Shoot
	t := &timelineJSON{
		preamble: newHeading(timelineSchema, s, o), Events: newEvents(p), Moon: newMoon(p),
		Runs: []run{}, Rows: []timelineRow{}, Verdict: newVerdict(p), Packing: newPacking(p),
		Wind: newWindy(p), Picture: newPictured(p), Checks: newChecks(p), Cautions: Cautions(p),
	}
	for i := range p.Runs {
		t.Runs = append(t.Runs, newRun(&p.Runs[i], s))
	}
	for i := range p.Rows {
		t.Rows = append(t.Rows, newRow(&p.Rows[i], s))
	}
	return t
}

func newEvents(p *plan.Plan) []event {
	list := []event{}
	for _, e := range p.Day.Events {
		list = append(list, event{string(e.Name), stamp(e.Time.Round(time.Second), p.Shoot), fixed(e.Azimuth.Degrees(), 2)})
	}
	return list
}

func newMoon(p *plan.Plan) moon {
	m := p.Moon()
	out := moon{
		Phase: string(m.Moon.Phase()), Lit: fixed(m.Moon.Lit, 2), Altitude: fixed(m.Moon.Altitude.Degrees(), 0),
		Azimuth: fixed(m.Moon.Azimuth.Degrees(), 0), Rises: []string{}, Sets: []string{},
		WithinTime:  fixed(sky.MoonErrorTime.Minutes(), 0),
		WithinAngle: fixed(sky.Angle(sky.MoonErrorAngle).Degrees(), 1), WithinLit: fixed(sky.MoonErrorLit, 2),
	}
	for _, pass := range m.Passes {
		if pass.Rises {
			out.Rises = append(out.Rises, stamp(pass.Time, p.Shoot))
		} else {
			out.Sets = append(out.Sets, stamp(pass.Time, p.Shoot))
		}
	}
	return out
}

// stamp writes a moment in the shoot's zone, with its offset.
func stamp(t time.Time, s *shoot.Shoot) string { return t.In(s.Place.Zone).Format(time.RFC3339) }

// stampOf writes a moment that may not be there.
func stampOf(t time.Time, s *shoot.Shoot) *string {
	if t.IsZero() {
		return nil
	}
	text := stamp(t, s)
	return &text
}

func newRun(r *plan.Run, s *shoot.Shoot) run {
	out := run{
		Method: r.Method.String(), Held: r.Held, Softer: r.Softer, Missed: r.Missed, Flash: newStand(&r.Places[0], &s.Flash),
		WhiteBalance: tens(r.WhiteBalance),
	}
	if r.Split {
		word := r.Case.String()
		out.Case = &word
	}
	if len(r.Places) > 1 {
		moved := newStand(&r.Places[1], &s.Flash)
		out.Moved, out.MovedAt = &moved, stampOf(r.Places[1].From, s)
	}
	if r.Fill != nil {
		at := newStand(r.Fill, &s.Fill.Head)
		out.Fill = &at
	}
	if r.Flashes {
		out.LeastHeadroom, out.LeastAt = fixed(r.LeastHeadroom, 3), stampOf(r.At, s)
	}
	return out
}

// tens rounds a colour temperature to 10 K.
func tens(k sky.Kelvin) figure { return fixed(math.Round(float64(k)/10)*10, 0) }

func newStand(p *plan.Place, h *flash.Head) stand {
	return stand{
		Angle: fixed(p.Angle.Degrees(), 4), Side: hand(p.Side), Bearing: fixed(p.Bearing.Normal().Degrees(), 1),
		Distance: fixed(h.Distance, 3), InFrame: p.InFrame,
	}
}

// hand names a side of the picture, nil for neither.
func hand(h scene.Hand) *string {
	if h == 0 {
		return nil
	}
	word := h.String()
	return &word
}

func newVerdict(p *plan.Plan) verdict {
	v := p.Verdict()
	return verdict{
		Method: v.Best.String(), From: stampOf(v.From, p.Shoot), Until: stampOf(v.Until, p.Shoot),
		Held: fixed(v.Held, 4), Succeeds: fixed(v.Succeeds, 4), Text: words.Verdict(p, &v),
	}
}

func newPacking(p *plan.Plan) []packed {
	list := []packed{}
	for _, i := range p.Packing() {
		list = append(list, packed{words.ItemKind(i.Kind), i.Count, words.Item(&i)})
	}
	return list
}

func newRow(r *plan.Row, s *shoot.Shoot) timelineRow {
	out := timelineRow{instant: newInstant(&r.Moment), Methods: []method{}}
	for i := range r.Methods {
		out.Methods = append(out.Methods, newMethod(&r.Methods[i], &r.Moment, s))
	}
	return out
}

func newInstant(m *plan.Moment) instant {
	out := instant{
		Time: m.Time.Format(time.RFC3339),
		Sun: sun{
			Altitude:     fixed(m.Sun.Altitude.Degrees(), 3),
			TrueAltitude: fixed(m.Sun.TrueAltitude.Degrees(), 3),
			Azimuth:      fixed(m.Sun.Azimuth.Degrees(), 3),
			Bearing:      m.Bearing,
			Visible:      m.Visible,
			InFrame:      m.Sight.InFrame, Flare: m.Sight.Flare, InEyes: m.Sight.InEyes,
		},
		Facing:    fixed(m.Stance.Facing.Normal().Degrees(), 2),
		Condition: m.Condition.String(),
		Light:     newLight(m),
	}
	if m.Condition.Cases() > 1 {
		word := m.Case.String()
		out.Case = &word
	}
	return out
}

func newLight(m *plan.Moment) light {
	l := &m.Light
	open := scene.Open(l, m.Sun, m.Stance)
	out := light{
		DirectNormal:      amount(l.DirectNormal),
		Moon:              amount(l.Moon.Normal),
		DiffuseHorizontal: amount(l.DiffuseHorizontal),
		Level:             amount(l.Level),
		Lit:               amount(l.Lit),
		Shade:             amount(l.Shade),
		Face:              amount(l.Face),
		Key:               amount(open.Key),
		Shadow:            amount(open.Shadow),
		KeySide:           m.Stance.Key.String(),
		LitEV:             fixed(exposure.Incident(l.Lit), 3),
		ShadeEV:           fixed(exposure.Incident(l.Shade), 3),
		AmbientRatio:      significant(open.Key/open.Shadow, 6),
		Band:              newBand(l.LitBand),
		ShadeBand:         newBand(l.ShadeBand),
		LevelBand:         newBand(l.LevelBand),
	}
	if l.BackdropShare > 0 {
		out.SkyEV = fixed(exposure.Reflected(l.Backdrop), 3)
	}
	if m.Known {
		out.BackgroundEV, out.BackgroundBand = fixed(exposure.Reflected(m.Backdrop), 3), newBand(m.BackdropBand)
	}
	if k := m.KeyColour(); k > 0 {
		out.KeyCCT = fixed(k, 0)
	}
	if c := l.Colour(); c.Lit != 0 {
		out.LitCCT, out.ShadeCCT, out.FaceCCT = fixed(c.Lit, 0), fixed(c.Shade, 0), fixed(c.Face, 0)
	}
	return out
}

func newBand(b sky.Band) [2]figure { return [2]figure{fixed(b.Low, 2), fixed(b.High, 2)} }

func newReflected(m *plan.Solution, at *plan.Moment, s *shoot.Shoot) *reflected {
	panel, does := s.Reflector, &m.Reflected
	return &reflected{
		Turn: does.Turn.String(), Angle: fixed(panel.Angle.Degrees(), 4), Side: hand(at.Stance.Hand(panel.Angle)),
		Bearing: fixed(at.Stance.Toward(panel.Angle).Degrees(), 1), Distance: fixed(panel.Distance, 3),
		Key: amount(does.Key), Shadow: amount(does.Shadow), InFrame: does.InFrame,
	}
}

func newMethod(m *plan.Solution, at *plan.Moment, s *shoot.Shoot) method {
	set := &m.Settings
	out := method{
		Method:        m.Method.String(),
		Outcome:       m.Outcome.String(),
		Cures:         []cure{},
		ISO:           parsed(set.ISO.String()),
		ISOExact:      exact(set.ISO.Speed()),
		Aperture:      parsed(set.Aperture.Nominal()),
		ApertureExact: exact(set.Aperture.FNumber()),
		Shutter:       set.Shutter.String(),
		ShutterExact:  exact(set.Shutter.Seconds()),
		ND:            fixed(set.ND, 3),
		Lit:           amount(m.Ambient.Lit),
		Shade:         amount(m.Ambient.Shade),
		Face:          amount(m.Ambient.Face),
		Key:           amount(m.Ambient.Key),
		Shadow:        amount(m.Ambient.Shadow),
		Role:          m.Role.String(),
		Units:         s.Flash.Units,
		Angle:         fixed(m.Angle.Degrees(), 4),
		Side:          hand(at.Stance.Hand(m.Angle)),
		Flash:         amount(m.Flash),
		OnKey:         amount(m.OnKey),
		OnShadow:      amount(m.OnShadow),
		Ratio:         fixed(m.Ratio, 4),
		Exposure:      fixed(m.Exposure, 3),
		Background:    fixed(m.Background, 3),
		RimOffset:     fixed(m.Rim, 3),
		FaceOffset:    fixed(m.Face, 3),
		Fill:          newFill(m, at, s),
		ScrimUp:       m.ScrimUp, ScrimInFrame: m.ScrimInFrame, FlashInFrame: m.FlashInFrame,
	}
	out.GelShift = fixed(m.Gel.Shift, 1)
	if g := &m.Gel; g.Name != "" {
		out.Gel = &g.Name
	}
	if s.Wish.Kind != flash.AnyColour {
		out.GelRemains = fixed(m.Gel.Remains, 1)
	}
	if r := m.RimFlash; r != nil {
		out.RimFlash = &rim{
			Power: exact(r.Power.Fraction()), PowerText: r.Power.String(), Units: s.Rim.Units, Added: amount(r.Added),
			Headroom: fixed(r.Headroom, 3), Over: fixed(r.Over, 3), Recycle: fixed(r.Recycle.Seconds(), 2),
		}
	}
	if m.Method.UsesShade() {
		out.SkyShare = fixed(s.Shade.SkyShare, 3)
	}
	if m.Method.UsesReflector() && s.Reflector != nil {
		out.Reflector = newReflected(m, at, s)
	}
	if p := m.Problem; p != nil {
		out.Problem = &problem{Kind: words.ProblemKind(p.Kind), Text: words.Problem(p, m, s)}
		if p.Misses > 0 {
			out.Problem.Stops = fixed(p.Misses, 3)
		}
	}
	for _, c := range m.Cures {
		one := cure{Kind: words.CureKind(c, s), Text: words.Cure(c, s)}
		if v, ok := words.CureValue(c); ok {
			one.Value = fixed(v, 4)
		}
		out.Cures = append(out.Cures, one)
	}
	if m.Fires() {
		power := m.Power.String()
		out.Power, out.PowerText, out.Meter = exact(m.Power.Fraction()), &power, significant(m.FlashReading(), 4)
	}
	if m.Role != plan.None {
		out.Headroom, out.Recycle = fixed(m.Headroom, 3), fixed(m.Recycle.Seconds(), 2)
	}
	return out
}
