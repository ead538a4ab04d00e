package words

import (
	"math"
	"strconv"
	"strings"

	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
)

// Value names a value that a flag of a shoot was given, as the subject of a
// sentence, and shorter where that has been said before: two flashes in
// softbox-60x90, four. The flag goes without dashes; text is the value as it
// was typed.
func Value(flag, text string, s *shoot.Shoot) (whole, short string) {
	both := func(name string) (string, string) { return name, name }
	switch flag {
	case "units":
		n := Numeral(s.Flash.Units)
		whole, short = n+" "+Plural("flash"), n
		if s.Flash.Units == 1 {
			whole = n + " flash"
		}
		if !s.Flash.Modifier.Bare() {
			whole += " in " + s.Flash.Modifier.Name
		}
		return whole, short
	case "distance":
		return "the flash at " + Metres(s.Flash.Distance), "at " + Metres(s.Flash.Distance)
	case "flash-angle":
		return "the flash " + Side(*s.Stand.Angle), Side(*s.Stand.Angle)
	case "aperture":
		return both(s.Lens.Wanted.String())
	case "focal-length":
		return both(UpTo(float64(s.Lens.FocalLength), 1) + " mm")
	case "zoom":
		return both("the head at " + UpTo(s.Flash.Zoom, 0) + " mm")
	case "ratio":
		return "a ratio of " + UpTo(s.Look.Ratio, 2) + ":1", UpTo(s.Look.Ratio, 2) + ":1"
	case "background":
		return "a background at " + OffsetStops(s.Look.Background), Offset(s.Look.Background)
	case "background-at-most":
		if math.IsInf(float64(s.Look.AtMost), 1) {
			return both("any background")
		}
		return "a background of at most " + OffsetStops(s.Look.AtMost), Offset(s.Look.AtMost)
	case "facing":
		return both(facing(s.Subject.Facing))
	case "from":
		return "a start at " + text, text
	case "to":
		return "an end at " + text, text
	case "fill":
		if s.Fill == nil {
			return "the flash alone", "the flash alone"
		}
		return "a fill from " + text, text
	case "date", "flash", "modifier":
		return both(text)
	case "okta":
		return both(text + " oktas")
	case "sky":
		return "a sky that is " + text, text
	}
	return flag + " " + text, text
}

// facing says how a sitter stands to the sun, or where he faces.
func facing(f scene.Facing) string {
	switch f.Side {
	case scene.Backlit:
		return "the sun behind"
	case scene.FrontLit:
		return "the sun in front"
	case scene.LeftLit:
		return "the sun on the left"
	case scene.RightLit:
		return "the sun on the right"
	}
	return "facing " + Azimuth(f.Azimuth)
}

// numerals are the numbers that a sentence spells out.
var numerals = [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}

// Numeral spells a small number out.
func Numeral(n int) string {
	if n < 0 || n >= len(numerals) {
		return strconv.Itoa(n)
	}
	return numerals[n]
}

// Variation says in a sentence what the values of a flag come to, the best
// first and those that come to the same last. The flag goes without dashes; of
// each variant there is the value as it was typed.
func Variation(flag string, texts []string, v *plan.Variation) string {
	best := &v.Variants[v.Best]
	whole, _ := Value(flag, texts[v.Best], best.Plan.Shoot)
	told := &telling{methods: severalMethods(v)}
	text := ""
	if best.Held+best.Softer == 0 {
		text = "Nothing here gets this look; the nearest is " + whole + " with " + best.Verdict.Best.String() + " (" + reasonsOf(best) + ")"
	} else {
		text = Sentence(whole) + told.does(best, many(flag, best))
	}
	var equal []string
	last := ""
	for i := range v.Variants {
		one := &v.Variants[i]
		_, short := Value(flag, texts[i], one.Plan.Shoot)
		switch {
		case i == v.Best:
		case one.Equal:
			equal, last = append(equal, short), same(flag, many(flag, one))
		default:
			text += ", " + short + told.does(one, many(flag, one))
		}
	}
	if len(equal) > 1 {
		last = same(flag, true)
	}
	if len(equal) > 0 {
		text += "; " + List(equal...) + last
	}
	return text + "."
}

// many reports whether a value is spoken of in the plural.
func many(flag string, v *plan.Variant) bool { return flag == "units" && v.Plan.Shoot.Flash.Units > 1 }

// same says that values come to what the best does: more of what is carried
// changes nothing.
func same(flag string, many bool) string {
	switch {
	case flag == "units" && many:
		return " change nothing"
	case flag == "units":
		return " changes nothing"
	case many:
		return " do as well"
	}
	return " does as well"
}

func severalMethods(v *plan.Variation) bool {
	for i := range v.Variants {
		if v.Variants[i].Verdict.Best != v.Variants[0].Verdict.Best {
			return true
		}
	}
	return false
}

// reasonsOf says why a variant that never succeeds is missed.
func reasonsOf(v *plan.Variant) string {
	return tallyOf(v.Plan.RunsOf(v.Plan.Index(v.Verdict.Best))).reasons(v.Plan.Shoot)
}

// telling says what variants come to, one after the other: what the one before
// does as well is not said again.
type telling struct {
	methods bool // differ, so that each is named
	verb    string
}

// does says what a variant comes to, from a space on.
func (t *telling) does(v *plan.Variant, many bool) string {
	verb := doing(v, false)
	text := " " + doing(v, many)
	if verb == t.verb {
		text = ""
	}
	t.verb = verb
	if v.Held+v.Softer == 0 {
		return text + " (" + reasonsOf(v) + ")"
	}
	text += " " + Extent(v)
	if t.methods {
		text += " with " + v.Verdict.Best.String()
	}
	switch {
	case v.Equal:
	case v.Worse == plan.ComfortRule:
		text += " but tight"
	case v.Worse == plan.FrameRule:
		text += " but with " + List(aidsInFrame(v)...) + " in the frame"
	}
	return text
}

// aidsInFrame names what of a variant stands in the picture.
func aidsInFrame(v *plan.Variant) []string {
	scrim, reflector, flash := false, false, false
	for _, r := range v.Plan.RunsOf(v.Plan.Index(v.Verdict.Best)) {
		for i := range r.Minutes {
			m := &r.Minutes[i]
			scrim, flash = scrim || m.ScrimInFrame, flash || m.FlashInFrame
			reflector = reflector || m.Reflected.InFrame
		}
	}
	var list []string
	if scrim {
		list = append(list, "the scrim")
	}
	if reflector {
		list = append(list, "the reflector")
	}
	if flash {
		list = append(list, "the flash")
	}
	return list
}

// doing is the verb of a variant.
func doing(v *plan.Variant, many bool) string {
	singular, plural := "holds", "hold"
	switch {
	case v.Held+v.Softer == 0:
		singular, plural = "never holds", "never hold"
	case v.Held == 0:
		singular, plural = "comes out softer", "come out softer"
	case v.Softer > 0:
		singular, plural = "holds or comes out softer", "hold or come out softer"
	}
	if many {
		return plural
	}
	return singular
}

// Extent says for how much of the window a variant succeeds: throughout, from
// 18:45, for 80 of 121 minutes.
func Extent(v *plan.Variant) string {
	all := v.Held + v.Softer + v.Missed
	span := Span(v.Verdict.From, v.Verdict.Until)
	switch {
	case v.Missed == 0:
		return "throughout"
	case v.Missed == all:
		return "never"
	case span != "":
		return strings.TrimSpace(span)
	}
	return "for " + strconv.Itoa(v.Held+v.Softer) + " of " + strconv.Itoa(all) + " min"
}
