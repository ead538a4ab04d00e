package report

import (
	"fmt"
	"strings"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// hasCases tells whether some row stands for the sun in or out.
func hasCases(p *plan.Plan) bool {
	for i := range p.Rows {
		if p.Rows[i].Condition.Cases() > 1 {
			return true
		}
	}
	return false
}

// hiddenSun tells of a sun above the horizon behind the skyline.
func hiddenSun(r *plan.Row) bool { return !r.Visible && r.Sun.Altitude > 0 }

// changes returns the dividers before row i: a new day, another offset of the
// clock, another condition of the sky.
func changes(p *plan.Plan, i int) []line {
	if i == 0 {
		return nil
	}
	was, is := &p.Rows[i-1], &p.Rows[i]
	clock := is.Time.Format(clockIn(p.Shoot.When.Step))
	var list []line
	if was.Time.YearDay() != is.Time.YearDay() {
		list = append(list, line{time: clock, happens: date(is.Time)})
	}
	if offset(was.Time) != offset(is.Time) {
		list = append(list, line{time: clock, happens: "clocks change to " + offset(is.Time)})
	}
	if was.Condition != is.Condition {
		list = append(list, line{time: clock, happens: "sky " + is.Condition.String()})
	}
	return list
}

// lightTable returns the ambient light by row, with the day's events in their
// places.
func (w words) lightTable(p *plan.Plan) *table {
	t := &table{columns: []column{
		{name: "time"},
		{name: "sun", unit: "deg", right: true},
		{name: "azimuth", unit: "deg", right: true, rank: extra},
		{name: "sun from", rank: 1},
		{name: "lit", unit: "EV100", right: true},
		{name: "band", unit: "stops", rank: 1},
		{name: "shade", unit: "EV100", right: true},
		{name: "band", unit: "stops", rank: extra},
		{name: "sky", unit: "EV100", right: true, rank: 2},
		{name: "ambient", unit: "ratio", right: true},
		{name: "lit", unit: "K", right: true, rank: 3},
		{name: "shade", unit: "K", right: true, rank: extra},
		{name: "level", unit: "lx", right: true, rank: extra},
	}}
	cases := hasCases(p)
	if cases {
		t.columns = append([]column{t.columns[0], {name: "case"}}, t.columns[1:]...)
	}
	clock := clockIn(p.Shoot.When.Step)
	events := p.Day.Events
	for i := range p.Rows {
		r := &p.Rows[i]
		for ; len(events) > 0 && !events[0].Time.After(r.Time); events = events[1:] {
			if e := &events[0]; !e.Time.Before(p.Rows[0].Time) {
				t.lines = append(t.lines, line{time: e.Time.In(r.Time.Location()).Format(clock),
					happens: string(e.Name) + ", azimuth " + w.degrees(e.Azimuth, 0)})
			}
		}
		t.lines = append(t.lines, changes(p, i)...)
		from := r.Bearing
		if hiddenSun(r) {
			from += behind
		}
		l := &r.Light
		colour := l.Colour()
		row := []string{r.Time.Format(clock), number(r.Sun.Altitude.Degrees(), 1), number(r.Sun.Azimuth.Degrees(), 0), from,
			ev(exposure.Incident(l.Lit)), band(l.LitBand), ev(exposure.Incident(l.Shade)), band(l.ShadeBand),
			ev(exposure.Reflected(l.Backdrop)), ratio(float64(l.Lit / l.Shade)), kelvin(colour.Lit), kelvin(colour.Shade), lux(l.Level)}
		if cases {
			row = append([]string{row[0], caseWord(r.Condition, r.Case)}, row[1:]...)
		}
		t.lines = append(t.lines, line{cells: plainCells(row)})
	}
	return t
}

func plainCells(texts []string) []cell {
	list := make([]cell, len(texts))
	for i, s := range texts {
		list[i].text = s
	}
	return list
}

// missWord is a problem in one word, to stand before the stops it misses by.
func missWord(k plan.ProblemKind) string {
	switch k {
	case plan.TooWeak:
		return "weak"
	case plan.TooStrong:
		return "strong"
	case plan.TooBright:
		return "bright"
	case plan.TooDark:
		return "dark"
	case plan.AmbientOnFace:
		return "face"
	case plan.ShadowMissed:
		return "no shadow"
	case plan.NoScrim:
		return "no scrim"
	case plan.NoFilter:
		return "no ND"
	case plan.NoHighSpeed:
		return "no HSS"
	case plan.CoarseSteps:
		return "steps"
	case plan.RimTooWeak:
		return "rim weak"
	case plan.RimTooStrong:
		return "rim strong"
	}
	return "no"
}

// shown is what all rows of a method's table have in common.
type shown struct {
	clock            string
	cases, nd, fails bool
	gels, rim        bool
	apart            bool // no row follows another: nothing moves
	look             shoot.LookKind
}

// field is one value of a row under its heading.
type field struct {
	column
	show bool
	text string
	tone tone
}

// methodTable returns what method number n sets, by row. It is nil where the
// method lacks what it works with, so that there is nothing to set.
func (w words) methodTable(p *plan.Plan, n int) *table {
	all := shown{clock: clockIn(p.Shoot.When.Step), cases: hasCases(p), look: p.Shoot.Look.Kind,
		gels: p.Shoot.Wish.Kind != flash.AnyColour, rim: p.Shoot.Rim != nil}
	works := false
	for i := range p.Rows {
		s := &p.Rows[i].Methods[n]
		all.nd = all.nd || s.Settings.ND != 0
		all.fails = all.fails || s.Problem != nil
		works = works || s.Problem == nil || !s.Problem.Kind.Lacks()
	}
	if !works {
		return nil
	}
	t := &table{}
	last := map[sky.Case]*plan.Solution{} // changes are told from row to row of one case
	gel := unknown                        // the one on the flash
	for i := range p.Rows {
		r := &p.Rows[i]
		s := &r.Methods[n]
		was := last[r.Case]
		switch {
		case was != nil:
		case i > 0 && !p.Rows[i-1].Time.Equal(r.Time):
			was = &p.Rows[i-1].Methods[n]
		default:
			was = s
		}
		last[r.Case] = s

		t.lines = append(t.lines, changes(p, i)...)
		if s.ScrimUp != was.ScrimUp {
			happens := "scrim up"
			if !s.ScrimUp {
				happens = "scrim down: no sun to keep off"
			}
			t.lines = append(t.lines, line{time: r.Time.Format(all.clock), happens: happens})
		}
		if all.gels && s.Role != plan.None && s.Gel.Name != gel {
			gel = s.Gel.Name
			happens := "no gel on the flash"
			if gel != "" {
				happens = "gel " + w.text(gel) + " on the flash"
			}
			t.lines = append(t.lines, line{time: r.Time.Format(all.clock), happens: happens})
		}
		var row []cell
		var columns []column
		for _, f := range w.fields(r, s, was, &all) {
			if f.show {
				columns = append(columns, f.column)
				row = append(row, cell{f.text, f.tone})
			}
		}
		t.columns = columns
		t.lines = append(t.lines, line{cells: row})
	}
	return t
}

func at(c column, show bool, text string, tone tone) field { return field{c, show, text, tone} }

// fields returns the values of one row, with what moved since the row before
// marked.
func (w words) fields(r *plan.Row, s, was *plan.Solution, all *shown) []field {
	time, timeTone, misses := r.Time.Format(all.clock), plain, ""
	if s.Problem != nil {
		time, timeTone = time+w.fails(), bad
		misses = missWord(s.Problem.Kind)
		if s.Problem.Misses > 0 {
			// What is missing is never rounded away.
			misses += " " + number(max(float64(s.Problem.Misses), 0.1), 1)
		}
	}
	list := []field{
		at(column{name: "time"}, true, time, timeTone),
		at(column{name: "case"}, all.cases, caseWord(r.Condition, r.Case), plain),
		at(column{name: "sun", unit: "deg", right: true, rank: extra}, true, number(r.Sun.Altitude.Degrees(), 1), plain),
		at(column{name: "lit", unit: "EV100", right: true, rank: extra}, true, ev(exposure.Incident(s.Ambient.Lit)), plain),
	}
	list = append(list, w.settings(s, was, all)...)
	return append(list, at(column{name: "misses", unit: "by stops", rank: 2}, all.fails, misses, bad))
}

// settings returns what camera and flash are set to and what comes of it, with
// what moved since the row before marked.
func (w words) settings(s, was *plan.Solution, all *shown) []field {
	moved := func(text string, more, less bool) (string, tone) {
		switch {
		case more:
			return text + w.more(), strong
		case less:
			return text + w.less(), strong
		}
		if all.apart {
			return text, plain
		}
		return text + " ", plain // room for the sign
	}
	a, b := &was.Settings, &s.Settings
	aperture, apertureTone := moved(b.Aperture.String(), b.Aperture < a.Aperture, b.Aperture > a.Aperture)
	shutter, shutterTone := moved(b.Shutter.String(), b.Shutter < a.Shutter, b.Shutter > a.Shutter)
	iso, isoTone := moved(b.ISO.String(), b.ISO > a.ISO, b.ISO < a.ISO)
	nd, ndTone := moved(number(float64(b.ND), 1), b.ND < a.ND, b.ND > a.ND)
	power, spare, recycle := s.Role.String(), unknown, unknown
	if s.Role != plan.None {
		power = fmt.Sprintf("%-4s %s", s.Role, s.Power)
		spare, recycle = signed(s.Headroom), number(s.Recycle, 1)
	}
	power, powerTone := moved(power, s.Role != plan.None && s.Role == was.Role && s.Power > was.Power,
		s.Role != plan.None && s.Role == was.Role && s.Power < was.Power)
	if s.Role != was.Role {
		power, powerTone = strings.TrimSuffix(power, " ")+otherRole, strong
	}
	second, secondTone := unknown, plain
	if now, before := s.RimFlash, was.RimFlash; now != nil && before != nil {
		second, secondTone = moved(now.Power.String(), now.Power > before.Power, now.Power < before.Power)
	}
	dark := all.look == shoot.DarkSky
	return []field{
		at(column{name: "aperture"}, true, aperture, apertureTone),
		at(column{name: "shutter", unit: "s"}, true, shutter, shutterTone),
		at(column{name: "ISO", right: true}, true, iso, isoTone),
		at(column{name: "ND", unit: "stops", right: true}, all.nd, nd, ndTone),
		at(column{name: "flash", unit: "role power"}, true, power, powerTone),
		at(column{name: "spare", unit: "stops", right: true, rank: 1}, true, spare, plain),
		at(column{name: "rim", unit: "power", rank: 1}, all.rim, second, secondTone),
		at(column{name: "recycle", unit: "s", right: true, rank: extra}, true, recycle, plain),
		at(column{name: "ratio", right: true, rank: 3}, !dark, ratio(s.Ratio), plain),
		at(column{name: "exposure", unit: "offset", right: true, rank: extra}, true, signed(s.Exposure), plain),
		at(column{name: "sky", unit: "offset", right: true, rank: 4}, true, signed(s.Background), plain),
		at(column{name: "face", unit: "offset", right: true, rank: 5}, true, signed(s.Face), plain),
		at(column{name: "lit side", unit: "offset", right: true, rank: 6}, dark, signed(s.LitSide), plain),
	}
}
