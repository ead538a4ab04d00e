package report_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/reading"
	"evenfall/internal/report"
	"evenfall/internal/report/text"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"

	"github.com/stretchr/testify/require"
)

// meadow is a shoot in a few lines, to which the tests add what they are about.
const meadow = `name = "Meadow"
[place]
latitude_deg = 47.5
longitude_deg = 8.5
time_zone = "Europe/Zurich"
[when]
date = "2027-06-12"
from = "18:00"
to = "19:30"
step_minutes = 30
`

// shoots are of every kind that a report has to tell, as files.
func shoots(t testing.TB) map[string]string {
	demo := string(shootfile.DemoFile())
	list := map[string]string{
		"demonstration": demo,
		"broken cloud": meadow + `
[[sky]]
condition = "broken"
[subject]
facing = "backlit"
background = "shaded"
[flash]
kit = "speedlight-60"
distance_m = 1.5
modifier = "softbox-60x90"
[filters]
nd_stops = [3]
`,
		"held background": strings.Replace(demo, "background_at_most_stops = 1.5", "background_stops = -1.5", 1),
		"rim and matching gel": strings.Replace(demo, `gel = "quarter-cto"`, `gel = "match"`, 1) + `
[rim]
kit = "strobe-400"
units = 3
distance_m = 3
over_key_stops = 0.7
`,
		"two flashes in front": strings.NewReplacer(`facing = 120`, `facing = "backlit"`, `background_at_most_stops = 1.5`,
			`background_stops = -0.3`).Replace(demo) + `
[fill]
kit = "speedlight-60"
units = 2
distance_m = 1.4
modifier = "softbox-60x90"
angle_deg = 5
`,
		"a fill alone": "methods = [\"sync\", \"reflector\"]\n" + meadow + `
[subject]
facing = 250
[look]
ratio = 2
background_at_most_stops = "any"
[reflector]
kit = "white-100x100"
[fill]
kit = "strobe-400"
modifier = "dish"
`,
		"full-stop camera": strings.NewReplacer(`kit = "full-frame-200"`, `kit = "plain"`, "widest = 1.8", "widest = 2",
			`slowest = "1/80"`, `slowest = "1/60"`).Replace(demo) + `
[[kit.camera]]
name = "plain"
steps = "full"
iso_steps = "full"
sync = "1/125"
fastest = "1/4000"
lowest_iso = 100
highest_iso = 6400
frame_height_mm = 24
`,
		"no flash needed": meadow + `
[[sky]]
condition = "overcast"
[subject]
facing = 20
[look]
ratio = 1.1
background_at_most_stops = "any"
`,
		"nothing works": "methods = [\"sync\", \"hss\"]\n" + meadow + `
[subject]
facing = "backlit"
[look]
background_stops = -3
[flash]
kit = "compact-36"
distance_m = 3
`,
		"no sky in the frame": meadow + `
[subject]
facing = 300
sky_altitude_deg = 0
`,
		"light breeze": strings.NewReplacer(`figure = "head and shoulders"`, `figure = "full length"`, `nd_stops = [3, 6]`,
			`nd_stops = [6]`).Replace(demo) + `
[wind]
speed = "2.5 m/s"
`,
		"fresh breeze": demo + `
[wind]
speed = "force 5"
`,
		"shade and reflector": `methods = ["sync", "open-shade", "reflector", "reflector+sync"]
` + meadow + `
[subject]
facing = 300
[look]
background_at_most_stops = "any"
[flash]
kit = "speedlight-60"
[reflector]
kit = "white-120x180"
distance_m = 1.2
angle_deg = -35
[shade]
sky_share = 0.4
`,
		"reflector alone": `methods = ["reflector"]
` + meadow + `
[subject]
facing = 240
[look]
ratio = 2
background_at_most_stops = "any"
[reflector]
kit = "silver-100x100"
angle_deg = -10
`,
		"one flash": meadow + `
[flash]
kit = "compact-36"
`,
	}
	list["no sky in the frame"] = strings.Replace(list["no sky in the frame"], "time_zone",
		"horizon_deg = [[70, 0], [80, 70], [160, 70], [170, 0]]\ntime_zone", 1)
	return list
}

// examples are the shoots that come with the project.
func examples(t testing.TB) map[string]string {
	files, err := filepath.Glob("../../examples/*.toml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	list := map[string]string{}
	for _, f := range files {
		data, err := os.ReadFile(f)
		require.NoError(t, err)
		list[filepath.Base(f)] = string(data)
	}
	return list
}

func resolved(t testing.TB, file string) *shoot.Shoot {
	d, err := shootfile.Parse("shoot.toml", []byte(file))
	require.NoError(t, err)
	s, err := d.Resolve(shootfile.Environment{Today: shoot.Date{Year: 2027, Month: time.June, Day: 12},
		Zones: time.LoadLocation})
	require.NoError(t, err)
	return s
}

func planned(t testing.TB, file string) *plan.Plan { return compared(t, file).Plan }

func compared(t testing.TB, file string) *plan.Comparison { return workedOut(t, file).comparison }

// worked is what the reports of a shoot tell of.
type worked struct {
	comparison *plan.Comparison
	adjustment *plan.Adjustment // after a reading .6 stop below what was expected
	weighed    []reading.Weighed
}

// workedOut works a shoot out once for all tests: to tell of a plan does not
// change it.
func workedOut(t testing.TB, file string) worked {
	if w, ok := shared.Load(file); ok {
		return w.(worked)
	}
	w := workOut(t, resolved(t, file))
	shared.Store(file, w)
	return w
}

var shared sync.Map // worked, by the text of the shoot

func workOut(t testing.TB, s *shoot.Shoot) worked {
	c, err := plan.Compare(context.Background(), s, nil)
	require.NoError(t, err)
	w := worked{comparison: c}
	w.adjustment, w.weighed = adjusted(t, s, -0.6)
	return w
}

// reports are all reports of a shoot.
func reports(t testing.TB, file string, o report.Options) map[string]*report.Report {
	return workedOut(t, file).reports(o)
}

func (w worked) reports(o report.Options) map[string]*report.Report {
	c := w.comparison
	v := c.Plan.Verdict()
	chosen := report.Cues{Plan: c.Plan, Method: v.Best, Chosen: true}
	all := report.Cues{Plan: c.Plan}
	read := o
	read.Readings = w.weighed
	return map[string]*report.Report{
		"timeline": report.Timeline(c.Plan, o), "compare": report.Compare(c, o), "cues": chosen.Report(o),
		"all cues": all.Report(o), "sheet": report.Sheet(c.Plan, o), "adjust": report.Adjust(w.adjustment, read),
	}
}

// as is a report in one of its forms.
func as(t testing.TB, r *report.Report, f report.Format, o report.Options) string {
	var b bytes.Buffer
	require.NoError(t, r.Write(&b, f, o))
	return b.String()
}

// lines are those of a report on a terminal.
func lines(t testing.TB, r *report.Report, o text.Options) []string {
	var b bytes.Buffer
	require.NoError(t, text.Write(&b, &r.Document, o))
	return strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
}
