package report

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMarkdownOf(t *testing.T) {
	tab := &Table{Columns: []Column{{Title: "time"}, {Title: "headroom", Unit: "stops", Group: "sync", Align: Right,
		Note: "flash to spare"}}}
	tab.Add("18:00", " +0.3")
	tab.Rows = append(tab.Rows, Row{Across: "18:05 sunset"}, Row{Cells: []Cell{{Text: "18:10|\n"}, {Text: "−0.6",
		Tone: Bad}}})
	d := &Document{Title: "By the *mill*"}
	d.Add(Paragraph{Text: "Use sync.", Strong: true}, Facts{{"Sunset", "19:51", Neutral}, {"Flash", "1.1 short", Bad}},
		tab, Heading{Text: "More", Level: 1}, List{Items: []string{"a", "- b"}},
		List{Items: []string{"c"}, Ordered: true},
		Note{Kind: Definition, Term: "rim", Text: "the lit side"}, Note{Kind: Caution, Text: "hot"},
		Note{Text: "1. so"},
		Picture{Alt: "plan"}, Code{Language: "toml", Text: "a = \"```\"\n"},
		Fold{Summary: "sync: *short*", Tone: Bad, Blocks: []Block{Paragraph{Text: "By 1 stop."}}})
	want := `# By the \*mill\*

**Use sync.**

- **Sunset**: 19:51
- **Flash**: ✗ 1.1 short

| time | sync headroom (stops) |
| --- | --: |
| 18:00 | +0.3 |
| **18:05 sunset** |  |
| 18:10\|\\u000a | ✗ −0.6 |

- **headroom**: flash to spare

### More

- a
- \- b

1. c

- **rim**: the lit side
- **Caution**: hot

1\. so

*Picture: plan*

~~~~toml
a = "~~~"
~~~~

**✗ sync: \*short\***

By 1 stop.
`
	want = strings.ReplaceAll(strings.Replace(want, "+0.3", `\+0.3`, 1), "~", "`")
	assert.Equal(t, want, markdownOf(d, Options{Full: true}))
	for _, r := range markdownOf(d, Options{ASCII: true}) {
		require.Less(t, r, rune(0x80))
	}
	assert.NotContains(t, markdownOf(d, Options{}), "to spare")
}

// Escapes by CommonMark 0.31.2 (section 2.4) and the autolinks of GitHub
// Flavored Markdown 0.29 (section 6.9).
func TestNamesAreNoMarkup(t *testing.T) {
	for s, want := range map[string]string{
		"http://evil.example":  `http\://evil.example`,
		"www.evil.example":     `www\.evil.example`,
		"WWW.evil.example":     `WWW\.evil.example`,
		"me@mill.example":      `me<!-- -->@mill.example`,
		"[a](b)":               `\[a\](b)`,
		"<b>*größe*":           `\<b\>\*größe\*`,
		"a|b":                  `a\|b`,
		"- a":                  `\- a`,
		"12) a":                `12\) a`,
		"18:45 in the evening": "18:45 in the evening",
		"x_y `z` ![i]":         "x\\_y \\`z\\` \\!\\[i\\]",
		"$x$ &amp; #1 ~a~":     `\$x\$ \&amp; \#1 \~a\~`,
	} {
		assert.Equal(t, want, escapeMarkdown(s))
	}
}

func TestReportWrite(t *testing.T) {
	r := &Report{Document: Document{Title: "T"}, Data: struct {
		A string `json:"a"`
	}{"x\u202e"}}
	forms := map[Format]string{JSON: "{\n  \"a\": \"x\\u202e\"\n}\n", CSV: "a\r\nx\\u202e\r\n", Markdown: "# T\n"}
	for f, want := range forms {
		var b bytes.Buffer
		require.NoError(t, r.Write(&b, f, Options{}))
		assert.Equal(t, want, b.String())
	}
	assert.ErrorIs(t, r.Write(&bytes.Buffer{}, Text, Options{}), ErrTextRenderer)
	assert.Error(t, r.Write(&bytes.Buffer{}, Format(9), Options{}))
}
