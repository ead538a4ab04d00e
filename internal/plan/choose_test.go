package plan

import (
	"math"
	"strings"
	"testing"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCompare(t *testing.T) {
	s := testShoot()
	c, err := Compare(s, nil)
	require.NoError(t, err)
	var names []string
	for _, m := range c.Moments {
		names = append(names, m.Name)
		require.Len(t, m.Entries, len(s.Methods))
		t.Logf("%s %s: %s", m.Row.Time.Format("15:04"), m.Name, m.Verdict.Text)
		for _, w := range m.Verdict.Why {
			t.Log("    ", w)
		}
	}
	t.Log(c.Verdict.Text)
	for _, w := range c.Verdict.Why {
		t.Log("    ", w)
	}
	assert.Equal(t, []string{"start", "sun at 15 deg", "sun at 6 deg", "end"}, names)
	for _, m := range c.Moments[1:3] {
		want := map[string]float64{"sun at 15 deg": 15, "sun at 6 deg": 6}[m.Name]
		assert.InDelta(t, want, m.Row.Sun.Altitude.Degrees(), 0.01)
	}
	assert.NotEmpty(t, c.Verdict.Why)
}

// The rules in their order: what holds the look wins over everything, then the
// wanted aperture, and so on down to the weight of the bag.
func TestRules(t *testing.T) {
	v := NewSolver(testShoot())
	base := candidate{method: shoot.Sync, held: 1, burden: 0}
	for _, c := range []struct {
		rule  string
		worse func(*candidate)
	}{
		{"holds the look", func(c *candidate) { c.held = 0.9 }},
		{"misses by less", func(c *candidate) { c.short = 0.5 }},
		{"nearest the wanted aperture", func(c *candidate) { c.aperture = 2 }},
		{"sky behind nearest normal", func(c *candidate) { c.background = 1.4 }},
		{"keeps the pace", func(c *candidate) { c.wait = 2 }},
		{"fewer batteries", func(c *candidate) { c.sets = 2 }},
		{"less to carry and hold", func(c *candidate) { c.burden = 3 }},
	} {
		worse := base
		worse.method = shoot.HSS
		c.worse(&worse)
		// All that comes later in the order speaks for the other.
		better := base
		better.burden = 2
		if c.rule == "less to carry and hold" {
			better.burden = 0
		}
		d := v.judge([]candidate{worse, better})
		assert.Equal(t, shoot.Sync, d.Best, c.rule)
		assert.True(t, strings.HasPrefix(d.Why[len(d.Why)-1], c.rule), "%v", d.Why)
	}
	all := base
	all.held, all.short = 0, 1
	assert.Zero(t, v.judge([]candidate{all}).Held)

	// Of methods whose gear is not carried at all none is nearer.
	missing := all
	missing.short = sky.Stops(math.Inf(1))
	other := missing
	other.method, other.burden = shoot.Scrim, 3
	assert.Equal(t, missing.method, v.judge([]candidate{missing, other}).Best)
	assert.Equal(t, all.method, v.judge([]candidate{other, all}).Best)
}

// Published relations, by hand for the first moment of the test shoot: what
// compare says of sync and high-speed sync at one ambient light.
func TestCompareByHand(t *testing.T) {
	s := testShoot()
	c, err := Compare(s, nil)
	require.NoError(t, err)
	r := c.Moments[0].Row
	lit, shade := float64(r.Light.Lit), float64(r.Light.Shade)
	fill := (lit - 3*shade) / 2 // F = (lit - R shade) / (R - 1)
	require.Positive(t, fill)
	// GN at 35 mm between 24 mm (28) and 50 mm (42), in logarithms.
	gn := 28 * math.Pow(42./28, math.Log(35./24)/math.Log(50./24))
	full := 2.5 * gn * gn * 2 / (1.5 * 1.5) * math.Exp2(-(0.7 + 1.5)) // H = 2.5 GN^2 n / d^2, less derating and softbox
	for _, m := range r.Methods {
		if m.Method != shoot.Sync && m.Method != shoot.HSS {
			continue
		}
		t0 := m.Settings.Shutter.Seconds()
		available := full
		if m.Method == shoot.HSS {
			available *= t0 / 0.016
		}
		assert.InDelta(t, math.Log2(available/(fill*t0)), float64(m.Headroom), 1e-6, "%s", m.Method)
		// Exposure: (lit t + F) S / (250 N^2).
		n := m.Settings.Aperture.FNumber()
		got := math.Log2((lit*t0 + float64(m.Added)) * m.Settings.ISO.Speed() / (250 * n * n))
		assert.InDelta(t, got, float64(m.Exposure), 1e-9, "%s", m.Method)
	}
}

// Order and limits: at one aperture and one ambient light, what the flash
// reaches shrinks under high-speed sync by half of log2(T_eq / t) in stops of
// distance; a filter at the sync speed costs nothing of it.
func TestReachUnderHighSpeedAndFilter(t *testing.T) {
	s := testShoot()
	reach := func(m shoot.Method) float64 {
		got := NewSolver(s).Solve(m, moment(s, 25))
		return s.Flash.Distance * math.Exp2(float64(got.Headroom)/2)
	}
	hss := NewSolver(s).Solve(shoot.HSS, moment(s, 25))
	wantLoss := math.Log2(0.016 / hss.Settings.Shutter.Seconds())
	// Against sync both lights change: ambient goes with the shutter.
	sync := NewSolver(s).Solve(shoot.Sync, moment(s, 25))
	shutters := math.Log2(sync.Settings.Shutter.Seconds() / hss.Settings.Shutter.Seconds())
	assert.InDelta(t, wantLoss-shutters, 2*math.Log2(reach(shoot.Sync)/reach(shoot.HSS)), 1e-6)
	nd := NewSolver(s).Solve(shoot.ND, moment(s, 25))
	if nd.Settings.Shutter == sync.Settings.Shutter {
		assert.InDelta(t, 1, reach(shoot.ND)/reach(shoot.Sync), 1e-9)
	}
}

// The cues, replayed minute by minute from what they say alone, stay within a
// third of a stop of the look wherever it is held; no cue undoes another
// within a quarter of an hour.
func TestCuesReplayed(t *testing.T) {
	for _, look := range []shoot.Look{{Kind: shoot.Ratio, Ratio: 3}, {Kind: shoot.Ratio, Ratio: 2}, {Kind: shoot.DarkSky, Dark: 1}} {
		s := testShoot()
		s.Look = look
		c, err := MakeCues(s)
		require.NoError(t, err)
		require.Len(t, c.Runs, len(s.Methods))
		full := float64(s.Flash.Full())
		for _, run := range c.Runs {
			require.NotEmpty(t, run.Cues)
			state := map[Control]string{}
			worst, next := 0.0, 0
			for i := range run.Rows {
				r := &run.Rows[i]
				for next < len(run.Cues) && !run.Cues[next].Time.After(r.Time) {
					cue := &run.Cues[next]
					if next == 0 {
						state = stateOf(cue.Set)
					}
					for _, ch := range cue.Changes {
						assert.Equal(t, state[ch.Control], ch.From, "%s %s", run.Method, cue.Time)
						state[ch.Control] = ch.To
					}
					next++
				}
				m := &r.Methods[0]
				if !m.Feasible {
					continue
				}
				set := settingsOf(t, state)
				var added float64
				if p := state[PowerControl]; p != "off" {
					added = full * powerOf(t, p).Fraction()
					if set.Shutter > s.Camera.Sync {
						added *= set.Shutter.Seconds() / 0.016
					}
				}
				e := set.Shutter.Seconds()
				lit, shade, face := float64(m.Ambient.Lit)*e, float64(m.Ambient.Shade)*e, float64(m.Ambient.Face)*e
				main, ratio := lit+added, (lit+added)/shade
				if state[RoleControl] == "fill" {
					ratio = (lit + added) / (shade + added)
				}
				off := math.Log2(ratio / look.Ratio)
				if look.Kind == shoot.DarkSky {
					main = face + added
					off = float64(exposure.Reflected(r.Light.Backdrop).Minus(set.EV()) + look.Dark)
				}
				worst = max(worst, math.Abs(math.Log2(main/float64(set.Need()))), math.Abs(off))
			}
			assert.LessOrEqual(t, worst, 1./3, "%s", run.Method)
			t.Logf("%s %s: %d cues, worst %.3f stop", look.Kind, run.Method, len(run.Cues), worst)
			noUndoing(t, &run)
		}
	}
}

func noUndoing(t *testing.T, run *Run) {
	t.Helper()
	for i, a := range run.Cues {
		for _, b := range run.Cues[i+1:] {
			if b.Time.Sub(a.Time) > 15*time.Minute {
				break
			}
			for _, x := range a.Changes {
				for _, y := range b.Changes {
					if x.Control == y.Control && x.Control != PowerControl && x.Control != ISOControl {
						assert.False(t, x.From == y.To && x.To == y.From, "%s: %s at %s undone at %s", run.Method, x.Control, clock(a.Time), clock(b.Time))
					}
				}
			}
		}
	}
}

func stateOf(s *Solution) map[Control]string {
	return map[Control]string{
		ApertureControl: s.Settings.Aperture.String(), ShutterControl: s.Settings.Shutter.String(), ISOControl: s.Settings.ISO.String(),
		FilterControl: filterText(s.Settings.ND), RoleControl: s.Role.String(), PowerControl: powerText(s), ScrimControl: upOrDown(s.ScrimUp),
		GelControl: gelText(s.Gel.Name),
	}
}

func settingsOf(t *testing.T, state map[Control]string) exposure.Settings {
	t.Helper()
	a, err := exposure.ParseAperture(state[ApertureControl], exposure.Third)
	require.NoError(t, err)
	v, err := exposure.ParseShutter(state[ShutterControl], exposure.Third)
	require.NoError(t, err)
	i, err := exposure.ParseISO(state[ISOControl], exposure.Third)
	require.NoError(t, err)
	set := exposure.Settings{Aperture: a, Shutter: v, ISO: i}
	if nd, ok := strings.CutSuffix(state[FilterControl], " stops"); ok {
		switch nd {
		case "3":
			set.ND = 3
		case "6":
			set.ND = 6
		default:
			t.Fatalf("filter %q", nd)
		}
	}
	return set
}

func powerOf(t *testing.T, text string) flash.Power {
	t.Helper()
	for p := flash.Power(0); p >= -48; p-- {
		if p.String() == text {
			return p
		}
	}
	t.Fatalf("power %q", text)
	return 0
}

// Totals by hand: one frame a minute for an hour at a power held all the time
// comes to 60 times that power; shared by two units, each has half of what one
// alone would have, and so half the batteries.
func TestTotals(t *testing.T) {
	s := testShoot()
	s.Methods = []shoot.Method{shoot.Sync}
	s.Pace.FramesPerMinute = 1
	s.Flash.Unit.FlashesASet, s.Flash.Unit.BurstLimit, s.Flash.Unit.BurstRest = 10, 20, 10
	p := &Plan{Shoot: s}
	start := time.Date(2027, 9, 18, 15, 0, 0, 0, time.UTC)
	for i := range 7 {
		p.Rows = append(p.Rows, Row{Time: start.Add(time.Duration(i) * 10 * time.Minute), Methods: []Solution{
			{Feasible: true, Role: Fill, Power: -6, Recycle: 1.5},
		}})
	}
	total := TotalsOf(p)[0]
	assert.InDelta(t, 60, total.Frames, 1e-9)
	assert.InDelta(t, 30, total.Key.FullFlashes, 1e-9)
	assert.Equal(t, 3, total.Key.Sets)
	assert.InDelta(t, 40, total.Key.BurstFrames, 1e-9)
	assert.Equal(t, 60.0, total.Key.Pace)
	assert.Nil(t, total.Rim)

	one, two := testShoot(), testShoot()
	one.Flash.Units = 1
	a, err := Make(one)
	require.NoError(t, err)
	b, err := Make(two)
	require.NoError(t, err)
	x, y := TotalsOf(a)[0].Key, TotalsOf(b)[0].Key
	t.Logf("one unit %.0f full flashes, two %.0f each", x.FullFlashes, y.FullFlashes)
	assert.InEpsilon(t, x.FullFlashes/2, y.FullFlashes, 0.25, "by the clicks of the power")
}

// The rim flash is set over the key side by the inverse square law, and has no
// part in the ratio.
func TestRimFlash(t *testing.T) {
	s := testShoot()
	plain := NewSolver(s).Solve(shoot.Sync, moment(s, 20))
	s.Rim = &shoot.Rim{Head: s.Flash, Over: 1}
	s.Rim.Modifier, s.Rim.Units, s.Rim.Zoom, s.Rim.Distance = flash.Modifier{}, 1, 105, 1.2
	got := NewSolver(s).Solve(shoot.Sync, moment(s, 20))
	require.NotNil(t, got.RimFlash)
	assert.Equal(t, plain.Settings, got.Settings)
	assert.InDelta(t, plain.Ratio, got.Ratio, 1e-12)
	assert.InDelta(t, 1, float64(got.RimFlash.Over), 1./6+1e-9)
	want := 2.5 * 58 * 58 / (1.2 * 1.2) * math.Exp2(-0.7) // H = 2.5 GN^2 / d^2 less derating
	assert.InEpsilon(t, want*got.RimFlash.Power.Fraction(), float64(got.RimFlash.Added), 1e-9)
	assert.InDelta(t, float64(sky.StopsOf(want/float64(got.Settings.Need())/2)), float64(got.RimFlash.Headroom), 1e-9)

	s.Rim.Distance = 20
	far := NewSolver(s).Solve(shoot.Sync, moment(s, 20))
	require.False(t, far.Feasible)
	assert.Equal(t, RimTooWeak, far.Problem.Kind)
}

// A gel chosen by the light costs its loss in headroom.
func TestGelByTheLight(t *testing.T) {
	s := testShoot()
	s.Gels = []flash.Gel{{Name: "quarter", Loss: 0.3, Shift: 42}, {Name: "half", Loss: 0.5, Shift: 81}, {Name: "full", Loss: 0.85, Shift: 159}}
	bare := NewSolver(s).Solve(shoot.Sync, moment(s, 4))
	s.Wish = flash.ColourWish{Kind: flash.MatchLight}
	got := NewSolver(s).Solve(shoot.Sync, moment(s, 4))
	require.NotEmpty(t, got.Gel.Name)
	lit := moment(s, 4).Light
	colour := lit.Colour().Lit
	t.Logf("lit %.0f K: %s, %+.0f mired left", colour, got.Gel.Name, got.Gel.Remains)
	assert.InDelta(t, float64(bare.Headroom-got.Gel.Loss), float64(got.Headroom), 1e-9)
	assert.InDelta(t, float64(colour.Mired()-(1e6/5500+got.Gel.Shift)), float64(got.Gel.Remains), 1e-6)
	for _, g := range s.Gels {
		left := math.Abs(float64(colour.Mired() - (1e6/5500 + g.Shift)))
		assert.LessOrEqual(t, math.Abs(float64(got.Gel.Remains)), left+1e-9)
	}
}

// What is not carried is missing whatever the sun does, and told once; what the
// light brings about is told for each case.
func TestFailuresUnderBrokenCloud(t *testing.T) {
	s := testShoot()
	s.Sky = []shoot.SkySpan{{Condition: sky.Described(sky.Broken)}}
	s.Scrim, s.Flash.Distance = nil, 6
	p, err := Make(s)
	require.NoError(t, err)
	for n, m := range s.Methods {
		failures := Failures(p.Rows, n)
		switch {
		case m.UsesScrim():
			require.Len(t, failures, 1)
			assert.Empty(t, failures[0].Under())
			assert.Equal(t, "Does not hold the look: no scrim is carried.", p.Methods[n].Text)
		default:
			require.NotEmpty(t, failures)
			for _, f := range failures {
				assert.Contains(t, []string{" with the sun out", " with the sun in"}, f.Under())
			}
		}
	}
}
