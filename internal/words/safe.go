package words

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Hidden reports whether a terminal or a page would act on a character, or
// swallow it, rather than show it: controls, line separators, marks that turn
// the direction of writing, and characters without width that the Unicode
// Standard calls default ignorable (Unicode Standard Annex 44, property
// Default_Ignorable_Code_Point), variation selectors apart.
func Hidden(r rune) bool {
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Other_Default_Ignorable_Code_Point)
}

// Safe returns s with broken UTF-8 and hidden characters written out, as
// \u001b: what may reach a terminal or a page. Two kinds of invisible
// characters stay where writing needs them, between two visible ones that are
// not ASCII: joiners (Persian, the scripts of India, emoji), and after such a
// one, or a digit with its keycap, a variation selector.
func Safe(s string) string {
	if utf8.ValidString(s) && !strings.ContainsFunc(s, suspect) {
		return s
	}
	var b strings.Builder
	for rest, before := s, rune(0); rest != ""; {
		r, size, shown := first(rest, before)
		before = 0 // after one written out
		switch {
		case shown:
			b.WriteRune(r)
			before = r
		case r == utf8.RuneError && size == 1:
			fmt.Fprintf(&b, `\x%02x`, rest[0])
		case r > 0xffff:
			fmt.Fprintf(&b, `\U%08x`, r)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
		rest = rest[size:]
	}
	return b.String()
}

// Unsafe returns the first character of s that Safe writes out, and whether
// there is one.
func Unsafe(s string) (rune, bool) {
	for rest, before := s, rune(0); rest != ""; {
		r, size, shown := first(rest, before)
		if !shown {
			return r, true
		}
		rest, before = rest[size:], r
	}
	return 0, false
}

// first returns the first character of some text and its bytes, and whether it
// is shown behind the one before it, 0 for none.
func first(s string, before rune) (r rune, size int, shown bool) {
	r, size = utf8.DecodeRuneInString(s)
	if r == utf8.RuneError && size == 1 {
		return r, size, false
	}
	after, _ := utf8.DecodeRuneInString(s[size:])
	return r, size, !suspect(r) || needed(before, r, after)
}

// suspect reports whether a character is hidden, or would be in the wrong
// place.
func suspect(r rune) bool { return Hidden(r) || selector(r) }

// needed reports whether an invisible character belongs between the one shown
// before it and the one that follows.
func needed(before, r, after rune) bool {
	switch {
	case selector(r):
		return visible(before) && !joiner(before) && !selector(before) || before >= '0' && before <= '9'
	case joiner(r):
		return (visible(before) || selector(before)) && visible(after)
	}
	return false
}

// visible reports whether a character is one outside ASCII that is shown: a
// letter, an accent or a symbol.
func visible(r rune) bool {
	return r >= utf8.RuneSelf && r != utf8.RuneError && !suspect(r) && unicode.In(r, unicode.L, unicode.M, unicode.S)
}

// joiner reports whether a character is one that keeps its neighbours
// together or apart.
func joiner(r rune) bool { return r == '\u200c' || r == '\u200d' }

// selector reports whether a character selects a variant of the one before.
func selector(r rune) bool { return unicode.Is(unicode.Variation_Selector, r) }
