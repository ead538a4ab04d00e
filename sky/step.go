package sky

import (
	"math"
	"strconv"
	"strings"
)

// Step is one step of a calculation, told so that it can be followed with a
// calculator set to degrees.
type Step struct {
	Title   string
	Formula string // in symbols, as "E = E0 / r²"; in words where a table or an ephemeris gives the value
	// Numbers is the right-hand side with numbers put in, see Expression. It is
	// empty where the value does not come from a formula, or is one of the
	// things given.
	Numbers  string
	Value    float64 // to all its digits; may be infinite, for no light
	Unit     string  // as "lx" or "stops"; empty for a bare number
	Source   string  // author, year, equation
	Estimate bool    // fitted or judged by this package, or common practice without a source
	Note     string  // what else there is to say; may be empty
}

// Figures writes a number as Expression does: to six significant digits,
// without an exponent, zeros at the end dropped; what is below 1e-12 is 0.
func Figures(v float64) string {
	switch {
	case math.IsNaN(v):
		return "unknown"
	case math.IsInf(v, 1):
		return "infinite"
	case math.IsInf(v, -1):
		return "minus infinite"
	case math.Abs(v) < 1e-12: // rounding errors
		return "0"
	}
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 6, 64), 64) // its own digits
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

// Expression puts numbers in the place of the signs # of a pattern, in order:
// what is to be typed into a calculator. It knows + - * / ^ with ^ before the
// minus sign of a number, brackets, pi, and the functions sin, cos, tan, asin,
// acos and tanh, exp, ln, log2, sqrt, abs, min and max. Angles are in degrees
// throughout, and marked with ° within functions. A negative number is put in
// brackets where it would run into another sign. Too few numbers leave their
// signs in place; too many are dropped.
func Expression(pattern string, numbers ...float64) string {
	var b strings.Builder
	for i := 0; i < len(pattern); i++ {
		if pattern[i] != '#' || len(numbers) == 0 {
			b.WriteByte(pattern[i])
			continue
		}
		n := Figures(numbers[0])
		numbers = numbers[1:]
		opens := i == 0 || pattern[i-1] == '(' || strings.HasSuffix(pattern[:i], ", ")
		raised := i+1 < len(pattern) && pattern[i+1] == '^'
		if strings.HasPrefix(n, "-") && (!opens || raised) {
			n = "(" + n + ")"
		}
		b.WriteString(n)
	}
	return b.String()
}
