package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// calculator works out an expression as the steps of an explanation print it,
// with its angles in degrees. It knows nothing of the program.
type calculator struct {
	rest    string
	numbers int // read so far
	bump    int // number to change by half a unit of its sixth figure; -1 for none
}

// calculate returns the value of an expression, and by how much the rounding
// of its numbers to six figures may have changed it.
func calculate(expression string) (value, rounding float64, err error) {
	expression = strings.ReplaceAll(expression, " deg", "°")
	c := &calculator{rest: expression, bump: -1}
	if value, err = c.whole(); err != nil {
		return 0, 0, err
	}
	for i := range c.numbers {
		other, err := (&calculator{rest: expression, bump: i}).whole()
		if err != nil {
			return 0, 0, err
		}
		if d := math.Abs(other - value); !math.IsNaN(d) {
			rounding += d
		}
	}
	return value, rounding, nil
}

func (c *calculator) whole() (float64, error) {
	v, err := c.sum()
	if err == nil && c.peek() != "" {
		err = fmt.Errorf("not read: %q", c.rest)
	}
	return v, err
}

// peek returns the next character, "" at the end.
func (c *calculator) peek() string {
	c.rest = strings.TrimLeft(c.rest, " ")
	for _, r := range c.rest {
		return string(r)
	}
	return ""
}

// take reads a sign if it comes next.
func (c *calculator) take(sign string) bool {
	if c.peek() != sign {
		return false
	}
	c.rest = c.rest[len(sign):]
	return true
}

func (c *calculator) sum() (float64, error) {
	v, err := c.product()
	for err == nil {
		var w float64
		switch {
		case c.take("+"):
			w, err = c.product()
			v += w
		case c.take("-"):
			w, err = c.product()
			v -= w
		default:
			return v, nil
		}
	}
	return v, err
}

func (c *calculator) product() (float64, error) {
	v, err := c.signed()
	for err == nil {
		var w float64
		switch {
		case c.take("*"):
			w, err = c.signed()
			v *= w
		case c.take("/"):
			w, err = c.signed()
			v /= w
		default:
			return v, nil
		}
	}
	return v, err
}

func (c *calculator) signed() (float64, error) {
	if c.take("-") {
		v, err := c.signed()
		return -v, err
	}
	return c.power()
}

func (c *calculator) power() (float64, error) {
	v, err := c.atom()
	if err == nil && c.take("^") {
		var w float64
		w, err = c.signed()
		v = math.Pow(v, w)
	}
	return v, err
}

func (c *calculator) atom() (float64, error) {
	v, err := c.bare()
	c.take("°") // angles are in degrees all the same
	return v, err
}

func (c *calculator) bare() (float64, error) {
	if c.take("(") {
		v, err := c.sum()
		if err == nil && !c.take(")") {
			err = fmt.Errorf("no ) before %q", c.rest)
		}
		return v, err
	}
	c.peek()
	n := 0
	for n < len(c.rest) && (c.rest[n] >= '0' && c.rest[n] <= '9' || c.rest[n] == '.') {
		n++
	}
	if n > 0 {
		return c.number(n)
	}
	for n < len(c.rest) && (c.rest[n] >= 'a' && c.rest[n] <= 'z' || n > 0 && c.rest[n] >= '0' && c.rest[n] <= '9') {
		n++
	}
	name := c.rest[:n]
	c.rest = c.rest[n:]
	if name == "pi" {
		return math.Pi, nil
	}
	return c.function(name)
}

func (c *calculator) number(length int) (float64, error) {
	text := c.rest[:length]
	c.rest = c.rest[length:]
	v, err := strconv.ParseFloat(text, 64)
	if c.numbers == c.bump && v > 0 { // any number may have had more figures, zeros at the end are left out
		v += 0.5 * math.Pow(10, math.Floor(math.Log10(v))-5)
	}
	c.numbers++
	return v, err
}

func (c *calculator) function(name string) (float64, error) {
	if !c.take("(") {
		return 0, fmt.Errorf("no value at %q", name+c.rest)
	}
	var list []float64
	for {
		v, err := c.sum()
		if err != nil {
			return 0, err
		}
		list = append(list, v)
		if c.take(")") {
			break
		}
		if !c.take(",") {
			return 0, fmt.Errorf("no ) before %q", c.rest)
		}
	}
	const degree = math.Pi / 180
	one := map[string]func(float64) float64{
		"sin":  func(x float64) float64 { return math.Sin(x * degree) },
		"cos":  func(x float64) float64 { return math.Cos(x * degree) },
		"tan":  func(x float64) float64 { return math.Tan(x * degree) },
		"asin": func(x float64) float64 { return math.Asin(x) / degree },
		"acos": func(x float64) float64 { return math.Acos(max(-1, min(x, 1))) / degree },
		"atan": func(x float64) float64 { return math.Atan(x) / degree },
		"tanh": math.Tanh, "exp": math.Exp, "ln": math.Log, "log2": math.Log2, "log10": math.Log10, "sqrt": math.Sqrt, "abs": math.Abs,
	}
	two := map[string]func(x, y float64) float64{"min": math.Min, "max": math.Max}
	switch {
	case len(list) == 1 && one[name] != nil:
		return one[name](list[0]), nil
	case len(list) == 2 && two[name] != nil:
		return two[name](list[0], list[1]), nil
	}
	return 0, fmt.Errorf("no function %s of %d values", name, len(list))
}

// By hand.
func TestCalculator(t *testing.T) {
	for expression, want := range map[string]float64{
		"1 + 2 * 3":            7,
		"2 - 3 - 4":            -5,
		"8 / 2 / 2":            2,
		"-2^2":                 -4,
		"(-2)^2":               4,
		"2^-1":                 0.5,
		"2^(-(1 + 1))":         0.25,
		"10 - (-3)":            13,
		"sin(30°) + cos(60°)":  1,
		"sin(30 deg)":          0.5,
		"sin((-30)°)":          -0.5,
		"cos(2 * 30°)":         0.5,
		"acos(0.5) + asin(1)":  150,
		"tan(45°) + atan(1)":   46,
		"max(1, min(3, 2))":    2,
		"log2(8) + log10(100)": 5,
		"ln(exp(2))":           2,
		"sqrt(9) * abs(-2)":    6,
		"1000000 / 2.5":        4e5,
		"tanh(0) + pi":         math.Pi,
	} {
		got, _, err := calculate(expression)
		require.NoError(t, err, expression)
		assert.InDelta(t, want, got, 1e-12, expression)
	}
	for _, expression := range []string{"", "1 +", "(1", "sin 1", "f(1)", "1 2", "max(1)", "1..2"} {
		_, _, err := calculate(expression)
		assert.Error(t, err, expression)
	}
	_, rounding, err := calculate("1.23456 - 1")
	require.NoError(t, err)
	assert.InDelta(t, 1e-5, rounding, 1e-9)
}
