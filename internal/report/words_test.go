package report

import (
	"math"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"

	"evenfall/internal/exposure"
	"evenfall/sky"
)

func TestFigures(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{number(12.345, 1), "12.3"},
		{number(-0.04, 1), "0.0"},
		{number(-0.06, 1), "-0.1"},
		{number(math.NaN(), 1), "-"},
		{number(math.Inf(-1), 1), "-"},
		{signed(0.4), "+0.4"},
		{signed(-1.2), "-1.2"},
		{signed(0.04), "0.0"},
		{signed(-0.04), "0.0"},
		{signed(sky.StopsOf(0)), "-"},
		{inStops(0.7), "0.7 stop"},
		{inStops(1), "1 stop"},
		{inStops(1.3), "1.3 stops"},
		{inStops(0), "0 stop"},
		{plainly(10, 1), "10"},
		{plainly(1.25, 2), "1.25"},
		{ratio(5.31), "5.3:1"},
		{ratio(999.9), "999.9:1"},
		{ratio(5000), ">999:1"},
		{ratio(0), "-"},
		{ratio(math.NaN()), "-"},
		{ev(exposure.Incident(0)), "-"},
		{lux(0), "-"},
		{lux(0.246), "0.25"},
		{lux(4.26), "4.3"},
		{lux(45.4), "45"},
		{lux(999.6), "1000"},
		{lux(82345), "82300"},
		{band(sky.Band{Low: -0.31, High: 0.22}), "-0.3/+0.2"},
		{band(sky.Band{Low: sky.StopsOf(-1)}), "-"},
		{clicks(exposure.Half), "half"},
	} {
		assert.Equal(t, c.want, c.got)
	}
}

func TestRounding(t *testing.T) {
	assert.Equal(t, 0.00048828125, *exact(1. / 2048), "a power of two is whole")
	assert.Equal(t, 1./32768, *exact(1. / 32768))
	assert.Equal(t, 123457.0, *amount(sky.Lux(123456.7)))
	assert.False(t, math.Signbit(*fixed(-0.0001, 2)))
	assert.Nil(t, fixed(math.Inf(1), 2))
	assert.Nil(t, significant(math.NaN(), 2))
}

func TestASCIILikeness(t *testing.T) {
	w := words{ascii: true}
	assert.Equal(t, "2 x 3 deg - 'so' +/-...", w.text("2 × 3° – ‘so’ ±…"))
	assert.Equal(t, "Muhle", w.text("Mu\u0308hle"))
	assert.Equal(t, "M?hle", w.text("Mühle"))
	assert.Equal(t, "??", w.text("水車"))
}

func TestCells(t *testing.T) {
	for s, want := range map[string]int{"": 0, "f/2.8": 5, "水車": 4, "e\u0301": 1, "1/500↑": 6, "─✗×°": 4} {
		assert.Equal(t, want, cells(s), s)
	}
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  []string
	}{
		{"", 5, []string{""}},
		{"one two three", 7, []string{"one two", "three"}},
		{"one  two", 20, []string{"one two"}},
		{"abcdefghij", 4, []string{"abcd", "efgh", "ij"}},
		{"a abcdefgh", 4, []string{"a", "abcd", "efgh"}},
		{"水車小屋", 5, []string{"水車", "小屋"}},
		{"aaae\u0301e\u0301", 4, []string{"aaae\u0301", "e\u0301"}},
		{"sun\u00a0set 19:30", 8, []string{"sun set", "19:30"}},
	} {
		assert.Equal(t, c.want, wrap(c.text, c.width), c.text)
	}
}

// Whatever people write, nothing is lost in breaking it up, no line is too
// wide, and nothing that a terminal obeys is left.
func FuzzCleanAndWrap(f *testing.F) {
	for _, s := range []string{"", "by the mill", "水車小屋", "\x1b[31m", "e\u0301\u0301", "a\xffb", "\u202e", strings.Repeat("x", 300)} {
		f.Add(s, 20)
	}
	f.Fuzz(func(t *testing.T, s string, width int) {
		width = 10 + (width%100+100)%100
		c := clean(s)
		if strings.ContainsFunc(c, hidden) || strings.ContainsFunc(c, unicode.IsControl) {
			t.Fatalf("%q lets through what a terminal obeys", c)
		}
		if clean(c) != c {
			t.Fatalf("%q is not clean at once", c)
		}
		squeeze := strings.NewReplacer(" ", "", "\u00a0", "")
		lines := wrap(c, width)
		for _, l := range lines {
			if cells(l) > width {
				t.Fatalf("%q takes %d of %d columns", l, cells(l), width)
			}
		}
		if got, want := squeeze.Replace(strings.Join(lines, "")), squeeze.Replace(c); got != want {
			t.Fatalf("%q became %q", want, got)
		}
	})
}
