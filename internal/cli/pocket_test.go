package cli

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"evenfall/internal/browsertest"
	"evenfall/internal/engine"
	"evenfall/internal/shootfile"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// withEngine runs a command line that has the engine for pages inside, made of
// these sources.
func withEngine(t testing.TB, args ...string) (code int, out, errs string) {
	t.Helper()
	sources := Process{Stderr: os.Stderr, Getenv: os.Getenv, Folder: "../.."}
	module, err := sources.module(context.Background())
	require.NoError(t, err)
	require.NotEmpty(t, module)
	var stdout, stderr bytes.Buffer
	code = Run(context.Background(), Process{
		Args: args, Stdout: &stdout, Stderr: &stderr, Engine: module,
		Getenv: func(string) string { return "" }, Now: time.Date(2027, 6, 12, 12, 0, 0, 0, time.UTC),
	})
	return code, stdout.String(), stderr.String()
}

// phone is how the page is looked at.
var phone = browsertest.View{Width: 360, Height: 740}

// pocket is a page that plans again, opened.
type pocket struct {
	*browsertest.Tab
	args []string // of the command that wrote it
}

// ready is a promise of the timeline once the page is at rest.
const ready = `(async () => {
	const part = document.getElementById("change");
	while (part.hidden || part.hasAttribute("aria-busy")) await new Promise((done) => setTimeout(done, 2));
	return window.evenfall.timeline();
})()`

func openPocket(t testing.TB, b *browsertest.Browser, args ...string) *pocket {
	code, out, errs := withEngine(t, append([]string{"sheet"}, args...)...)
	require.Contains(t, []int{exitDone, exitOutOfReach}, code, errs)
	p := &pocket{b.OpenFile(t, []byte(out), phone), args}
	t.Logf("%d bytes", len(out))
	const most = 2_500_000 // the bar
	assert.Less(t, len(out), most)
	browsertest.Await[string](t, p.Tab, ready)
	return p
}

// set enters values as a hand would, one after the other, and returns the
// timeline that the page then has.
func (p *pocket) set(t testing.TB, settings ...engine.Setting) string {
	for _, s := range settings {
		p.enter(t, s)
	}
	return browsertest.Await[string](t, p.Tab, ready)
}

func (p *pocket) enter(t testing.TB, s engine.Setting) {
	browsertest.Evaluate[bool](t, p.Tab, fmt.Sprintf(`(() => {
		const field = document.getElementById("c-" + %q);
		field.value = %q;
		return field.dispatchEvent(new Event("change"));
	})()`, s.Flag, s.Value))
}

// commanded is the command's timeline with the same settings as flags.
func (p *pocket) commanded(t testing.TB, settings ...engine.Setting) string {
	code, out, errs := p.command(t, "timeline", settings...)
	require.Contains(t, []int{exitDone, exitOutOfReach}, code, errs)
	return out
}

// command runs a command of the page's shoot with settings as flags, for JSON.
func (p *pocket) command(t testing.TB, name string, settings ...engine.Setting) (code int, out, errs string) {
	args := append([]string{name, "--format", "json"}, p.args...)
	for _, s := range settings {
		args = append(args, "--"+s.Flag+"="+s.Value)
	}
	return run(t, args...)
}

// quiet expects that the page said nothing on the console and asked for nothing
// outside of itself.
func (p *pocket) quiet(t testing.TB) {
	assert.Empty(t, p.Messages())
	for _, address := range p.Requests() {
		assert.Regexp(t, `^(file|data|blob):`, address)
	}
}

func examples(t testing.TB) []string {
	files, err := filepath.Glob("../../examples/*.toml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	return files
}

// The page's plan is the command's, byte for byte, and what the host makes of it
// is what was printed.
func TestPageHasTheCommandsPlan(t *testing.T) {
	b := browsertest.Start(t)
	sydney := []string{"--at", "-33.86,151.21", "--tz", "Australia/Sydney", "--date", "2027-01-16"}
	list := append([][]string{nil, sydney}, each(examples(t))...)
	if os.Getenv("EVENFALL_LONG") == "1" {
		list = list[:6] // the largest among them
	}
	for _, args := range list {
		t.Run(cmp.Or(strings.Join(args, " "), "demonstration"), func(t *testing.T) {
			p := openPocket(t, b, args...)
			assert.Equal(t, p.commanded(t), browsertest.Await[string](t, p.Tab, ready))
			assert.LessOrEqual(t, p.ContentWidth(t), float64(phone.Width))
			printed := b.OpenFile(t, []byte(sheetOf(t, args...)), browsertest.View{Width: 360, Height: 740, NoScripts: true})
			assert.Equal(t, markup(t, printed), markup(t, p.Tab))
			p.quiet(t)
		})
	}
}

func each(args []string) [][]string {
	var list [][]string
	for _, one := range args {
		list = append(list, []string{one})
	}
	return list
}

// sheetOf is the page without an engine.
func sheetOf(t testing.TB, args ...string) string {
	code, out, errs := run(t, append([]string{"sheet"}, args...)...)
	require.Contains(t, []int{exitDone, exitOutOfReach}, code, errs)
	return out
}

// markup is what a page shows, without the part that changes it and without
// blanks between elements.
func markup(t testing.TB, tab *browsertest.Tab) string {
	return browsertest.Evaluate[string](t, tab, `(() => {
		const main = document.querySelector("main").cloneNode(true);
		main.querySelectorAll("#change").forEach((part) => part.remove());
		main.querySelectorAll("[data-at]").forEach((row) => row.removeAttribute("data-at"));
		return main.innerHTML.replace(/>\s+</g, "><").replaceAll("><", ">\n<").trim();
	})()`)
}

// What things are called is text, in what was printed and in what is planned
// anew.
func TestPageWithHostileNames(t *testing.T) {
	name := `</script><script>window.taken = 1</script><img src=x onerror="window.taken = 2"> ' & <!-- {{.}} \u003c`
	file := filepath.Join(t.TempDir(), "shoot.toml")
	text := strings.NewReplacer(`name = "Harbour wall"`, "name = '''"+name+"'''",
		`name = "Harbour wall, west quay"`, "name = '''"+name+"'''",
		`name = "folding-softbox-40"`, "name = '''"+name+"'''",
		`modifier = "softbox-60x90"`, "modifier = '''"+name+"'''").Replace(string(shootfile.DemoFile()))
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	b := browsertest.Start(t)
	p := openPocket(t, b, file)
	printed := b.OpenFile(t, []byte(sheetOf(t, file)), browsertest.View{Width: 360, Height: 740, NoScripts: true})
	assert.Equal(t, markup(t, printed), markup(t, p.Tab))
	distance := engine.Setting{Flag: "distance", Value: "2"}
	assert.Equal(t, p.commanded(t, distance), p.set(t, distance))
	assert.Equal(t, name, browsertest.Evaluate[string](t, p.Tab, `document.getElementById("c-modifier").value`))
	assert.True(t, browsertest.Evaluate[bool](t, p.Tab,
		`window.taken === undefined && !document.querySelector("main img, main script")`))
	p.quiet(t)
}

// entries are values that hands may enter.
var entries = map[string][]string{
	"sky": {"hazy", "thin", "overcast", "broken", "heavy"}, "wind": {"force 3", "8 m/s"}, "from": {"17:45", "18:30"},
	"to": {"19:40", "19:10"}, "facing": {"backlit", "left", "200", "NW"}, "distance": {"1", "2.5", "0.8"},
	"flash-angle": {"0", "-30", "45"}, "units": {"1", "4"}, "modifier": {"bare", "white-umbrella"},
	"fill": {"speedlight-60", "none"}, "ratio": {"2", "4.5"},
	"background-at-most": {"any", "0.5"}, "background": {"-1.5", "0"}, "aperture": {"1.8", "5.6"},
	"method": {"hss", "nd", "scrim", "open-shade"},
}

// Twenty changes at random, one upon the other, are the command's flags. What the
// command refuses, such as a fill where the flash stands, leaves the last plan.
func TestPagePlansAgainAsTheCommand(t *testing.T) {
	p := openPocket(t, browsertest.Start(t))
	flags := []string{"sky", "wind", "from", "to", "facing", "distance", "flash-angle", "units", "modifier", "fill",
		"ratio", "background-at-most", "background", "aperture", "method"}
	require.Len(t, entries, len(flags))
	random := rand.New(rand.NewPCG(7, 11))
	set, last := map[string]string{}, p.commanded(t)
	for range 20 {
		flag := flags[random.IntN(len(flags))]
		value := entries[flag][random.IntN(len(entries[flag]))]
		switch flag {
		case "background":
			delete(set, "background-at-most")
		case "background-at-most":
			delete(set, "background")
		}
		set[flag] = value
		var all []engine.Setting
		for _, one := range flags {
			if v, is := set[one]; is {
				all = append(all, engine.Setting{Flag: one, Value: v})
			}
		}
		got := p.set(t, engine.Setting{Flag: flag, Value: value})
		require.NotEmpty(t, got, "%v %v", all, p.Messages())
		if code, out, _ := p.command(t, "timeline", all...); code != exitUsage {
			last = out
		}
		require.Equal(t, last, got, "%v", all)
	}
	moved := browsertest.Evaluate[string](t, p.Tab, `document.getElementById("moved").textContent`)
	assert.Contains(t, moved, "As printed")
	browsertest.Evaluate[bool](t, p.Tab, `document.getElementById("printed").click() === undefined`)
	assert.Equal(t, p.commanded(t), browsertest.Await[string](t, p.Tab, ready), "all as printed")
	p.quiet(t)
}

// With all that can be changed open, the page fits phones, tablets and desks, and
// what cannot be used on paper is not printed.
func TestPageFits(t *testing.T) {
	p := openPocket(t, browsertest.Start(t))
	p.set(t, engine.Setting{Flag: "distance", Value: "2"}, engine.Setting{Flag: "facing", Value: "backlit"})
	p.reads(t, "ev13.6", "lit", "18:05")
	browsertest.Evaluate[bool](t, p.Tab, `document.getElementById("controls").open = true`)
	for _, v := range []browsertest.View{phone, {Width: 768, Height: 1024}, {Width: 1280, Height: 800}} {
		p.Show(t, v)
		assert.LessOrEqual(t, p.ContentWidth(t), float64(v.Width))
		small := browsertest.Evaluate[[]string](t, p.Tab, `(() => {
			const all = Array.from(document.querySelectorAll("#change button, #change input, #change select"));
			return all.filter((one) => one.getBoundingClientRect().height < 44).map((one) => one.id);
		})()`)
		assert.Empty(t, small, "too small for a thumb")
	}
	assert.Len(t, pdfPage.FindAll(p.PDF(t), -1), 2, "pages of A4")
	p.quiet(t)
}

// pdfPage is what a page of a PDF begins with.
var pdfPage = regexp.MustCompile(`/Type\s*/Page\b`)

// Readings of the day travel along.
func TestPageWithReadings(t *testing.T) {
	log := filepath.Join(t.TempDir(), "readings.log")
	code, _, errs := run(t, "adjust", "--reading", "18:05=ev12.9", "--readings", log, "--save")
	require.Contains(t, []int{exitDone, exitOutOfReach}, code, errs)
	p := openPocket(t, browsertest.Start(t), "--readings", log)
	assert.Equal(t, p.commanded(t), browsertest.Await[string](t, p.Tab, ready))
	assert.NotEqual(t, (&pocket{}).commanded(t), p.commanded(t), "they move the plan")
	distance := engine.Setting{Flag: "distance", Value: "2"}
	assert.Equal(t, p.commanded(t, distance), p.set(t, distance))
	p.quiet(t)
}

// reads enters a meter reading, and returns the timeline that the page then has.
func (p *pocket) reads(t testing.TB, value, plane, clock string) string {
	browsertest.Evaluate[bool](t, p.Tab, fmt.Sprintf(`(() => {
		const [value, plane, time] = ["reading", "plane", "time"].map((name) => document.getElementById("c-" + name));
		value.value = %q;
		plane.value = %q;
		time.value = %q;
		time.dispatchEvent(new Event("input"));
		return document.getElementById("read").click() === undefined;
	})()`, value, plane, clock))
	return browsertest.Await[string](t, p.Tab, ready)
}

// press presses a button.
func (p *pocket) press(t testing.TB, selector string) string {
	browsertest.Evaluate[bool](t, p.Tab, fmt.Sprintf(`document.querySelector(%q).click() === undefined`, selector))
	return browsertest.Await[string](t, p.Tab, ready)
}

// shows is the text of an element of the page.
func (p *pocket) shows(t testing.TB, id string) string {
	return browsertest.Evaluate[string](t, p.Tab, fmt.Sprintf(`document.getElementById(%q).innerText`, id))
}

// adjusted expects that the page has what adjust says of some readings, and the
// plan that timeline makes of their log.
func (p *pocket) adjusted(t testing.TB, readings []string, settings ...engine.Setting) {
	log := filepath.Join(t.TempDir(), "readings.log")
	given := append(settings[:len(settings):len(settings)], engine.Setting{Flag: "readings", Value: log})
	all := given
	for _, one := range readings {
		all = append(all, engine.Setting{Flag: "reading", Value: one})
	}
	code, want, errs := p.command(t, "adjust", append(all, engine.Setting{Flag: "save", Value: "true"})...)
	require.Contains(t, []int{exitDone, exitOutOfReach}, code, errs)
	assert.Equal(t, want, browsertest.Await[string](t, p.Tab, `window.evenfall.adjust()`))
	assert.Equal(t, p.commanded(t, given...), browsertest.Await[string](t, p.Tab, ready))
	var said struct{ Adjustment struct{ Text string } }
	require.NoError(t, json.Unmarshal([]byte(want), &said))
	assert.Equal(t, said.Adjustment.Text, browsertest.Evaluate[string](t, p.Tab, `(() => {
		const line = document.getElementById("adjusted").cloneNode(true);
		line.querySelectorAll("[aria-hidden], .unseen").forEach((sign) => sign.remove());
		return line.textContent.trim();
	})()`))
}

// A meter reading that is typed in changes what the command adjust says that it
// does, by the phone's clock or at a time that is typed too; it can be taken away.
func TestPageTakesReadings(t *testing.T) {
	p := openPocket(t, browsertest.Start(t))
	printed := p.commanded(t)
	offered := browsertest.Await[string](t, p.Tab, `(async () => {
		Date.now = () => Date.parse("2027-09-18T16:05:40Z");
		const value = document.getElementById("c-reading"), time = document.getElementById("c-time");
		document.getElementById("controls").open = true;
		if (time.value) return "too early";
		value.focus();
		for (let i = 0; i < 2000 && !time.value; i++) await new Promise((done) => setTimeout(done, 5));
		return time.value;
	})()`)
	assert.Equal(t, "18:05", offered)

	p.Do(t, chromedp.SendKeys("#c-reading", "ev13.6\r"))
	assert.NotEqual(t, printed, browsertest.Await[string](t, p.Tab, ready))
	p.adjusted(t, []string{"18:05=ev13.6"})
	assert.Regexp(t, `^18:05 lit side EV 13\.6, 0\.\d stop under the plan; .*Take away$`,
		strings.ReplaceAll(p.shows(t, "readings"), "\n", " "))
	assert.Contains(t, p.shows(t, "moved"), "As printed")
	one := p.reads(t, "f/5.6 1/125 iso100", "shade", "18:06")
	two := []string{"18:05=ev13.6", "18:06=f/5.6,1/125,iso100@shade"}
	p.adjusted(t, two)
	distance := engine.Setting{Flag: "distance", Value: "2"}
	p.set(t, distance)
	p.adjusted(t, two, distance)
	p.Do(t, chromedp.Reload())
	browsertest.Await[string](t, p.Tab, ready)
	p.adjusted(t, two, distance)

	p.press(t, "#readings button")
	p.adjusted(t, two[1:], distance)
	p.press(t, "#back")
	p.adjusted(t, two, distance)
	assert.Equal(t, one, p.set(t, engine.Setting{Flag: "distance", Value: "1.5"}))
	assert.Equal(t, printed, p.press(t, "#printed"))
	assert.Empty(t, p.shows(t, "adjusted")+p.shows(t, "readings"))
	p.quiet(t)
}

// What no meter shows, no sky gives or nobody can place in time stands at its
// field, is no reading of the list, and the plan stays.
func TestPageRefusesReadings(t *testing.T) {
	p := openPocket(t, browsertest.Start(t))
	good := p.reads(t, "ev14", "lit", "18:05")
	for _, c := range []struct{ value, plane, clock, field, want string }{
		{"13.6", "lit", "18:10", "reading", "\"13.6\" has no unit: ev, lx, or camera settings\nInstead: ev13.6"},
		{"ev17", "lit", "18:10", "reading", "18:10=ev17@lit is 1.9 stops brighter than the clearest sky gives there: " +
			"check date, place and how the meter was held\nInstead: ev14.3@lit at 18:10"},
		{"ev2", "lit", "20:05", "time", "20:05=ev2@lit is after the window, that ends at 19:29\nInstead: To 21:05"},
		{"<b>" + strings.Repeat("9", 80), "lit", "18:10", "reading", "neither an exposure value"},
	} {
		assert.Equal(t, good, p.reads(t, c.value, c.plane, c.clock), c.value)
		assert.Contains(t, p.shows(t, "c-"+c.field+"-wrong"), c.want)
		assert.NotContains(t, p.shows(t, "readings"), "18:10")
		assert.LessOrEqual(t, p.ContentWidth(t), float64(phone.Width))
		assert.Equal(t, c.value, browsertest.Evaluate[string](t, p.Tab, `document.getElementById("c-reading").value`))
	}
	p.reads(t, "ev13.9", "lit", "18:10")
	p.adjusted(t, []string{"18:05=ev14", "18:10=ev13.9"})
	assert.Equal(t, good, p.press(t, "#back"))
	assert.Equal(t, p.commanded(t), p.press(t, "#back"))
	p.quiet(t)
}

// What is wrong stands at its field, and the last plan stays.
func TestPageRefuses(t *testing.T) {
	p := openPocket(t, browsertest.Start(t))
	good := p.set(t, engine.Setting{Flag: "distance", Value: "2"})
	assert.Equal(t, good, p.set(t, engine.Setting{Flag: "ratio", Value: "900"}))
	wrong := browsertest.Evaluate[string](t, p.Tab, `document.getElementById("c-ratio-wrong").innerText`)
	assert.Equal(t, "Lighting ratio 900: must be 1.1 to 64\nInstead: Lighting ratio 64", wrong)
	back := `document.getElementById("back").click() === undefined`
	browsertest.Evaluate[bool](t, p.Tab, back)
	assert.Equal(t, good, browsertest.Await[string](t, p.Tab, ready), "taken back")
	assert.Empty(t, browsertest.Evaluate[string](t, p.Tab, `document.getElementById("c-ratio-wrong").innerText`))
	browsertest.Evaluate[bool](t, p.Tab, back)
	assert.Equal(t, p.commanded(t), browsertest.Await[string](t, p.Tab, ready), "as printed")
	p.quiet(t)
}

// The page of the demonstration plans any place and day by the browser's own
// time zones, as the command does by its own.
func TestPagePlansAnywhere(t *testing.T) {
	text := filepath.Join(t.TempDir(), "demonstration.toml")
	demo := strings.Replace(string(shootfile.DemoFile()), "name = \"Harbour wall\"\n", "", 1)
	require.NoError(t, os.WriteFile(text, []byte(demo), 0o600))
	p := openPocket(t, browsertest.Start(t))
	for _, c := range [][3]string{
		{"-33.86,151.21", "Australia/Sydney", "2031-04-06"}, // the day that clocks go back
		{"31.63,-7.99", "Africa/Casablanca", "2027-02-20"},
		{"40.71,-74.01", "America/New_York", "2028-12-31"},
		{"27.7,85.3", "Asia/Kathmandu", "2027-06-01"},
	} {
		settings := []engine.Setting{{Flag: "at", Value: c[0]}, {Flag: "tz", Value: c[1]}, {Flag: "date", Value: c[2]}}
		got := p.set(t, settings...)
		command := pocket{args: []string{text}}
		want := command.commanded(t, settings...)
		assert.Equal(t, withoutName(want), withoutName(got), "%v", c)
	}
	p.quiet(t)
}

// The phone's own place is taken where it says it, with the browser's time zone.
func TestPageTakesThePhonesPlace(t *testing.T) {
	p := openPocket(t, browsertest.Start(t))
	browsertest.Evaluate[bool](t, p.Tab, `(() => {
		const at = { coords: { latitude: 51.4779, longitude: -0.00149 } };
		const geolocation = { getCurrentPosition: (took) => took(at) };
		Object.defineProperty(navigator, "geolocation", { value: geolocation, configurable: true });
		document.getElementById("here").click();
		return true;
	})()`)
	browsertest.Await[string](t, p.Tab, ready)
	assert.Equal(t, "51.4779,-0.0015", browsertest.Evaluate[string](t, p.Tab, `document.getElementById("c-at").value`))
	assert.Equal(t, browsertest.Evaluate[string](t, p.Tab, `Intl.DateTimeFormat().resolvedOptions().timeZone`),
		browsertest.Evaluate[string](t, p.Tab, `document.getElementById("c-tz").value`))

	browsertest.Evaluate[bool](t, p.Tab, `(() => {
		Object.defineProperty(navigator, "geolocation", { value: { getCurrentPosition: (took, failed) => failed() } });
		document.getElementById("here").click();
		return true;
	})()`)
	said := browsertest.Evaluate[string](t, p.Tab, `document.getElementById("said").textContent`)
	assert.Contains(t, said, "type the place")
	p.quiet(t)
}

// By the phone's clock the rows that count are marked, and the next cue is
// counted down to.
func TestPageNow(t *testing.T) {
	p := openPocket(t, browsertest.Start(t))
	marked := `(async () => {
		Date.now = () => Date.parse("2027-09-18T16:20:00Z");
		document.getElementById("now").click();
		while (!document.getElementById("present").textContent) await new Promise((done) => setTimeout(done, 5));
		const rows = document.querySelectorAll("#cues [aria-current], #steps [aria-current]");
		return Array.from(rows).map((row) => row.cells[0].innerText);
	})()`
	got := browsertest.Await[[]string](t, p.Tab, marked)
	want := browsertest.Evaluate[[]string](t, p.Tab, `["cues", "steps"].map((id) => {
		const rows = Array.from(document.querySelectorAll("#" + id + " tr[data-at]"));
		return rows.filter((row) => row.dataset.at * 1000 <= Date.now()).at(-1).cells[0].innerText;
	})`)
	assert.Equal(t, want, got)
	assert.Equal(t, "18:14\n10.2°", got[1])
	present := browsertest.Evaluate[string](t, p.Tab, `document.getElementById("present").innerText`)
	assert.Regexp(t, `^Now 18:20: f/.*\nNext cue \d\d:\d\d, in \d+ min: `, present)
	p.set(t, engine.Setting{Flag: "distance", Value: "2"})
	count := `document.querySelectorAll("[aria-current]").length`
	assert.NotZero(t, browsertest.Evaluate[int](t, p.Tab, count), "in the new plan too")
	browsertest.Evaluate[bool](t, p.Tab, `document.getElementById("now").click() === undefined`)
	assert.Zero(t, browsertest.Evaluate[int](t, p.Tab, count))
	p.quiet(t)
}

// What was changed is there again when the page is opened again.
func TestPageRemembers(t *testing.T) {
	p := openPocket(t, browsertest.Start(t))
	changed := p.set(t, engine.Setting{Flag: "distance", Value: "2"}, engine.Setting{Flag: "sky", Value: "hazy"})
	p.Do(t, chromedp.Reload())
	assert.Equal(t, changed, browsertest.Await[string](t, p.Tab, ready))
	assert.Equal(t, "2", browsertest.Evaluate[string](t, p.Tab, `document.getElementById("c-distance").value`))
	p.quiet(t)
}

// withoutName leaves out what a shoot is called, which is its file where it has
// no name.
func withoutName(timeline string) string {
	return strings.Replace(timeline, `"name": "demonstration"`, `"name": ""`, 1)
}

// Figures of speed are printed. On a machine that does nothing else a change
// takes less than 100 ms; held is only what a busy one takes.
func TestPageSpeed(t *testing.T) {
	p := openPocket(t, browsertest.Start(t))
	browsertest.Await[string](t, p.Tab, ready)
	opened := browsertest.Evaluate[float64](t, p.Tab, `performance.getEntriesByName("planned")[0].startTime`)
	least := func(times int, change func(i int)) float64 {
		list := make([]float64, times)
		for i := range list {
			change(i)
			list[i] = browsertest.Evaluate[float64](t, p.Tab, `performance.getEntriesByName("replanned").at(-1).duration`)
		}
		return slices.Min(list)
	}
	moved := least(12, func(i int) {
		p.set(t, engine.Setting{Flag: "distance", Value: strconv.FormatFloat(1.6+0.1*float64(i), 'f', 1, 64)})
	})
	p.press(t, "#printed")
	read := least(6, func(i int) {
		p.press(t, "#printed")
		p.reads(t, fmt.Sprintf("ev13.%d", 4+i), "lit", "18:05")
	})
	t.Logf("first plan %.0f ms after opening; replanned and shown in %.0f ms, by a reading in %.0f ms",
		opened, moved, read)
	const most = 1000 // ms
	assert.Less(t, max(moved, read), float64(most))
}
