package words

import (
	"math"
	"strconv"

	"evenfall/internal/plan"
	"evenfall/internal/scene"
)

// Handling says what to do with a panel in a wind.
func Handling(h scene.Handling) string {
	switch h {
	case scene.OnStands:
		return "on two weighted stands, someone within reach"
	case scene.HandsOn:
		return "on two weighted stands with a hand on each, ready to lay it flat"
	case scene.HandHeld:
		return "held by two people only, low and edge to the wind; nothing on stands"
	case scene.TakenDown:
		return "take it down and lay it flat"
	case scene.StandsDown:
		return "take it down, lay it flat and weigh it down; light stands down as well"
	}
	return "everything down, and everyone out of the wind"
}

// HandlingKind names it for programs.
func HandlingKind(h scene.Handling) string {
	return [...]string{"on-stands", "hands-on-stands", "hand-held", "taken-down", "stands-down", "everything-down"}[h]
}

// Force names a force of the wind: force 3.
func Force(b scene.Beaufort) string { return "force " + strconv.Itoa(int(b)) }

// Wind says a wind by its speed and its force: 5 m/s, force 3 (gentle breeze).
func Wind(w *plan.Wind) string {
	return UpTo(float64(w.Speed), 1) + " m/s, " + Force(w.Force) + " (" + w.Force.String() + ")"
}

// Kilograms writes a mass that something has to weigh at the least, in whole
// kilograms, never less.
func Kilograms(v float64) string {
	const rounding = 1e-6
	return withUnit(Number(math.Ceil(v-rounding), 0), "kg")
}

// Rigged says what holds the scrim up: 14 kg and a hand on each stand.
func Rigged(r *plan.Rig) string {
	switch {
	case r.Stands == 0:
		return Handling(r.Handling)
	case r.Handling == scene.HandsOn:
		return Kilograms(r.Ballast) + " and a hand on each stand"
	}
	return Kilograms(r.Ballast) + " on each stand, someone within reach"
}

// WindNow says what the stated wind asks of the scrim.
func WindNow(w *plan.Wind, r *plan.Rig) string {
	text := "wind " + Wind(w)
	switch {
	case w.Scrim == nil:
		return text
	case !w.Scrim.Handling.Flies():
		return text + ": too strong for the scrim; " + Handling(w.Scrim.Handling)
	}
	return text + ": scrim " + Rigged(r)
}

// ScrimCaution says how the wind limits the scrim: the stated one, or any. It
// goes by the rule of the table.
func ScrimCaution(p *plan.Plan) string {
	rig := p.Rig()
	if w := p.Wind(); w != nil {
		return "Scrim, a sail in " + Force(w.Force) + ": " + Rigged(&rig) + "."
	}
	down, _ := p.Sail().Strongest(scene.HandHeld)
	return "Scrim, a sail: " + Rigged(&rig) + " to " + Force(rig.Until) + "; down from " + Force(down+1) + "."
}
