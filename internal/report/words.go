package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"evenfall/internal/exposure"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// hidden tells of characters that a terminal obeys rather than shows: control
// characters, line separators, and those that turn the direction of writing.
// Joiners stay, which some scripts need.
func hidden(r rune) bool {
	const nonJoiner, joiner = '\u200c', '\u200d'
	return r != joiner && r != nonJoiner && unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp)
}

// clean returns s with hidden characters and broken UTF-8 written out, as
// \u001b: what may go to a terminal.
func clean(s string) string {
	if utf8.ValidString(s) && !strings.ContainsFunc(s, hidden) {
		return s
	}
	var b strings.Builder
	for i, r := range s {
		_, size := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case hidden(r) && r > 0xffff:
			fmt.Fprintf(&b, `\U%08x`, r)
		case hidden(r):
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// likeness is what stands for typographic signs in ASCII.
var likeness = strings.NewReplacer("×", "x", "°", " deg", "–", "-", "—", "-", "−", "-", "…", "...",
	"±", "+/-", "’", "'", "‘", "'", "“", `"`, "”", `"`, "→", "->", "\u00a0", " ")

// words writes in Unicode or in ASCII.
type words struct{ ascii bool }

// text returns what others wrote, safe to show.
func (w words) text(s string) string {
	s = clean(s)
	if !w.ascii {
		return s
	}
	var b strings.Builder
	for _, r := range likeness.Replace(s) {
		switch {
		case r < utf8.RuneSelf:
			b.WriteRune(r)
		case !unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf): // accents go with their letter
			b.WriteByte('?')
		}
	}
	return b.String()
}

func (w words) pick(unicode, ascii string) string {
	if w.ascii {
		return ascii
	}
	return unicode
}

// The signs of the tables.
func (w words) more() string  { return w.pick("↑", "^") }
func (w words) less() string  { return w.pick("↓", "v") }
func (w words) fails() string { return w.pick("✗", "x") }
func (w words) rule() string  { return w.pick("─", "-") }
func (w words) times() string { return w.pick("×", "x") }

const (
	otherRole = "*" // behind a flash's role that was another in the row before
	behind    = "*" // behind the bearing of a sun hidden by the skyline
	unknown   = "-"
)

func (w words) degrees(a sky.Angle, decimals int) string {
	return number(a.Degrees(), decimals) + w.pick("°", " deg")
}

// number writes a value with a fixed count of decimals, unknown where it is
// not finite, and zero without a sign. The minus is the keyboard's, so that
// figures can be copied.
func number(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return unknown
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return s
}

// signed writes an offset in stops with its sign.
func signed(s sky.Stops) string {
	t := number(float64(s), 1)
	if s > 0 && t != unknown && strings.Trim(t, "0.") != "" {
		t = "+" + t
	}
	return t
}

// plainly writes a number with at most so many decimals.
func plainly(v float64, decimals int) string {
	s := number(v, decimals)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// inStops writes a count of stops with the word.
func inStops(s sky.Stops) string {
	return plainly(float64(s), 1) + stopWord(s)
}

// stopWord is the word behind a count of stops, as 0.7 stop and 2 stops.
func stopWord(s sky.Stops) string {
	if s.Size() <= 1 {
		return " stop"
	}
	return " stops"
}

// ratio writes a lighting or ambient ratio, as 3.0:1.
func ratio(r float64) string {
	switch {
	case math.IsNaN(r) || math.IsInf(r, 0) || r <= 0:
		return unknown
	case r >= 999.95:
		return ">999:1"
	}
	return number(r, 1) + ":1"
}

// ev writes an exposure value.
func ev(v exposure.EV) string { return number(float64(v), 1) }

// kelvin writes a colour temperature to 50 K.
func kelvin(k sky.Kelvin) string {
	v := float64(k)
	if !(v > 0) || math.IsInf(v, 0) {
		return unknown
	}
	return number(math.Round(v/50)*50, 0)
}

// lux writes an illuminance to three figures, and no finer than 0.01 lx.
func lux(e sky.Lux) string {
	v := float64(e)
	switch {
	case !(v > 0) || math.IsInf(v, 0):
		return unknown
	case v < 1:
		return number(v, 2)
	case v < 10:
		return number(v, 1)
	}
	unit := math.Pow(10, max(0, math.Floor(math.Log10(v))-2))
	return number(math.Round(v/unit)*unit, 0)
}

// band writes where eight of ten measurements lie.
func band(b sky.Band) string {
	low, high := signed(b.Low), signed(b.High)
	if low == unknown || high == unknown {
		return unknown
	}
	return low + "/" + high
}

// offset writes how far local time lies ahead of universal time.
func offset(t time.Time) string { return "UTC" + t.Format("-07:00") }

// clockIn returns how times of day are written: to the minute, to the second
// where the step asks for it.
func clockIn(step time.Duration) string {
	if step%time.Minute != 0 {
		return "15:04:05"
	}
	return "15:04"
}

// date writes a day of the calendar with its day of the week.
func date(t time.Time) string { return t.Format("Monday 2 January 2006") }

// every writes the step between two rows.
func every(d time.Duration) string {
	if d >= time.Minute && d%time.Minute == 0 {
		return fmt.Sprintf("%d min", d/time.Minute)
	}
	return fmt.Sprintf("%g s", d.Seconds())
}

// clicks writes the size of a camera's steps.
func clicks(i exposure.Increment) string {
	switch i {
	case exposure.Third:
		return "third"
	case exposure.Half:
		return "half"
	case exposure.Full:
		return "full"
	}
	return "1/" + plainly(1/i.Stops(), 1)
}

// The cases of a condition with the sun in and out.
const (
	caseSun   = "sun"
	caseCloud = "cloud"
)

// caseWord names the case of a row, empty where its condition has one only.
func caseWord(c sky.Condition, k sky.Case) string {
	switch {
	case c.Cases() < 2:
		return ""
	case k == sky.SunIn:
		return caseCloud
	}
	return caseSun
}

// sunWord tells the case of a row behind a comma, nothing where its condition
// has one only.
func sunWord(c sky.Condition, k sky.Case) string {
	switch caseWord(c, k) {
	case caseSun:
		return ", sun out"
	case caseCloud:
		return ", sun in"
	}
	return ""
}

// metres writes a length to a centimetre near by, coarser farther off.
func metres(v float64) string {
	switch {
	case math.Abs(v) < 10:
		return number(v, 2)
	case math.Abs(v) < 100:
		return number(v, 1)
	}
	return number(v, 0)
}

// percent writes a share.
func percent(share float64) string { return number(100*share, 0) }

// aboutMethod says what a way of working is.
func aboutMethod(m shoot.Method) string {
	if m == shoot.Sync {
		return "at or below the sync speed"
	}
	var parts []string
	if m.UsesScrim() {
		parts = append(parts, "diffusion")
	}
	if m.UsesFilter() {
		parts = append(parts, "neutral-density filter")
	}
	if m.UsesHighSpeed() {
		return strings.Join(append(parts, "high-speed sync"), ", ")
	}
	return strings.Join(append(parts, "sync speed"), ", ")
}
