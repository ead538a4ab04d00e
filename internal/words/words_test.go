package words

import (
	"math"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"evenfall/internal/exposure"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestNumbers(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Number(12.345, 1), "12.3"},
		{Number(-0.04, 1), "0.0"},
		{Number(-0.06, 1), "−0.1"},
		{Number(math.NaN(), 1), "–"},
		{Number(math.Inf(-1), 1), "–"},
		{UpTo(10, 1), "10"},
		{UpTo(1.25, 2), "1.25"},
		{UpTo(-3, 2), "−3"},
		{Digits(41234, 3), "41200"},
		{Digits(999.6, 3), "1000"},
		{Digits(86.602, 3), "86.6"},
		{Digits(0.2456, 3), "0.246"},
		{Digits(90, 3), "90"},
		{Digits(0, 3), "0"},
		{Digits(math.NaN(), 3), "–"},

		{Stops(0), "0.0 stop"},
		{Stops(0.3), "0.3 stop"},
		{Stops(1), "1.0 stop"},
		{Stops(1.04), "1.0 stop"},
		{Stops(1.06), "1.1 stops"},
		{Stops(-1.3), "−1.3 stops"},
		{Stops(-0.3), "−0.3 stop"},
		{StopsTo(1, 2), "1.0 stop"},
		{StopsTo(1.67, 2), "1.67 stops"},
		{StopsTo(2, 2), "2.0 stops"},
		{StopsTo(0.85, 2), "0.85 stop"},
		{StopsTo(10, 2), "10.0 stops"},
		{Missing(0.01), "0.1"},
		{Missing(0.32), "0.3"},
		{Missing(-1.14), "1.1"},
		{Missing(sky.StopsOf(0)), "–"},
		{MissingStops(0.001), "0.1 stop"},
		{MissingStops(1.14), "1.1 stops"},
		{Offset(0.3), "+0.3"},
		{Offset(-0.5), "−0.5"},
		{Offset(0.04), "±0.0"},
		{Offset(-0.04), "±0.0"},
		{Offset(0), "±0.0"},
		{Offset(sky.StopsOf(0)), "–"},
		{OffsetStops(1.25), "+1.2 stops"},
		{OffsetStops(-1), "−1.0 stop"},
		{OffsetStops(0), "±0.0 stop"},
		{Band(sky.Band{Low: -0.31, High: 0.22}), "−0.3 to +0.2"},
		{Band(sky.Band{Low: sky.StopsOf(-1)}), "–"},

		{EV(exposure.EV(12.34)), "12.3"},
		{EV(exposure.Incident(0)), "–"},
		{Degrees(sky.Degrees(21.21), 1), "21.2°"},
		{Degrees(sky.Degrees(-4), 0), "−4°"},
		{Azimuth(sky.Degrees(-90)), "270°"},
		{Azimuth(sky.Degrees(359.7)), "0°"},
		{Compass(sky.Degrees(275.1)), "west"},
		{Compass(sky.Degrees(-23)), "north-west"},
		{Compass(sky.Degrees(350)), "north"},
		{Metres(1.8), "1.8 m"},
		{Metres(2), "2 m"},
		{Metres(9.999), "10 m"},
		{Metres(12.34), "12.3 m"},
		{Metres(240.4), "240 m"},
		{MetresNumber(2), "2.00"},
		{Kelvin(5612), "5600 K"},
		{Kelvin(5630), "5650 K"},
		{KelvinNumber(0), "–"},
		{Ratio(3.06), "3.1:1"},
		{Ratio(3), "3.0:1"},
		{Ratio(999.9), "999.9:1"},
		{Ratio(5000), "over 999:1"},
		{Ratio(0), "–"},
		{Ratio(math.NaN()), "–"},
		{Percent(0.547), "55 %"},
		{Percent(math.NaN()), "–"},
		{Filter(3), "3-stop ND"},
		{Filter(1.67), "1.7-stop ND"},
		{Filter(0), "no ND"},
		{Filter(sky.StopsOf(0)), "–"},

		{Count(0, "flash"), "no flashes"},
		{Count(1, "flash"), "1 flash"},
		{Count(2, "flash"), "2 flashes"},
		{Count(2, "battery"), "2 batteries"},
		{Count(3, "day"), "3 days"},
		{Count(2, "softbox"), "2 softboxes"},
		{AtTimes(1, 9), "at 1 of 9 times"},
		{AtTimes(9, 9), "at all 9 times"},
		{AtTimes(0, 9), "at none of 9 times"},
		{AtTimes(1, 1), "at the one time"},
		{AtTimes(0, 1), "not at the one time"},
		{List(), ""},
		{List("a"), "a"},
		{List("a", "b"), "a and b"},
		{Either("a", "b", "c"), "a, b or c"},
	} {
		assert.Equal(t, c.want, c.got)
	}
}

func TestClock(t *testing.T) {
	minutes, seconds := ClockFor(15*time.Minute), ClockFor(90*time.Second)
	at := func(h, m, s int) time.Time { return time.Date(2027, 9, 12, h, m, s, 0, time.FixedZone("", -3600)) }
	assert.Equal(t, "18:45", minutes.Time(at(18, 45, 29)))
	assert.Equal(t, "18:46", minutes.Time(at(18, 45, 30)), "to the nearest")
	assert.Equal(t, "18:45:30", seconds.Time(at(18, 45, 30)))
	assert.Equal(t, "18:45–19:20", minutes.Range(at(18, 45, 0), at(19, 20, 0)))
	assert.Equal(t, "18:45", minutes.Range(at(18, 45, 0), at(18, 45, 10)))
	assert.Equal(t, "Sun 12 September 2027", Date(at(12, 0, 0)))
	in := func(name string, seconds int) time.Time { return at(12, 0, 0).In(time.FixedZone(name, seconds)) }
	assert.Equal(t, "UTC−01:00", Zone(in("UTC-1", -3600), in("UTC-1", -3600)))
	assert.Equal(t, "Asia/Kathmandu, UTC+05:45", Zone(in("Asia/Kathmandu", 20700), in("Asia/Kathmandu", 20700)))
	assert.Equal(t, "Here, UTC+02:00, at the end UTC+01:00", Zone(in("Here", 7200), in("Here", 3600)))
}

func TestASCII(t *testing.T) {
	for s, want := range map[string]string{
		"2 × 3 m, 6 m²":                    "2 x 3 m, 6 m2",
		"21.2° ±0.3 −0.5 …":                "21.2 deg +/-0.3 -0.5 ...",
		"18:45–19:20 → ↑ ↓":                "18:45-19:20 ->  up  down",
		"✗ f/2.8":                          "! f/2.8",
		"GN²":                              "GN^2",
		"Mühle, Łódź, Straße, Mu\u0308hle": "Muhle, Lodz, Strasse, Muhle",
		"水車":                               "??",
	} {
		assert.Equal(t, want, ASCII(s))
	}
}

// In ASCII a sign never stands for two things.
func TestASCIISignsAreDistinct(t *testing.T) {
	meant := []string{"×", "✗", "²", "↑", "↓", "°", "±", "→", "≤", "≥"}
	seen := map[string]string{}
	for _, s := range meant {
		a := ASCII(s)
		require.NotContains(t, seen, a, "%s and %s", s, seen[a])
		seen[a] = s
	}
	assert.Contains(t, ASCII("↑"), "up")
}

func TestPlain(t *testing.T) {
	for s, want := range map[string]string{
		"−0.5":                   "minus 0.5",
		"+0.3":                   "plus 0.3",
		"±0.0":                   "0.0",
		"±0.3":                   "plus or minus 0.3",
		"3.1:1":                  "3.1 to 1",
		"18:45–19:20":            "18:45 to 19:20",
		"2.4 × 2.4 m, 5.8 m²":    "2.4 by 2.4 m, 5.8 square metres",
		"21.2°":                  "21.2 degrees",
		"–":                      "none",
		" – ":                    "none",
		"scrim+hss, 1/8+1/3":     "scrim+hss, 1/8+1/3",
		"~/kit.toml, 水車 – Mühle": "~/kit.toml, 水車 - Mühle",
		"12:10":                  "12:10",
	} {
		assert.Equal(t, want, Plain(s))
	}
}

// Characters by the Unicode Character Database, version of Go's tables.
func TestSafe(t *testing.T) {
	for s, want := range map[string]string{
		"by the mill":        "by the mill",
		"\x1b[31m":           `\u001b[31m`,
		"a\u009bb":           `a\u009bb`, // control sequence introducer in one character
		"a\nb\tc\x7f":        `a\u000ab\u0009c\u007f`,
		"\u202eabc":          `\u202eabc`, // right-to-left override
		"a\u200bb\ufeff":     `a\u200bb\ufeff`,
		"soft\u00adhyphen":   `soft\u00adhyphen`,
		"\u3164\u115f\uffa0": `\u3164\u115f\uffa0`, // fillers that look like nothing
		"a\u2028b":           `a\u2028b`,
		"\U000e0041":         `\U000e0041`, // tag
		"a\xffb":             `a\xffb`,
		"می\u200cخواهم":      "می\u200cخواهم", // Persian needs its non-joiner
		"a\u200db":           `a\u200db`,
		"क्\u200dष":          "क्\u200dष",
		"👩\u200d🚀":           "👩\u200d🚀",
		"❤\ufe0f\u200d🔥":     "❤\ufe0f\u200d🔥",
		"❤\ufe0f\ufe0f":      "❤\ufe0f\\ufe0f",
		"a\ufe0f":            `a\ufe0f`,
		"1\ufe0f\u20e3":      "1\ufe0f\u20e3",
		"水\u200d\u200d車":     `水\u200d\u200d車`,
		"水\u200d":            `水\u200d`,
		"e\u0301":            "e\u0301",
		"\\u001b":            `\u001b`,
	} {
		assert.Equal(t, want, Safe(s), "%q", s)
	}
}

func FuzzSafe(f *testing.F) {
	for _, s := range []string{"", "by the mill", "水\u200d車", "\x1b[31m", "e\u0301", "a\xffb", "\u202e",
		"❤\ufe0f\u200d🔥", "±0.3 m² ×"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		safe := Safe(s)
		if !utf8.ValidString(safe) || strings.ContainsFunc(safe, unicode.IsControl) {
			t.Fatalf("%q is not safe", safe)
		}
		bare := strings.NewReplacer("\u200c", "", "\u200d", "").Replace(safe)
		if strings.ContainsFunc(bare, Hidden) {
			t.Fatalf("%q hides something", safe)
		}
		if Safe(safe) != safe {
			t.Fatalf("%q is not safe at once", safe)
		}
		if !isASCII(ASCII(safe)) {
			t.Fatalf("%q is not ASCII", ASCII(safe))
		}
		if strings.ContainsFunc(ASCII(safe), unicode.IsControl) ||
			strings.ContainsFunc(Plain(safe), unicode.IsControl) {
			t.Fatalf("a form of %q is not safe", safe)
		}
	})
}

func TestLengths(t *testing.T) {
	for minutes, want := range map[int]string{1: "1 min", 45: "45 min", 60: "1 h", 61: "1 h 1 min", 93: "1 h 33 min",
		120: "2 h", 1440: "24 h"} {
		assert.Equal(t, want, Length(time.Duration(minutes)*time.Minute))
	}
	assert.Equal(t, "1 h", Length(59*time.Minute+40*time.Second), "to the minute, and no 60 of them")
}

func TestCoordinates(t *testing.T) {
	assert.Equal(t, "54.33° N, 10.15° E", Coordinates(sky.Degrees(54.33), sky.Degrees(10.15)))
	assert.Equal(t, "33.8568° S, 151.2153° W", Coordinates(sky.Degrees(-33.85681), sky.Degrees(-151.2153)))
}
