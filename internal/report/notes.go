package report

import (
	"fmt"

	"evenfall/internal/plan"
	"evenfall/internal/shoot"
)

// summary returns the sentence that a method comes to.
func (w words) summary(s *plan.Summary) string {
	if s.Text != "" {
		return w.text(s.Text)
	}
	return fmt.Sprintf("Holds the look at %d of %d moments.", s.Holds, s.Of)
}

// marks explains the signs of the tables in one line.
func (w words) marks() string {
	return fmt.Sprintf("%s %s more or less light than the row before, %s other role, %s look not held.",
		w.more(), w.less(), otherRole, w.fails())
}

// events returns the day's events, and what the sun does not do that day.
func (w words) events(p *plan.Plan) []string {
	var list []string
	switch d := &p.Day; {
	case d.SunNeverSets:
		list = append(list, "the sun does not set (lowest "+w.degrees(d.Lowest.Altitude, 1)+")")
	case d.SunNeverRises:
		list = append(list, "the sun does not rise (highest "+w.degrees(d.Highest.Altitude, 1)+")")
	}
	for _, e := range p.Day.Events {
		list = append(list, string(e.Name)+" "+e.Time.In(p.Shoot.Place.Zone).Format("15:04"))
	}
	return list
}

const noteEV = "EV100: what a meter reads at ISO 100. lit: incident, held upright facing the sun. shade: incident, facing the " +
	"camera, sun kept off. sky: reflected, off the sky behind the subject."

// settingNotes explains the columns that every table of settings has.
func settingNotes(s *shoot.Shoot) []string {
	list := []string{
		"ratio: (key + fill):fill, ambient and flash together; ambient ratio: lit:shade without flash. fill comes from " +
			"the camera and lights both, key comes from the lit side.",
		"spare: stops of flash power left at full power; below zero, the shortfall.",
		"sky offset: stops by which the sky behind the subject comes out above (+) or below (-) normal.",
	}
	if s.Look.Kind == shoot.DarkSky {
		list = append(list, "lit side offset: the same for the ambient light on the lit side.")
	}
	if s.Rim != nil {
		list = append(list, "rim power: of the rim flash. Its light has no part in the ratio.")
	}
	return list
}

// derateNote says what is taken off the guide numbers, where something is.
func derateNote(s *shoot.Shoot) []string {
	d := s.Flash.Unit.Derate
	if d == 0 {
		return nil
	}
	return []string{"Guide numbers are measured in rooms that throw light back: " + inStops(d) + " taken off " +
		"outdoors, an estimate from common practice."}
}

// notes says what the figures mean and how far they may be trusted.
func (w words) notes(p *plan.Plan) []string {
	list := []string{
		noteEV,
		"band: 8 of 10 measurements fall within it, in stops from the figure before it. All light is estimated: meter on " +
			"location before trusting it.",
		"sun: altitude above the horizon; sun from: its side, seen from behind the camera.",
	}
	list = append(list, settingNotes(p.Shoot)...)
	list = append(list, "lit K: colour temperature of the light on the lit side, in kelvin, an estimate.")
	list = append(list, derateNote(p.Shoot)...)
	for i := range p.Rows {
		if hiddenSun(&p.Rows[i]) {
			list = append(list, behind+" after the side the sun comes from: the skyline hides it.")
			break
		}
	}
	if hasCases(p) {
		list = append(list, "case: with the sun in and out each moment is planned twice, "+caseSun+" for the sun out, "+
			caseCloud+" for the sun in.")
	}
	return list
}
