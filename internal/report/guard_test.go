package report

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"html"
	"math"
	"math/rand/v2"
	"os"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"evenfall/internal/words"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
)

// pieces are what names may be made of: what Markdown, its extensions, HTML and
// spreadsheets would act on, between letters.
var pieces = strings.Split("a b é 日 1 18:45 . , - + * _ ` ~ # > < | \\ / : ; ! ? @ = ' \" ( ) [ ] { } & $ % ^ ~~ ** "+
	"__ ``` --- === http:// https:// ftp:// HTTP:// //x.example www. WWW. http://x.example/a www.x.example/b "+
	"me@x.example mailto:me@x.example xmpp:me@x.example x.example <b> </b> <!-- --> &amp; &#35; ![a](b) [a](b) "+
	"[a]: [^1] <http://x.example> 1. 1) - + #1 :-) [x] [_] =1+1 @SUM(A1) -2+3 +4 -5.5 \t=1 \r=1 ＝1 'a ;a ,a", " ")

// randomName is a name of some pieces.
func randomName(random *rand.Rand) string {
	name := ""
	for range 1 + random.IntN(7) {
		name += pieces[random.IntN(len(pieces))]
		if random.IntN(3) == 0 {
			name += " "
		}
	}
	return name
}

// An independent parser of Markdown, with all that GitHub's adds and more, makes
// nothing of names but their text: no link, no picture, no mark.
func TestNamesAreTextToMarkdown(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	const seed = 9
	random := rand.New(rand.NewPCG(seed, seed))
	for range tries() {
		textToMarkdown(t, randomName(random))
	}
}

func FuzzMarkdown(f *testing.F) {
	for _, piece := range pieces {
		f.Add(piece)
	}
	f.Fuzz(func(t *testing.T, name string) {
		if utf8.ValidString(name) && strings.TrimSpace(words.Safe(name)) != "" { // as files of TOML have it
			textToMarkdown(t, name)
		}
	})
}

var (
	reader = goldmark.New(goldmark.WithExtensions(extension.GFM, extension.Footnote, extension.DefinitionList,
		extension.NewLinkify(extension.WithLinkifyAllowedProtocols([]string{"http:", "https:", "ftp:", "mailto:", "xmpp:"}))),
		goldmark.WithParserOptions(parser.WithAttribute()))
	elements = regexp.MustCompile(`<[^>]*>`)
	ours     = regexp.MustCompile(`^</?(h1|h2|p|ul|ol|li|strong|table|thead|tbody|tr|th|td)( id="[^"]*")?>$|^<!-- .* -->$`)
)

// textToMarkdown checks one name.
func textToMarkdown(t *testing.T, name string) {
	d := &Document{Title: name}
	table := &Table{Columns: []Column{{Title: name}, {Title: "x"}}}
	table.Add(name, "x")
	d.Add(Paragraph{Text: name}, Paragraph{Text: name, Strong: true}, Facts{{name, name, Neutral}}, table,
		List{Items: []string{name}}, Heading{Text: name}, Note{Kind: Definition, Term: name, Text: name})
	var page bytes.Buffer
	require.NoError(t, reader.Convert([]byte(markdownOf(d, Options{})), &page))
	for _, tag := range elements.FindAllString(page.String(), -1) {
		assert.Regexp(t, ours, tag, "%q", name)
	}
	text := html.UnescapeString(elements.ReplaceAllString(page.String(), ""))
	shown := strings.ReplaceAll("N N N N: N N x N x N N N: N", "N", strings.TrimSpace(words.Safe(name)))
	assert.Equal(t, strings.Fields(shown), strings.Fields(text), "%q", name)
}

// tries is how many random names are tried.
func tries() int {
	switch os.Getenv("EVENFALL_LONG") {
	case "":
		return 1000
	case "1":
		return 3000
	}
	return 20_000
}

// No cell of any name begins as a formula does in a spreadsheet (OWASP, CSV
// Injection: = + - @, tab, carriage return, and their full-width forms), and
// numbers stay numbers.
func TestNamesAreTextToSpreadsheets(t *testing.T) {
	const seed = 10
	random := rand.New(rand.NewPCG(seed, seed))
	for range tries() {
		textToSpreadsheet(t, randomName(random), randomName(random), (random.Float64()-0.5)*1e6)
	}
	for text, want := range map[string]string{"-0x10": "'-0x10", "+Inf": "'+Inf", "-1.5e-07": "-1.5e-07", "-": "'-"} {
		assert.Equal(t, want, guard(text))
	}
}

func FuzzCSV(f *testing.F) {
	for _, piece := range pieces {
		f.Add(piece, "=1+1", -1.5e-7)
	}
	f.Fuzz(func(t *testing.T, name, other string, number float64) {
		if utf8.ValidString(name) && utf8.ValidString(other) && !math.IsNaN(number) && !math.IsInf(number, 0) {
			textToSpreadsheet(t, name, other, number)
		}
	})
}

// textToSpreadsheet checks two names and a number.
func textToSpreadsheet(t *testing.T, name, other string, number float64) {
	type row struct {
		Name   string   `json:"name"`
		List   []string `json:"list"`
		Number float64  `json:"number"`
	}
	data := row{name, []string{other, name}, number}
	var b bytes.Buffer
	require.NoError(t, writeFlat(&b, &data, Options{}))
	cells, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	for i, cell := range cells[1][:2] {
		if !regexp.MustCompile(`^[+-]?\d+(\.\d+)?(e[+-]?\d+)?$`).MatchString(cell) {
			assert.NotRegexp(t, "^[=+\\-@\t\r＝＋－＠]", cell, "%q", data)
		}
		plain := [...]string{words.Safe(data.Name), words.Safe(strings.Join(data.List, "; "))}[i]
		assert.Equal(t, plain, strings.TrimPrefix(cell, cell[:len(cell)-len(plain)]), "%q", data)
	}
	assert.Equal(t, fmt.Sprint(data.Number), fmt.Sprint(mustFloat(t, cells[1][2])))
}

func mustFloat(t *testing.T, text string) (v float64) {
	_, err := fmt.Sscan(text, &v)
	require.NoError(t, err)
	return v
}
