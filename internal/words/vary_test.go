package words

import (
	"testing"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

// a variant with so many flashes in an umbrella.
func variantOf(units int, m shoot.Method, held, softer, missed int, from time.Time) plan.Variant {
	s := &shoot.Shoot{
		Flash:   flash.Head{Units: units, Distance: 1.5, Modifier: flash.Modifier{Name: "white-umbrella", Loss: 1.5}},
		Methods: []shoot.Method{shoot.Sync, shoot.ND},
	}
	p := &plan.Plan{Shoot: s, Runs: []plan.Run{{Method: shoot.Sync}, {Method: shoot.ND}}}
	for i := range p.Runs {
		at := from
		p.Runs[i].Minutes = []plan.Minute{{Moment: &plan.Moment{Time: at}, Solution: plan.Solution{
			Outcome: plan.Missed, Problem: &plan.Problem{Kind: plan.TooWeak, Misses: 1.2}}}}
		p.Runs[i].Missed = 1
	}
	return plan.Variant{Plan: p, Verdict: plan.Verdict{Best: m, From: from}, Held: held, Softer: softer, Missed: missed}
}

func clock(hour, minute int) time.Time { return time.Date(2027, 9, 18, hour, minute, 0, 0, time.UTC) }

func TestVariation(t *testing.T) {
	one := variantOf(1, shoot.Sync, 66, 0, 55, clock(19, 5))
	two := variantOf(2, shoot.Sync, 100, 0, 21, clock(18, 10))
	four := variantOf(4, shoot.Sync, 101, 0, 20, clock(18, 9))
	equal := func(v plan.Variant) plan.Variant { v.Equal = true; return v }
	all := func(v plan.Variant, rule plan.RuleKind) plan.Variant {
		v.Held, v.Softer, v.Missed, v.Verdict.From, v.Worse = 121, 0, 0, time.Time{}, rule
		return v
	}
	never := func(v plan.Variant) plan.Variant { v.Held, v.Softer, v.Missed = 0, 0, 121; return v }
	soft := func(v plan.Variant) plan.Variant { v.Softer, v.Held = v.Held, 0; return v }
	nd := func(v plan.Variant) plan.Variant { v.Verdict.Best = shoot.ND; return v }
	for _, c := range []struct {
		want string
		best int
		list []plan.Variant
	}{
		{"Two flashes in white-umbrella hold from 18:10, one from 19:05; four change nothing.", 1, []plan.Variant{one, equal(two), equal(four)}},
		{"One flash in white-umbrella holds throughout; two and four change nothing.", 0,
			[]plan.Variant{equal(all(one, 0)), equal(all(two, 0)), equal(all(four, 0))}},
		{"Four flashes in white-umbrella hold throughout, one never holds (flash short by 1.2 stops), two hold throughout but tight.", 2,
			[]plan.Variant{never(one), all(two, plan.ComfortRule), equal(all(four, 0))}},
		{"Two flashes in white-umbrella hold from 18:10 with nd, one comes out softer from 19:05 with sync.", 1,
			[]plan.Variant{soft(one), equal(nd(two))}},
		{"Nothing here gets this look; the nearest is four flashes in white-umbrella with sync (flash short by 1.2 stops), " +
			"one never holds (flash short by 1.2 stops).", 1, []plan.Variant{never(one), equal(never(four))}},
	} {
		texts := make([]string, len(c.list)) // the sentence has the count of the shoot
		assert.Equal(t, c.want, Variation("units", texts, &plan.Variation{Variants: c.list, Best: c.best}))
	}
}

func TestValue(t *testing.T) {
	angle := sky.Degrees(-30)
	s := &shoot.Shoot{
		Flash: flash.Head{Units: 1, Distance: 1.5, Zoom: 50}, Lens: exposure.Lens{Wanted: 18, FocalLength: 85},
		Look:    shoot.Look{Ratio: 2.5, Background: -1.5, AtMost: 0.5},
		Stand:   shoot.FlashPlace{Angle: &angle},
		Subject: shoot.Subject{Facing: scene.Facing{Side: scene.Backlit}},
	}
	for flag, want := range map[string][2]string{
		"units": {"one flash", "one"}, "distance": {"the flash at 1.5 m", "at 1.5 m"}, "aperture": {"f/2.8", "f/2.8"},
		"focal-length": {"85 mm", "85 mm"}, "zoom": {"the head at 50 mm", "the head at 50 mm"}, "ratio": {"a ratio of 2.5:1", "2.5:1"},
		"background": {"a background at −1.5 stops", "−1.5"}, "background-at-most": {"a background of at most +0.5 stop", "+0.5"},
		"facing": {"the sun behind", "the sun behind"}, "from": {"a start at X", "X"}, "to": {"an end at X", "X"},
		"sky": {"a sky that is X", "X"}, "okta": {"X oktas", "X oktas"}, "modifier": {"X", "X"}, "bias": {"bias X", "X"},
		"flash-angle": {"the flash 30° from the camera, on the shadow side", "30° from the camera, on the shadow side"},
	} {
		whole, short := Value(flag, "X", s)
		assert.Equal(t, want, [2]string{whole, short}, flag)
	}
	s.Subject.Facing = scene.Facing{Azimuth: sky.Degrees(120)}
	whole, _ := Value("facing", "120", s)
	assert.Equal(t, "facing 120°", whole)
	assert.Equal(t, "twelve", Numeral(12))
	assert.Equal(t, "13", Numeral(13))
}

func TestFraction(t *testing.T) {
	for want, s := range map[string]sky.Stops{
		"1/6 stop": 1. / 6, "1/3 stop": 1. / 3, "1/2 stop": 0.5, "2/3 stop": 2. / 3, "5/6 stop": 5. / 6, "1 stop": 1,
		"1 1/3 stops": 4. / 3, "2 stops": 2, "0.4 stop": 0.4, "0.0 stop": 0,
	} {
		assert.Equal(t, want, Fraction(s))
	}
}

func TestRule(t *testing.T) {
	series := func(control plan.Control, by sky.Stops, minutes ...int) plan.Series {
		var s plan.Series
		for _, m := range minutes {
			s = append(s, plan.Cue{
				Time: clock(19, m), Changes: []plan.Change{{Control: control, By: by}},
				Set: &plan.Solution{Settings: exposure.Settings{ISO: 12, Aperture: 18, Shutter: 36}, Role: plan.Key, Power: -12},
			})
		}
		return s
	}
	for want, s := range map[string]plan.Series{
		"ISO up 2/3 stop, every 3 minutes until 19:26: ISO 400":                 series(plan.ISOControl, 2./3, 20, 23, 26),
		"ISO down 1/3 stop, every 2 to 3 minutes until 19:25: ISO 400":          series(plan.ISOControl, -1./3, 20, 23, 25),
		"Aperture opened 1/3 stop, every minute until 19:22: aperture f/2.8":    series(plan.ApertureControl, 1./3, 20, 21, 22),
		"Aperture closed 1/2 stop, every 3 minutes until 19:26: aperture f/2.8": series(plan.ApertureControl, -0.5, 20, 23, 26),
		"Shutter slower by 2/3 stop, every 2 minutes until 19:24: shutter 1/60": series(plan.ShutterControl, 2./3, 20, 22, 24),
		"Flash down 1 stop, every 3 minutes until 19:26: flash 1/4":             series(plan.PowerControl, -1, 20, 23, 26),
	} {
		assert.Equal(t, want, Rule(s))
	}
	both := series(plan.ISOControl, 1./3, 20, 22, 24)
	for i := range both {
		both[i].Changes = append(both[i].Changes, plan.Change{Control: plan.PowerControl, By: -sky.Stops(i+1) / 3})
	}
	assert.Equal(t, "ISO up 1/3 stop, flash down 1/3 to 1 stop, every 2 minutes until 19:24: ISO 400, flash 1/4", Rule(both))
}

func TestSunGoesIn(t *testing.T) {
	cue := func(minute int, out, in exposure.ISO, outcome plan.Outcome) *plan.Cue {
		c := &plan.Cue{
			Time: clock(19, minute), Was: &plan.Solution{Settings: exposure.Settings{ISO: out}},
			Set: &plan.Solution{Settings: exposure.Settings{ISO: in}, Outcome: outcome, Problem: &plan.Problem{Kind: plan.TooWeak, Misses: 0.4}},
		}
		if in != out {
			c.Changes = []plan.Change{{Control: plan.ISOControl, By: sky.Stops(in-out) / 6}}
		}
		return c
	}
	for _, c := range []struct {
		want       string
		start, end *plan.Cue
	}{
		{"nothing", cue(0, 0, 0, plan.Held), cue(30, 4, 4, plan.Held)},
		{"ISO 200 (+1.0 stop); back when it comes out", cue(0, 0, 6, plan.Held), cue(30, 0, 6, plan.Held)},
		{"at 19:00 ISO 200 (+1.0 stop); at 19:30 nothing; back when it comes out", cue(0, 0, 6, plan.Held), cue(30, 4, 4, plan.Held)},
		{"at 19:00 nothing; at 19:30 ISO 400 (+2.0 stops), and missed even so (flash 0.4 short); back when it comes out",
			cue(0, 0, 0, plan.Held), cue(30, 0, 12, plan.Missed)},
	} {
		assert.Equal(t, c.want, SunGoesIn(c.start, c.end))
	}
}
