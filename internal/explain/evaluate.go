package explain

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Evaluate works the template out with the values to all their digits. It
// knows + - * / ^ with ^ before the minus sign of a number, brackets, pi, and
// the functions sin, cos, tan, asin, acos and atan in degrees, tanh, exp, ln,
// log2, sqrt, abs, min and max. The error says what of the template it cannot
// read, or which symbol has no value.
func (s *Step) Evaluate() (float64, error) {
	e := &evaluation{step: s, rest: s.Template}
	v := e.sum()
	if e.err == nil && e.peek() != 0 {
		e.fail("nothing may follow before %q", e.rest)
	}
	if e.err != nil {
		return 0, fmt.Errorf("%s, %q: %w", s.Title, s.Template, e.err)
	}
	return v, nil
}

// evaluation reads a template from left to right.
type evaluation struct {
	step *Step
	rest string
	err  error // the first; what is read after it means nothing
}

func (e *evaluation) fail(format string, args ...any) float64 {
	if e.err == nil {
		e.err = fmt.Errorf(format, args...)
	}
	e.rest = ""
	return math.NaN()
}

// peek returns the next sign, 0 at the end.
func (e *evaluation) peek() byte {
	e.rest = strings.TrimLeft(e.rest, " ")
	if e.rest == "" {
		return 0
	}
	return e.rest[0]
}

// take reads a sign if it comes next.
func (e *evaluation) take(sign byte) bool {
	if e.peek() != sign {
		return false
	}
	e.rest = e.rest[1:]
	return true
}

func (e *evaluation) sum() float64 {
	v := e.product()
	for {
		switch {
		case e.take('+'):
			v += e.product()
		case e.take('-'):
			v -= e.product()
		default:
			return v
		}
	}
}

func (e *evaluation) product() float64 {
	v := e.signed()
	for {
		switch {
		case e.take('*'):
			v *= e.signed()
		case e.take('/'):
			v /= e.signed()
		default:
			return v
		}
	}
}

func (e *evaluation) signed() float64 {
	if e.take('-') {
		return -e.signed()
	}
	v := e.atom()
	if e.take('^') {
		return math.Pow(v, e.signed())
	}
	return v
}

// atom reads a bracket, a symbol, a number, pi or a function.
func (e *evaluation) atom() float64 {
	switch c := e.peek(); {
	case c == '(':
		return e.list()[0]
	case c == '{':
		return e.symbol()
	case c >= '0' && c <= '9':
		return e.number()
	}
	return e.named()
}

func (e *evaluation) symbol() float64 {
	_, name, after := nextSymbol(e.rest)
	e.rest = after
	v, ok := e.step.value(name)
	if !ok {
		return e.fail("no value for %q", name)
	}
	return v.Value
}

func (e *evaluation) number() float64 {
	n := strings.IndexFunc(e.rest+" ", func(r rune) bool { return (r < '0' || r > '9') && r != '.' })
	v, err := strconv.ParseFloat(e.rest[:n], 64)
	if err != nil {
		return e.fail("no number: %q", e.rest[:n])
	}
	e.rest = e.rest[n:]
	return v
}

// list reads the values in a pair of brackets, of which there is one at least.
func (e *evaluation) list() []float64 {
	e.take('(')
	values := []float64{e.sum()}
	for e.take(',') {
		values = append(values, e.sum())
	}
	if !e.take(')') {
		e.fail("no ) before %q", e.rest)
	}
	return values
}

func (e *evaluation) named() float64 {
	n := strings.IndexFunc(e.rest+" ", func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') })
	name := e.rest[:n]
	e.rest = e.rest[n:]
	if name == "pi" {
		return math.Pi
	}
	if e.peek() != '(' {
		return e.fail("no value at %q", name+e.rest)
	}
	values := e.list()
	switch f, g := ofOne(name), ofTwo(name); {
	case f != nil && len(values) == 1:
		return f(values[0])
	case g != nil && len(values) == 2:
		return g(values[0], values[1])
	}
	return e.fail("no function %s of %d values", name, len(values))
}

func ofOne(name string) func(float64) float64 {
	const degree = math.Pi / 180
	switch name {
	case "sin":
		return func(x float64) float64 { return math.Sin(x * degree) }
	case "cos":
		return func(x float64) float64 { return math.Cos(x * degree) }
	case "tan":
		return func(x float64) float64 { return math.Tan(x * degree) }
	case "asin":
		return func(x float64) float64 { return math.Asin(x) / degree }
	case "acos": // rounding may bring a cosine beyond 1
		return func(x float64) float64 { return math.Acos(max(-1, min(x, 1))) / degree }
	case "atan":
		return func(x float64) float64 { return math.Atan(x) / degree }
	}
	return map[string]func(float64) float64{"tanh": math.Tanh, "exp": math.Exp, "ln": math.Log, "log2": math.Log2,
		"sqrt": math.Sqrt, "abs": math.Abs}[name]
}

func ofTwo(name string) func(x, y float64) float64 {
	return map[string]func(x, y float64) float64{"min": math.Min, "max": math.Max}[name]
}
