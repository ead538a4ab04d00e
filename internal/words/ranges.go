package words

import (
	"strings"
	"time"

	"evenfall/sky"
)

// OffsetRange writes the offsets that something runs between, one where both
// are written alike: +1.1 to +1.7.
func OffsetRange(low, high sky.Stops) string {
	a, b := Offset(low), Offset(high)
	if a == b {
		return a
	}
	return a + " to " + b
}

// OffsetRangeStops writes the same with the word: +1.1 to +1.7 stops.
func OffsetRangeStops(low, high sky.Stops) string {
	most := max(low.Abs(), high.Abs())
	return OffsetRange(low, high) + strings.TrimPrefix(Stops(most), Number(float64(most), 1))
}

// RatioRange writes the ratios that something runs between: 2.6:1 to 3.3:1.
func RatioRange(low, high float64) string {
	a, b := Ratio(low), Ratio(high)
	if a == b {
		return a
	}
	return a + " to " + b
}

// Times writes stretches of the clock, each from its first to its last moment,
// at most so many of them.
func Times(spans [][2]time.Time, most int) string {
	var parts []string
	for i, s := range spans {
		if i == most {
			return strings.Join(parts, ", ") + " and later"
		}
		parts = append(parts, Clock{}.Range(s[0], s[1]))
	}
	return strings.Join(parts, ", ")
}

// Sentence begins a text with a capital.
func Sentence(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
