package text

import (
	"regexp"
	"strings"
	"unicode"

	"github.com/olekukonko/tablewriter/pkg/twwidth"
)

// Columns returns the columns of a terminal that s takes. East Asian letters
// take two, the signs and rules used here one: the locale, which the library
// would ask, does not enter.
func Columns(s string) int { return twwidth.WidthWithOptions(s, twwidth.Options{}) }

// wrap breaks text into lines of at most a count of columns: at blanks, and
// within a word only where it is longer than a line. A character and the
// accents on it, or what is joined to it, stay together. Blanks that do not
// break become plain ones.
func wrap(text string, columns int) []string {
	w := &wrapping{columns: columns}
	for _, word := range strings.Split(numbersWithUnits.ReplaceAllString(text, "$1\u00a0$2$3"), " ") {
		if word != "" {
			w.word(strings.ReplaceAll(word, "\u00a0", " "))
		}
	}
	if w.line.Len() > 0 || len(w.lines) == 0 {
		w.flush()
	}
	return w.lines
}

// numbersWithUnits are those that a line does not end between.
var numbersWithUnits = regexp.MustCompile(`(\d) (stops?|mm?|m/s|m²|km|s|min|h|K|%|N|kg|lx|mired|EV|deg)([ .,;:)]|$)`)

// wrapping is text on its way into lines.
type wrapping struct {
	columns int
	lines   []string
	line    strings.Builder
	used    int // columns of the line
}

func (w *wrapping) flush() {
	w.lines = append(w.lines, w.line.String())
	w.line.Reset()
	w.used = 0
}

// word adds a word, on a line of its own where it does not fit.
func (w *wrapping) word(word string) {
	n := Columns(word)
	if w.line.Len() > 0 && w.used+1+n > w.columns {
		w.flush()
	}
	if w.line.Len() > 0 {
		w.line.WriteByte(' ')
		w.used++
	}
	if n <= w.columns {
		w.line.WriteString(word)
		w.used += n
		return
	}
	for _, piece := range pieces(word, w.columns) {
		if w.line.Len() > 0 {
			w.flush()
		}
		w.line.WriteString(piece)
		w.used = Columns(piece)
	}
}

// pieces cuts a word into parts of at most a count of columns.
func pieces(word string, columns int) []string {
	var list []string
	from, used := 0, 0
	for at := 0; at < len(word); {
		size, n := character(word[at:])
		if used > 0 && used+n > columns {
			list = append(list, word[from:at])
			from, used = at, 0
		}
		used += n
		at += size
	}
	return append(list, word[from:])
}

// mostJoined is how many characters joined to each other count as one.
const mostJoined = 8

// character returns the bytes and columns of the first character of a word,
// with the accents on it and what is joined to it.
func character(word string) (size, columns int) {
	const joiner = '\u200d'
	joined, count := true, 0 // to what came before
	size = len(word)
	for i, r := range word {
		switch {
		case unicode.In(r, unicode.Mn, unicode.Me), r == joiner:
		case joined && count < mostJoined:
			count++
		default:
			return i, Columns(word[:i])
		}
		joined = r == joiner
	}
	return size, Columns(word)
}
