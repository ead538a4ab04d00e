package report

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// The plans here are made by hand, in the shape that plans have; their figures
// are plausible and no more, for nothing is computed from them but layout.

// setting is one method's answer in a sample row. Apertures, shutters, ISO and
// power are in sixths of a stop, as in their types.
type setting struct {
	lit, shade         sky.Lux
	aperture           exposure.Aperture
	shutter            exposure.Shutter
	iso                exposure.ISO
	role               plan.Role
	power              flash.Power
	added              exposure.LuxSeconds
	headroom           sky.Stops
	ratio              float64
	exposure, backdrop sky.Stops
	problem            string
	misses             sky.Stops
}

// moment is a sample row.
type moment struct {
	altitude, azimuth float64
	lit, shade        sky.Lux
	backdrop          sky.Luminance
	settings          []setting
}

var problems = map[string]plan.ProblemKind{"weak": plan.TooWeak, "strong": plan.TooStrong, "bright": plan.TooBright}

func (s *setting) solution(m shoot.Method) plan.Solution {
	out := plan.Solution{
		Method: m, Feasible: s.problem == "",
		Ambient:  scene.Ambient{Lit: s.lit, Shade: s.shade, Face: s.shade},
		Settings: exposure.Settings{Aperture: s.aperture, Shutter: s.shutter, ISO: s.iso},
		Role:     s.role, Power: s.power, Added: s.added, Headroom: s.headroom,
		Ratio: s.ratio, Exposure: s.exposure, Background: s.backdrop, LitSide: s.exposure,
	}
	if s.role != plan.None {
		out.Recycle = max(0.2, 3*s.power.Fraction())
	}
	if s.problem != "" {
		out.Problem = &plan.Problem{Kind: problems[s.problem], Misses: s.misses,
			Text: fmt.Sprintf("the flash is %.1f stops too %s", s.misses, s.problem)}
		out.Cures = []plan.Cure{{Text: "flash at 3.6 m instead of 2.0 m"}}
		if s.problem == "weak" {
			out.Cures = []plan.Cure{{Text: "flash at 1.4 m instead of 2.0 m"}, {Text: "2 units instead of 1"}, {Text: "method sync"}}
		}
	}
	return out
}

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	require.NoError(t, err)
	return z
}

var speedlight = flash.Unit{
	Name:        "speedlight",
	Guide:       []flash.GuideNumber{{Zoom: 24, Number: 28}, {Zoom: 50, Number: 42}, {Zoom: 200, Number: 60}},
	LowestPower: -42, Click: exposure.Third, HighSpeed: true, Plateau: flash.PlateauEquivalent,
	Derate: flash.OutdoorDerate, RecycleFull: 3, RecycleFloor: 0.2, FlashesASet: 200,
}

func sampleShoot(t testing.TB) *shoot.Shoot {
	return &shoot.Shoot{
		Name: "Portrait by the mill pond",
		Place: shoot.Place{
			Name: "Mill pond",
			Site: sky.Place{Latitude: sky.Degrees(50.72), Longitude: sky.Degrees(-1.88), Elevation: 4},
			Zone: zone(t, "Europe/London"), Ground: 0.2,
		},
		When: shoot.When{Date: shoot.Date{Year: 2026, Month: time.September, Day: 12}, Step: 20 * time.Minute},
		Sky:  []shoot.SkySpan{{}},
		Subject: shoot.Subject{Facing: scene.Facing{Side: scene.Backlit}, Figure: scene.HeadAndShoulders,
			SkyAltitude: sky.Degrees(10)},
		Look: shoot.Look{Kind: shoot.Ratio, Ratio: 3},
		Camera: exposure.Camera{Name: "full-frame body", Click: exposure.Third, ISOClick: exposure.Third,
			Sync: 48, Fastest: 78, Lowest: 0, Highest: 30},
		Lens:    exposure.Lens{Name: "85 mm f/1.8", FocalLength: 85, Widest: 10, Narrowest: 48, Wanted: 18, Slowest: 42},
		Flash:   flash.Head{Unit: &speedlight, Units: 1, Distance: 2, Modifier: flash.Modifier{Name: "softbox", Loss: 1.5, Size: 0.6, Zoom: 50}},
		Scrim:   &scene.Scrim{Name: "diffusion panel", Width: 1.2, Length: 1.8, Loss: 1.5, Height: 0.7, Tilt: sky.Degrees(20)},
		Filters: []shoot.Filter{{Name: "ND8", Loss: 3}},
		Pace:    shoot.Pace{FramesPerMinute: 6},
		Methods: []shoot.Method{shoot.Sync, shoot.HSS, shoot.Scrim},
	}
}

// sample is a clear evening with a ratio to hold.
func sample(t testing.TB) *plan.Plan {
	s := sampleShoot(t)
	at := func(hour, minute, second int) time.Time {
		return time.Date(2026, time.September, 12, hour, minute, second, 0, s.Place.Zone)
	}
	event := func(name sky.EventName, hour, minute, second int, azimuth float64) sky.Event {
		return sky.Event{Name: name, Time: at(hour, minute, second), Azimuth: sky.Degrees(azimuth)}
	}
	p := &plan.Plan{Shoot: s, Day: sky.Day{
		Start: at(0, 0, 0), End: at(24, 0, 0),
		Events: []sky.Event{
			event(sky.CivilDawn, 6, 4, 11, 77.6), event(sky.Sunrise, 6, 37, 2, 83.5), event(sky.SolarNoon, 13, 3, 40, 180),
			event(sky.GoldenHourBegins, 18, 52, 31, 265.5), event(sky.Sunset, 19, 29, 20, 276.1),
			event(sky.GoldenHourEnds, 19, 51, 5, 276.8), event(sky.BlueHourBegins, 19, 51, 5, 276.8),
			event(sky.BlueHourEnds, 20, 2, 12, 279), event(sky.CivilDusk, 20, 2, 12, 279),
		},
	}}
	for i, m := range clearEvening {
		r := plan.Row{
			Time: at(17, 20*i, 0),
			Sun: sky.Sun{Altitude: sky.Degrees(m.altitude), TrueAltitude: sky.Degrees(m.altitude - 0.05),
				Azimuth: sky.Degrees(m.azimuth), Distance: 1.006},
			Visible: m.altitude > 0, Facing: sky.Degrees(m.azimuth - 180), Bearing: "back",
			Light: sky.Light{Level: m.lit, Lit: m.lit, Shade: m.shade, Face: m.shade, Backdrop: m.backdrop,
				LitBand: sky.Band{Low: -0.31, High: 0.22}, ShadeBand: sky.Band{Low: -0.25, High: 0.4},
				LevelBand: sky.Band{Low: -0.28, High: 0.2}},
		}
		for n, method := range s.Methods {
			solution := m.settings[n].solution(method)
			solution.ScrimUp = method.UsesScrim() && r.Visible
			r.Methods = append(r.Methods, solution)
		}
		p.Rows = append(p.Rows, r)
	}
	p.Methods = []plan.Summary{
		{Method: shoot.Sync, Holds: 9, Of: 10, Text: "Holds the look at 9 of 10 moments; not at 20:00 the flash is 1.7 stops too strong."},
		{Method: shoot.HSS, Holds: 4, Of: 10, Text: "Holds the look at 4 of 10 moments; not 17:00-18:20 at the worst the flash is " +
			"0.9 stops too weak; at 20:00 the flash is 1.7 stops too strong."},
		{Method: shoot.Scrim, Holds: 9, Of: 10, Text: "Holds the look at 9 of 10 moments; not at 20:00 the flash is 1.7 stops too strong."},
	}
	return p
}

// broken is the same evening with a sky to hold dark, cloud coming in, the sun
// going behind a hill, and no scrim carried.
func broken(t testing.TB) *plan.Plan {
	p := sample(t)
	s := p.Shoot
	s.Name = "Cliff path"
	s.Scrim = nil
	s.Look = shoot.Look{Kind: shoot.DarkSky, Dark: 1.5, Bias: -0.3}
	s.Methods = []shoot.Method{shoot.Scrim, shoot.ND}
	from := shoot.Instant{Event: sky.Sunset, Offset: -80 * time.Minute}
	s.Sky = append(s.Sky, shoot.SkySpan{From: &from, Condition: sky.Described(sky.Broken)})
	s.Subject.Facing = scene.Facing{Azimuth: sky.Degrees(60)}
	s.Flash.Modifier = flash.Modifier{}
	s.Flash.Zoom = 105
	s.Flash.Gel = flash.Gel{Name: "1/2 CTO", Loss: 0.5, Shift: 81}
	var rows []plan.Row
	for i, r := range p.Rows[:8] {
		if i >= 4 {
			r.Condition = sky.Described(sky.Broken)
		}
		r.Visible = i < 7
		r.Bearing = "back-right"
		for k := range sky.Case(r.Condition.Cases()) {
			c := r
			c.Case = k
			none := r.Methods[0]
			none.Method, none.Feasible, none.Cures = shoot.Scrim, false, []plan.Cure{{Text: "method nd"}}
			none.Problem = &plan.Problem{Kind: plan.NoScrim, Text: "no scrim is carried"}
			nd := r.Methods[0]
			nd.Method, nd.Settings.ND, nd.Settings.Aperture = shoot.ND, 3, max(10, nd.Settings.Aperture-18)
			if k == sky.SunIn {
				c.Light.Lit, c.Light.Level = c.Light.Shade*1.1, c.Light.Shade*2.2
				nd.Ambient.Lit = c.Light.Lit
				nd.Settings.ND = 0
			}
			if k == sky.SunIn || i >= 6 {
				nd.Role, nd.Power, nd.Added, nd.Headroom, nd.Recycle = plan.None, 0, 0, 0, 0
			}
			if i >= 6 {
				nd.Feasible = false
				nd.Problem = &plan.Problem{Kind: plan.AmbientOnFace, Misses: 0.42, Text: "the face is 0.4 stops above normal without flash"}
				nd.Cures = nil
			}
			c.Methods = []plan.Solution{none, nd}
			rows = append(rows, c)
		}
	}
	p.Rows = rows
	p.Methods = []plan.Summary{
		{Method: shoot.Scrim, Of: len(rows), Text: "Does not hold the look: no scrim is carried."},
		{Method: shoot.ND, Holds: 8, Of: len(rows)},
	}
	return p
}

// night runs over midnight and the end of summer time, in a light too faint to
// meter.
func night(t testing.TB) *plan.Plan {
	p := sample(t)
	p.Shoot.Methods = p.Shoot.Methods[:1]
	p.Methods = p.Methods[:1]
	p.Shoot.When.Step = time.Hour
	p.Rows = p.Rows[:5]
	p.Day = sky.Day{Start: time.Date(2026, time.October, 24, 0, 0, 0, 0, p.Shoot.Place.Zone), SunNeverRises: true,
		Highest: sky.Event{Altitude: sky.Degrees(-3.21)}}
	start := time.Date(2026, time.October, 24, 23, 0, 0, 0, p.Shoot.Place.Zone)
	for i := range p.Rows {
		r := &p.Rows[i]
		r.Time = start.Add(time.Duration(i) * time.Hour).In(p.Shoot.Place.Zone)
		r.Visible = false
		r.Sun.Altitude = sky.Degrees(-40)
		r.Light = sky.Light{}
		r.Methods = r.Methods[:1:1]
		r.Methods[0].Background = sky.StopsOf(0)
	}
	return p
}

var clearEvening = []moment{
	{23.61, 243.2, 82000, 9200, 4100, []setting{
		{82000, 9200, 44, 48, 0, plan.Fill, -8, 95.24, 1.18, 3.17, 0.04, -0.33, "", 0.00},
		{82000, 9200, 18, 74, 0, plan.Fill, 0, 2.907, -0.86, 4.01, -0.09, -0.33, "weak", 0.86},
		{24600, 5700, 32, 48, 0, plan.Fill, -24, 15, 4.04, 2.98, 0.14, 1.67, "", 0.00},
	}},
	{20.52, 247.4, 79000, 8600, 3900, []setting{
		{79000, 8600, 44, 48, 0, plan.Fill, -8, 95.24, 1.21, 3.13, 0.00, -0.40, "", 0.00},
		{79000, 8600, 18, 74, 0, plan.Fill, 0, 2.907, -0.83, 3.98, -0.13, -0.40, "weak", 0.83},
		{23700, 5330, 32, 48, 0, plan.Fill, -24, 15, 4.00, 3.00, 0.09, 1.60, "", 0.00},
	}},
	{17.38, 251.5, 74000, 7900, 3700, []setting{
		{74000, 7900, 44, 48, 0, plan.Fill, -8, 95.24, 1.29, 3.05, -0.07, -0.48, "", 0.00},
		{74000, 7900, 18, 74, 0, plan.Fill, 0, 2.907, -0.75, 3.89, -0.21, -0.48, "weak", 0.75},
		{22200, 4900, 32, 48, 0, plan.Fill, -24, 15, 4.03, 2.98, 0.01, 1.52, "", 0.00},
	}},
	{14.21, 255.5, 66000, 7000, 3400, []setting{
		{66000, 7000, 42, 48, 0, plan.Fill, -8, 95.24, 1.45, 2.88, 0.14, -0.27, "", 0.00},
		{66000, 7000, 18, 72, 0, plan.Fill, 0, 3.662, -0.58, 3.68, -0.02, -0.27, "weak", 0.58},
		{19800, 4340, 32, 48, 0, plan.Fill, -26, 11.91, 4.18, 3.09, -0.18, 1.40, "", 0.00},
	}},
	{11.05, 259.4, 56000, 6100, 3000, []setting{
		{56000, 6100, 42, 48, 0, plan.Fill, -10, 75.6, 1.70, 2.96, -0.12, -0.45, "", 0.00},
		{56000, 6100, 18, 72, 0, plan.Fill, 0, 3.662, -0.33, 3.36, -0.21, -0.45, "weak", 0.33},
		{16800, 3780, 30, 48, 0, plan.Fill, -26, 11.91, 4.49, 2.91, -0.05, 1.55, "", 0.00},
	}},
	{7.93, 263.2, 42000, 5000, 2500, []setting{
		{42000, 5000, 38, 48, 0, plan.Fill, -14, 47.62, 2.19, 3.15, 0.07, -0.05, "", 0.00},
		{42000, 5000, 18, 68, 0, plan.Fill, 0, 5.813, 0.15, 2.85, 0.14, -0.05, "", 0.00},
		{12600, 3100, 26, 48, 0, plan.Fill, -32, 5.953, 5.22, 3.05, 0.13, 1.95, "", 0.00},
	}},
	{4.84, 267, 24000, 3600, 1800, []setting{
		{24000, 3600, 34, 48, 0, plan.Fill, -20, 23.81, 3.22, 3.10, -0.11, 0.15, "", 0.00},
		{24000, 3600, 18, 64, 0, plan.Fill, -8, 3.662, 1.18, 3.14, -0.12, 0.15, "", 0.00},
		{7200, 2230, 22, 48, 0, plan.Fill, -42, 1.875, 7.93, 2.83, -0.08, 2.15, "", 0.00},
	}},
	{1.86, 270.8, 6500, 2000, 900, []setting{
		{6500, 2000, 20, 48, 0, plan.Fill, -42, 1.875, 7.94, 2.81, 0.11, 1.48, "", 0.00},
		{6500, 2000, 18, 50, 0, plan.Fill, -36, 0.7267, 5.91, 3.01, 0.06, 1.48, "", 0.00},
		{1950, 1240, 18, 46, 0, plan.Key, -28, 9.449, 4.78, 3.12, -0.07, 2.15, "", 0.00},
	}},
	{-1.52, 274.6, 420, 330, 130, []setting{
		{420, 330, 18, 42, 8, plan.Key, -34, 4.725, 5.75, 3.11, 0.01, 1.36, "", 0.00},
		{420, 330, 18, 42, 8, plan.Key, -34, 4.725, 5.75, 3.11, 0.01, 1.36, "", 0.00},
		{420, 330, 18, 42, 8, plan.Key, -34, 4.725, 5.75, 3.11, 0.01, 1.36, "", 0.00},
	}},
	{-4.49, 278.4, 45, 40, 14, []setting{
		{45, 40, 18, 42, 26, plan.Key, -42, 1.875, 8.68, 7.12, 1.17, 1.14, "strong", 1.68},
		{45, 40, 18, 42, 26, plan.Key, -42, 1.875, 8.68, 7.12, 1.17, 1.14, "strong", 1.68},
		{45, 40, 18, 42, 26, plan.Key, -42, 1.875, 8.68, 7.12, 1.17, 1.14, "strong", 1.68},
	}},
}
