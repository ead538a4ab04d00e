package text

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"evenfall/internal/report"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func show(t *testing.T, d *report.Document, o Options) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(&b, d, o))
	return b.String()
}

func table(t *report.Table) *report.Document {
	return &report.Document{Title: "T", Blocks: []report.Block{t}}
}

// evening is a small table with everything a table has.
func evening() *report.Table {
	t := &report.Table{Columns: []report.Column{
		{Title: "time"},
		{Title: "sun", Unit: "°", Align: report.Right, Importance: 3, Note: "above the horizon"},
		{Title: "aperture", Group: "sync", Importance: 5},
		{Title: "headroom", Unit: "stops", Group: "sync", Align: report.Right, Importance: 4, Note: "flash to spare"},
		{Title: "aperture", Group: "high-speed sync", Importance: 5},
		{Title: "headroom", Unit: "stops", Group: "high-speed sync", Align: report.Right, Importance: 4,
			Note: "flash to spare"},
	}}
	t.Add("18:00", "21.2", "f/11", "+0.3", "f/2.8", "−0.6")
	t.Rows = append(t.Rows, report.Row{Across: "18:05 sky: thin cloud"})
	t.Rows = append(t.Rows, report.Row{Cells: []report.Cell{
		{Text: "18:15"}, {Text: "9.5"}, {Text: "f/8", Tone: report.Bad}, {Text: "–"},
		{Text: "f/2.8", Tone: report.Warn}, {Text: "+1.1"},
	}})
	return t
}

func TestTable(t *testing.T) {
	for _, c := range []struct {
		options Options
		want    string
	}{
		{Options{}, `
T
             sync                high-speed sync
        sun            headroom            headroom
time      °  aperture     stops  aperture     stops
───────────────────────────────────────────────────
18:00  21.2    f/11        +0.3    f/2.8       −0.6
── 18:05 sky: thin cloud ──────────────────────────
18:15   9.5  ✗ f/8            –  ~ f/2.8       +1.1
`},
		{Options{ASCII: true}, `
T
             sync                high-speed sync
        sun            headroom            headroom
time    deg  aperture     stops  aperture     stops
---------------------------------------------------
18:00  21.2    f/11        +0.3    f/2.8       -0.6
-- 18:05 sky: thin cloud --------------------------
18:15   9.5  ! f/8            -  ~ f/2.8       +1.1
`},
		{Options{Plain: true, Width: 140}, `
T
time   sun (degrees)  sync aperture  sync headroom (stops)  high-speed sync aperture  high-speed sync headroom (stops)
18:00           21.2  f/11                        plus 0.3  f/2.8                                            minus 0.6
18:05 sky: thin cloud
18:15            9.5  problem: f/8                    none  warning: f/2.8                                    plus 1.1
`},
	} {
		got := show(t, table(evening()), c.options)
		assert.Equal(t, strings.TrimPrefix(c.want, "\n"), got, "%+v", c.options)
	}
}

// What does not fit goes by its importance, and is named once with the way to
// see it.
func TestTableHidesByImportance(t *testing.T) {
	wide := evening()
	for i := range 12 {
		wide.Columns = append(wide.Columns, report.Column{Title: fmt.Sprintf("more %d", i), Unit: "lx", Importance: 1})
		for r := range wide.Rows {
			if wide.Rows[r].Across == "" {
				wide.Rows[r].Cells = append(wide.Rows[r].Cells, report.Cell{Text: "1"})
			}
		}
	}
	d := table(wide)
	d.Add(wide)
	got := show(t, d, Options{Width: 80})
	assert.Equal(t, 1, strings.Count(strings.ReplaceAll(got, "\n", " "),
		"Hidden at this width (widen, or --format markdown): more"), got)
	assert.Equal(t, 2, strings.Count(got, "Hidden at this width"))
	assert.Contains(t, got, "more 11 (lx).")
	assert.Contains(t, got, "high-speed sync\n")
	narrow := show(t, d, Options{Width: 60})
	assert.Greater(t, strings.Count(narrow, "more 1"), strings.Count(got, "more 1\n"))
	assert.NotContains(t, show(t, d, Options{Width: 200}), "Hidden")
}

// What is narrow comes back where a wider column has gone.
func TestTableFillsTheRoomThatIsLeft(t *testing.T) {
	tab := &report.Table{Columns: []report.Column{{Title: "time"}, {Title: "narrow", Importance: 1},
		{Title: "wide", Align: report.Right, Importance: 2}, {Title: "needed", Importance: 3}}}
	tab.Add("18:00", "1", strings.Repeat("9", 60), "2")
	got := show(t, table(tab), Options{Width: 60})
	assert.Contains(t, got, "time   narrow  needed\n")
	assert.Contains(t, got, "format markdown): wide.\n")
}

// Names of any script align, and what is longer than a column is broken up
// with nothing lost.
func TestTableOfNames(t *testing.T) {
	long := strings.Repeat("水車小屋のそばで", 20)
	tab := &report.Table{Columns: []report.Column{{Title: "name"},
		{Title: "loss", Unit: "stops", Align: report.Right}, {Title: "kind"}}}
	tab.Add("水車", "1.50", "a")
	tab.Add("octa-90", "12.25", "b")
	tab.Add("e\u0301te\u0301", " 0.30", "c")
	tab.Add("👩\u200d🚀 kit", "3.00", "d")
	lines := strings.Split(show(t, table(tab), Options{}), "\n")
	for _, l := range lines[4:8] {
		assert.Equal(t, 18, Columns(l), l)
		assert.Equal(t, byte('.'), l[len(l)-6], "decimals align: %s", l)
	}
	tab.Add(long, "1.00", "e")
	for _, columns := range []int{60, 80, 120} {
		got := show(t, table(tab), Options{Width: columns})
		var first strings.Builder
		for _, l := range strings.Split(got, "\n") {
			require.LessOrEqual(t, Columns(l), columns)
			for _, r := range l {
				if strings.ContainsRune(long, r) {
					first.WriteRune(r)
				}
			}
		}
		assert.Contains(t, first.String(), long)
	}
}

func TestDocument(t *testing.T) {
	d := &report.Document{Title: "Harbour"}
	d.Add(report.Paragraph{Text: "Use sync from 18:40.", Strong: true},
		report.Facts{{Label: "Sunset", Text: "19:51"}, {Label: "Flash", Text: "flash 1.1 short", Tone: report.Bad}},
		report.Heading{Text: "Cautions"},
		report.List{Items: []string{"A scrim is a sail: weigh both stands down, keep a hand on each, " +
			"and lay it flat before the wind decides.", "b"}},
		report.List{Items: []string{"one", "two"}, Ordered: true},
		report.Note{Kind: report.Definition, Term: "headroom", Text: "stops of flash power to spare at full power"},
		report.Note{Kind: report.Caution, Text: "heads get hot"},
		report.Note{Text: "so much for that"},
		report.Picture{Name: "plan", Alt: "flash to the left"},
		report.Code{Language: "toml", Text: "[[flash]]\nname = \"" + strings.Repeat("é", 90) + "\x1b\"\n"},
		report.Paragraph{Text: "after"})
	assert.Equal(t, `Harbour
Use sync from 18:40.
Sunset  19:51
Flash   ✗ flash 1.1 short

Cautions ──────────────────────────────────────────────────────────────────────
- A scrim is a sail: weigh both stands down, keep a hand on each, and lay it
  flat before the wind decides.
- b
1. one
2. two
headroom: stops of flash power to spare at full power
Caution: heads get hot
so much for that

Picture: flash to the left

[[flash]]
name = "`+strings.Repeat("é", 90)+`\u001b"

after
`, strings.Replace(show(t, d, Options{}), "Cautions ─", "Cautions ", 1))
	plain := show(t, d, Options{Plain: true, ASCII: true})
	assert.Contains(t, plain, "\nSunset: 19:51\nFlash: problem: flash 1.1 short\n\nCautions\nA scrim is")
	assert.Contains(t, plain, `name = "\u00e9\u00e9`)
}

// What is folded away on a page is printed under its line.
func TestFold(t *testing.T) {
	d := &report.Document{Title: "T", Blocks: []report.Block{report.Paragraph{Text: "Above."},
		report.Fold{Summary: "hss: short", Tone: report.Bad,
			Blocks: []report.Block{report.List{Items: []string{"by 1 stop"}}}}}}
	assert.Equal(t, "T\nAbove.\n\n✗ hss: short\n- by 1 stop\n", show(t, d, Options{}))
}

// A step is its result, the formula with what its symbols mean, the same with
// numbers, and its source. In a formula the signs of calculators stay.
func TestCalculation(t *testing.T) {
	d := &report.Document{Title: "T", Blocks: []report.Block{report.Calculation{
		{Number: 9, Title: "Optical depth", Result: "≈ 0.3", Formula: "τ = m * p - 1", Numbers: "1.2 * 1.08 - 1",
			Meaning: "p the pressure", Source: "A source."},
		{Number: 10, Title: "Turbidity", Result: "T = −2", Meaning: "stated"},
	}}}
	assert.Equal(t, "T\n  9 Optical depth: ≈ 0.3\n    τ = m * p - 1 [p the pressure]\n    = 1.2 * 1.08 - 1\n    A source.\n"+
		" 10 Turbidity: T = −2\n    [stated]\n", show(t, d, Options{}))
	assert.Equal(t, "T\n9 Optical depth: about 0.3\nτ = m * p - 1 [p the pressure]\n= 1.2 * 1.08 - 1\nA source.\n"+
		"10 Turbidity: T = minus 2\n[stated]\n", show(t, d, Options{Plain: true}))
	assert.Contains(t, show(t, d, Options{ASCII: true}), "about 0.3\n    tau = m * p - 1 [")
}

func TestFullDefinesOnce(t *testing.T) {
	d := table(evening())
	d.Add(evening())
	got := show(t, d, Options{Full: true})
	assert.Equal(t, 1, strings.Count(got, "\nheadroom: flash to spare\n"))
	assert.Equal(t, 1, strings.Count(got, "\nsun: above the horizon\n"))
	assert.NotContains(t, show(t, d, Options{}), "to spare")
}

var colours = regexp.MustCompile("\x1b\\[[0-9;]*m")

// Colour takes no room and tells nothing by itself.
func TestColourIsOnTop(t *testing.T) {
	d := &report.Document{Title: "T", Blocks: []report.Block{
		evening(), report.Heading{Text: "H"}, report.Facts{{Label: "Flash", Text: "short", Tone: report.Bad}},
		report.Paragraph{Text: "p", Tone: report.Warn},
	}}
	coloured := show(t, d, Options{Colour: true})
	assert.NotEqual(t, show(t, d, Options{}), coloured)
	assert.Equal(t, show(t, d, Options{}), colours.ReplaceAllString(coloured, ""))
	assert.Contains(t, coloured, "\x1b[1;38;5;196m✗ f/8\x1b[0m")
	assert.Contains(t, coloured, "\x1b[38;5;130m~ f/2.8\x1b[0m")
	for _, o := range []Options{{}, {ASCII: true}, {Plain: true}} {
		signs := map[string]bool{}
		for _, tone := range []report.Tone{report.Neutral, report.Warn, report.Bad} {
			one := &report.Document{Title: "T", Blocks: []report.Block{report.Paragraph{Text: "p", Tone: tone}}}
			signs[show(t, one, o)] = true
		}
		assert.Len(t, signs, 3, "tones differ without colour")
	}
}

// contrast is the ratio of WCAG 2.2 ("contrast ratio", "relative luminance")
// between two of sRGB's colours.
func contrast(a, b [3]float64) float64 {
	luminance := func(c [3]float64) float64 {
		sum := 0.0
		for i, weight := range [...]float64{0.2126, 0.7152, 0.0722} {
			v := c[i] / 255
			if v <= 0.04045 {
				v /= 12.92
			} else {
				v = math.Pow((v+0.055)/1.055, 2.4)
			}
			sum += weight * v
		}
		return sum
	}
	x, y := luminance(a)+0.05, luminance(b)+0.05
	return math.Max(x, y) / math.Min(x, y)
}

// The colours are read on white and on black alike. No colour has more than
// 4.58 on both; WCAG 2.2, 1.4.11 asks 3 of what is not text alone, 1.4.3 asks
// 4.5 of text. Levels of the 6 x 6 x 6 cube as xterm documents them.
func TestColoursAreReadOnAnyGround(t *testing.T) {
	levels := [...]float64{0, 95, 135, 175, 215, 255}
	for s, least := range map[style]float64{good: 4.4, warn: 4.4, bad: 3.9} {
		codes := strings.Split(s.codes(), ";")
		n, err := strconv.Atoi(codes[len(codes)-1])
		require.NoError(t, err)
		require.True(t, n >= 16 && n < 232)
		n -= 16
		c := [3]float64{levels[n/36], levels[n/6%6], levels[n%6]}
		assert.Greater(t, contrast(c, [3]float64{}), least, "on black")
		assert.Greater(t, contrast(c, [3]float64{255, 255, 255}), least, "on white")
	}
	assert.InDelta(t, 2.0, contrast([3]float64{0, 205, 205}, [3]float64{255, 255, 255}), 0.1, "as cyan is not")
}

// anyDocument is one of random blocks, with names that people might write.
func anyDocument(r *rand.Rand) *report.Document {
	parts := []string{"f/2.8", "水車小屋", "−0.5", "3.1:1", "18:45–19:20", "2 × 3 m²", "\x1b[31m", "e\u0301",
		"👩\u200d🚀", "\u202e", "a\nb",
		strings.Repeat("x", 70), strings.Repeat("長", 150), "", " ", "stop", "±0.0", "–", "a\xff", "1/200",
		strings.Repeat("\u0301", 30)}
	text := func(most int) string {
		var list []string
		for range r.IntN(most + 1) {
			list = append(list, parts[r.IntN(len(parts))])
		}
		return strings.Join(list, " ")
	}
	tone := func() report.Tone { return report.Tone(r.IntN(4)) }
	d := &report.Document{Title: text(4)}
	for range r.IntN(8) {
		switch r.IntN(9) {
		case 6:
			d.Add(report.Calculation{{Number: r.IntN(2000), Title: text(2), Result: text(1), Formula: text(9), Numbers: text(5),
				Meaning: text(3), Source: text(5)}})
		case 0:
			d.Add(report.Facts{{Label: text(1), Text: text(9), Tone: tone()}, {Label: text(2), Text: text(3)}})
		case 1:
			d.Add(report.Heading{Text: text(5), Level: r.IntN(2)})
		case 2:
			d.Add(report.Paragraph{Text: text(20), Strong: r.IntN(2) == 0, Tone: tone()})
		case 3:
			d.Add(report.List{Items: []string{text(9), text(2)}, Ordered: r.IntN(2) == 0})
		case 4:
			d.Add(report.Note{Kind: report.NoteKind(r.IntN(3)), Term: text(1), Text: text(9), Tone: tone()})
		case 5:
			d.Add(report.Picture{Alt: text(9)})
		default:
			t := &report.Table{}
			for range 1 + r.IntN(9) {
				t.Columns = append(t.Columns, report.Column{Title: text(3), Unit: text(1), Group: text(r.IntN(2)),
					Align: report.Align(r.IntN(2)), Importance: r.IntN(4), Note: text(3)})
			}
			for range r.IntN(5) {
				row := report.Row{}
				if r.IntN(4) == 0 {
					row.Across = text(6)
				}
				for range t.Columns {
					row.Cells = append(row.Cells, report.Cell{Text: text(2), Tone: tone()})
				}
				t.Rows = append(t.Rows, row)
			}
			d.Add(t)
		}
	}
	return d
}

// Whatever stands in a document, no line is wider than the page, nothing
// reaches the terminal that it obeys, ASCII is ASCII, and plain has no rules.
func TestAnyDocument(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	for seed := range uint64(500) {
		r := rand.New(rand.NewPCG(seed, 2))
		d := anyDocument(r)
		o := Options{Width: 60 + r.IntN(141), ASCII: r.IntN(2) == 0, Plain: r.IntN(2) == 0, Colour: r.IntN(2) == 0,
			Full: r.IntN(2) == 0}
		got := show(t, d, o)
		require.True(t, utf8.ValidString(got))
		got = colours.ReplaceAllString(got, "")
		for _, l := range strings.Split(got, "\n") {
			require.LessOrEqual(t, Columns(l), o.Width, "seed %d: %q", seed, l)
			require.False(t, strings.HasSuffix(l, " "), "seed %d: %q", seed, l)
		}
		require.NotContains(t, got, "\x1b")
		require.NotContains(t, got, "\u202e")
		if o.ASCII {
			for _, c := range got {
				require.Less(t, c, rune(0x80))
			}
		}
		if o.Plain {
			require.NotContains(t, got, "─")
			require.NotContains(t, got, "----")
		}
	}
}

func TestWidthIsBroughtIntoRange(t *testing.T) {
	for given, want := range map[int]int{0: 80, -5: 80, 20: 60, 120: 120, 900: 200} {
		d := &report.Document{Title: "T", Blocks: []report.Block{report.Heading{Text: "H"}}}
		assert.Equal(t, want, Columns(strings.Split(show(t, d, Options{Width: given}), "\n")[2]))
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
		{"aaa👩\u200d🚀", 6, []string{"aaa", "👩\u200d🚀"}},
		{"within 0.3 stop", 11, []string{"within", "0.3 stop"}},
		{"leaves 55 %, 12 m² far", 11, []string{"leaves", "55 %, 12 m²", "far"}},
		{"within 0.3 stopgap", 11, []string{"within 0.3", "stopgap"}},
		{"sun\u00a0set 19:30", 8, []string{"sun set", "19:30"}},
	} {
		assert.Equal(t, c.want, wrap(c.text, c.width), c.text)
	}
}

func TestWidth(t *testing.T) {
	for s, want := range map[string]int{"": 0, "f/2.8": 5, "水車": 4, "e\u0301": 1, "1/500↑": 6, "─✗×°": 4, "−±–…": 4} {
		assert.Equal(t, want, Columns(s), s)
	}
}

var errBroken = errors.New("broken pipe")

type broken struct{ n int }

func (b broken) Write([]byte) (int, error) {
	if b.n < 0 {
		return 0, errBroken
	}
	return b.n, nil
}

func TestWriteReportsTheWriter(t *testing.T) {
	assert.ErrorIs(t, Write(broken{-1}, table(evening()), Options{}), errBroken)
	assert.Error(t, Write(broken{3}, table(evening()), Options{}))
}

// The library that prints tables stays out of every other package of what the
// page is made from.
func TestOnlyThisPackageKnowsTheTableLibrary(t *testing.T) {
	for _, folder := range []string{"../../words", "../../words/windows", "../../season", "../../calendar"} {
		files, err := filepath.Glob(folder + "/*.go")
		require.NoError(t, err)
		require.NotEmpty(t, files)
		for _, f := range files {
			data, err := os.ReadFile(f)
			require.NoError(t, err)
			assert.NotContains(t, string(data), "tablewriter")
		}
	}
}

// series is a table whose last columns are read side by side.
func series() *report.Table {
	t := &report.Table{Series: 2, Columns: []report.Column{
		{Title: "Time", Unit: "sun"}, {Title: "Lit", Unit: "EV", Align: report.Right},
		{Title: "sync", Unit: "1/200"}, {Title: "hss", Unit: "f/2.8"},
	}}
	t.Rows = []report.Row{
		{Cells: []report.Cell{
			{Text: "18:00", Below: []string{"21.2°"}, Alone: "18:00, sun 21.2°, lit side EV 14.8"}, {Text: "14.8"},
			{Text: "f/11", Below: []string{"1/4 +2.0"}, Alone: "f/11, 1/200, key 1/4 (headroom 2.0)"},
			{Text: "1/1600", Below: []string{"in frame", "1.1 short"}, Tone: report.Bad,
				Alone: "f/2.8, 1/1600 (flash 1.1 short)"},
		}},
		{Across: "18:05 sky: thin cloud"},
		{Cells: []report.Cell{
			{Text: "18:15", Below: []string{"9.5°"}}, {Text: "13.9"}, {Text: "f/8", Below: []string{"no flash"}},
			{Text: "1/800", Below: []string{"softer"}, Tone: report.Warn},
		}},
	}
	return t
}

// Columns that are read side by side are listed where they do not fit, and in
// plain form; a cell's sign goes with the last of its lines.
func TestSeries(t *testing.T) {
	stretched := series() // too wide for one line a row
	stretched.Rows[2].Cells[2].Below = []string{"no flash", "that can be seen"}
	assert.Equal(t, `T
Time    Lit  sync              hss
sun      EV  1/200             f/2.8
──────────────────────────────────────────
18:00  14.8  f/11              1/1600
21.2°        1/4 +2.0          in frame
                               ✗ 1.1 short
── 18:05 sky: thin cloud ─────────────────
18:15  13.9  f/8               1/800
9.5°         no flash          ~ softer
             that can be seen
`, show(t, table(stretched), Options{Width: 60}))
	listed := `T
18:00, sun 21.2°, lit side EV 14.8
  sync  f/11, 1/200, key 1/4 (headroom 2.0)
  hss   ✗ f/2.8, 1/1600 (flash 1.1 short)
18:05 sky: thin cloud
18:15, 9.5°
  sync  f/8, no flash
  hss   ~ 1/800, softer
`
	wide := series()
	for range 6 {
		wide.Columns = append(wide.Columns, report.Column{Title: "more"})
		wide.Rows[0].Cells = append(wide.Rows[0].Cells, report.Cell{Text: "another method"})
	}
	page := show(t, table(wide), Options{Width: 60})
	for _, l := range strings.Split(strings.TrimSpace(listed), "\n") {
		assert.Contains(t, page, l+"\n")
	}
	assert.NotContains(t, page, "Hidden")
	assert.Equal(t, `T
18:00, sun 21.2 degrees, lit side EV 14.8
sync: f/11, 1/200, key 1/4 (headroom 2.0)
hss: problem: f/2.8, 1/1600 (flash 1.1 short)
18:05 sky: thin cloud
18:15, 9.5 degrees
sync: f/8, no flash
hss: warning: 1/800, softer
`, show(t, table(series()), Options{Plain: true}))
}

// In plain form no column is ever hidden: a table too wide is told row by row.
func TestPlainHidesNothing(t *testing.T) {
	page := strings.ReplaceAll(show(t, table(evening()), Options{Plain: true, Width: 60}), "\n", " ")
	assert.NotContains(t, page, "Hidden")
	assert.Contains(t, page, "18:00: sun (degrees) 21.2; sync aperture f/11; sync headroom (stops) plus 0.3; "+
		"high-speed sync aperture f/2.8; high-speed sync headroom (stops) minus 0.6.")
	assert.Contains(t, page, "18:05 sky: thin cloud")
	assert.Contains(t, page, "sync aperture problem: f/8")
}
