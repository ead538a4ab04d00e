package words

import (
	"testing"

	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

// What there is to say of open shade and reflectors, for people and programs.
func TestWordsOfShadeAndReflector(t *testing.T) {
	s := &shoot.Shoot{}
	none := &plan.Solution{Method: shoot.Reflector}
	for _, c := range []struct {
		problem           plan.Problem
		long, short, kind string
	}{
		{plan.Problem{Kind: plan.NoReflector}, "no reflector carried", "no reflector", "no-reflector"},
		{plan.Problem{Kind: plan.KeyTooDark, Misses: 1.2}, "key side 1.2 stops too dark beside the background",
			"key side 1.2 under", "key-side-too-dark"},
	} {
		assert.Equal(t, c.long, Problem(&c.problem, none, s))
		assert.Equal(t, c.short, ProblemShort(&c.problem))
		assert.Equal(t, c.kind, ProblemKind(c.problem.Kind))
	}
	for _, c := range []struct {
		cure       plan.Cure
		text, kind string
		value      float64
	}{
		{plan.Cure{Kind: plan.OpenShade, Value: 0.5, Method: shoot.OpenShade, Softer: true},
			"step into open shade (softer than asked)", "open-shade", 0.5},
		{plan.Cure{Kind: plan.CarryReflector, Value: -30, Name: "white", Method: shoot.Reflector},
			"white as a reflector on the shadow side, without flash", "reflector", -30},
		{plan.Cure{Kind: plan.CarryReflector, Value: 20, Name: "white", Method: shoot.ReflectorSync},
			"white as a reflector on the key side, with flash", "reflector", 20},
		{plan.Cure{Kind: plan.CarryReflector, Name: "white", Method: shoot.Reflector},
			"white as a reflector below the lens, without flash", "reflector", 0},
	} {
		assert.Equal(t, c.text, Cure(c.cure, s))
		assert.Equal(t, c.kind, CureKind(c.cure, s))
		v, ok := CureValue(c.cure)
		assert.True(t, ok)
		assert.Equal(t, c.value, v)
	}
	panel := &scene.Reflector{Distance: 1.5, Angle: sky.Degrees(-30)}
	assert.Equal(t, "1.5 m from the sitter, 30° to the camera's right", Reflector(panel, scene.Right))
	panel.Angle = 0
	assert.Equal(t, "1.5 m from the sitter, below the lens", Reflector(panel, 0))
	for turn, want := range map[scene.Turn]string{scene.Down: "down", scene.Square: "square to the sitter",
		scene.Halfway: "halfway between sitter and sun"} {
		up := &plan.Solution{Reflected: plan.Reflected{Turn: turn}}
		assert.Equal(t, want, Turn(turn))
		assert.Equal(t, want, Control(plan.TurnControl, up))
		assert.Equal(t, "reflector "+want, moveTo(plan.TurnControl, none, up))
	}
	assert.Equal(t, "the reflector throws more light so", Reason(&plan.Reason{Kind: plan.PanelTurned}, nil, s))
	assert.Equal(t, "white", Item(&plan.Item{Kind: plan.ReflectorItem, Count: 1, Name: "white"}))
	assert.Equal(t, "1 person to hold the reflector", Item(&plan.Item{Kind: plan.ReflectorHandItem, Count: 1}))
	assert.Equal(t, "reflector", ItemKind(plan.ReflectorItem))
	assert.Equal(t, "reflector-hand", ItemKind(plan.ReflectorHandItem))
	assert.Contains(t, Setting(&plan.Solution{Method: shoot.OpenShade}), "open shade, no flash")
	assert.Contains(t, Setting(&plan.Solution{Method: shoot.Reflector,
		Reflected: plan.Reflected{Turn: scene.Halfway}}), "reflector, no flash")
	assert.NotContains(t, Setting(none), "reflector")
}

// Every way of working is in the glossary.
func TestGlossaryHasTheMethods(t *testing.T) {
	terms := map[string]bool{}
	for _, topic := range Glossary() {
		for _, term := range topic.Terms {
			terms[term.Name] = true
		}
	}
	for _, m := range append(append([]shoot.Method{}, shoot.Methods[:]...), shoot.OpenShade, shoot.Reflector,
		shoot.ReflectorSync) {
		assert.True(t, terms[m.String()], m.String())
	}
}
