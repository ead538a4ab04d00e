package words

// Term is a word of the trade, or of the planner, with what it means.
type Term struct{ Name, Means string }

// Topic is a group of terms.
type Topic struct {
	Name  string
	Terms []Term
}

// Glossary explains every term that commands, files and reports use, each in
// about a line.
func Glossary() []Topic {
	return []Topic{
		{"Light", []Term{
			{"EV100", "exposure value at ISO 100: the light, as a meter says it"},
			{"stop", "a factor of two in light"},
			{"click", "one step of a control's own dial: 1/3, 1/2 or 1 stop"},
			{"reading", "what a light meter shows on location"},
			{"condition", "of the sky: clear, hazy, thin, broken, overcast or heavy"},
			{"okta", "an eighth of the sky under cloud: 0 to 8"},
			{"turbidity", "haze between sun and ground, 2 very clear to 6 murky"},
		}},
		{"Sides", []Term{
			{"lit side", "upright meter toward the sun, at night the moon: the brightest"},
			{"rim", "the lit side when the sun stands behind the sitter"},
			{"shade side", "upright meter toward the camera, kept in shade"},
			{"face", "the side toward the camera, any sun on it included"},
			{"level", "flat meter looking up: weather stations measure it"},
			{"key side", "the bright side of the face as the camera sees it"},
			{"shadow side", "the other side of the face, as if kept out of the sun"},
			{"lighting ratio", "R:1, key side to shadow side, flash and daylight together"},
			{"background", "what stands behind the sitter in the frame, sky or not"},
		}},
		{"Place", []Term{
			{"facing", "azimuth the sitter faces, from sitter to camera; north is 0°"},
			{"flash angle", "between flash and camera, seen by the sitter; + key side"},
			{"skyline", "what stands above the horizon; the sun goes behind it"},
			{"saved place", "kept under a name with zone, ground and skyline"},
			{"framing", "what fills the frame: head and shoulders, or full length"},
			{"fall-off", "how much less flash reaches what is lower or farther off"},
			{"pool", "of light: what of the sitter's plane the flash lights"},
			{"force", "of the wind, 0 to 12 on the Beaufort scale: 3 is a breeze"},
		}},
		{"What is asked", []Term{
			{"shoot", "one planned session, and the TOML file that describes it"},
			{"method", "a way of working, of those listed below"},
			{"look", "what is held: a ratio, or a background at an exact offset"},
			{"normal", "what a meter would expose: skin as bright as it is"},
			{"bias", "how far from normal the key side is wanted, in stops"},
			{"background offset", "stops the background comes out over or under normal"},
			{"rim offset", "the same for the lit side when the sun is behind"},
		}},
		{"Dates", []Term{
			{"window", "hours of one day in which all that is wished for holds"},
			{"golden hour", "the sun from 6° high to 4° under the horizon, and back"},
			{"blue hour", "the sun from 4° to 6° under the horizon, and back"},
			{"last light", "the sun sinks, at most 6° clear of the skyline"},
			{"odds", "how likely each sky is, in percent"},
			{"useful", "share of a window that holds, by the odds of the sky"},
		}},
		{"What comes out", []Term{
			{"held", "key side, ratio and background within 1/3 stop of the look"},
			{"softer", "all held, only the ratio lower than asked: a success"},
			{"missed", "not the picture asked for; the reason stands beside it"},
			{"role", "of the flash: key raises the ratio, fill lowers it, or none"},
			{"key, fill", "the flash and a second one beside the lens, by their names"},
			{"headroom", "stops of flash power left over; less than 0.7 is tight"},
			{"run", "the window under one method, planned minute by minute"},
			{"cue", "at this minute, change this control by this much"},
		}},
		{"Ways of working (methods)", []Term{
			{"sync", "flash at or below the sync speed"},
			{"hss", "high-speed sync: faster shutters, for much less flash"},
			{"nd", "sync with a neutral-density filter: wide apertures by day"},
			{"scrim", "diffusion between sun and sitter, with sync"},
			{"scrim+hss", "both; likewise scrim+nd, nd+hss and scrim+nd+hss"},
			{"open-shade", "sitter in open shade: no sun, part of the sky, with sync"},
			{"reflector", "white or silver cloth that throws sun and sky on the face"},
			{"reflector+sync", "the same with flash"},
		}},
	}
}
