package report

import (
	"slices"

	"evenfall/internal/shoot"
)

// Cautions returns what can hurt someone on such a session, a sentence or two
// each; the last defers to those who decide on the spot.
func Cautions(s *shoot.Shoot) []string {
	var list []string
	if s.Scrim != nil {
		list = append(list, "A panel overhead is a sail above people's heads: weigh down both stands, keep a hand on "+
			"each, watch the gusts, and lay it flat on the ground before the wind decides.")
	}
	list = append(list,
		"Wind topples stands: a sandbag on every one, more under a modifier; nobody stands or sits where one would fall.",
		"Never look at the sun through a lens or an optical viewfinder, and do not leave a lens aimed at it: it burns eyes, "+
			"shutter and sensor.",
		"No flash close to anyone's eyes, nor toward drivers, riders or animals. Ask beforehand whether flashing light "+
			"makes anyone unwell, and stop at once if it does.",
	)
	burst := "Flash heads and gels burn fingers after a run of frames: let them cool before touching or packing them."
	if slices.ContainsFunc(s.Methods, shoot.Method.UsesHighSpeed) {
		burst = "Flash heads and gels burn fingers after a run of frames, in high-speed sync most of all: let them cool " +
			"before touching or packing them."
	}
	return append(list, burst,
		"Carry spare lithium cells one by one with their contacts covered, out of heat and rain; use none that is "+
			"swollen, dented or wet.",
		"Hours outdoors: shade, water and cover from the sun for everyone, the sitter first.",
		"Thunder: panels and stands down, everyone indoors or into a car.",
		"Local rules, the venue, and licensed riggers and electricians have the last word; this plan stands in for none of them.",
	)
}
