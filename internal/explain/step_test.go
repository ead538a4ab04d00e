package explain

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Both lines come from the one template.
func TestStepIsWrittenTwice(t *testing.T) {
	s := Step{Title: "Light", Symbol: "E", Template: "{Eb} * sin({h}) + {d}", Words: "by day", Result: 3,
		Values: []Value{{Symbol: "Eb", Value: 2}, {Symbol: "h", Value: 30, Unit: degrees},
			{Symbol: "d", Meaning: "of the sky in lx", Value: 2}}}
	assert.Equal(t, "E = Eb * sin(h) + d, by day; d of the sky in lx", s.Formula())
	assert.Equal(t, "2 * sin(30°) + 2", s.Numbers())
	s.Template = "{Eb} * cos({h}) + {d}"
	assert.Equal(t, "E = Eb * cos(h) + d, by day; d of the sky in lx", s.Formula())
	assert.Equal(t, "2 * cos(30°) + 2", s.Numbers())
	s.Result = math.Inf(-1)
	assert.Empty(t, s.Numbers(), "no light")
	s.Template = ""
	assert.Equal(t, "E: by day", s.Formula())
	s.Symbol = ""
	assert.Equal(t, "by day", s.Formula())
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct {
		template string
		a, b     float64
		want     string
	}{
		{"{a} + {b}", 1, 2, "1 + 2"},
		{"{a} - {b}", -1, -2, "-1 - (-2)"},
		{"{a}^2 * ({b} - 1)", -3, -4, "(-3)^2 * (-4 - 1)"},
		{"max({a}, {b})", -1, -2, "max(-1, -2)"},
		{"2^-{a}", -0.5, 0, "2^-(-0.5)"},
		{"{a}", 1234567, 0, "1234570"},
		{"{a}", 0.000012345678, 0, "0.0000123457"},
		{"{a}", -1e-17, 0, "0"},
		{"{a}", math.Inf(-1), 0, ""},
		{"{c}", 1, 2, "unknown"}, // no value
	} {
		s := Step{Template: c.template, Values: []Value{{Symbol: "a", Value: c.a}, {Symbol: "b", Value: c.b}}}
		assert.Equal(t, c.want, s.Numbers(), c.template)
	}
}

// By hand.
func TestEvaluate(t *testing.T) {
	values := []Value{{Symbol: "a", Value: 3}, {Symbol: "h", Value: 30, Unit: degrees}, {Symbol: "τs", Value: -2}}
	for template, want := range map[string]float64{
		"1 + 2 * {a}":                    7,
		"2 - {a} - 4":                    -5,
		"8 / 2 / 2":                      2,
		"-2^2":                           -4,
		"{τs}^2":                         4,
		"2^-1":                           0.5,
		"2^-({a} - 1)":                   0.25,
		"10 - {τs}":                      12,
		"sin({h}) + cos(2 * {h})":        1,
		"acos(0.5) + asin(1)":            150,
		"tan(45) + atan(1)":              46,
		"max(1, min({a}, 2))":            2,
		"log2(8) + ln(exp(2))":           5,
		"sqrt(9) * abs({τs})":            6,
		"tanh(0) + pi":                   math.Pi,
		"acos(1.0000001)":                0,
		"({a} + 1) * (2 - {τs}) / ({a})": 16. / 3,
	} {
		s := Step{Template: template, Values: values}
		got, err := s.Evaluate()
		require.NoError(t, err, template)
		assert.InDelta(t, want, got, 1e-12, template)
	}
	for _, template := range []string{"", "1 +", "(1", "sin 1", "f(1)", "1 2", "max(1)", "1..2", "{b}", "{a", "2 ) 3",
		"sin(1, 2)"} {
		s := Step{Title: "Light", Template: template, Values: values}
		_, err := s.Evaluate()
		assert.ErrorContains(t, err, "Light", template)
	}
}

// Formula returns the formula in symbols, and what the symbols mean that no
// earlier step names; or words where there is no formula. It begins with the
// symbol of the result, where that has one.
func (s *Step) Formula() string {
	expression, meaning := s.Expression(), s.Meaning()
	switch {
	case expression == "" && s.Symbol != "":
		return s.Symbol + ": " + meaning
	case expression == "" || meaning == "":
		return expression + meaning
	case s.Words != "":
		return expression + ", " + meaning
	}
	return expression + "; " + meaning
}
