// Package explain lays out the arithmetic of one moment, from the time of day
// to the flash's power: a template for each step, from which the formula and
// the line with numbers are both made. The results are those of the packages
// that do the work; a template evaluated comes to the same.
package explain

import (
	"math"
	"strconv"
	"strings"
)

// Group is a run of steps under a heading.
type Group struct {
	Title string
	Steps []Step
}

// Step is one step of a calculation, to be followed with a calculator set to
// degrees.
type Step struct {
	Title  string
	Symbol string // of the result; may be empty
	// Template is the right-hand side, with the symbols of its values in
	// braces, as in "{Eb} * sin({h}) + {Ed}". It is empty where the result is
	// given or looked up. Evaluate lists what it may be made of.
	Template string
	Words    string  // where the result comes from without a template, or what there is to say of the formula
	Values   []Value // one for each symbol of the template, in the order they come in
	Result   float64 // to all its digits; may be infinite, for no light
	Unit     string  // as "lx" or "stops"; empty for a bare number
	Source   string  // author, year, equation
	Estimate bool    // fitted or judged by this program, or common practice without a source
	Note     string  // what else there is to say; may be empty
}

// Value is what a symbol stands for.
type Value struct {
	Symbol  string
	Meaning string // with its unit; empty of the result of an earlier step
	Value   float64
	Unit    string // as a step's
}

const degrees = "deg" // the unit of an angle

// Expression returns the formula alone, in symbols; empty without one.
func (s *Step) Expression() string {
	if s.Template == "" {
		return ""
	}
	text := s.fill(func(v Value, _, _ string) string { return v.Symbol })
	if s.Symbol != "" {
		text = s.Symbol + " = " + text
	}
	return text
}

// Meaning returns what there is to say of the formula, or in its place, and
// what the symbols mean that no earlier step names.
func (s *Step) Meaning() string {
	if s.Template == "" {
		return s.Words
	}
	var parts []string
	if s.Words != "" {
		parts = append(parts, s.Words)
	}
	for _, v := range s.Values {
		if v.Meaning != "" {
			parts = append(parts, v.Symbol+" "+v.Meaning)
		}
	}
	return strings.Join(parts, "; ")
}

// Numbers returns the right-hand side with numbers in the place of the
// symbols: what is to be typed into a calculator. It is empty without a
// template, and where a number is not finite. A negative number is put in
// brackets where it would run into another sign.
func (s *Step) Numbers() string {
	if s.Template == "" || !finite(s.Result) {
		return ""
	}
	for _, v := range s.Values {
		if !finite(v.Value) {
			return ""
		}
	}
	return s.fill(func(v Value, before, after string) string {
		n := Figures(v.Value)
		opens := before == "" || strings.HasSuffix(before, "(") || strings.HasSuffix(before, ", ")
		bracket := strings.HasPrefix(n, "-") && (!opens || strings.HasPrefix(after, "^"))
		if v.Unit == degrees {
			n += "°"
		}
		if bracket {
			return "(" + n + ")"
		}
		return n
	})
}

// fill puts texts in the place of the template's symbols. What stands for a
// value may depend on the template before and after it.
func (s *Step) fill(text func(v Value, before, after string) string) string {
	var b strings.Builder
	for rest := s.Template; rest != ""; {
		plain, symbol, after := nextSymbol(rest)
		b.WriteString(plain)
		if symbol != "" {
			v, ok := s.value(symbol)
			if !ok {
				v = Value{Symbol: symbol, Value: math.NaN()}
			}
			before := s.Template[:len(s.Template)-len(rest)+len(plain)]
			b.WriteString(text(v, before, after))
		}
		rest = after
	}
	return b.String()
}

// nextSymbol cuts a template at its first symbol; without one all of it is
// plain.
func nextSymbol(template string) (plain, symbol, after string) {
	open := strings.IndexByte(template, '{')
	if open < 0 {
		return template, "", ""
	}
	end := strings.IndexByte(template[open:], '}')
	if end < 0 {
		return template, "", ""
	}
	return template[:open], template[open+1 : open+end], template[open+end+1:]
}

func (s *Step) value(symbol string) (Value, bool) {
	for _, v := range s.Values {
		if v.Symbol == symbol {
			return v, true
		}
	}
	return Value{}, false
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// Figures writes a number to six significant digits, without an exponent,
// zeros at the end dropped; what is below 1e-12 is 0.
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
