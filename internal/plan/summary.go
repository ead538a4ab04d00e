package plan

import (
	"fmt"
	"strings"
	"time"

	"evenfall/internal/shoot"
)

// clock writes a time of day.
func clock(t time.Time) string { return t.Format("15:04") }

// summarise says in one sentence what method number n comes to.
func summarise(rows []Row, n int, m shoot.Method) Summary {
	s := Summary{Method: m, Of: len(rows)}
	for i := range rows {
		if rows[i].Methods[n].Feasible {
			s.Holds++
		}
	}
	failures := Failures(rows, n)
	switch {
	case s.Holds == s.Of:
		s.Text = "Holds the look throughout" + tightest(rows, n) + "."
	case s.Holds == 0 && len(failures) == 1:
		s.Text = "Does not hold the look: " + failures[0].reason() + "."
	default:
		var parts []string
		for _, f := range failures {
			parts = append(parts, f.when()+" ("+f.reason()+")")
		}
		s.Text = fmt.Sprintf("Holds the look at %d of %d moments; not %s.", s.Holds, s.Of, strings.Join(parts, ", "))
	}
	s.Text += inFrame(rows, n)
	return s
}

// inFrame warns of a scrim that stands in the picture.
func inFrame(rows []Row, n int) string {
	count := 0
	for i := range rows {
		if rows[i].Methods[n].ScrimInFrame {
			count++
		}
	}
	switch count {
	case 0:
		return ""
	case len(rows):
		return " The panel stands in the picture throughout: turn the subject, or shade from overhead."
	}
	return fmt.Sprintf(" The panel stands in the picture at %d of them: turn the subject, or shade from overhead.", count)
}

// tightest says when the flash has least to spare.
func tightest(rows []Row, n int) string {
	var least *Row
	for i := range rows {
		if s := &rows[i].Methods[n]; s.Role != None && (least == nil || s.Headroom < least.Methods[n].Headroom) {
			least = &rows[i]
		}
	}
	if least == nil {
		return " without flash"
	}
	spare := least.Methods[n].Headroom
	unit := "stops"
	if spare < 1 {
		unit = "stop"
	}
	return fmt.Sprintf(", with %.1f %s of flash to spare at the least (%s)", spare, unit, clock(least.Time))
}
