package report

import (
	"fmt"
	"strings"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// title names the shoot, a demonstration as such.
func (w words) title(s *shoot.Shoot, o Options) string {
	switch {
	case o.Demonstration && s.Name == "":
		return "Demonstration shoot" // moved to another place
	case o.Demonstration:
		return "Demonstration shoot: " + w.named(s.Name, "")
	}
	return w.named(s.Name, "Unnamed shoot")
}

// fact is one line of the header.
type fact struct{ label, text string }

// facts returns where, when, of what and with what the plan is.
func (w words) facts(s *shoot.Shoot, window string) []fact {
	list := []fact{
		{"Place", w.place(&s.Place)},
		{"Time", window + w.assumed(&s.Place)},
		{"Sky", w.conditions(s.Sky)},
		{"Look", look(&s.Look)},
		{"Subject", w.subject(&s.Subject)},
		{"Camera", w.camera(&s.Camera)},
		{"Lens", w.lens(&s.Lens)},
		{"Flash", w.flash(&s.Flash) + w.wish(s)},
	}
	if s.Rim != nil {
		list = append(list, fact{"Rim", w.flash(&s.Rim.Head) + ", held " + signed(s.Rim.Over) + stopWord(s.Rim.Over) + " over the key side"})
	}
	if s.Scrim != nil {
		list = append(list, fact{"Scrim", w.scrim(s.Scrim)})
	}
	if len(s.Filters) > 0 {
		var filters []string
		for _, f := range s.Filters {
			filters = append(filters, w.named(f.Name, "ND")+" ("+inStops(f.Loss)+")")
		}
		list = append(list, fact{"Filters", strings.Join(filters, ", ")})
	}
	return list
}

// named returns a name, or what stands for it where there is none.
func (w words) named(name, otherwise string) string {
	if name == "" {
		return otherwise
	}
	return w.text(name)
}

func (w words) place(p *shoot.Place) string {
	side := func(a sky.Angle, positive, negative string) string {
		d := a.Degrees()
		if d < 0 {
			return number(-d, 4) + w.pick("°", "") + " " + negative
		}
		return number(d, 4) + w.pick("°", "") + " " + positive
	}
	s := side(p.Site.Latitude, "N", "S") + " " + side(p.Site.Longitude, "E", "W") +
		", " + number(p.Site.Elevation, 0) + " m"
	if p.Name != "" {
		s = w.text(p.Name) + ", " + s
	}
	return s
}

// window tells the times of the plan's rows.
func (w words) window(p *plan.Plan) string {
	if len(p.Rows) == 0 {
		return date(p.Day.Start) + ", " + w.text(p.Shoot.Place.Zone.String())
	}
	return w.span(p.Rows, p.Shoot.When.Step)
}

// assumed warns of a time zone that nobody gave.
func (w words) assumed(p *shoot.Place) string {
	if p.ZoneAssumed {
		return "; the zone is the system's: give --tz if the place has another"
	}
	return ""
}

// span tells the times of rows, of which there are some, by the step between
// them.
func (w words) span(rows []plan.Row, step time.Duration) string {
	from, to := rows[0].Time, rows[len(rows)-1].Time
	clock := clockIn(step)
	times := from.Format(clock)
	if to.After(from) {
		times += " to " + to.Format(clock) + " every " + every(step)
	}
	s := fmt.Sprintf("%s, %s, %s (%s", date(from), times, w.text(from.Location().String()), offset(from))
	for i := 1; i < len(rows); i++ {
		if t := rows[i].Time; offset(t) != offset(rows[i-1].Time) {
			s += ", then " + offset(t)
		}
	}
	return s + ")"
}

func (w words) conditions(spans []shoot.SkySpan) string {
	var parts []string
	for _, s := range spans {
		part := s.Condition.String()
		if s.From != nil {
			part += " from " + s.From.String()
		}
		parts = append(parts, part)
	}
	return strings.Join(parts, ", ")
}

func look(l *shoot.Look) string {
	subject, s := "lit side", fmt.Sprintf("ratio %s:1", plainly(l.Ratio, 2))
	if l.Kind == shoot.DarkSky {
		subject, s = "face", fmt.Sprintf("sky %s dark", inStops(l.Dark))
	}
	if l.Bias == 0 {
		return s + ", " + subject + " normal"
	}
	return s + ", " + subject + " " + signed(l.Bias) + stopWord(l.Bias)
}

func (w words) subject(s *shoot.Subject) string {
	var facing string
	switch s.Facing.Side {
	case scene.Backlit:
		facing = "backlit: turns with the sun at the back"
	case scene.FrontLit:
		facing = "front lit: turns to face the sun"
	case scene.LeftLit:
		facing = "sun from camera left: turns with it"
	case scene.RightLit:
		facing = "sun from camera right: turns with it"
	default:
		facing = "faces azimuth " + w.degrees(s.Facing.Azimuth, 0)
	}
	if s.Figure.Name != "" {
		facing += ", " + w.text(s.Figure.Name)
	}
	return facing + ", sky behind at " + w.degrees(s.SkyAltitude, 0) + " altitude"
}

func (w words) camera(c *exposure.Camera) string {
	s := fmt.Sprintf("%s, sync speed %s, fastest %s, ISO %s to %s, in %s stops", w.named(c.Name, "camera"),
		c.Sync, c.Fastest, c.Lowest, c.Highest, clicks(c.Click))
	if c.ISOClick != c.Click {
		s += ", ISO in " + clicks(c.ISOClick) + " stops"
	}
	return s
}

func (w words) lens(l *exposure.Lens) string {
	mm := plainly(l.FocalLength, 0) + " mm"
	name := w.named(l.Name, mm)
	if !strings.Contains(name, mm) {
		name += ", " + mm
	}
	return fmt.Sprintf("%s, %s wanted of %s to %s, slowest by hand %s", name, l.Wanted, l.Widest, l.Narrowest, l.Slowest)
}

func (w words) flash(h *flash.Head) string {
	best := h.Unit.Guide[len(h.Unit.Guide)-1]
	guide, bare := "GN "+plainly(best.Number, 1), ", bare"
	if best.Zoom > 0 { // the head zooms
		guide += " at " + plainly(best.Zoom, 0) + " mm"
		bare += " at " + plainly(h.Zoom, 0) + " mm"
	}
	s := fmt.Sprintf("%d %s %s (%s), %s m away", h.Units, w.times(), w.named(h.Unit.Name, "flash"), guide, plainly(h.Distance, 2))
	if m := h.Modifier; m.Loss != 0 || m.Size != 0 {
		s += ", " + w.named(m.Name, "modifier")
		if m.Size > 0 {
			s += " " + plainly(m.Size, 2) + " m"
		}
		s += " (" + inStops(m.Loss) + ")"
	} else {
		s += bare
	}
	if g := h.Gel; g != (flash.Gel{}) {
		s += ", gel " + w.named(g.Name, plainly(float64(g.Shift), 0)+" mired") + " (" + inStops(g.Loss) + ")"
	}
	s += ", " + inStops(h.Unit.Derate) + " taken off outdoors"
	if !h.Unit.HighSpeed {
		s += ", no high-speed sync"
	}
	return s
}

// wish says how the flash's gel is chosen, where it goes by the light.
func (w words) wish(s *shoot.Shoot) string {
	switch s.Wish.Kind {
	case flash.MatchLight:
		return ", gel nearest to the light of the lit side"
	case flash.WarmerThanLight:
		if s.Wish.Warmer < 0 {
			return fmt.Sprintf(", gel nearest to %s mired cooler than the lit side", plainly(-float64(s.Wish.Warmer), 0))
		}
		return fmt.Sprintf(", gel nearest to %s mired warmer than the lit side", plainly(float64(s.Wish.Warmer), 0))
	}
	return ""
}

func (w words) scrim(s *scene.Scrim) string {
	t := fmt.Sprintf("%s, %s %s %s m, %s", w.named(s.Name, "diffusion panel"), plainly(s.Width, 2), w.times(),
		plainly(s.Length, 2), inStops(s.Loss))
	if s.Distance > 0 {
		return t + ", square to the sun " + plainly(s.Distance, 2) + " m off"
	}
	t += ", " + plainly(s.Height, 2) + " m above the head"
	if s.Tilt != 0 {
		t += ", tilted " + w.degrees(s.Tilt, 0) + " to the sun"
	}
	return t
}
