package picture

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// planned plans a shoot with some flags.
func planned(t testing.TB, document *shootfile.Document, flags map[string]string) *plan.Plan {
	for flag, value := range flags {
		document.Set(flag, value)
	}
	s, err := document.Resolve(shootfile.Environment{Today: shoot.Date{Year: 2027, Month: 6, Day: 1},
		Zones: time.LoadLocation})
	require.NoError(t, err, "%v", flags)
	p, err := plan.Make(context.Background(), s)
	require.NoError(t, err, "%v", flags)
	return p
}

func demonstration(t testing.TB, flags map[string]string) *plan.Plan {
	document, err := shootfile.Demo()
	require.NoError(t, err)
	return planned(t, document, flags)
}

// withMore is the demonstration's shoot with a fill, a rim flash and a reflector.
func withMore(t testing.TB, flags map[string]string) *plan.Plan {
	data := string(shootfile.DemoFile()) + `
[fill]
kit = "strobe-400"
distance_m = 1.3
[rim]
kit = "speedlight-60"
distance_m = 2.5
over_key_stops = 0.5
`
	if !strings.Contains(data, "[reflector]") {
		data += "\n[reflector]\nkit = \"white-100x100\"\n"
	}
	document, err := shootfile.Parse("more.toml", []byte(data))
	require.NoError(t, err)
	return planned(t, document, flags)
}

// In no picture do two labels overlap, and none leaves it.
func TestLabelsApart(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	files, err := filepath.Glob("../../examples/*.toml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		document, err := shootfile.Parse(file, data)
		require.NoError(t, err)
		apart(t, planned(t, document, nil), file)
	}
	for _, flags := range []map[string]string{
		{}, {"facing": "front"}, {"facing": "left"}, {"facing": "right"}, {"facing": "backlit"}, {"sky": "broken"},
		{"method": "scrim"}, {"method": "hss", "background": "-3"}, {"from": "12:00", "to": "21:00"},
		{"from": "19:00", "to": "19:00"},
	} {
		apart(t, demonstration(t, flags), fmt.Sprint(flags))
		apart(t, withMore(t, flags), fmt.Sprint("more ", flags))
	}
}

func TestLabelsApartAtRandom(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	r, randomShoots := rand.New(rand.NewPCG(8, 1)), 60
	if os.Getenv("EVENFALL_LONG") != "" {
		randomShoots = 300
	}
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	for i := range randomShoots {
		zone := r.IntN(23) - 11
		flags := map[string]string{
			"at":       fmt.Sprintf("%.2f,%.2f", r.Float64()*140-70, float64(zone)*15+r.Float64()*14-7),
			"tz":       fmt.Sprintf("UTC%+d", zone),
			"date":     fmt.Sprintf("2027-%02d-%02d", 1+r.IntN(12), 1+r.IntN(28)),
			"sky":      pick("clear", "broken", "overcast", "thin"),
			"facing":   pick("backlit", "front", "left", "right", fmt.Sprint(r.IntN(360)), fmt.Sprint(r.IntN(360))),
			"distance": fmt.Sprintf("%.1f", 0.8+r.Float64()*5),
			"method":   pick("sync", "hss", "nd", "scrim", "open-shade", "reflector", "reflector+sync", "scrim+hss"),
		}
		flags["from"], flags["to"] = times(r)
		p := withMore
		if r.IntN(2) == 0 {
			p = demonstration
			if strings.HasPrefix(flags["method"], "reflector") {
				flags["method"] = "sync"
			}
		}
		apart(t, p(t, flags), fmt.Sprint(i, flags))
	}
}

// times are the ends of a window of up to an hour and a half.
func times(r *rand.Rand) (from, to string) {
	start := r.IntN(22 * 60)
	end := start + r.IntN(90)
	return fmt.Sprintf("%02d:%02d", start/60, start%60), fmt.Sprintf("%02d:%02d", end/60, end%60)
}

// apart looks at the pictures of a plan: every label has its room, and what has
// to be named is.
func apart(t *testing.T, p *plan.Plan, of string) {
	t.Helper()
	for name, d := range map[string]*drawing{"light": light(p), "power": power(p), "places": places(p)} {
		for i := range d.labels {
			a := d.labels[i].box()
			assert.True(t, a.left >= 0 && a.top >= 0 && a.right <= d.width && a.bottom <= d.height, "%s leaves %s: %s",
				d.labels[i].lines, name, of)
			for k := range i {
				assert.False(t, a.meets(d.labels[k].box()), "%s on %s in %s: %s", d.labels[i].lines, d.labels[k].lines, name, of)
			}
		}
		wellFormed(t, d.svg(name, "a < b", `"c" & d`), of)
	}
	wanted := []string{"north", "sitter", "camera", "sun"}
	if p.Flashes(p.Verdict().Best) {
		wanted = append(wanted, "flash")
	}
	if p.Fills(p.Verdict().Best) {
		wanted = append(wanted, "fill")
	}
	if p.Shoot.Rim != nil {
		wanted = append(wanted, "rim flash")
	}
	if p.Verdict().Best.UsesReflector() {
		wanted = append(wanted, "reflector")
	}
	labelled(t, places(p), of, wanted...)
	labelled(t, light(p), of, "lit side", "shade side")
}

// labelled expects that some label of a drawing begins with each of some words.
func labelled(t *testing.T, d *drawing, of string, wanted ...string) {
	t.Helper()
	for _, want := range wanted {
		found := false
		for _, l := range d.labels {
			found = found || strings.HasPrefix(l.lines[0], want)
		}
		assert.True(t, found, "no %q: %s", want, of)
	}
}

func wellFormed(t *testing.T, svg, of string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		require.NoError(t, err, of)
	}
}

// North is up, and east to the right: the camera stands where the sitter faces,
// and the sun's tick where the sun is.
func TestNorthUp(t *testing.T) {
	for _, c := range []struct {
		facing int
		x, y   float64 // direction of the camera in the picture
	}{{0, 0, -1}, {90, 1, 0}, {180, 0, 1}, {270, -1, 0}, {45, math.Sqrt(0.5), -math.Sqrt(0.5)}} {
		p := demonstration(t, map[string]string{"facing": fmt.Sprint(c.facing), "method": "sync"})
		v := newView(p, best(p)[0])
		at := v.to(v.minute.Stance.Facing, 1)
		assert.InDelta(t, c.x, (at.x-v.middle.x)/v.unit, 1e-6, "%d", c.facing)
		assert.InDelta(t, c.y, (at.y-v.middle.y)/v.unit, 1e-6, "%d", c.facing)
	}
	// At a solar noon in the north the sun stands in the south.
	p := demonstration(t, map[string]string{"from": "solar noon", "to": "solar noon", "method": "sync"})
	v := newView(p, best(p)[0])
	v.frame()
	before := len(v.labels)
	v.sun()
	require.Greater(t, len(v.labels), before)
	l := v.labels[before]
	assert.Greater(t, l.at.y, v.edge.bottom, "below the lower edge")
	assert.InDelta(t, v.middle.x, l.at.x, 2)
}

// The flash stands on the side of the picture that the plan says, as the camera
// sees it, and at its distance.
func TestFlashWhereThePlanSays(t *testing.T) {
	for _, facing := range []string{"0", "70", "200", "front", "left"} {
		p := demonstration(t, map[string]string{"facing": facing, "method": "sync"})
		v := newView(p, best(p)[0])
		place := p.PlaceAt(v.minute.Moment, &v.minute.Solution)
		at := v.to(place.Bearing, p.Shoot.Flash.Distance)
		toCamera := direction(v.minute.Stance.Facing)
		aside := at.plus(v.middle.times(-1)).times(1 / v.unit)
		// As the camera looks at the sitter its right is this way in a picture
		// with y downward.
		right := point{toCamera.y, -toCamera.x}
		side := aside.x*right.x + aside.y*right.y
		switch place.Side.String() {
		case "right":
			assert.Positive(t, side, facing)
		case "left":
			assert.Negative(t, side, facing)
		}
		assert.InDelta(t, p.Shoot.Flash.Distance, math.Hypot(aside.x, aside.y), 1e-9)
	}
}

// The axis of the light holds its whole band, and values stand where the scale
// says.
func TestChartScale(t *testing.T) {
	p := demonstration(t, nil)
	from, to := p.Window()
	c := newChart(lightHeight, from, to, 8, 16)
	assert.Equal(t, c.plot.bottom, c.y(8))
	assert.Equal(t, c.plot.top, c.y(16))
	assert.InDelta(t, (c.plot.top+c.plot.bottom)/2, c.y(12), 1e-9)
	assert.Equal(t, c.plot.left, c.x(from))
	assert.Equal(t, c.plot.right, c.x(to))
}

// A power is drawn level until it is changed, and not where no flash is used.
func TestPowerSteps(t *testing.T) {
	p := demonstration(t, nil)
	r := best(p)[0]
	from, to := p.Window()
	c := newChart(powerHeight, from, to, -8, 0)
	points := powerOf(c, r, key)
	for i := 1; i < len(points); i++ {
		level, upright := points[i].y == points[i-1].y, points[i].x == points[i-1].x
		assert.True(t, level || upright, "between %v and %v", points[i-1], points[i])
	}
	first := r.Minutes[0]
	assert.InDelta(t, c.y(math.Log2(first.Power.Fraction())), points[0].y, 1e-9)
}

func TestDrawNothingUnknown(t *testing.T) {
	assert.Empty(t, Draw(demonstration(t, nil), &report.Picture{Name: "portrait"}))
}

func TestWidest(t *testing.T) {
	assert.Greater(t, widest("camera"), widest("camel"))
	assert.Greater(t, widest("日本"), widest("ab"))
	assert.Zero(t, widest(""))
}
