package words

// Guide explains the words of one kind, that a shoot is described or planned in.
type Guide struct {
	Name, Short string
	Terms       []Term // each in a line
	Example     string // a command that goes by them
}

// Guides lists them.
func Guides() []Guide {
	return []Guide{
		{"looks", "What a picture can be asked to be", []Term{
			{"ratio look", "key side at normal, a ratio, a limit to the background"},
			{"background look", "the same, the background held at an offset"},
			{"--ratio 3", "lighting ratio, key side to shadow side: 1.1 to 64"},
			{"--background -1.5", "held there: an underexposed sky; 0 is normal"},
			{"--background-at-most", "1.5: no more above normal than that; or any"},
			{"--bias 0.3", "key side so far above normal; below it with a minus"},
			{"--aperture 2.8", "wanted; it moves when shutter and ISO cannot"},
		}, "timeline --background -1.5 --from sunset-40m"},
		{"methods", "The ways of working", []Term{
			{"sync", "flash at or below the sync speed: all its light counts"},
			{"hss", "high-speed sync: wide apertures by day, much less flash"},
			{"nd", "sync with a neutral-density filter: wide apertures by day"},
			{"scrim", "diffusion between sun and sitter, with sync"},
			{"scrim+hss", "both: soft sun and wide apertures"},
			{"scrim+nd", "diffusion, and a filter in place of high-speed sync"},
			{"nd+hss", "a filter with high-speed sync: the widest apertures"},
			{"scrim+nd+hss", "all three"},
			{"open-shade", "sitter in open shade, with sync: no sun, part of the sky"},
			{"reflector", "white or silver cloth in the place of the flash"},
			{"reflector+sync", "cloth and flash"},
		}, "compare --moment 18:00"},
		{"conditions", "What the sky can be", []Term{
			{"clear", "blue, sharp shadows; haze as usual for the time of year"},
			{"hazy", "milky blue, sharp shadows; sun weaker, sky brighter"},
			{"thin", "cloud that the sun casts soft shadows through"},
			{"broken", "sun in and out: both are planned, the worse counts"},
			{"overcast", "grey all over, no shadows"},
			{"heavy", "dark cloud: 1.25 stops under overcast"},
			{"--okta 3", "eighths under cloud, 0 to 8: the mean of sun in and out"},
			{"--turbidity 3", "cloudless, by its haze: 2 very clear, 6 murky"},
		}, "compare --vary sky=clear,hazy,thin,overcast"},
		{"planes", "Where light is metered", []Term{
			{"lit", "upright, toward the sun: the brightest side, or the rim"},
			{"shade", "upright, toward the camera, kept in shade"},
			{"face", "upright, toward the camera, with any sun on it"},
			{"level", "flat, looking up: weather stations measure it"},
			{"key side", "upright, 45° from the camera to the bright side"},
			{"shadow side", "upright, 45° to the other side, kept out of the sun"},
		}, "adjust --reading 18:05=ev13.6@lit"},
	}
}
