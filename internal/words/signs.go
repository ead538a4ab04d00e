package words

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Unknown stands in a table for a value that there is none of.
const Unknown = "–"

// The signs that stand before or behind what they mark.
const (
	NotHeld = "✗" // the look is missed
	Nearly  = "~" // held, but for less than was asked
)

// sign is a typographic sign, what stands for it in ASCII, and the words for
// it that a screen reader speaks.
type sign struct{ sign, ascii, word string }

// signs is the one table of substitutions. In ASCII no sign has two meanings:
// x is times, ! is not held, ^ is to the power of. Of two signs that begin
// alike the longer stands first.
var signs = []sign{
	{" m²", " m2", " square metres"},
	{"m²", "m2", "square metres"},
	{"²", "^2", " squared"},
	{"³", "^3", " cubed"},
	{" × ", " x ", " by "},
	{"×", "x", " times "},
	{"°", " deg", " degrees"},
	{"−", "-", "minus "},
	{"±0.0", "+/-0.0", "0.0"},
	{"±", "+/-", "plus or minus "},
	{"–", "-", "-"},
	{"—", "-", "—"},
	{"…", "...", "..."},
	{"→", "->", "to"},
	{"↑", " up", " up"},
	{"↓", " down", " down"},
	{"✗", "!", "problem:"},
	{"≈", "about ", "about "},
	{"≤", "<=", "at most "},
	{"≥", ">=", "at least "},
	{"√", "sqrt ", "square root of "},
	{"·", "*", "·"},
	{"µ", "u", "µ"},
	{"θ", "theta", "θ"}, {"μ", "mu", "μ"}, {"ρ", "rho", "ρ"}, {"τ", "tau", "τ"}, {"φ", "phi", "φ"}, {"χ", "chi", "χ"},
	{"ψ", "psi", "ψ"},
	{"’", "'", "’"}, {"‘", "'", "‘"}, {"“", `"`, "“"}, {"”", `"`, "”"},
	{"\u00a0", " ", " "}, {"\u202f", " ", " "}, {"\u2009", " ", " "},
}

// letters are those of Latin alphabets by what stands for them in ASCII.
var letters = map[string]string{
	"A": "ÀÁÂÃÄÅĀĂĄ", "a": "àáâãäåāăą", "AE": "Æ", "ae": "æ", "C": "ÇĆĈĊČ", "c": "çćĉċč", "D": "ĎĐÐ", "d": "ďđð",
	"E": "ÈÉÊËĒĔĖĘĚ", "e": "èéêëēĕėęě", "G": "ĜĞĠĢ", "g": "ĝğġģ", "H": "ĤĦ", "h": "ĥħ", "I": "ÌÍÎÏĨĪĬĮİ",
	"i": "ìíîïĩīĭįı",
	"J": "Ĵ", "j": "ĵ", "K": "Ķ", "k": "ķ", "L": "ĹĻĽŁ", "l": "ĺļľł", "N": "ÑŃŅŇ", "n": "ñńņň", "O": "ÒÓÔÕÖØŌŎŐ",
	"o": "òóôõöøōŏő", "OE": "Œ", "oe": "œ", "R": "ŔŖŘ", "r": "ŕŗř", "S": "ŚŜŞŠȘ", "s": "śŝşšș", "ss": "ß",
	"T": "ŢŤŦȚ", "t": "ţťŧț", "TH": "Þ", "th": "þ", "U": "ÙÚÛÜŨŪŬŮŰŲ", "u": "ùúûüũūŭůűų", "W": "Ŵ", "w": "ŵ",
	"Y": "ÝŶŸ", "y": "ýÿŷ", "Z": "ŹŻŽ", "z": "źżž",
}

// The two other forms, made from the table.
var asciiForm, plainForm = forms()

func forms() (ascii, plain *strings.Replacer) {
	var likeness, spoken []string
	for _, s := range signs {
		likeness = append(likeness, s.sign, s.ascii)
		spoken = append(spoken, s.sign, s.word)
	}
	for plainly, accented := range letters {
		for _, r := range accented {
			likeness = append(likeness, string(r), plainly)
		}
	}
	return strings.NewReplacer(likeness...), strings.NewReplacer(spoken...)
}

// ASCII returns s in characters below 0x80: signs by their likeness, accents
// dropped, and a question mark for each letter of other scripts.
func ASCII(s string) string {
	if isASCII(s) {
		return s
	}
	var b strings.Builder
	for _, r := range asciiForm.Replace(s) {
		switch {
		case r < utf8.RuneSelf:
			b.WriteRune(r)
		case !unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf): // they go with their letter
			b.WriteByte('?')
		}
	}
	return b.String()
}

// The signs whose words depend on what stands beside them.
var (
	betweenNumbers = regexp.MustCompile(`(\d)–(\d)`)
	plusSign       = regexp.MustCompile(`(^|[ (])\+(\d)`)
	ratioSign      = regexp.MustCompile(`(\d\.\d):1\b`)
)

// Plain returns s with words in place of signs, as a screen reader is to speak
// it: "minus 0.5", "3.1 to 1", "18:45 to 19:20". Letters of all scripts stay.
func Plain(s string) string {
	if strings.TrimSpace(s) == Unknown {
		return "none"
	}
	s = betweenNumbers.ReplaceAllString(s, "$1 to $2")
	s = plusSign.ReplaceAllString(s, "${1}plus $2")
	s = ratioSign.ReplaceAllString(s, "$1 to 1")
	return plainForm.Replace(s)
}

func isASCII(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}
