package page_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"evenfall/internal/page"
	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"
	"evenfall/internal/words"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

var update = flag.Bool("update", false, "write what the page looks like now")

// shortly is a window that makes a page short enough to be read.
var shortly = map[string]string{"from": "sunset-30m", "to": "sunset", "method": "nd,sync"}

// The page of the demonstration's last half-hour, without its style.
func TestGolden(t *testing.T) {
	p := demonstration(t, shortly)
	var b bytes.Buffer
	s := page.New(p, report.Options{Demonstration: true})
	require.NoError(t, page.Write(&b, &s))
	got := regexp.MustCompile(`(?s)<style>.*</style>`).ReplaceAllString(b.String(), "<style></style>")
	got = regexp.MustCompile(`'sha256-[^']*'|&#39;sha256-.*?&#39;`).ReplaceAllString(got, "HASH")
	file := filepath.Join("testdata", "sheet.html")
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err, "go test ./internal/page -run Golden -update")
	assert.Equal(t, string(want), got)
	if *update {
		assert.Fail(t, "written; read what changed, then run again without -update")
	}
}

// parsed is a page as a browser reads it.
func parsed(t testing.TB, data []byte) *html.Node {
	root, err := html.Parse(bytes.NewReader(data))
	require.NoError(t, err)
	return root
}

// elements are those of some names, in their order.
func elements(root *html.Node, names ...string) []*html.Node {
	var list []*html.Node
	for n := range root.Descendants() {
		if n.Type == html.ElementNode && (len(names) == 0 || slices.Contains(names, n.Data)) {
			list = append(list, n)
		}
	}
	return list
}

func attribute(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// text is all text in an element.
func text(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return b.String()
}

// The page can be read by ear: a language, headings in order, tables with
// captions and headed rows and columns, pictures with a name and a description.
func TestStructure(t *testing.T) {
	for name, p := range plans(t) {
		root := parsed(t, written(t, p))
		ids := map[string]*html.Node{}
		for _, n := range elements(root) {
			if id := attribute(n, "id"); id != "" {
				assert.Nil(t, ids[id], "%s: two elements with the id %s", name, id)
				ids[id] = n
			}
		}
		assert.Equal(t, "en", attribute(elements(root, "html")[0], "lang"))
		assert.Len(t, elements(root, "h1"), 1, name)
		level := 0
		for _, n := range elements(root, "h1", "h2", "h3", "h4") {
			is := int(n.Data[1] - '0')
			assert.LessOrEqual(t, is, level+1, "%s: %s after level %d", name, text(n), level)
			assert.NotEmpty(t, text(n))
			level = is
		}
		for _, n := range elements(root, "table") {
			assert.Len(t, elements(n, "caption"), 1, name)
			for _, th := range elements(n, "th") {
				assert.Contains(t, []string{"col", "row"}, attribute(th, "scope"), name)
			}
			for _, row := range elements(n, "tr") {
				assert.NotEmpty(t, elements(row, "th"), "%s: a row without a heading", name)
			}
		}
		require.NotEmpty(t, elements(root, "svg"), name)
		for _, n := range elements(root, "svg") {
			assert.Equal(t, "img", attribute(n, "role"))
			assert.Equal(t, elements(n, "title")[0], ids[attribute(n, "aria-labelledby")])
			assert.Equal(t, elements(n, "desc")[0], ids[attribute(n, "aria-describedby")])
			assert.NotEmpty(t, text(elements(n, "desc")[0]))
		}
		for _, n := range elements(root, "section") {
			if id := attribute(n, "aria-labelledby"); id != "" {
				assert.NotNil(t, ids[id], id)
			}
		}
	}
}

// It has all that is wanted on location, the answer first.
func TestContent(t *testing.T) {
	root := parsed(t, written(t, demonstration(t, nil)))
	var headings []string
	for _, n := range elements(root, "h2") {
		headings = append(headings, text(n))
	}
	assert.Equal(t, []string{"Cues, nd", "By the clock or by the meter, nd", "Where things stand", "The picture",
		"Ambient light", "Flash power", "Pack", "Before the first frame", "Other ways of working", "First misses, and what fixes them",
		"Cautions"}, headings)
	first := elements(root, "p")[0]
	assert.Equal(t, "strong", attribute(first, "class"))
	assert.Regexp(t, `^Take nd: holds throughout`, text(first))
	assert.Len(t, elements(root, "svg"), 3)
	assert.Len(t, elements(root, "details"), 4, "the other methods")
	cautions := report.Cautions(demonstration(t, nil))
	items := text(root)
	for _, c := range cautions {
		assert.Contains(t, items, c)
	}
}

// Nothing comes from outside, and of what is inside only the style has leave:
// by its hash.
func TestPolicy(t *testing.T) {
	root := parsed(t, written(t, demonstration(t, shortly)))
	policy := ""
	for _, n := range elements(root, "meta") {
		if attribute(n, "http-equiv") == "Content-Security-Policy" {
			policy = attribute(n, "content")
		}
	}
	sum := sha256.Sum256([]byte(text(elements(root, "style")[0])))
	assert.Equal(t, "default-src 'none'; style-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+
		"'; img-src data:; base-uri 'none'; form-action 'none'", policy)
	assert.Empty(t, elements(root, "script", "iframe", "object", "embed", "img", "base", "form"))
	for _, n := range elements(root) {
		for _, a := range n.Attr {
			assert.NotEqual(t, "style", a.Key)
			assert.False(t, strings.HasPrefix(a.Key, "on"), a.Key)
			if a.Key == "href" || a.Key == "src" {
				assert.Equal(t, "data:,", a.Val)
			}
		}
	}
}

// With an engine the policy lets its script run, and nothing else.
func TestEngine(t *testing.T) {
	s := page.New(demonstration(t, shortly), report.Options{})
	script := `const half = 1 / 2; // "quotes" & <angles>`
	s.Engine = &page.Engine{Workers: "blob:", Controls: "<form></form>", Data: "<data></data>", Script: script}
	var b bytes.Buffer
	require.NoError(t, page.Write(&b, &s))
	root := parsed(t, b.Bytes())
	require.Len(t, elements(root, "script"), 1)
	assert.Equal(t, script, text(elements(root, "script")[0]))
	sum := sha256.Sum256([]byte(script))
	assert.Contains(t, attribute(elements(root, "meta")[1], "content"),
		"; script-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"' 'wasm-unsafe-eval'; worker-src blob:")
	assert.Len(t, elements(root, "form"), 1)
	assert.Len(t, elements(root, "data"), 1)
}

// hostile are names that mean to be more than text.
var hostile = []string{
	`</script><script>alert(1)</script>`,
	`"><img src=x onerror=alert(1)>`,
	`' onmouseover='alert(1)`,
	`--></style></svg></title><b>`,
	`{{.}} <!-- {{template "x"}} ]]>`,
	"bell\a escape\x1b[31m null\x00 tab\t",
	"turned \u202e round \u2066 and \u200b nothing",
	"broken \xff\xfe bytes",
	`&lt;script&gt; &amp; &#60;`,
	strings.Repeat("wide", 60),
	"\u0627\u0644\u0645\u064a\u0646\u0627\u0621",
}

// renamed is a plan of the demonstration in which everything that has a name
// has this one.
func renamed(t testing.TB, name string) *plan.Plan {
	document, err := shootfile.Demo()
	require.NoError(t, err)
	for flag, value := range shortly {
		document.Set(flag, value)
	}
	document.Set("method", "nd,sync,scrim")
	s, err := document.Resolve(shootfile.Environment{Today: shoot.Date{Year: 2027, Month: 6, Day: 1},
		Zones: time.LoadLocation})
	require.NoError(t, err)
	s.Name, s.Place.Name, s.Camera.Name, s.Lens.Name = name, name, name, name
	unit, scrim := *s.Flash.Unit, *s.Scrim
	unit.Name, scrim.Name, s.Flash.Modifier.Name = name, name, name
	s.Flash.Unit, s.Scrim = &unit, &scrim
	for i := range s.Gels {
		s.Gels[i].Name = name
	}
	for i := range s.Filters {
		s.Filters[i].Name = name
	}
	p, err := plan.Make(context.Background(), s)
	require.NoError(t, err)
	return p
}

// skeleton is a page without its text: elements with all their attributes, but
// for the title's.
func skeleton(root *html.Node) []string {
	var list []string
	for n := range root.Descendants() {
		switch n.Type {
		case html.ElementNode:
			line := n.Data
			for _, a := range n.Attr {
				line += fmt.Sprintf(" %s=%q", a.Key, a.Val)
			}
			list = append(list, line)
		case html.CommentNode, html.DoctypeNode:
			list = append(list, fmt.Sprint(n.Type, n.Data))
		}
	}
	return list
}

// A name is text, whatever is in it: the page has the same elements, and what
// would act on a reader is written out.
func TestHostileNames(t *testing.T) {
	harmless := skeleton(parsed(t, written(t, renamed(t, "Harbour"))))
	for _, name := range hostile {
		root := parsed(t, written(t, renamed(t, name)))
		assert.Equal(t, harmless, skeleton(root), "%q", name)
		for n := range root.Descendants() {
			if n.Type == html.TextNode && n.Parent.Data != "style" {
				for line := range strings.Lines(n.Data) {
					bad, found := words.Unsafe(strings.TrimSuffix(line, "\n"))
					assert.False(t, found, "%q: %U", name, bad)
				}
			}
		}
		assert.Contains(t, text(elements(root, "h1")[0]), words.Safe(name))
	}
}

// luminance is the relative one of a colour (WCAG 2.2, definition of relative
// luminance).
func luminance(t *testing.T, colour string) float64 {
	require.Regexp(t, `^#[0-9a-f]{6}$`, colour)
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		v, err := strconv.ParseUint(colour[1+2*i:3+2*i], 16, 8)
		require.NoError(t, err)
		c := float64(v) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

// contrast is the ratio of two colours (WCAG 2.2, definition of contrast ratio).
func contrast(t *testing.T, a, b string) float64 {
	x, y := luminance(t, a), luminance(t, b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// Text stands out from what is behind it by 4.5:1 and lines by 3:1 (WCAG 2.2,
// success criteria 1.4.3 and 1.4.11), in both schemes and on paper.
func TestContrast(t *testing.T) {
	assert.InDelta(t, 21, contrast(t, "#000000", "#ffffff"), 1e-9)
	assert.InDelta(t, 4.54, contrast(t, "#767676", "#ffffff"), 0.005) // the known darkest grey that fails by no more
	style := text(elements(parsed(t, written(t, demonstration(t, shortly))), "style")[0])
	schemes := regexp.MustCompile(`(?s):root \{(.*?)\}`).FindAllStringSubmatch(style, -1)
	require.Len(t, schemes, 3, "light, dark, print")
	for i, scheme := range schemes {
		colour := map[string]string{}
		for _, m := range regexp.MustCompile(`--([a-z]+): (#[0-9a-f]+);`).FindAllStringSubmatch(scheme[1], -1) {
			colour[m[1]] = m[2]
		}
		require.Len(t, colour, 8)
		for _, name := range []string{"text", "quiet", "warn", "bad"} {
			assert.GreaterOrEqual(t, contrast(t, colour[name], colour["page"]), 4.5, "%s, scheme %d", name, i)
		}
		assert.GreaterOrEqual(t, contrast(t, colour["text"], colour["band"]), 4.5, "scheme %d", i)
		for _, name := range []string{"line", "focus"} {
			assert.GreaterOrEqual(t, contrast(t, colour[name], colour["page"]), 3.0, "%s, scheme %d", name, i)
		}
	}
	// No colour is written anywhere else.
	rest := regexp.MustCompile(`(?s):root \{.*?\}`).ReplaceAllString(style, "")
	assert.NotRegexp(t, `#[0-9a-fA-F]{3,8}\b[^{]*;|rgb|hsl`, rest)
	assert.Contains(t, style, ":focus-visible")
	assert.Contains(t, style, "prefers-reduced-motion")
}

// failing fails to write.
type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errors.New("full") }

// short writes less than it is given.
type short struct{}

func (short) Write(b []byte) (int, error) { return len(b) - 1, nil }

func TestNotWritten(t *testing.T) {
	s := page.New(demonstration(t, shortly), report.Options{})
	assert.ErrorContains(t, page.Write(failing{}, &s), "sheet not written: full")
	assert.ErrorContains(t, page.Write(short{}, &s), "sheet not written: short write")
}
