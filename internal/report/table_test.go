package report

import (
	"bytes"
	"strings"
	"testing"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/pkg/twwidth"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func small() *table {
	return &table{
		columns: []column{{name: "time"}, {name: "lens", unit: "f/2.8"}, {name: "lit", unit: "EV100", right: true, rank: 1},
			{name: "level", unit: "lx", right: true, rank: extra}},
		lines: []line{
			{cells: plainCells([]string{"18:00", "f/11 ", "12.0", "9000"})},
			{time: "18:05", happens: "sunset"},
			{cells: []cell{{"18:10", bad}, {"f/8↑", strong}, {"9.5", plain}, {"", plain}}},
		},
	}
}

func unpainted(_ tone, s string) string { return s }

func TestTablePlain(t *testing.T) {
	lines, err := small().plain(2, "-", unpainted)
	require.NoError(t, err)
	assert.Equal(t, []string{
		"time   lens     lit  level",
		"       f/2.8  EV100     lx",
		"--------------------------",
		"18:00  f/11    12.0   9000",
		"18:05 -- sunset ----------",
		"18:10  f/8↑     9.5",
	}, lines)
	painted, err := small().plain(2, "-", (&page{color: true}).paint)
	require.NoError(t, err)
	assert.Contains(t, painted[5], "\x1b[31m18:10\x1b[0m")
	assert.Contains(t, painted[5], "\x1b[1mf/8↑\x1b[0m")
	assert.Equal(t, lines[5], colors.ReplaceAllString(painted[5], "")) // colour takes no room
}

func TestTableFit(t *testing.T) {
	names := func(t *table) (list []string) {
		for _, c := range t.columns {
			list = append(list, c.name)
		}
		return list
	}
	for _, c := range []struct {
		width, gap int
		want       string
		left       string
	}{
		{26, 2, "time lens lit level", ""},
		{25, 2, "time lens lit", ""},
		{18, 1, "time lens lit", ""},
		{16, 2, "time lens", "lit EV100"},
		{3, 1, "time lens", "lit EV100"},
	} {
		got, gap, left := small().fit(c.width)
		assert.Equal(t, c.want, strings.Join(names(got), " "), c.width)
		assert.Equal(t, c.gap, gap, c.width)
		assert.Equal(t, c.left, strings.Join(left, ", "), c.width)
		assert.Equal(t, small(), small(), "the table itself stays")
	}
}

// What tablewriter does unless told otherwise, and table.go does tell it.

func TestTablewriterChangesHeadings(t *testing.T) {
	var b bytes.Buffer
	w := tablewriter.NewTable(&b)
	w.Header("f/2.8", "EV100")
	require.NoError(t, w.Append("1", "2"))
	require.NoError(t, w.Render())
	assert.NotContains(t, b.String(), "f/2.8")
}

func TestTablewriterTrimsCells(t *testing.T) {
	var b bytes.Buffer
	w := tablewriter.NewTable(&b)
	require.NoError(t, w.Append("  9.5 ", "x"))
	require.NoError(t, w.Render())
	assert.Contains(t, b.String(), "│ 9.5 │", "the spaces that align decimals are gone")
}

func TestTablewriterSwallowsWriteErrors(t *testing.T) {
	w := tablewriter.NewTable(&failing{})
	require.NoError(t, w.Append("1", "2"))
	assert.NoError(t, w.Render(), "hence the buffer")
}

func TestTablewriterDoesNotEscapeMarkdown(t *testing.T) {
	var b bytes.Buffer
	w := tablewriter.NewTable(&b, tablewriter.WithRenderer(renderer.NewMarkdown()))
	w.Header("a", "b")
	require.NoError(t, w.Append("1|2", "3"))
	require.NoError(t, w.Render())
	assert.Contains(t, b.String(), "1|2")

	out, err := small().markdown(func(s string) string { return strings.ReplaceAll(s, "1", `\|`) })
	require.NoError(t, err)
	assert.Contains(t, out, `f/\|\|`)
}

func TestTablewriterDropsRenditionBeforeRenderer(t *testing.T) {
	bare := tablewriter.WithRendition(tw.Rendition{Borders: tw.BorderNone})
	blueprint := tablewriter.WithRenderer(renderer.NewBlueprint())
	first := func(options ...tablewriter.Option) string {
		var b bytes.Buffer
		w := tablewriter.NewTable(&b, options...)
		require.NoError(t, w.Append("1", "2"))
		require.NoError(t, w.Render())
		return b.String()[:3]
	}
	assert.Equal(t, "┌", first(bare, blueprint), "borders are back")
	assert.NotEqual(t, "┌", first(blueprint, bare))
}

func TestTablewriterMeasuresByTheLocale(t *testing.T) {
	want, err := small().plain(2, "─", unpainted)
	require.NoError(t, err)
	twwidth.SetEastAsian(true) // as LANG=ja_JP may do
	t.Cleanup(func() { twwidth.SetEastAsian(false) })
	require.Equal(t, 2, twwidth.Width("─"))
	got, err := small().plain(2, "─", unpainted)
	require.NoError(t, err)
	assert.Equal(t, want, got)
}
