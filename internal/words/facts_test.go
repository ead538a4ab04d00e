package words

import (
	"math"
	"testing"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

// Every kind has words of its own, and a name of its own for programs.
func TestChecksHaveWords(t *testing.T) {
	said, named := map[string]plan.CheckKind{}, map[string]plan.CheckKind{}
	for k := plan.StandbyCheck; k <= plan.CapCheck; k++ {
		text, name := Check(&plan.Check{Kind: k, Value: 3, Name: "x", Shutter: 46}), CheckKind(k)
		assert.NotEmpty(t, text, "%d", k)
		assert.NotEmpty(t, name, "%d", k)
		assert.NotContains(t, said, text)
		assert.NotContains(t, named, name)
		said[text], named[name] = k, k
	}
	assert.Empty(t, Check(&plan.Check{Kind: plan.CapCheck + 1}), "a kind beyond the last one has no words yet")
}

func TestChecksSaid(t *testing.T) {
	fast, err := exposure.ParseShutter("1/1600", exposure.Third)
	assert.NoError(t, err)
	for want, c := range map[string]plan.Check{
		"standby switched off on 2 flashes":                    {Kind: plan.StandbyCheck, Value: 2},
		"triggers of 1 flash on one channel, with fresh cells": {Kind: plan.TriggerCheck, Value: 1},
		"head zoomed by hand to 35 mm":                         {Kind: plan.ZoomCheck, Value: 35, Name: "head"},
		"high-speed sync enabled, for shutter times to 1/1600": {Kind: plan.FastSyncOnCheck, Shutter: fast},
		"1 spare set of batteries for each flash":              {Kind: plan.SparesCheck, Value: 1},
		"at least 14 kg of sandbags on each stand of panel":    {Kind: plan.SandbagCheck, Value: 13.2, Name: "panel"},
		"1 person to hold panel":                               {Kind: plan.HandsCheck, Value: 1, Name: "panel"},
		"2 people to hold panel":                               {Kind: plan.HandsCheck, Value: 2, Name: "panel"},
		"white balance 4450 K":                                 {Kind: plan.BalanceCheck, Value: 4440},
		"6-stop ND clean and at hand":                          {Kind: plan.FilterCheck, Value: 6},
	} {
		assert.Equal(t, want, Check(&c))
	}
}

func TestHandlingsHaveWords(t *testing.T) {
	said, named := map[string]bool{}, map[string]bool{}
	for h := scene.OnStands; h <= scene.EverythingIn; h++ {
		assert.False(t, said[Handling(h)] || named[HandlingKind(h)], "%d", h)
		said[Handling(h)], named[HandlingKind(h)] = true, true
	}
}

func TestWindSaid(t *testing.T) {
	flying := &plan.Wind{Speed: 3.3, Force: 2, Scrim: &plan.Load{Handling: scene.HandsOn}}
	rig := &plan.Rig{Handling: scene.HandsOn, Stands: 2, Hands: 2, Ballast: 12.8}
	assert.Equal(t, "wind 3.3 m/s, force 2 (light breeze): scrim 13 kg and a hand on each stand", WindNow(flying, rig))
	down := &plan.Wind{Speed: 8, Force: 5, Scrim: &plan.Load{Handling: scene.TakenDown}}
	assert.Equal(t, "wind 8 m/s, force 5 (fresh breeze): too strong for the scrim; take it down and lay it flat",
		WindNow(down, &plan.Rig{Handling: scene.TakenDown}))
	assert.Equal(t, "wind 0 m/s, force 0 (calm)", WindNow(&plan.Wind{}, rig))
	assert.Equal(t, "3 kg on each stand, someone within reach", Rigged(&plan.Rig{Stands: 2, Ballast: 2.6}))
	// What has to weigh at the least is never rounded down.
	for v, want := range map[float64]string{0: "0 kg", 0.1: "1 kg", 13: "13 kg", 13.001: "14 kg"} {
		assert.Equal(t, want, Kilograms(v))
	}
}

func TestBeamSaid(t *testing.T) {
	b := &plan.Beam{Below: 1.6, Feet: true, FallOff: 1.07, Least: 0.42, Most: 0.61, Width: 1.5, Height: 2.25,
		AtSides: 0.3, AtEnds: 0.9, AtFigure: 3.7}
	h := flash.Head{Unit: &flash.Unit{Guide: []flash.GuideNumber{{Zoom: 50, Number: 40}}}, Distance: 2, Zoom: 50}
	b.Pool = h.Pool()
	assert.Equal(t, "flash 1.1 stops less than on the face, 1.6 m below it; with the daylight 0.4 to 0.6 stop", FallOff(b))
	assert.Equal(t, "lit within a stop 1.44 × 0.96 m, within two 2.04 × 1.36 m; the frame shows 1.5 × 2.25 m", Pool(b))
	assert.Equal(t, "flash 0.3 stop less at the frame's sides than at the middle of the figure, "+
		"0.9 stop less at top and bottom", Vignette(b))
	assert.Equal(t, "too narrow: flash 3.7 stops less at the figure's corners than at its middle", Uncovered(b))
	b.AtFigure = 0
	b.AtSides = 0.3
	assert.Contains(t, Vignette(&plan.Beam{}), "0.0 stop less")
	b.Most = b.Least
	assert.Contains(t, FallOff(b), "with the daylight 0.4 stop")
	for k := flash.ByZoom; k <= flash.BySurface; k++ {
		assert.NotEmpty(t, PoolModel(k))
		assert.NotEmpty(t, k.String())
	}
	b.AtEnds = sky.Stops(math.Inf(1))
	assert.Contains(t, Vignette(b), "no light at top and bottom")
}

func TestColourSaid(t *testing.T) {
	assert.Equal(t, "white balance 4450 K; daylight on the key side 5800 to 11750 K",
		Colour(&plan.PictureFacts{WhiteBalance: 4440, KeyLow: 5790, KeyHigh: 11740}))
	assert.Equal(t, "white balance 5500 K; daylight on the key side 5800 K",
		Colour(&plan.PictureFacts{WhiteBalance: 5500, KeyLow: 5790, KeyHigh: 5810}))
	assert.Equal(t, "white balance 5500 K",
		Colour(&plan.PictureFacts{WhiteBalance: 5500, KeyLow: sky.Kelvin(math.Inf(1))}))
}

// Every problem is said, in a sentence and in a cell, and named for programs.
func TestWindyProblem(t *testing.T) {
	assert.Equal(t, "too windy", ProblemShort(&plan.Problem{Kind: plan.TooWindy}))
	assert.Equal(t, "too-windy", ProblemKind(plan.TooWindy))
	for k := plan.TooWeak; k <= plan.RimNoHighSpeed; k++ {
		assert.NotEmpty(t, ProblemKind(k), "%d", k)
		assert.NotEqual(t, "missed", ProblemShort(&plan.Problem{Kind: k}), "%d", k)
	}
}

// Every rule of the verdict has its words.
func TestRulesHaveWords(t *testing.T) {
	for r := plan.WindRule; r <= plan.WeightRule; r++ {
		assert.NotEmpty(t, ruleNames[r], "%d", r)
	}
	assert.Equal(t, "too strong for its scrim", dropped(plan.WindRule, 1))
}
