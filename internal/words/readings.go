package words

import (
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/plan"
	"evenfall/internal/reading"
	"evenfall/sky"
)

// Readings says that readings are in a report's light, in a sentence; nothing
// where there are none.
func Readings(list []reading.Weighed) string {
	switch n := len(list); n {
	case 0:
		return ""
	case 1:
		return "The light is by a reading at " + Clock{}.Time(list[0].Time) + "."
	default:
		return "The light is by " + Count(n, "reading") + ", the last at " + Clock{}.Time(list[n-1].Time) + "."
	}
}

// Plane names how a meter was held.
func Plane(p reading.Plane) string {
	if p == reading.Lit || p == reading.Shade {
		return p.String() + " side"
	}
	return p.String()
}

// Reading says what a reading is, how far it lies off the plan and how much of
// that is carried on.
func Reading(w *reading.Weighed) string {
	text := Plane(w.Plane) + " EV " + EV(exposure.Incident(w.Light))
	if w.Under.Cases() > 1 {
		text += ", " + Case(w.Case)
	}
	if written(w.Offset) {
		return text + ", " + besides(w.Offset) + " the plan; " + Percent(w.Weight) + " of that counts"
	}
	return text + ", as planned"
}

// ReadingAt says when a reading was taken, and all there is to know of it.
func ReadingAt(w *reading.Weighed) string {
	text := Clock{}.Time(w.Time) + " " + Reading(w)
	if remark := ReadingRemark(w); remark != "" {
		text += "; " + remark
	}
	return text
}

// AfterWindow says that a reading was taken when the window was over.
func AfterWindow(w *reading.Weighed, to time.Time) string {
	return w.String() + " is after the window, that ends at " + Clock{}.Time(to)
}

// OtherDay says of a reading that it is not of the day that is planned.
func OtherDay(r *reading.Reading) string {
	return r.String() + " of " + Date(r.Time) + " is of another day, and does not count"
}

// Held says how a meter is held to read a plane.
func Held(p reading.Plane) string {
	return Plane(p) + ": " + [...]string{"upright, toward the sun", "upright, toward the camera, kept in shade",
		"toward the camera, sun and all", "flat, facing up"}[p]
}

// written reports whether an offset is more than nothing as it is written.
func written(s sky.Stops) bool { return s.Abs() >= 0.05 }

// besides writes an offset as so much over or under.
func besides(s sky.Stops) string {
	if s < 0 {
		return Stops(-s) + " under"
	}
	return Stops(s) + " over"
}

// ReadingRemark says what else there is to know of a reading: that it fits
// another sky far better, or tells little; nothing where there is not.
func ReadingRemark(w *reading.Weighed) string {
	switch {
	case w.Fits != nil:
		text := "fits " + w.Fits.Word.String()
		if w.Fits.Word == sky.Broken {
			text += " " + Case(w.Fits.Case)
		}
		return text + " far better, within " + Stops(max(w.Fits.Offset.Abs(), 0.1)) + ": plan with --sky " +
			w.Fits.Word.String()
	case w.TellsLittle():
		return "the sun is " + Degrees(w.Sun.Altitude, 0) + " high: it tells little of haze"
	}
	return ""
}

// Cause says what makes the light lie off the plan.
func Cause(a *plan.Adjustment) string {
	by, sun := a.At.Correction, a.At.Light.DirectNormal > 0
	switch {
	case !a.At.Condition.Cloudless() && a.Lit < 0:
		return "thicker cloud"
	case !a.At.Condition.Cloudless():
		return "thinner cloud"
	case sun && by.Turbidity > 0:
		return "haze"
	case sun && by.Turbidity < 0 && a.Lit > 0:
		return "clear air"
	case a.Lit < 0:
		return "a darker sky"
	}
	return "a brighter sky"
}

// Adjusted says what readings change: the light against the plan and why, and
// what comes sooner or later.
func Adjusted(a *plan.Adjustment) string {
	from, _ := a.After.Window()
	text := "From " + Clock{}.Time(from) + " the light is as planned"
	if written(a.Lit) {
		text = "From " + Clock{}.Time(from) + " the light is " + besides(a.Lit) + " the plan"
	}
	if written(a.Shade - a.Lit) {
		text += ", " + inShade(a.Shade) + " in the shade"
	}
	if written(a.Lit) || written(a.Shade) {
		text += ": " + Cause(a)
	}
	text += "."
	if when := next(a); when != "" {
		text += " " + when
	}
	if when := normal(a); when != "" {
		text += " " + when
	}
	return text
}

// next says when the next cue comes, where that is not when it was planned to.
func next(a *plan.Adjustment) string {
	was, is := a.Next[0], a.Next[1]
	switch {
	case was.Equal(is):
		return ""
	case is.IsZero():
		return "No cue comes any more, where one was planned for " + Clock{}.Time(was) + "."
	case was.IsZero():
		return "A cue comes at " + Clock{}.Time(is) + ", where none was planned."
	}
	return "The next cue comes at " + Clock{}.Time(is) + ", not " + Clock{}.Time(was) + "."
}

// inShade says how far the shade side lies off.
func inShade(s sky.Stops) string {
	if !written(s) {
		return "as planned"
	}
	return besides(s)
}

// normal says when the background comes down to normal, where that is not when
// it was planned to.
func normal(a *plan.Adjustment) string {
	was, is := a.Normal[0], a.Normal[1]
	_, to := a.After.Window()
	switch {
	case was.Equal(is):
		return ""
	case is.IsZero() && was.IsZero():
		return ""
	case is.IsZero() && a.After.Rows[0].Methods[a.After.Index(a.Method)].Background > 0.05:
		return "The background stays above normal to " + Clock{}.Time(to) + ", where the plan had it down at " +
			Clock{}.Time(was) + "."
	case is.IsZero():
		return "The background is down to normal already, not at " + Clock{}.Time(was) + "."
	case was.IsZero():
		return "The background comes down to normal at " + Clock{}.Time(is) + "."
	}
	return "The background comes down to normal at " + Clock{}.Time(is) + ", not " + Clock{}.Time(was) + "."
}

// GoOn says which method to go on with for the rest of the window, and what it
// comes to.
func GoOn(a *plan.Adjustment) string {
	n := a.After.Index(a.Method)
	if t := tallyOf(a.After.RunsOf(n)); t.missed == t.all() {
		return "No method gets this look any more; the nearest is " + a.Method.String() + ": " + Comes(a.After, n) + "."
	}
	if a.Method != a.Was {
		return "Change to " + a.Method.String() + ": " + Comes(a.After, n) + ". " + Sentence(a.Was.String()) + ": " +
			briefly(a.After, a.After.Index(a.Was)) + "."
	}
	return "Go on with " + a.Method.String() + ": " + Comes(a.After, n) + "."
}
