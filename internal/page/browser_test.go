package page_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"evenfall/internal/browsertest"
	"evenfall/internal/page"
	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// variants are shoots beside the examples: each the demonstration's file with
// some keys set.
var variants = map[string]map[string]string{
	"demonstration": {},
	"front":         {"facing": "front"},
	"side":          {"facing": "left"},
	"behind":        {"facing": "backlit"},
	"broken":        {"sky": "broken"},
	"scrim":         {"method": "scrim"},
	"nothing works": {"method": "hss", "background": "-3"},
	"long":          {"from": "12:00", "to": "21:00", "step": "1m"},
	"one moment":    {"from": "19:00", "to": "19:00"},
}

// planned plans a file with some flags.
func planned(t testing.TB, document *shootfile.Document, flags map[string]string) *plan.Plan {
	for flag, value := range flags {
		document.Set(flag, value)
	}
	s, err := document.Resolve(shootfile.Environment{Today: shoot.Date{Year: 2027, Month: 6, Day: 1},
		Zones: time.LoadLocation})
	require.NoError(t, err)
	p, err := plan.Make(context.Background(), s)
	require.NoError(t, err)
	return p
}

func demonstration(t testing.TB, flags map[string]string) *plan.Plan {
	document, err := shootfile.Demo()
	require.NoError(t, err)
	return planned(t, document, flags)
}

// written is the page of a plan.
func written(t testing.TB, p *plan.Plan) []byte {
	var b bytes.Buffer
	s := page.New(p, report.Options{})
	require.NoError(t, page.Write(&b, &s))
	return b.Bytes()
}

// plans are of the variants and the examples, by name.
func plans(t testing.TB) map[string]*plan.Plan {
	list := map[string]*plan.Plan{}
	for name, flags := range variants {
		list[name] = demonstration(t, flags)
	}
	files, err := filepath.Glob("../../examples/*.toml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		document, err := shootfile.Parse(file, data)
		require.NoError(t, err)
		list[strings.TrimSuffix(filepath.Base(file), ".toml")] = planned(t, document, nil)
	}
	return list
}

var pdfPage = regexp.MustCompile(`/Type\s*/Page\b`)

// In a browser the page fits the widths of phones and desks, asks for nothing,
// says nothing on the console, and prints on two pages of A4. With
// EVENFALL_SCREENSHOTS=DIR it leaves pictures to be looked at.
func TestBrowser(t *testing.T) {
	b := browsertest.Start(t)
	pictures := os.Getenv("EVENFALL_SCREENSHOTS")
	for name, p := range plans(t) {
		t.Run(name, func(t *testing.T) {
			tab := b.OpenFile(t, written(t, p), views[0].View)
			for _, v := range views {
				tab.Show(t, v.View)
				assert.LessOrEqual(t, tab.ContentWidth(t), float64(v.Width), v.name)
				tablesFit(t, tab)
				if v.name == "phone" {
					rowsFit(t, tab)
				}
				if pictures != "" {
					keep(t, pictures, name+"-"+v.name+".png", tab.Screenshot(t))
				}
			}
			labelsFit(t, tab)
			pdf := tab.PDF(t)
			assert.Len(t, pdfPage.FindAllString(string(pdf), -1), 2, "pages of A4")
			if pictures != "" {
				keep(t, pictures, name+".pdf", pdf)
			}
			assert.Empty(t, tab.Messages())
			for _, address := range tab.Requests() {
				assert.Regexp(t, `^(file|data):`, address)
			}
		})
	}
}

// Without scripts it is the same page.
func TestWithoutScripts(t *testing.T) {
	v := browsertest.View{Width: 360, Height: 740, NoScripts: true}
	tab := browsertest.Start(t).OpenFile(t, written(t, demonstration(t, nil)), v)
	assert.LessOrEqual(t, tab.ContentWidth(t), 360.0)
	assert.Empty(t, tab.Messages())
}

// Whatever names are made of, the page stays as wide as the phone, and does
// nothing that the names want.
func TestHostileNamesInBrowser(t *testing.T) {
	b := browsertest.Start(t)
	for _, name := range hostile {
		tab := b.OpenFile(t, written(t, renamed(t, name)), browsertest.View{Width: 360, Height: 740})
		assert.LessOrEqual(t, tab.ContentWidth(t), 360.0, "%q", name)
		assert.Empty(t, tab.Messages(), "%q", name)
		for _, address := range tab.Requests() {
			assert.Regexp(t, `^(file|data):`, address, "%q", name)
		}
	}
}

// views are those that every page has to fit.
var views = []struct {
	name string
	browsertest.View
}{
	{"phone", browsertest.View{Width: 360, Height: 740, Scale: 2}},
	{"phone-dark", browsertest.View{Width: 360, Height: 740, Scale: 2, Dark: true}},
	{"tablet", browsertest.View{Width: 768, Height: 1024}},
	{"desk", browsertest.View{Width: 1280, Height: 800}},
	{"paper", browsertest.View{Width: 703, Height: 1047, Print: true}}, // A4 without its margins
}

// keep leaves a picture to be looked at.
func keep(t *testing.T, folder, name string, data []byte) {
	file := filepath.Join(folder, strings.ReplaceAll(name, " ", "-"))
	require.NoError(t, os.WriteFile(file, data, 0o644))
}

// tablesFit expects that no table is wider than what it stands in.
func tablesFit(t *testing.T, tab *browsertest.Tab) {
	t.Helper()
	wide := browsertest.Evaluate[[]string](t, tab, `Array.from(document.querySelectorAll("section > table")).filter(
		table => table.getBoundingClientRect().width > table.parentElement.clientWidth + 1).map(
		table => table.caption.textContent)`)
	assert.Empty(t, wide)
}

// rowsFit expects that no row of the steps takes more than two lines.
func rowsFit(t *testing.T, tab *browsertest.Tab) {
	tall := browsertest.Evaluate[[]string](t, tab, `Array.from(document.querySelectorAll("#steps tbody tr")).filter(row =>
		row.clientHeight > 2.5 * parseFloat(getComputedStyle(row.cells[1]).lineHeight) + 12).map(
		row => row.textContent.replace(/\s+/g, " "))`)
	assert.Empty(t, tall)
}

// labelsFit expects that no two labels of a picture, as the browser sets them,
// overlap, and that none leaves it.
func labelsFit(t *testing.T, tab *browsertest.Tab) {
	faults := browsertest.Evaluate[[]string](t, tab, `Array.from(document.querySelectorAll("svg")).flatMap(svg => {
		const out = [], texts = Array.from(svg.querySelectorAll("text"));
		const view = svg.viewBox.baseVal, boxes = texts.map(t => t.getBBox());
		boxes.forEach((a, i) => {
			const right = a.x + a.width, bottom = a.y + a.height;
			if (a.x < 0 || right > view.width || bottom > view.height + 4) out.push(texts[i].textContent + " leaves");
			boxes.slice(i + 1).forEach((b, k) => {
				const wide = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
				const high = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
				if (wide > 0 && high > 3) out.push(texts[i].textContent + " meets " + texts[i + 1 + k].textContent);
			});
		});
		return out;
	})`)
	assert.Empty(t, faults)
}
