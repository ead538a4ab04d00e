package report

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"evenfall/internal/exposure"
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
)

// Compare is the report of a comparison: the verdict, then the methods at a
// few moments, what they cost, and how the scrim stands.
func Compare(c *plan.Comparison, o Options) *Report {
	return &Report{Summary: words.Count(len(c.Moments), "row") + ", " + words.InShort(c.Plan),
		Document: compareDocument(c, o), Data: newComparison(c, o)}
}

func compareDocument(c *plan.Comparison, o Options) Document {
	p := c.Plan
	d := Document{Title: title(p)}
	d.Add(opening(p.Shoot, o)...)
	d.Add(lead(p, &c.Verdict))
	d.Add(others(p, &c.Verdict)...)
	if moon := moonFacts(p); moon != nil {
		d.Add(moon)
	}
	if o.Why || o.Full {
		if rules := words.Rulings(&c.Verdict); len(rules) > 0 {
			d.Add(Heading{Text: "Why"}, List{Items: rules, Ordered: true})
		}
	}
	for i := range c.Moments {
		d.Add(compared(c, &c.Moments[i], o)...)
	}
	d.Add(Heading{Text: "What it costs, " + windowText(p)}, totalsTable(c, o))
	if slow := slowFlashes(c.Totals); len(slow) > 0 {
		d.Add(List{Items: slow})
	}
	if usesScrim(p.Shoot) {
		d.Add(scrimBlocks(c, o)...)
	}
	if o.Full {
		d.Add(notes(p)...)
	}
	d.Add(cautionBlocks(p)...)
	return d
}

// verdictTone says how good a verdict is.
func verdictTone(v *plan.Verdict) Tone {
	switch {
	case v.Succeeds == 0:
		return Bad
	case v.Held < 1:
		return Warn
	}
	return Good
}

func windowText(p *plan.Plan) string {
	from, to := p.Window()
	return words.Clock{}.Range(from, to)
}

// compared is one moment: what the light is, which method to take, and all of
// them in a table.
func compared(c *plan.Comparison, m *plan.Compared, o Options) []Block {
	p := c.Plan
	at := words.Clock{}.Time(m.Row.Time)
	text := at
	if m.Name != at {
		text += ", " + strings.ReplaceAll(m.Name, " deg", "°")
	}
	if k := caseCell(&m.Row.Moment); k != "" {
		text += ", " + k
	}
	if m.Outside {
		text += " (outside the window: solved for this moment, the flash where the run has it)"
	}
	list := []Block{Heading{Text: text}, Paragraph{Text: momentLight(&m.Row.Moment)},
		Paragraph{Text: words.Pick(m, p.Shoot), Strong: true}}
	list = append(list, methodsTable(p, m, o.Full))
	if items := obstacles(p, m, o); len(items) > 0 {
		list = append(list, List{Items: items})
	}
	return list
}

// momentLight says what the light is at a moment.
func momentLight(m *plan.Moment) string {
	a := scene.Open(&m.Light, m.Sun, m.Stance)
	text := "sun " + words.Degrees(m.Sun.Altitude, 1) + " from the " + m.Bearing
	if !m.Visible {
		text = "sun not in sight, " + words.Degrees(m.Sun.Altitude, 1)
	}
	text += ", " + words.Condition(m.Condition) + "; lit side EV " + words.EV(exposure.Incident(m.Light.Lit)) +
		", key side " + words.EV(exposure.Incident(a.Key)) + ", shadow side " + words.EV(exposure.Incident(a.Shadow))
	if m.Known {
		text += ", background " + words.EV(exposure.Reflected(m.Backdrop))
	}
	switch {
	case m.Sight.InFrame:
		text += "; sun in the frame"
	case m.Sight.Flare:
		text += "; expect flare"
	}
	if m.Sight.InEyes {
		text += "; sun in the sitter's eyes"
	}
	return words.Sentence(text) + "."
}

// methodsTable sets the methods that can be worked side by side.
func methodsTable(p *plan.Plan, m *plan.Compared, full bool) *Table {
	t := &Table{Columns: []Column{
		{Title: "Method", Importance: 9},
		{Title: "Camera", Importance: 9, Note: "aperture, shutter, ISO, ND filter"},
		{Title: "Flash", Unit: "headroom", Importance: 9,
			Note: "key: it raises the lighting ratio; fill: it lowers it; with its power, " +
				"and the power to spare at full power in stops; negative: what is short"},
		{Title: "Ratio", Align: Right, Importance: 7, Note: "key side : shadow side of the face"},
		{Title: "Background", Unit: "stops", Align: Right, Importance: 8, Note: "from normal"},
		{Title: "Blur", Unit: "%", Align: Right, Importance: 6, Note: "background blur, % of frame height"},
	}}
	if full {
		t.Columns = append(t.Columns,
			Column{Title: "Against sync", Unit: "stops", Align: Right, Importance: 3,
				Note: "background brighter than with plain sync"},
			Column{Title: "Face", Unit: "stops", Align: Right, Importance: 4,
				Note: "the plane that faces the camera, flash included, from normal"},
			Column{Title: "Rim", Unit: "stops", Align: Right, Importance: 4, Note: "lit side from normal"},
			Column{Title: "Sharp", Unit: "m", Align: Right, Importance: 2, Note: "depth of field"},
			Column{Title: "Recycle", Unit: "s", Align: Right, Importance: 3, Note: "time the flash needs after a frame"},
			Column{Title: "Frames", Unit: "per set", Align: Right, Importance: 1,
				Note: "from one set of batteries in each flash"})
	}
	for _, n := range carried(p) {
		t.Rows = append(t.Rows, methodRow(&m.Row.Methods[n], &m.Entries[n], full))
	}
	return t
}

func methodRow(s *plan.Solution, e *plan.Entry, full bool) Row {
	set := &s.Settings
	below := []string{"ISO " + set.ISO.String()}
	if set.ND > 0 {
		below = append(below, words.Filter(set.ND))
	}
	recycle, frames, rise := words.Unknown, words.Unknown, words.Unknown
	flash := Cell{Text: words.Flash(s)}
	if s.Role != plan.None {
		flash.Below = []string{words.OffsetStops(s.Headroom)}
		recycle, frames = words.Number(s.Recycle.Seconds(), 1), words.Number(math.Floor(e.FramesPerSet), 0)
	}
	if s.Method != shoot.Sync {
		rise = words.Offset(e.Rise)
	}
	row := Row{Cells: []Cell{outcomeCell(s), {Text: set.Aperture.String() + " " + set.Shutter.String(), Below: below},
		flash,
		{Text: words.Ratio(s.Ratio)}, {Text: words.Offset(s.Background)}, {Text: words.Number(100*e.Blur, 1)}}}
	if full {
		row.Cells = append(row.Cells, Cells(rise, words.Offset(s.Face), words.Offset(s.Rim), sharp(e), recycle,
			frames).Cells...)
	}
	return row
}

// outcomeCell names a method, with what is wrong with its picture below.
func outcomeCell(s *plan.Solution) Cell {
	c := Cell{Text: s.Method.String()}
	if anyInFrame(s) {
		c.Tone, c.Below = Warn, []string{inFrame(s)}
	}
	switch s.Outcome {
	case plan.Softer:
		c.Tone, c.Below = Warn, append(c.Below, "softer")
	case plan.Missed:
		c.Tone, c.Below = Bad, append(c.Below, words.ProblemShort(s.Problem))
	}
	return c
}

// sharp is the depth of field in a cell.
func sharp(e *plan.Entry) string {
	if math.IsInf(e.Far, 1) {
		return words.MetresNumber(e.Near) + " on"
	}
	return words.MetresNumber(e.Far - e.Near)
}

// obstacles say what fixes the misses of a moment, equal ones as one.
func obstacles(p *plan.Plan, m *plan.Compared, o Options) []string {
	most := 4
	if o.Full {
		most = 0
	}
	names := map[string][]string{}
	var order []string
	for _, n := range carried(p) {
		s := &m.Row.Methods[n]
		if s.Problem == nil {
			continue
		}
		text := words.Problem(s.Problem, s, p.Shoot) + ". " + words.Cures(s.Cures, p.Shoot, most)
		if names[text] == nil {
			order = append(order, text)
		}
		names[text] = append(names[text], s.Method.String())
	}
	var list []string
	for _, text := range order {
		list = append(list, words.List(names[text]...)+": "+text)
	}
	return list
}

// totalsTable is what the methods cost over the window.
func totalsTable(c *plan.Comparison, o Options) *Table {
	groups := c.Plan.Shoot.Rim != nil || c.Plan.Shoot.Fill != nil
	unit, note := "min", ""
	if hasCases(c.Plan) {
		unit, note = "min out/in", ", with the sun out and in"
	}
	t := &Table{Columns: []Column{{Title: "Method", Importance: 9}}}
	if groups {
		t.Columns = append(t.Columns, Column{Title: "Group", Importance: 9})
	}
	t.Columns = append(t.Columns,
		Column{Title: "Held", Unit: unit, Align: Right, Importance: 8, Note: "minutes at which the look is held" + note},
		Column{Title: "Softer", Unit: unit, Align: Right, Importance: 7,
			Note: "minutes at which all is held but the ratio, which comes out lower"},
		Column{Title: "Missed", Unit: unit, Align: Right, Importance: 8},
		Column{Title: "Frames", Align: Right, Importance: 3, Note: "at the stated pace, in the minutes that succeed"},
		Column{Title: "Batteries", Unit: "sets per flash", Align: Right, Importance: 6},
		Column{Title: "In a row", Unit: "frames", Align: Right, Importance: 4,
			Note: "before the flash has to rest, half as many in high-speed sync (common practice)"},
		Column{Title: "Then rest", Unit: "min", Align: Right, Importance: 4},
		Column{Title: "Recycle", Unit: "s", Align: Right, Importance: 5, Note: "the longest"})
	if o.Full {
		t.Columns = append(t.Columns,
			Column{Title: "At full power", Unit: "per flash", Align: Right, Importance: 2,
				Note: "flashes at full power that the work comes to"},
			Column{Title: "Pace", Unit: "s", Align: Right, Importance: 1, Note: "time between frames"})
	}
	for _, n := range carried(c.Plan) {
		total := &c.Totals[n]
		var held, softer, missed []string
		for _, r := range c.Plan.RunsOf(n) {
			held, softer = append(held, strconv.Itoa(r.Held)), append(softer, strconv.Itoa(r.Softer))
			missed = append(missed, strconv.Itoa(r.Missed))
		}
		frames := words.Number(total.Frames, 0)
		counts := []string{strings.Join(held, "/"), strings.Join(softer, "/"), strings.Join(missed, "/"), frames}
		t.Add(useCells(total.Method.String(), "main", groups, counts, &total.Key, o)...)
		if total.Fill != nil && total.Frames > 0 {
			t.Add(useCells("", "fill", groups, []string{"", "", "", frames}, total.Fill, o)...)
		}
		if total.Rim != nil && total.Frames > 0 {
			t.Add(useCells("", "rim", groups, []string{"", "", "", frames}, total.Rim, o)...)
		}
	}
	return t
}

func useCells(name, group string, groups bool, counts []string, u *plan.Use, o Options) []string {
	row := []string{name}
	if groups {
		row = append(row, group)
	}
	row = append(row, counts...)
	burst, rest, recycle := words.Unknown, words.Unknown, words.Unknown
	if u.BurstFrames > 0 {
		burst, rest = words.Number(math.Floor(u.BurstFrames), 0), words.UpTo(u.Rest.Minutes(), 0)
		recycle = words.Number(u.Recycle.Seconds(), 1)
	}
	row = append(row, strconv.Itoa(u.Sets), burst, rest, recycle)
	if o.Full {
		row = append(row, words.Number(math.Ceil(u.FullFlashes), 0), words.UpTo(u.Pace.Seconds(), 1))
	}
	return row
}

// slowFlashes say where the flash, not the photographer, sets the pace.
func slowFlashes(totals []plan.Totals) []string {
	var list []string
	slow := func(what string, u *plan.Use) {
		if u != nil && u.Recycle > u.Pace {
			list = append(list, what+": the flash takes "+words.Number(u.Recycle.Seconds(), 1)+" s to recycle at "+
				words.Clock{}.Time(u.At)+", longer than the "+words.UpTo(u.Pace.Seconds(), 1)+" s between frames.")
		}
	}
	for i := range totals {
		slow(totals[i].Method.String(), &totals[i].Key)
		slow(totals[i].Method.String()+", fill", totals[i].Fill)
		slow(totals[i].Method.String()+", rim", totals[i].Rim)
	}
	return list
}

// usesScrim reports whether a scrim is carried and a method asks for it.
func usesScrim(s *shoot.Shoot) bool {
	return s.Scrim != nil && slices.ContainsFunc(s.Methods, shoot.Method.UsesScrim)
}

// scrimBlocks say where the scrim stands, and what the wind does to it.
func scrimBlocks(c *plan.Comparison, o Options) []Block {
	list := []Block{Heading{Text: "Scrim: where it stands"}}
	if t := standingTable(c, o.Full); len(t.Rows) > 0 {
		list = append(list, t)
	}
	list = append(list, List{Items: scrimLimits(c)}, Heading{Text: "Scrim: wind"})
	list = append(list, windFacts(c.Plan)...)
	return append(list, windTable(c.Panel, o.Full), windAdvice(c.Panel))
}

// windFacts say what the stated wind does to the scrim.
func windFacts(p *plan.Plan) []Block {
	if p.Wind() == nil {
		return nil
	}
	return []Block{Facts{statedWind(p)}}
}

// statedWind is the stated wind, and what it asks of the scrim.
func statedWind(p *plan.Plan) Fact {
	w := p.Wind()
	f := Fact{Label: "Wind"}
	if w.Scrim == nil || !usesScrim(p.Shoot) {
		f.Text = "wind " + words.Wind(w)
		return f
	}
	rig := p.Rig()
	f.Text = strings.TrimPrefix(words.WindNow(w, &rig), "wind ")
	switch {
	case !w.Scrim.Handling.Flies():
		f.Tone = Bad
	case w.Scrim.Handling > scene.OnStands:
		f.Tone = Warn
	}
	return f
}

// standingTable is where the scrim stands at the moments at which it is up.
func standingTable(c *plan.Comparison, full bool) *Table {
	t := &Table{Columns: []Column{
		{Title: "Time", Importance: 9},
		{Title: "Sun", Unit: "°", Align: Right, Importance: 1},
		{Title: "Toward", Unit: "°", Align: Right, Importance: 8, Note: "azimuth from the sitter to the scrim's middle"},
		{Title: "Tilt", Unit: "°", Align: Right, Importance: 8, Note: "from level toward the sun; 90 is upright"},
		{Title: "Out", Unit: "m", Align: Right, Importance: 8,
			Note: "from above the head to the scrim's middle, measured level"},
		{Title: "Over head", Unit: "m", Align: Right, Importance: 7, Note: "from the head up to the scrim's middle"},
		{Title: "Low edge", Unit: "m", Align: Right, Importance: 5, Note: "of the scrim above the ground"},
		{Title: "Margin", Unit: "m", Align: Right, Importance: 6,
			Note: "shadow beyond the sitter's edge where it is least; negative: what is missing"},
		{Title: "Re-aim", Unit: "min", Align: Right, Importance: 6,
			Note: "until the shadow drifts off the sitter, who does not move"},
	}}
	if full {
		t.Columns = append(t.Columns, Column{Title: "Drift", Unit: "m/min", Align: Right, Importance: 4,
			Note: "how fast the shadow moves over the sitter, square to the sun's rays"})
	}
	t.Columns = append(t.Columns, Column{Title: "", Importance: 7})
	for i := range c.Moments {
		m := &c.Moments[i]
		n := slices.IndexFunc(m.Entries, func(e plan.Entry) bool { return e.Scrim != nil })
		if n < 0 {
			continue
		}
		u := m.Entries[n].Scrim
		row := Cells(words.Clock{}.Time(m.Row.Time), words.Number(m.Row.Sun.Altitude.Degrees(), 1),
			strings.TrimSuffix(words.Azimuth(u.Azimuth), "°"), words.Number(u.Tilt.Degrees(), 0), words.Number(u.Out, 2),
			words.Number(u.AboveHead, 2), words.Number(u.LowEdge, 2),
			words.Number(min(u.Coverage.Spare.Across, u.Coverage.Spare.Along), 2), reaim(u))
		if full {
			row.Cells = append(row.Cells, Cell{Text: words.Number(u.Drift, 3)})
		}
		row.Cells = append(row.Cells, Cell{})
		last := &row.Cells[len(row.Cells)-1]
		switch {
		case !u.Coverage.Whole:
			*last = Cell{Text: "shadow too small", Tone: Bad}
		case m.Row.Methods[n].ScrimInFrame:
			*last = Cell{Text: "in frame", Tone: Warn}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// reaim says after how many minutes the scrim has to be aimed again.
func reaim(u *plan.Standing) string {
	switch {
	case !u.Coverage.Whole:
		return words.Unknown
	case u.Holds >= scene.LongestHold:
		return "over " + strconv.Itoa(scene.LongestHold)
	}
	return words.Number(math.Floor(u.Holds), 0)
}

// scrimLimits say under which suns the scrim serves.
func scrimLimits(c *plan.Comparison) []string {
	var list []string
	of := words.Framing(c.Plan.Shoot.Subject.Figure)
	switch {
	case !c.Panel.Ever:
		list = append(list, "The scrim is too small to shade "+of+" under any sun.")
	case c.Panel.Lowest > 0:
		list = append(list, "The scrim shades "+of+" from a sun of "+words.Degrees(c.Panel.Lowest, 0)+" up.")
	default:
		list = append(list, "The scrim shades "+of+" under any sun.")
	}
	for _, m := range c.Panel.Misses {
		zone := c.Plan.Shoot.Place.Zone
		how := "aimed at the sun"
		if c.Plan.Shoot.Scrim.Distance == 0 {
			how = "overhead"
		}
		when := words.Clock{}.Range(m.From.In(zone), m.To.In(zone))
		list = append(list, "Does not cover "+of+" "+when+", with the scrim "+how+".")
	}
	return list
}

// windTable is what each force of the wind does to the scrim, up to the one
// from which it is down whatever its size, or up to the end of the scale.
func windTable(p *plan.Panel, full bool) *Table {
	t := &Table{Columns: []Column{
		{Title: "Force", Align: Right, Importance: 9}, {Title: "Wind", Importance: 5},
		{Title: "Speed", Unit: "m/s", Align: Right, Importance: 8},
		{Title: "Push", Unit: "N", Align: Right, Importance: 6,
			Note: "of the wind square to the scrim, at the end of the force"},
		{Title: "Push", Unit: "kgf", Align: Right, Importance: 6, Note: "the same as a weight, in kilograms-force"},
		{Title: "In gusts", Unit: "N", Align: Right, Importance: 6,
			Note: "gusts taken as " + words.UpTo(scene.GustFactor, 1) + " times the mean wind: an estimate"},
		{Title: "In gusts", Unit: "kgf", Align: Right, Importance: 7},
		{Title: "Sandbags", Unit: "kg each stand", Align: Right, Importance: 8, Note: "over the middle of each of " +
			words.Count(p.Sail.Stands, "stand") + ", its own weight included, that just balance those gusts on " +
			words.UpTo(p.Sail.Area, 1) + " m2 at " + words.Metres(p.Sail.Height) +
			", feet " + words.Metres(scene.LightStandFoot) +
			" out: plain statics, an estimate; none where it does not stand on stands"},
	}}
	for _, l := range p.Wind {
		if !full && l.Handling > scene.TakenDown {
			break
		}
		speed := "from " + words.Number(float64(l.Low), 1)
		if !math.IsInf(float64(l.High), 1) {
			speed = words.Number(float64(l.Low), 1) + "–" + words.Number(float64(l.High), 1)
		}
		bags := words.Unknown
		if l.Handling <= scene.HandsOn {
			bags = strings.TrimSuffix(words.Kilograms(l.Ballast), " kg")
		}
		t.Add(strconv.Itoa(int(l.Force)), l.Force.String(), speed, words.Number(float64(l.Push), 0),
			words.Number(l.Push.Kilograms(), 1), words.Number(float64(l.Gust), 0), words.Number(l.Gust.Kilograms(), 1), bags)
	}
	return t
}

// windAdvice says what to do at each force, forces with the same advice
// together.
func windAdvice(p *plan.Panel) Facts {
	var list Facts
	for i := 0; i < len(p.Wind); {
		to := i
		for to+1 < len(p.Wind) && p.Wind[to+1].Handling == p.Wind[i].Handling {
			to++
		}
		label := words.Sentence(words.Force(p.Wind[i].Force))
		switch {
		case to == len(p.Wind)-1:
			label += " and up"
		case to > i:
			label += " to " + strconv.Itoa(int(p.Wind[to].Force))
		}
		list = append(list, Fact{Label: label, Text: words.Handling(p.Wind[i].Handling)})
		i = to + 1
	}
	return list
}
