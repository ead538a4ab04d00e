package plan

import (
	"context"
	"testing"

	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// with returns the test's shoot with something changed.
func with(change func(*shoot.Shoot)) *shoot.Shoot {
	s := testShoot()
	change(s)
	return s
}

func units(n int) *shoot.Shoot { return with(func(s *shoot.Shoot) { s.Flash.Units = n }) }

// A variant has the figures of its shoot planned alone.
func TestVaryIsEachPlannedAlone(t *testing.T) {
	shoots := []*shoot.Shoot{
		units(1), units(4),
		with(func(s *shoot.Shoot) { s.Subject.Facing = scene.Facing{Side: scene.FrontLit} }),
		with(func(s *shoot.Shoot) { s.Sky[0].Condition = sky.Described(sky.Broken) }),
		with(func(s *shoot.Shoot) { s.Look = shoot.Look{Kind: shoot.BackgroundLook, Ratio: 3, Background: -4} }),
	}
	v, err := Vary(t.Context(), shoots)
	require.NoError(t, err)
	require.Len(t, v.Variants, len(shoots))
	for i, s := range shoots {
		p, err := Make(t.Context(), s)
		require.NoError(t, err)
		got := &v.Variants[i]
		assert.Equal(t, p.Verdict(), got.Verdict)
		assert.Equal(t, p.OutOfReach(), got.Plan.OutOfReach())
		n := p.Index(got.Verdict.Best)
		assert.Equal(t, p.totals()[n].Key.Sets, got.Sets)
		runs := p.RunsOf(n)
		least, flashes := runs[0].LeastHeadroom, runs[0].Flashes
		held, softer, missed := 0, 0, 0
		for k := range runs[0].Minutes {
			worst := runs[0].Minutes[k].Outcome
			if len(runs) > 1 {
				worst = max(worst, runs[1].Minutes[k].Outcome)
			}
			switch worst {
			case Held:
				held++
			case Softer:
				softer++
			case Missed:
				missed++
			}
		}
		if len(runs) > 1 && runs[1].Flashes && (!flashes || runs[1].LeastHeadroom < least) {
			least, flashes = runs[1].LeastHeadroom, true
		}
		assert.Equal(t, [3]int{held, softer, missed}, [3]int{got.Held, got.Softer, got.Missed})
		assert.Equal(t, flashes, got.Flashes)
		if flashes {
			assert.Equal(t, least, got.LeastHeadroom)
		}
	}
}

// More flashes hold more, until they change nothing: then the first counts.
func TestTheBestVariant(t *testing.T) {
	v, err := Vary(t.Context(), []*shoot.Shoot{units(1), units(2), units(4), units(8)})
	require.NoError(t, err)
	for i := 1; i < len(v.Variants); i++ {
		assert.GreaterOrEqual(t, v.Variants[i].Held+v.Variants[i].Softer, v.Variants[i-1].Held+v.Variants[i-1].Softer)
	}
	assert.True(t, v.Variants[v.Best].Equal)
	for i := range v.Best {
		assert.False(t, v.Variants[i].Equal, "the first of equals is the best")
	}
	assert.Positive(t, v.Best, "one flash is not enough")

	same, err := Vary(t.Context(), []*shoot.Shoot{units(2), units(2), units(2)})
	require.NoError(t, err)
	assert.Zero(t, same.Best)
	for i := range same.Variants {
		assert.True(t, same.Variants[i].Equal)
	}
	back, err := Vary(t.Context(), []*shoot.Shoot{units(8), units(1)})
	require.NoError(t, err)
	assert.Zero(t, back.Best)
	assert.False(t, back.Variants[1].Equal)
	assert.Contains(t, []RuleKind{HoldsRule, SucceedsRule, MissRule, ComfortRule}, back.Variants[1].Worse)
}

func TestOutcomeOfAVariant(t *testing.T) {
	assert.Equal(t, Held, (&Variant{Held: 3}).Outcome())
	assert.Equal(t, Softer, (&Variant{Held: 3, Softer: 1}).Outcome())
	assert.Equal(t, Missed, (&Variant{Held: 3, Softer: 1, Missed: 1}).Outcome())
}

// Out of reach is what no value helps.
func TestVaryOutOfReach(t *testing.T) {
	far := with(func(s *shoot.Shoot) { s.Flash.Distance, s.Flash.Units = 30, 1 })
	easy := with(func(s *shoot.Shoot) { s.Flash.Units, s.Flash.Distance = 12, 1 })
	hopeless, err := Vary(t.Context(), []*shoot.Shoot{far, far})
	require.NoError(t, err)
	require.True(t, hopeless.Variants[0].Plan.OutOfReach())
	assert.True(t, hopeless.OutOfReach())
	one, err := Vary(t.Context(), []*shoot.Shoot{far, easy})
	require.NoError(t, err)
	require.False(t, one.Variants[1].Plan.OutOfReach())
	assert.False(t, one.OutOfReach())
}

func TestVaryIsInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := Vary(ctx, []*shoot.Shoot{units(1)})
	assert.ErrorIs(t, err, context.Canceled)
}

// Under a broken sky a way of working succeeds from when it does with the sun
// out and in alike.
func TestSpanOfABrokenSky(t *testing.T) {
	s := with(func(s *shoot.Shoot) { s.Sky[0].Condition = sky.Described(sky.Broken); s.Flash.Distance = 2.5 })
	p, err := Make(t.Context(), s)
	require.NoError(t, err)
	for n, m := range s.Methods {
		from, until := p.span(m)
		list, times := p.outcomes(m)
		for _, r := range p.RunsOf(n) {
			for k := range r.Minutes {
				assert.GreaterOrEqual(t, list[k], r.Minutes[k].Outcome)
				in := !(from.IsZero() && until.IsZero()) && !times[k].Before(from) && (until.IsZero() || !times[k].After(until))
				if in {
					assert.True(t, r.Minutes[k].Outcome.Succeeds(), "%v at %v", m, times[k])
				}
			}
		}
	}
}
