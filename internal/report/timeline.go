package report

import (
	"slices"
	"strings"

	"evenfall/internal/exposure"
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/words"
	"evenfall/sky"
)

// Timeline is the report of a plan: the answer, and the methods side by side
// at every step.
func Timeline(p *plan.Plan, o Options) *Report {
	steps, _ := words.Steps(p)
	return &Report{Summary: words.Count(steps, "step") + ", " + words.InShort(p),
		Document: timelineDocument(p, o), Data: newTimeline(p, o)}
}

func timelineDocument(p *plan.Plan, o Options) Document {
	v := p.Verdict()
	d := Document{Title: title(p)}
	d.Add(opening(p.Shoot, o)...)
	d.Add(answer(p, &v)...)
	d.Add(others(p, &v)...)
	if len(carried(p)) > 0 {
		d.Add(Heading{Text: "Side by side: what moves, flash power and headroom in stops"}, sideBySide(p))
	}
	d.Add(fixes(p)...)
	if o.Full {
		d.Add(checkBlocks(p)...)
		d.Add(beamBlocks(p, &v)...)
		d.Add(lightTable(p)...)
		for n := range p.Shoot.Methods {
			d.Add(methodTable(p, n)...)
		}
		d.Add(Heading{Text: "The day"}, List{Items: dayEvents(p)})
		d.Add(notes(p)...)
	}
	d.Add(cautionBlocks(p)...)
	return d
}

// others say what the methods not taken come to.
func others(p *plan.Plan, v *plan.Verdict) []Block {
	var facts Facts
	for _, o := range words.Others(p, v) {
		facts = append(facts, Fact{Label: o.Method, Text: o.Comes})
	}
	var list []Block
	if len(facts) > 0 {
		list = append(list, Paragraph{Text: "The others:"}, facts)
	}
	if lacking := words.NotCarried(p); lacking != "" {
		list = append(list, Paragraph{Text: lacking})
	}
	return list
}

// carried lists the methods whose kit is carried, by their numbers.
func carried(p *plan.Plan) []int {
	var list []int
	for n := range p.Shoot.Methods {
		if p.Lacks(n) == 0 {
			list = append(list, n)
		}
	}
	return list
}

// hasCases reports whether some step has two rows.
func hasCases(p *plan.Plan) bool {
	for i := range p.Rows {
		if p.Rows[i].Condition.Cases() > 1 {
			return true
		}
	}
	return false
}

// clockOf writes the times of a plan's steps.
func clockOf(p *plan.Plan) words.Clock { return words.ClockFor(p.Shoot.When.Step) }

// caseCell names the case of a row; nothing where its sky has one only.
func caseCell(m *plan.Moment) string {
	if m.Condition.Cases() < 2 {
		return ""
	}
	return words.Sun(m.Case)
}

// mostBeside is how many methods leave room for a column of the lit side.
const mostBeside = 4

// sideBySide is the table of all methods that can be worked, a cell each.
func sideBySide(p *plan.Plan) *Table {
	list, cases := carried(p), hasCases(p)
	narrow := len(list) > mostBeside
	t := &Table{Columns: []Column{{Title: "Time", Unit: "sun", Importance: 9,
		Note: "with the sun's altitude above the horizontal, and the lit side's EV at ISO 100: " +
			"an incident meter held upright toward the sun"}}}
	if narrow {
		t.Columns[0].Unit = "sun lit\u00a0EV"
	}
	if cases {
		t.Columns = append(t.Columns, Column{Title: "Sky", Importance: 9,
			Note: "under broken cloud each time is planned with the sun out and in"})
	}
	if !narrow {
		t.Columns = append(t.Columns, Column{Title: "Lit", Unit: "EV", Align: Right, Importance: 8})
	}
	t.Series = len(t.Columns)
	steady := map[int]steadied{}
	for i, n := range list {
		steady[n] = steadyOf(p, n)
		t.Columns = append(t.Columns, Column{Title: p.Shoot.Methods[n].String(), Unit: steady[n].text(), Importance: 7 - i})
	}
	t.Columns[t.Series].Note = "each method: in the heading what stays, in the cell what moves of " +
		"aperture, shutter, ISO and ND filter, " +
		"then flash power and headroom in stops, or by how many stops it misses"
	for i := range p.Rows {
		r := &p.Rows[i]
		row := Row{Cells: []Cell{timeCell(p, &r.Moment, narrow)}}
		if cases {
			row.Cells = append(row.Cells, Cell{Text: caseCell(&r.Moment)})
		}
		if !narrow {
			row.Cells = append(row.Cells, Cell{Text: words.EV(exposure.Incident(r.Light.Lit))})
		}
		for _, n := range list {
			row.Cells = append(row.Cells, methodCell(&r.Methods[n], steady[n]))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// timeCell is a row's time, the sun's altitude, and where asked the lit side.
func timeCell(p *plan.Plan, m *plan.Moment, lit bool) Cell {
	at, sun, ev := clockOf(p).Time(m.Time), words.Degrees(m.Sun.Altitude, 1), words.EV(exposure.Incident(m.Light.Lit))
	c := Cell{Text: at, Below: []string{sun}, Alone: at + ", "}
	if k := caseCell(m); k != "" {
		c.Alone += k + ", "
	}
	c.Alone += "sun " + sun + ", lit side EV " + ev
	if lit {
		c.Below = append(c.Below, ev)
	}
	return c
}

// steadied is what of a method's settings stays through the window; the others
// are nil.
type steadied struct {
	aperture *exposure.Aperture
	shutter  *exposure.Shutter
	iso      *exposure.ISO
	nd       *sky.Stops
}

func steadyOf(p *plan.Plan, n int) steadied {
	first := p.Rows[0].Methods[n].Settings
	s := steadied{&first.Aperture, &first.Shutter, &first.ISO, &first.ND}
	for i := range p.Rows {
		set := &p.Rows[i].Methods[n].Settings
		if set.Aperture != first.Aperture {
			s.aperture = nil
		}
		if set.Shutter != first.Shutter {
			s.shutter = nil
		}
		if set.ISO != first.ISO {
			s.iso = nil
		}
		if set.ND != first.ND {
			s.nd = nil
		}
	}
	return s
}

// text is what stays, for the column's heading.
func (s steadied) text() string {
	var parts []string
	if s.aperture != nil {
		parts = append(parts, s.aperture.String())
	}
	if s.shutter != nil {
		parts = append(parts, s.shutter.String())
	}
	if s.iso != nil {
		parts = append(parts, "ISO\u00a0"+s.iso.String())
	}
	if s.nd != nil && *s.nd > 0 {
		parts = append(parts, strings.ReplaceAll(words.Filter(*s.nd), " ", "\u00a0"))
	}
	return strings.Join(parts, " ")
}

// moving is what moves, at one moment.
func (s steadied) moving(set *exposure.Settings) string {
	var parts []string
	if s.aperture == nil {
		parts = append(parts, set.Aperture.String())
	}
	if s.shutter == nil {
		parts = append(parts, set.Shutter.String())
	}
	if s.iso == nil {
		parts = append(parts, "ISO "+set.ISO.String())
	}
	return strings.Join(parts, " ")
}

// methodCell is what a method comes to at a moment: what moves, and below it
// the filter where it moves, the flash, and what is wrong.
func methodCell(s *plan.Solution, steady steadied) Cell {
	var lines []string
	if text := steady.moving(&s.Settings); text != "" {
		lines = append(lines, text)
	}
	if steady.nd == nil {
		lines = append(lines, words.Filter(s.Settings.ND))
	}
	c := Cell{Alone: settings(s)}
	switch {
	case s.Problem != nil:
	case s.Role == plan.None:
		lines = append(lines, "no flash")
	default:
		lines = append(lines, powers(s)...)
	}
	if anyInFrame(s) {
		c.Tone = Warn
		lines, c.Alone = append(lines, "in frame"), c.Alone+", "+inFrame(s)
	}
	switch s.Outcome {
	case plan.Softer:
		c.Tone = Warn
		lines, c.Alone = append(lines, "softer"), c.Alone+", softer than asked"
	case plan.Missed:
		c.Tone = Bad
		lines = append(lines, shortest(s.Problem))
	}
	c.Text, c.Below = lines[0], lines[1:]
	return c
}

// powers are those of the flashes in front, with the headroom.
func powers(s *plan.Solution) []string {
	var lines []string
	if s.Fires() {
		lines = append(lines, s.Power.String())
	}
	if s.Fill.Fires() {
		lines = append(lines, "fill "+s.Fill.Power.String())
	}
	lines[0] += " " + words.Offset(s.Headroom)
	return lines
}

// shortest says a problem where there is hardly room for it: 1.0 short.
func shortest(of *plan.Problem) string {
	less := strings.NewReplacer("flash ", "", "ratio ", "", "side ", "", " too ", " ", "exposed", "")
	return less.Replace(words.ProblemShort(of))
}

// inFrame says what of the kit stands in the picture.
func inFrame(s *plan.Solution) string {
	var list []string
	for _, one := range []struct {
		is   bool
		name string
	}{{s.ScrimInFrame, "scrim"}, {s.Reflected.InFrame, "reflector"}, {s.FlashInFrame, "flash"}} {
		if one.is {
			list = append(list, one.name)
		}
	}
	return words.List(list...) + " in frame"
}

func anyInFrame(s *plan.Solution) bool {
	return s.ScrimInFrame || s.Reflected.InFrame || s.FlashInFrame
}

// fixes say, for every method that is missed somewhere, what would alter that:
// at the first step that it is missed at, methods with the same fixes together.
func fixes(p *plan.Plan) []Block {
	const most = 3
	type fix struct{ at, cures string }
	misses := map[fix][]string{}
	var order []fix
	for _, n := range carried(p) {
		i := slices.IndexFunc(p.Rows, func(r plan.Row) bool { return r.Methods[n].Outcome == plan.Missed })
		if i < 0 {
			continue
		}
		s := &p.Rows[i].Methods[n]
		f := fix{atRow(p, &p.Rows[i]), words.Cures(s.Cures, p.Shoot, most)}
		if misses[f] == nil {
			order = append(order, f)
		}
		misses[f] = append(misses[f], s.Method.String()+": "+words.Problem(s.Problem, s, p.Shoot))
	}
	if len(order) == 0 {
		return nil
	}
	var items []string
	for _, f := range order {
		items = append(items, f.at+" "+strings.Join(misses[f], "; ")+". "+f.cures)
	}
	return []Block{Heading{Text: "First misses, and what fixes them"}, List{Items: items}}
}

// atRow names a row by its time, and its case where the sky has two.
func atRow(p *plan.Plan, r *plan.Row) string {
	at := clockOf(p).Time(r.Time)
	if c := caseCell(&r.Moment); c != "" {
		at += ", " + c + ","
	}
	return at
}

// lightTable is all there is of the ambient light.
func lightTable(p *plan.Plan) []Block {
	t := &Table{Columns: []Column{
		{Title: "Time", Importance: 9},
		{Title: "Sky", Importance: 5, Note: "condition, and under broken cloud whether the sun is out"},
		{Title: "Sun", Unit: "°", Align: Right, Importance: 6, Note: "altitude above the horizontal"},
		{Title: "Toward", Unit: "°", Align: Right, Importance: 3, Note: "azimuth of the sun, clockwise from true north"},
		{Title: "From", Importance: 4, Note: "the side the sun comes from, seen from " +
			"behind the camera; (hidden): behind the skyline or below the horizon"},
		{Title: "Lit side", Unit: "EV", Align: Right, Importance: 8,
			Note: "at ISO 100: incident meter held upright facing the sun"},
		{Title: "Band", Unit: "stops", Importance: 2,
			Note: "8 of 10 measured values fall in this range around the lit side's estimate"},
		{Title: "Shade side", Unit: "EV", Align: Right, Importance: 7,
			Note: "at ISO 100: incident meter held upright facing the camera, direct sun kept off"},
		{Title: "Key side", Unit: "EV", Align: Right, Importance: 7, Note: "of the face, without flash"},
		{Title: "Shadow side", Unit: "EV", Align: Right, Importance: 6, Note: "of the face, without flash"},
		{Title: "Ambient ratio", Align: Right, Importance: 5, Note: "key side over shadow side without flash"},
		{Title: "Background", Unit: "EV", Align: Right, Importance: 6,
			Note: "as a reflected meter reads it: the sky in the frame, or what is stated"},
		{Title: "Lit colour", Unit: "K", Align: Right, Importance: 1,
			Note: "colour temperature of the lit side, an estimate"},
		{Title: "Key colour", Unit: "K", Align: Right, Importance: 1,
			Note: "colour temperature of the key side without flash, an estimate"},
		{Title: "Face colour", Unit: "K", Align: Right, Importance: 1,
			Note: "colour temperature of the face without flash, an estimate"},
	}}
	for i := range p.Rows {
		m := &p.Rows[i].Moment
		a := scene.Open(&m.Light, m.Sun, m.Stance)
		from := m.Bearing
		if !m.Visible {
			from += " (hidden)"
		}
		condition := words.Condition(m.Condition)
		if c := caseCell(m); c != "" {
			condition += ", " + c
		}
		behind := words.Unknown
		if m.Known {
			behind = words.EV(exposure.Reflected(m.Backdrop))
		}
		colour := m.Light.Colour()
		t.Add(clockOf(p).Time(m.Time), condition, words.Number(m.Sun.Altitude.Degrees(), 1),
			strings.TrimSuffix(words.Azimuth(m.Sun.Azimuth), "°"), from,
			words.EV(exposure.Incident(m.Light.Lit)), words.Band(m.Light.LitBand), words.EV(exposure.Incident(m.Light.Shade)),
			words.EV(exposure.Incident(a.Key)), words.EV(exposure.Incident(a.Shadow)), words.Ratio(float64(a.Key/a.Shadow)),
			behind,
			words.KelvinNumber(colour.Lit), words.KelvinNumber(m.KeyColour()), words.KelvinNumber(colour.Face))
	}
	return []Block{Heading{Text: "Light"}, t}
}

// methodTable is all there is of one method, with its misses and their fixes.
func methodTable(p *plan.Plan, n int) []Block {
	m := p.Shoot.Methods[n]
	list := []Block{Heading{Text: m.String()}, Paragraph{Text: words.Sentence(words.Comes(p, n)) + "."}}
	if p.Lacks(n) != 0 {
		return append(list, cureItems(p, n, true)...)
	}
	t := &Table{Columns: settingColumns(p)}
	for i := range p.Rows {
		r := &p.Rows[i]
		t.Rows = append(t.Rows, settingRow(p, r, &r.Methods[n]))
	}
	return append(append(list, t), cureItems(p, n, false)...)
}

func settingColumns(p *plan.Plan) []Column {
	list := []Column{{Title: "Time", Importance: 9}}
	if hasCases(p) {
		list = append(list, Column{Title: "Sky", Importance: 9})
	}
	list = append(list,
		Column{Title: "Aperture", Importance: 8}, Column{Title: "Shutter", Align: Right, Importance: 8},
		Column{Title: "ISO", Align: Right, Importance: 8}, Column{Title: "ND", Unit: "stops", Align: Right, Importance: 6},
		Column{Title: "Flash", Importance: 8, Note: "key: it raises the lighting ratio; fill: it lowers it; with its power"},
		Column{Title: "Headroom", Unit: "stops", Align: Right, Importance: 7,
			Note: "flash power to spare at full power; negative: what is short. " +
				words.UpTo(float64(plan.Comfortable), 1) + " and more is comfortable: guide numbers are not known better"},
		Column{Title: "Ratio", Align: Right, Importance: 7,
			Note: "lighting ratio of the face, key side : shadow side, ambient light and flash together"},
		Column{Title: "Key side", Unit: "stops", Align: Right, Importance: 5, Note: "its exposure from normal plus bias"},
		Column{Title: "Background", Unit: "stops", Align: Right, Importance: 6,
			Note: "from normal; above about " + words.Offset(whiteBackground) + " it is nearly white (common practice)"},
		Column{Title: "Rim", Unit: "stops", Align: Right, Importance: 3,
			Note: "lit side from normal; above " + words.Offset(whiteRim) + " with the sun behind, pale skin is white"},
		Column{Title: "Face", Unit: "stops", Align: Right, Importance: 3,
			Note: "the plane that faces the camera, flash included, from normal"},
		Column{Title: "Flash meter", Unit: "f/", Align: Right, Importance: 4,
			Note: "what a flash meter reads at the face, pointed at the flash, flash alone, at the ISO set"})
	if p.Shoot.Fill != nil {
		list = append(list, Column{Title: "Fill meter", Unit: "f/", Align: Right, Importance: 4,
			Note: "the same of the fill, pointed at it, fill alone"})
	}
	list = append(list, Column{Title: "Recycle", Unit: "s", Align: Right, Importance: 2,
		Note: "time the flash needs after a frame"})
	if p.Shoot.Rim != nil {
		list = append(list, Column{Title: "Rim flash", Importance: 4,
			Note: "power of the second group; it has no part in the ratio"})
	}
	return append(list, Column{Title: "", Importance: 8})
}

func settingRow(p *plan.Plan, r *plan.Row, s *plan.Solution) Row {
	set := &s.Settings
	row := Row{Cells: []Cell{{Text: clockOf(p).Time(r.Time)}}}
	add := func(texts ...string) {
		for _, text := range texts {
			row.Cells = append(row.Cells, Cell{Text: text})
		}
	}
	if hasCases(p) {
		add(caseCell(&r.Moment))
	}
	nd := "none"
	if set.ND > 0 {
		nd = words.UpTo(float64(set.ND), 1)
	}
	headroom, recycle := words.Unknown, words.Unknown
	if s.Role != plan.None {
		headroom, recycle = words.Offset(s.Headroom), words.Number(s.Recycle.Seconds(), 1)
	}
	add(set.Aperture.String(), set.Shutter.String(), set.ISO.String(), nd, words.Flash(s), headroom, words.Ratio(s.Ratio),
		words.Offset(s.Exposure), words.Offset(s.Background), words.Offset(s.Rim), words.Offset(s.Face), meterOf(s))
	if p.Shoot.Fill != nil {
		add(fillMeterOf(s))
	}
	add(recycle)
	switch {
	case s.RimFlash != nil:
		add(s.RimFlash.Power.String())
	case p.Shoot.Rim != nil:
		add("off")
	}
	last := Cell{}
	switch s.Outcome {
	case plan.Softer:
		last = Cell{Text: "softer", Tone: Warn}
	case plan.Missed:
		last = Cell{Text: words.ProblemShort(s.Problem), Tone: Bad}
	}
	row.Cells = append(row.Cells, last)
	return row
}

// cureItems list what fixes a method's misses, each stretch of the steps with
// one problem once.
func cureItems(p *plan.Plan, n int, once bool) []Block {
	var items []string
	var was *plan.Problem
	for i := range p.Rows {
		r := &p.Rows[i]
		s := &r.Methods[n]
		if s.Problem != nil && (was == nil || was.Kind != s.Problem.Kind) && (len(items) == 0 || !once) {
			items = append(items, "From "+atRow(p, r)+" "+words.Problem(s.Problem, s, p.Shoot)+". "+words.Cures(s.Cures, p.Shoot,
				0))
		}
		was = s.Problem
	}
	if len(items) == 0 {
		return nil
	}
	return []Block{List{Items: items}}
}

// dayEvents lists the events of the day, and what the moon does.
func dayEvents(p *plan.Plan) []string {
	var list []string
	switch d := &p.Day; {
	case d.SunNeverSets:
		list = append(list, "The sun does not set (lowest "+words.Degrees(d.Lowest.Altitude, 1)+", refraction not counted).")
	case d.SunNeverRises:
		list = append(list, "The sun does not rise (highest "+words.Degrees(d.Highest.Altitude,
			1)+", refraction not counted).")
	}
	for _, e := range p.Day.Events {
		at := words.Clock{}.Time(e.Time.In(p.Shoot.Place.Zone))
		list = append(list, at+" "+string(e.Name)+", "+words.Azimuth(e.Azimuth))
	}
	m := p.Moon()
	return append(list, "Moon: "+words.Moon(&m))
}

// estimated says how far light can be known ahead of time.
func estimated() Note {
	return Note{Kind: Remark, Text: "All light is estimated: meter on location before trusting it. " +
		"Cloud not in the shoot file is not predicted."}
}

// notes say what the figures rest on.
func notes(p *plan.Plan) []Block {
	list := []Block{
		Heading{Text: "How far to trust it"},
		estimated(),
	}
	if l := &p.Rows[0].Light; l.HasSkyline() {
		list = append(list, skylineTakes(l))
	}
	if p.Moon().Night {
		list = append(list, Note{Kind: Remark, Text: "Moonlight counts from the sun 8° down: an estimate by its phase and " +
			"height, through the air that the sun's light goes through. Lamps, stars and the glow of towns are not in it."})
	}
	if d := p.Shoot.Flash.Unit.Derate; d > 0 {
		list = append(list, Note{Kind: Remark, Text: "Makers measure guide numbers indoors; walls add light: less " +
			words.Stops(d) +
			" outdoors, an estimate from common practice. kit calibrate measures yours."})
	}
	if fill := p.Shoot.Fill; p.Shoot.Flash.Guide().Estimated || fill != nil && fill.Guide().Estimated {
		list = append(list, Note{Kind: Remark, Text: "The guide number at this zoom is not in the kit: " +
			"it is scaled along a typical zoom curve."})
	}
	return list
}

// skylineTakes says what the skyline takes of the sky's light.
func skylineTakes(l *sky.Light) Note {
	least, most := 1.0, 0.0
	for azimuth := range 360 {
		takes := 1 - l.SkyLeft(sky.Degrees(float64(azimuth)))
		least, most = min(least, takes), max(most, takes)
	}
	return Note{Kind: Remark, Text: "The skyline takes " + words.Percent(1-float64(l.DiffuseHorizontal/l.OpenSky)) +
		" of the sky's light from the level, and from upright planes " + words.Percent(least) + " to " +
		words.Percent(most) + ", by where they face: an estimate, for an even sky and a skyline that throws nothing back."}
}

// cautionBlocks are the cautions of a session, always there.
func cautionBlocks(p *plan.Plan) []Block {
	return []Block{Heading{Text: "Cautions"}, List{Items: Cautions(p)}}
}
