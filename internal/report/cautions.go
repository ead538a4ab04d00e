package report

import (
	"slices"

	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
)

// Cautions returns what can hurt someone on such a session, a line each; the
// last defers to those who decide on the spot.
func Cautions(p *plan.Plan) []string {
	scrim := ""
	if p.Shoot.Scrim != nil {
		scrim = words.ScrimCaution(p)
	}
	return cautions(p.Shoot, scrim)
}

// cautions returns the same of a shoot; scrim is what there is to say of its
// scrim.
func cautions(s *shoot.Shoot, scrim string) []string {
	var list []string
	if s.Scrim != nil {
		list = append(list, scrim)
	}
	if s.Reflector != nil {
		list = append(list, "Reflector: a sail too; keep the sun it throws out of eyes, most of all a silver one.")
	}
	heat := "Heat: heads and gels burn after a run of frames; let them cool."
	if slices.ContainsFunc(s.Methods, shoot.Method.UsesHighSpeed) {
		heat = "Heat: heads and gels burn after a run of frames, most in high-speed sync."
	}
	return append(list,
		"Stands: a sandbag on each; nobody stands or sits where one would fall.",
		"Sun: never through lens or finder, ND or not; leave no lens aimed at it.",
		"Flash: not close to eyes, nor at drivers or animals; ask about epilepsy first.",
		heat,
		"Never open a flash; keep heads and packs dry.",
		"Spare lithium cells: contacts covered; none swollen, dented or wet.",
		"Long days: shade and water for everyone, the sitter first.",
		"Thunder: stands down, indoors or a car until half an hour after the last.",
		"Local rules, the venue and licensed riggers and electricians decide.",
	)
}
