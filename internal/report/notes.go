package report

import (
	"fmt"
	"math"

	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// summary returns the sentence that a method comes to.
func (w words) summary(s *plan.Summary) string {
	if s.Text != "" {
		return w.text(s.Text)
	}
	return fmt.Sprintf("Holds the look at %d of %d moments.", s.Holds, s.Of)
}

// marks explains the signs of the tables in one line.
func (w words) marks(cases bool) string {
	before := "the row before"
	if cases {
		before = "its row before" // of the same case
	}
	return fmt.Sprintf("%s %s more or less light than %s, %s other role, %s look not held.",
		w.more(), w.less(), before, otherRole, w.fails())
}

// events returns the day's events, and what the sun does not do that day.
func (w words) events(p *plan.Plan) []string {
	var list []string
	switch d := &p.Day; {
	case d.SunNeverSets:
		list = append(list, "the sun does not set (lowest "+w.degrees(d.Lowest.Altitude, 1)+", refraction not counted)")
	case d.SunNeverRises:
		list = append(list, "the sun does not rise (highest "+w.degrees(d.Highest.Altitude, 1)+", refraction not counted)")
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
			"the camera and counts on both, key comes from the lit side.",
	}
	if s.Look.Kind == shoot.DarkSky {
		list = []string{"key: the flash lights the face, from beside the camera or above it."}
	}
	list = append(list,
		"spare: stops of flash power left at full power; below zero, the shortfall.",
		"sky offset: stops by which the sky behind the subject comes out above (+) or below (-) normal; from about "+
			"+2.5 on little but white is left of it (common practice).",
		"face offset: the same for the face as the camera sees it, with what the flash adds there.",
	)
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
	list = append(list, backlitNotes(p)...)
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

// flareAngle is how near to the patch of sky behind the subject the sun brings
// flare, and a sky figure that is the glow round the sun. Common practice, no
// source.
const flareAngle = 10 * math.Pi / 180

// backlitNotes says what the sun behind the subject does to the figures.
func backlitNotes(p *plan.Plan) []string {
	var list []string
	fill, flare := false, ""
	for i := range p.Rows {
		r := &p.Rows[i]
		behind := math.Cos(float64(r.Facing-r.Sun.Azimuth)) < 0
		for _, m := range r.Methods {
			fill = fill || behind && m.Role == plan.Fill
		}
		if flare == "" && r.Visible && fromPatch(r, p.Shoot.Subject.SkyAltitude) < flareAngle {
			flare = r.Time.Format(clockIn(p.Shoot.When.Step))
		}
	}
	if look := &p.Shoot.Look; fill && look.Kind == shoot.Ratio {
		less := sky.StopsOf(look.Ratio / (look.Ratio - 1))
		list = append(list, "With the sun behind, the lit side is a rim that a fill from the camera does not reach, though "+
			"the ratio counts it there as a meter would: the same contrast to the eye takes up to "+inStops(less)+" less flash.")
	}
	if flare != "" {
		list = append(list, "The sun comes within 10 degrees of the sky behind the subject (first at "+flare+"): expect flare; "+
			"the sky's figure is the glow round the sun.")
	}
	return list
}

// fromPatch returns the angle between the sun and the patch of sky behind the
// subject, in rad.
func fromPatch(r *plan.Row, altitude sky.Angle) float64 {
	sin, cos := math.Sincos(float64(altitude))
	sinSun, cosSun := math.Sincos(float64(r.Sun.Altitude))
	apart := math.Cos(float64(r.Facing + math.Pi - r.Sun.Azimuth))
	return math.Acos(max(-1, min(sin*sinSun+cos*cosSun*apart, 1)))
}
