package html_test

import (
	"os"
	"testing"

	"evenfall/internal/report"
	"evenfall/internal/report/html"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// every has a block of each kind, with text that would be markup.
func every() *report.Document {
	d := &report.Document{Title: "A < B"}
	table := &report.Table{Columns: []report.Column{
		{Title: "Time", Importance: 9}, {Title: "EV", Unit: "at <100>", Align: report.Right, Importance: 6},
	}}
	table.Add("17:29", "14.8")
	table.Rows = append(table.Rows, report.Row{Across: "sunset & after"},
		report.Row{Cells: []report.Cell{{Text: "19:29"}, {Text: "8.3", Below: []string{"dim", "<b>"}, Tone: report.Warn}}},
		report.Row{Cells: []report.Cell{{Text: "19:44"}, {Text: "none", Tone: report.Bad}}})
	d.Add(
		report.Paragraph{Text: "Take <nd>.", Strong: true}, report.Paragraph{Text: "Missed.", Tone: report.Bad},
		report.Facts{{Label: "Sun", Text: "low"}, {Label: "Watch", Text: "flare", Tone: report.Warn}},
		report.Heading{Text: "Steps", Name: "steps"}, table,
		report.Heading{Text: "More", Level: 1},
		report.List{Items: []string{"one", "</li>"}}, report.List{Items: []string{"first"}, Ordered: true},
		report.Note{Text: "All is estimated."}, report.Note{Kind: report.Definition, Term: "rim", Text: "the lit side"},
		report.Note{Kind: report.Caution, Text: "Hot."},
		report.Picture{Name: "light", Title: "Light", Alt: "it falls"}, report.Picture{Name: "none", Alt: "nothing & all"},
		report.Code{Language: "toml", Text: "a = \"<\u202e>\"\nb = 1\n"},
		report.Calculation{{Number: 2, Title: "Light", Result: "5 lx", Formula: "E = a < b", Numbers: "2 + 3",
			Meaning: "a: <one>", Source: "a book"}, {Number: 3, Title: "Plain", Result: "1"}},
		report.Fold{Summary: "sync: < held", Tone: report.Warn, Blocks: []report.Block{&report.Table{
			Columns: []report.Column{{Title: "Time", Importance: 9}}}}},
	)
	return d
}

func TestRender(t *testing.T) {
	got, err := html.Render(every(), html.Pictures{"light": "<svg></svg>"})
	require.NoError(t, err)
	want, err := os.ReadFile("testdata/every.html")
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got))
}
