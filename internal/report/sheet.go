package report

import (
	"evenfall/internal/exposure"
	"evenfall/internal/plan"
	"evenfall/internal/words"
)

// The pictures that a sheet has places for.
const (
	LightPicture  = "light"  // ambient light against time
	PowerPicture  = "power"  // the flash's power against time
	PlacesPicture = "places" // where things stand, seen from above
)

// packSection is the section that lists what to take along.
const packSection = "pack"

// Sheet is the page to take along: the answer, and all of it that is needed on
// location. Its data is that of the timeline.
func Sheet(p *plan.Plan, o Options) *Report {
	return &Report{Summary: words.InShort(p), Document: sheetDocument(p, o), Data: newTimeline(p, o)}
}

func sheetDocument(p *plan.Plan, o Options) Document {
	v := p.Verdict()
	n := p.Index(v.Best)
	d := Document{Title: title(p)}
	d.Add(opening(p.Shoot, o)...)
	d.Add(lead(p, &v), workingFacts(p, &v))
	d.Add(Heading{Text: "Cues, " + v.Best.String(), Name: "cues"})
	// With the sun in and out by turns, cues follow it out.
	d.Add(cueTable(p.RunsOf(n)[0], p.Shoot, Options{}))
	d.Add(Heading{Text: "By the clock or by the meter, " + v.Best.String(), Name: "steps"}, stepTable(p, n))
	d.Add(Heading{Text: "Where things stand", Name: "places"}, placesPicture(p, n))
	d.Add(Heading{Text: "The picture", Name: "picture"},
		append(pictureFacts(p, p.RunsOf(n)), dayFacts(p, &v)...))
	d.Add(Heading{Text: "Ambient light", Name: "light"}, lightPicture(p))
	if p.Flashes(v.Best) || p.Fills(v.Best) {
		d.Add(Heading{Text: "Flash power", Name: "power"}, powerPicture(p, n))
	}
	d.Add(Heading{Text: "Pack", Name: packSection}, List{Items: packingList(p)})
	d.Add(checkBlocks(p)...)
	d.Add(folds(p, &v)...)
	d.Add(fixes(p)...)
	d.Add(estimated())
	d.Add(cautionBlocks(p)...)
	return d
}

// mostSteps is how many steps a sheet has room for.
const mostSteps = 16

// stepTable is how method number n is set at the steps of the window, at
// every so manieth where they are many.
func stepTable(p *plan.Plan, n int) *Table {
	steady := steadyOf(p, n)
	t := &Table{Columns: []Column{
		{Title: "Time", Unit: "sun", Importance: 9},
		{Title: "EV lit", Unit: "shade", Importance: 9},
		{Title: "Camera", Importance: 9},
		{Title: "Flash", Unit: "headroom", Importance: 9},
	}}
	if steady.nd != nil && *steady.nd > 0 {
		t.Columns[2].Unit = words.Filter(*steady.nd)
	}
	if p.Shoot.Fill != nil {
		t.Columns[3].Unit = "fill"
	}
	steps, _ := words.Steps(p)
	every := (steps + mostSteps - 1) / mostSteps
	at := -1
	for i := range p.Rows {
		r := &p.Rows[i]
		if i == 0 || !r.Time.Equal(p.Rows[i-1].Time) {
			at++
		}
		if at%every == 0 {
			t.Rows = append(t.Rows, stepRow(p, r, n, steady))
		}
	}
	return t
}

// stepRow is one of its rows: the time and the light that a meter shows, and
// how to be set then.
func stepRow(p *plan.Plan, r *plan.Row, n int, steady steadied) Row {
	s := &r.Methods[n]
	sun := words.Degrees(r.Sun.Altitude, 1)
	if c := caseCell(&r.Moment); c != "" {
		sun = c
	}
	more := "ISO " + s.Settings.ISO.String()
	if steady.nd == nil {
		more += " " + words.Filter(s.Settings.ND)
	}
	return Row{At: r.Time, Cells: []Cell{
		{Text: clockOf(p).Time(r.Time), Below: []string{sun}},
		{Text: words.EV(exposure.Incident(r.Light.Lit)), Below: []string{words.EV(exposure.Incident(r.Light.Shade))}},
		{Text: s.Settings.Aperture.String() + "\u00a0" + s.Settings.Shutter.String(), Below: []string{more}},
		flashCell(s),
	}}
}

// flashCell is the flash's power, with its headroom or with that of a fill; in
// the place of these is said what is wrong.
func flashCell(s *plan.Solution) Cell {
	c := Cell{Text: "no flash"}
	if s.Fires() {
		c.Text, c.Below = s.Power.String(), []string{words.Offset(s.Headroom)}
	}
	if s.Fill != nil {
		c.Below = []string{"no fill"}
	}
	if s.Fill.Fires() {
		c.Below = []string{s.Fill.Power.String()}
	}
	switch {
	case s.Outcome == plan.Missed:
		c.Below, c.Tone = []string{shortest(s.Problem)}, Bad
	case s.Outcome == plan.Softer:
		c.Tone = Warn
		if s.Fill == nil {
			c.Below = []string{"softer"}
		}
	case anyInFrame(s):
		c.Tone = Warn
		if s.Fill == nil {
			c.Below = []string{"in frame"}
		}
	}
	return c
}

// folds are the methods not taken, each under what it comes to.
func folds(p *plan.Plan, v *plan.Verdict) []Block {
	var list []Block
	for _, o := range words.Others(p, v) {
		f := Fold{Summary: o.Method + ": " + o.Comes}
		for _, n := range carried(p) {
			if p.Shoot.Methods[n].String() == o.Method {
				f.Blocks = []Block{stepTable(p, n)}
			}
		}
		list = append(list, f)
	}
	if lacking := words.NotCarried(p); lacking != "" {
		list = append(list, Paragraph{Text: lacking})
	}
	if len(list) == 0 {
		return nil
	}
	return append([]Block{Heading{Text: "Other ways of working", Name: "others"}}, list...)
}

// lightPicture says what the chart of the light shows.
func lightPicture(p *plan.Plan) Picture {
	first, last := &p.Rows[0], &p.Rows[len(p.Rows)-1]
	at := func(r *plan.Row) string {
		return "EV " + words.EV(exposure.Incident(r.Light.Lit)) + " at " + words.Clock{}.Time(r.Time)
	}
	return Picture{Name: LightPicture, Title: "Ambient light against time",
		Alt: "Lit side " + at(first) + ", " + at(last) + ", at ISO 100. 8 of 10 measured values fall in the band; " +
			"the dashed line is the shade side."}
}

func powerPicture(p *plan.Plan, n int) Picture {
	r := p.RunsOf(n)[0]
	first, last := r.Span()
	at := func(i int) string {
		return words.Flash(&r.Minutes[i].Solution) + " at " + words.Clock{}.Time(r.Minutes[i].Time)
	}
	return Picture{Name: PowerPicture, Title: "Flash power against time", Alt: at(first) + ", " + at(last) + "."}
}

// Turned reports whether sitter and flash have turned with the sun from one
// minute to another by so much that a picture of where they stand shows both.
func Turned(from, to *plan.Minute) bool {
	const shown = 15 // degrees
	return (to.Stance.Facing - from.Stance.Facing).Turn().Abs().Degrees() > shown
}

// placesPicture says where camera and flash stand.
func placesPicture(p *plan.Plan, n int) Picture {
	r := p.RunsOf(n)[0]
	first, last := r.Span()
	at := func(m *plan.Minute) string {
		text := "camera at " + words.Azimuth(m.Stance.Facing)
		if p.Flashes(r.Method) {
			place := p.PlaceAt(m.Moment, &m.Solution)
			text += ", flash at " + words.Azimuth(place.Bearing)
		}
		if p.Fills(r.Method) {
			place := p.FillPlaceAt(m.Moment)
			text += ", fill at " + words.Azimuth(place.Bearing)
		}
		return text
	}
	m, end := &r.Minutes[first], &r.Minutes[last]
	text := "From above, north up, at " + words.Clock{}.Time(m.Time) + ": " + at(m) + ", seen from the sitter."
	if Turned(m, end) {
		text += " Dots, at " + words.Clock{}.Time(end.Time) + ": " + at(end) + "."
	}
	text += " Ticks at the edge: from where the sun comes, and how high."
	if len(p.SkylineEvents()) > 0 {
		text += " Marks inside it: where the sun goes behind the skyline, and comes out."
	}
	return Picture{Name: PlacesPicture, Title: "Where things stand", Alt: text}
}
