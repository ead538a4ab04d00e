package shootfile

import (
	"cmp"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Nearest returns the choice that a misspelt name most likely means, or ""
// where none is close: a few letters wrong, a part of the name alone, or
// another number in it, of which the nearest is taken. Capitals, spaces,
// hyphens and the like do not count; of choices as near the first is taken.
func Nearest(word string, choices []string) string {
	const longest = 64 // nobody misspells a longer one
	if len(word) == 0 || len(word) > longest {
		return ""
	}
	given := split(word)
	best, closest := "", likeness{}
	for _, choice := range choices {
		is, ok := given.like(split(choice))
		if ok && (best == "" || is.compare(closest) < 0) {
			best, closest = choice, is
		}
	}
	return best
}

// name is a name taken apart.
type name struct {
	parts   []string // letters only
	letters string   // all of them
	numbers []float64
}

var (
	sides  = regexp.MustCompile(`([0-9])x([0-9])`) // 60x90
	pieces = regexp.MustCompile(`[0-9]+(?:\.[0-9]+)?|\pL+`)
)

func split(text string) name {
	var n name
	for _, piece := range pieces.FindAllString(sides.ReplaceAllString(strings.ToLower(text), "$1 $2"), -1) {
		if v, err := strconv.ParseFloat(piece, 64); err == nil && piece[0] <= '9' {
			n.numbers = append(n.numbers, v)
		} else {
			n.parts = append(n.parts, piece)
		}
	}
	n.letters = strings.Join(n.parts, "")
	return n
}

// likeness is how far a name is from a choice; what comes first counts most.
type likeness struct {
	edits   int     // letters wrong
	partial int     // 0 whole names, 1 the choice's beginning, 2 a part of it
	numbers float64 // sum of the differences
}

func (a likeness) compare(b likeness) int {
	return cmp.Or(
		cmp.Compare(a.edits+a.partial, b.edits+b.partial),
		cmp.Compare(a.partial, b.partial),
		cmp.Compare(a.numbers, b.numbers))
}

// like compares a given name with a choice; ok is false where they are not
// close.
func (n name) like(choice name) (is likeness, ok bool) {
	size := len(n.letters)
	if size == 0 {
		return is, false
	}
	take := func(edits, most, partial int) {
		if edits > most || ok && edits+partial >= is.edits+is.partial {
			return
		}
		is, ok = likeness{edits: edits, partial: partial}, true
	}
	if edits := distance(n.letters, choice.letters); edits < max(size, len(choice.letters)) {
		take(edits, max(2, size/3), 0)
	}
	// A part of the name has to be nearer: there are many.
	most := size / 4
	if size < 5 {
		most = 0
	}
	for from := range choice.parts {
		run := ""
		for _, part := range choice.parts[from:] {
			if run += part; len(run) >= 3 {
				take(distance(n.letters, run), most, min(from, 1)+1)
			}
		}
	}
	if size >= 3 && strings.HasPrefix(choice.letters, n.letters) {
		take(0, 0, 1)
	}
	if size >= 3 && strings.Contains(choice.letters, n.letters) ||
		len(choice.letters) >= 3 && strings.Contains(n.letters, choice.letters) {
		take(0, 0, 2)
	}
	is.numbers = difference(n.numbers, choice.numbers)
	return is, ok
}

// difference is how far the given numbers are from those of a choice. A
// number too many or too few is farther than any; where none is given, the
// choice's do not count.
func difference(given, choice []float64) float64 {
	if len(given) == 0 {
		return 0
	}
	const missing = 1e6
	sum := math.Abs(float64(len(given)-len(choice))) * missing
	if len(choice) == 0 {
		return sum
	}
	for i, v := range given[:min(len(given), len(choice))] {
		sum += math.Abs(v - choice[i])
	}
	return sum
}

// distance counts the letters to insert, drop or change to turn a into b
// (Levenshtein 1966).
func distance(a, b string) int {
	from, to := []rune(a), []rune(b)
	row := make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	for i, r := range from {
		diagonal := row[0]
		row[0] = i + 1
		for j, q := range to {
			change := diagonal
			if r != q {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(to)]
}
