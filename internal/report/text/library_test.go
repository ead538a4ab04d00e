package text

import (
	"bytes"
	"testing"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/pkg/twwidth"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What the library does unless told otherwise, and is told otherwise here.

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
	assert.Contains(t, b.String(), "│ 9.5 │", "the blanks that align decimals are gone")
}

func TestTablewriterSwallowsWriteErrors(t *testing.T) {
	w := tablewriter.NewTable(broken{-1})
	require.NoError(t, w.Append("1", "2"))
	assert.NoError(t, w.Render(), "hence the buffer")
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

func TestTableDoesNotGoByTheLocale(t *testing.T) {
	want := show(t, table(evening()), Options{})
	twwidth.SetEastAsian(true) // as LANG=ja_JP may do
	t.Cleanup(func() { twwidth.SetEastAsian(false) })
	require.Equal(t, 2, twwidth.Width("─"))
	assert.Equal(t, want, show(t, table(evening()), Options{}))
}
