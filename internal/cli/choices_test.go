package cli

import (
	"slices"
	"testing"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// body is what the shoots of choices have in common: a camera of 1/200 s, 85 mm
// at f/2.8, two filters.
const body = `
[camera]
kit = "full-frame-200"
[filters]
nd_stops = [3, 6]
`

// Places and days of the choices.
const (
	vienna = `[place]
latitude_deg = 48.2
longitude_deg = 16.4
time_zone = "Europe/Vienna"
ground = "grass"
[when]
date = "2027-08-20"
from = "17:00"
to = "18:00"
`
	noon36 = `[place]
latitude_deg = 36.8
longitude_deg = -6.4
time_zone = "Europe/Madrid"
ground = "sand"
[when]
date = "2027-06-20"
from = "13:00"
to = "15:00"
`
	tropics = `[place]
latitude_deg = 8.95
longitude_deg = -79.55
time_zone = "America/Panama"
ground = "concrete"
[when]
date = "2027-04-03"
from = "11:45"
to = "12:45"
`
	harbour = `[place]
latitude_deg = 54.3
longitude_deg = 10.1
time_zone = "Europe/Berlin"
[when]
date = "2027-09-18"
from = "sunset-40m"
to = "sunset-10m"
`
)

// underScrim are the ways of working under a scrim.
var underScrim = []shoot.Method{shoot.Scrim, shoot.ScrimHSS}

// choice is a shoot with what an experienced photographer would do.
type choice struct {
	name   string
	shoot  string
	flags  map[string]string
	want   []shoot.Method // any of them
	reason string
	also   func(*testing.T, *plan.Plan, *plan.Verdict)
}

// What an experienced photographer would choose, and why. Common practice, no
// source.
var choices = []choice{
	{
		name: "backlit at five with one small flash",
		shoot: vienna + body + `[subject]
facing = "backlit"
[flash]
kit = "speedlight-60"
distance_m = 1.5
modifier = "shoot-through-umbrella"
`,
		want:   []shoot.Method{shoot.Sync, shoot.ND},
		reason: "high-speed sync throws away two stops and more that a small flash does not have",
	},
	{
		name: "the same with any background, so that it comes off",
		shoot: vienna + body + `[subject]
facing = "backlit"
[look]
background_at_most_stops = "any"
[flash]
kit = "speedlight-60"
distance_m = 1.5
modifier = "shoot-through-umbrella"
`,
		want:   []shoot.Method{shoot.Sync, shoot.ND},
		reason: "an umbrella in high-speed sync leaves no headroom; at the sync speed there is",
		also:   works,
	},
	{
		name: "underexposed sky at dusk with one small flash",
		shoot: harbour + body + `[subject]
facing = "backlit"
[look]
background_stops = -1.5
[flash]
kit = "speedlight-60"
distance_m = 2
modifier = "softbox-60x90"
`,
		flags:  map[string]string{"to": "sunset+20m"},
		reason: "the glow is stops brighter than a small flash can beat: turn her away from it, or wait until it fades",
		also: func(t *testing.T, p *plan.Plan, v *plan.Verdict) {
			assert.Less(t, v.Succeeds, 0.5)
			for i := range p.Rows {
				if !p.Rows[i].Visible {
					continue
				}
				kinds := curesOf(&p.Rows[i])
				assert.False(t, p.Rows[i].Succeeds(), p.Rows[i].Time)
				assert.True(t, slices.Contains(kinds, plan.TurnSitter) || slices.Contains(kinds, plan.Wait),
					"%v: %v", p.Rows[i].Time, kinds)
			}
		},
	},
	{
		name: "noon on the beach, the sun on the face, with a small flash and a scrim",
		shoot: noon36 + body + `[subject]
facing = "front"
[flash]
kit = "compact-36"
distance_m = 2.5
modifier = "softbox-60x90"
[scrim]
kit = "panel-120x180"
distance_m = 1
`,
		want:   underScrim,
		reason: "nobody keeps the eyes open in that sun; softer than asked is what the scrim is for",
		also: func(t *testing.T, p *plan.Plan, v *plan.Verdict) {
			works(t, p, v)
			assert.Less(t, v.Held, 1., "softer")
		},
	},
	{
		name: "overcast with one flash",
		shoot: vienna + body + `[[sky]]
condition = "overcast"
[subject]
facing = "backlit"
background = "shaded"
[lens]
aperture = 4
[flash]
kit = "speedlight-60"
distance_m = 1.5
modifier = "white-umbrella"
`,
		flags:  map[string]string{"date": "2027-10-10", "from": "15:00", "to": "17:30"},
		want:   []shoot.Method{shoot.Sync},
		reason: "close down a little; nobody puts a filter on in dull light, or wastes the flash in high-speed sync",
		also:   works,
	},
	{
		name: "noon in the tropics, with a panel overhead",
		shoot: tropics + body + `[subject]
facing = "backlit"
background = "shaded"
background_distance_m = 8
[look]
ratio = 2
[flash]
kit = "speedlight-60"
distance_m = 2
modifier = "softbox-60x90"
[scrim]
kit = "overhead-240x240"
height_m = 1.2
`,
		want:   underScrim,
		reason: "a sun overhead leaves the eyes in black hollows: take it off the face, and fill",
		also: func(t *testing.T, p *plan.Plan, v *plan.Verdict) {
			works(t, p, v)
			for _, r := range p.RunsOf(p.Index(v.Best)) {
				assert.True(t, r.Flashes)
			}
		},
	},
	{
		name: "noon in the tropics, with open shade near",
		shoot: "methods = [\"sync\", \"hss\", \"nd\", \"open-shade\"]\n" + tropics + body + `[subject]
facing = "front"
background = "shaded"
background_distance_m = 8
[look]
ratio = 2
[flash]
kit = "speedlight-60"
distance_m = 2
modifier = "softbox-60x90"
`,
		want:   []shoot.Method{shoot.OpenShade},
		reason: "go out of the sun: even light, open eyes, and a flash that is strong enough",
		also:   works,
	},
	{
		name: "strong wind, with a scrim that would be best",
		shoot: noon36 + body + `[subject]
facing = "front"
[wind]
speed = "force 6"
[flash]
kit = "speedlight-60"
distance_m = 2
modifier = "softbox-60x90"
[scrim]
kit = "panel-120x180"
distance_m = 1
`,
		want:   []shoot.Method{shoot.Sync, shoot.HSS, shoot.ND},
		reason: "a panel is a sail over a head",
		also: func(t *testing.T, _ *plan.Plan, v *plan.Verdict) {
			require.Equal(t, plan.WindRule, v.Rules[0].Rule)
			assert.Len(t, v.Rules[0].Dropped, 2, "the reason is said")
		},
	},
	{
		name: "a strobe of 400 Ws backlit, near",
		shoot: vienna + body + `[subject]
facing = "backlit"
[look]
background_at_most_stops = "any"
[flash]
kit = "strobe-400"
distance_m = 1
modifier = "softbox-60x90"
`,
		want:   []shoot.Method{shoot.HSS},
		reason: "it has power to spare even in high-speed sync, and the finder stays bright",
		also: func(t *testing.T, p *plan.Plan, _ *plan.Verdict) {
			for _, r := range p.RunsOf(p.Index(shoot.HSS)) {
				assert.GreaterOrEqual(t, float64(r.LeastHeadroom), float64(plan.Comfortable))
			}
		},
	},
	{
		name: "a strobe of 400 Ws backlit, farther off",
		shoot: vienna + body + `[subject]
facing = "backlit"
[look]
background_at_most_stops = "any"
[flash]
kit = "strobe-400"
distance_m = 2
modifier = "softbox-60x90"
`,
		want:   []shoot.Method{shoot.ND},
		reason: "in high-speed sync it would fire at full power all the time; a filter costs it nothing",
		also:   works,
	},
	{
		name: "a wide lens with much sky",
		shoot: harbour + body + `[subject]
facing = "backlit"
figure = "full length"
sky_altitude_deg = 25
[lens]
focal_length_mm = 24
[flash]
kit = "strobe-400"
distance_m = 2
modifier = "silver-umbrella"
[scrim]
kit = "panel-180x180"
distance_m = 1
`,
		flags:  map[string]string{"from": "sunset-2h30m", "to": "sunset-1h"},
		want:   []shoot.Method{shoot.Sync, shoot.HSS, shoot.ND},
		reason: "a scrim would stand in the picture and, opened up for, burn the sky out",
		also: func(t *testing.T, p *plan.Plan, v *plan.Verdict) {
			works(t, p, v)
			for _, r := range p.RunsOf(p.Index(v.Best)) {
				for i := range r.Minutes {
					assert.LessOrEqual(t, float64(r.Minutes[i].Background), 1.5+1./3+1e-6, "the sky is kept")
				}
			}
		},
	},
}

// works checks that the choice brings the picture off throughout.
func works(t *testing.T, _ *plan.Plan, v *plan.Verdict) { assert.Equal(t, 1., v.Succeeds) }

// curesOf lists the kinds of what fixes a row.
func curesOf(r *plan.Row) []plan.CureKind {
	var list []plan.CureKind
	for i := range r.Methods {
		for _, c := range r.Methods[i].Cures {
			list = append(list, c.Kind)
		}
	}
	return list
}

func TestChoicesOfAnExperiencedPhotographer(t *testing.T) {
	for _, c := range choices {
		t.Run(c.name, func(t *testing.T) {
			d, err := shootfile.Parse("shoot.toml", []byte(c.shoot))
			require.NoError(t, err)
			for flag, value := range c.flags {
				d.Set(flag, value)
			}
			s, err := d.Resolve(shootfile.Environment{Zone: time.UTC, Zones: time.LoadLocation})
			require.NoError(t, err)
			p, err := plan.Make(t.Context(), s)
			require.NoError(t, err)
			v := p.Verdict()
			if c.want != nil {
				assert.Contains(t, c.want, v.Best, c.reason)
			}
			if c.also != nil {
				c.also(t, p, &v)
			}
		})
	}
}
