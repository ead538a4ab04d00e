package words

import (
	"strconv"
	"strings"
)

// Plural returns the plural of an English noun of the trade: flashes,
// batteries, times.
func Plural(noun string) string {
	for _, end := range [...]string{"s", "x", "ch", "sh"} {
		if strings.HasSuffix(noun, end) {
			return noun + "es"
		}
	}
	if stem, ok := strings.CutSuffix(noun, "y"); ok && stem != "" && !strings.ContainsAny(stem[len(stem)-1:], "aeiou") {
		return stem + "ies"
	}
	return noun + "s"
}

// Count writes a count with its noun: 1 flash, 2 flashes, no flashes.
func Count(n int, noun string) string {
	switch n {
	case 0:
		return "no " + Plural(noun)
	case 1:
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + Plural(noun)
}

// AtTimes says at how many of the moments of a plan something is so: at 1 of
// 9 times, at all 9 times, at none of 9 times. What is counted is moments, not
// rows: one under broken cloud has two.
func AtTimes(n, of int) string {
	switch {
	case of == 1 && n == 1:
		return "at the one time"
	case n == of && of > 0:
		return "at all " + Count(of, "time")
	case n == 0 && of == 1:
		return "not at the one time"
	case n == 0:
		return "at none of " + Count(of, "time")
	}
	return "at " + strconv.Itoa(n) + " of " + Count(of, "time")
}

// List joins words as a sentence does: a, b and c.
func List(items ...string) string { return join("and", items) }

// Either joins words of which one is to be chosen: a, b or c.
func Either(items ...string) string { return join("or", items) }

func join(last string, items []string) string {
	if len(items) < 2 {
		return strings.Join(items, "")
	}
	n := len(items) - 1
	return strings.Join(items[:n], ", ") + " " + last + " " + items[n]
}
