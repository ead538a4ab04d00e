package plan

import (
	"testing"
	"time"

	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// hazier is a reading at a time into the window that says haze.
func hazier(from time.Time, after time.Duration, by float64) shoot.Learned {
	return shoot.Learned{From: from.Add(after), By: sky.Correction{Turbidity: by, Told: 0.9}}
}

// What was planned for the time before a reading stays as it was, minute by
// minute; after it the light is the reading's, and the flash stands where it
// stood.
func TestWhatIsPastStays(t *testing.T) {
	for _, word := range []sky.Word{sky.Clear, sky.Broken} {
		s := testShoot()
		s.Sky = []shoot.SkySpan{{Condition: sky.Described(word)}}
		before, err := Make(t.Context(), s)
		require.NoError(t, err)
		from, to := before.Window()
		first := to.Sub(from) / 3
		one := hazier(from, first, 1.5)
		two := hazier(from, 2*first, 2)
		one.Under, two.Under = s.Sky[0].Condition, s.Sky[0].Condition
		read := *s
		read.Learned = []shoot.Learned{one}
		after, err := Make(t.Context(), &read)
		require.NoError(t, err)
		again := *s
		again.Learned = []shoot.Learned{one, two}
		last, err := Make(t.Context(), &again)
		require.NoError(t, err)
		changed := 0
		for i := range before.Runs {
			was, is, then := &before.Runs[i], &after.Runs[i], &last.Runs[i]
			require.Len(t, is.Minutes, len(was.Minutes))
			assert.Equal(t, was.Places, is.Places)
			assert.Equal(t, was.Places, then.Places)
			for n := range was.Minutes {
				at := was.Minutes[n].Time
				if at.Before(one.From) {
					assert.Equal(t, was.Minutes[n].Solution, is.Minutes[n].Solution)
				} else if was.Minutes[n].Light != is.Minutes[n].Light {
					changed++
				}
				if at.Before(two.From) {
					assert.Equal(t, is.Minutes[n].Solution, then.Minutes[n].Solution)
				}
			}
		}
		assert.Positive(t, changed)
	}
}

// The rest of a plan is the plan from there on.
func TestRest(t *testing.T) {
	for _, word := range []sky.Word{sky.Clear, sky.Broken} {
		s := testShoot()
		s.Sky = []shoot.SkySpan{{Condition: sky.Described(word)}}
		p, err := Make(t.Context(), s)
		require.NoError(t, err)
		from, to := p.Window()
		same, err := p.Rest(t.Context(), from.Add(-time.Hour))
		require.NoError(t, err)
		assert.Same(t, p, same)
		cut := from.Add(7*time.Minute + 20*time.Second)
		rest, err := p.Rest(t.Context(), cut)
		require.NoError(t, err)
		first, last := rest.Window()
		assert.Equal(t, from.Add(8*time.Minute), first, "the next full minute")
		assert.Equal(t, to, last)
		assert.Equal(t, first, rest.Rows[0].Time.In(first.Location()))
		assert.Equal(t, p.At(first)[0].Methods[0].Settings, rest.Rows[0].Methods[0].Settings)
		for i := range rest.Runs {
			whole, r := &p.Runs[i], &rest.Runs[i]
			assert.Len(t, r.Minutes, len(whole.Minutes)-8)
			assert.Equal(t, len(r.Minutes), r.Held+r.Softer+r.Missed)
			assert.Equal(t, whole.Minutes[8].Solution, r.Minutes[0].Solution)
		}
		for k := range 3 {
			at := first.Add(time.Duration(k) * time.Minute)
			assert.Equal(t, p.At(at)[0].Methods, rest.At(at)[0].Methods)
		}
		end, err := p.Rest(t.Context(), to)
		require.NoError(t, err)
		assert.Len(t, end.Runs[0].Minutes, 1)
		assert.NotPanics(t, func() { end.Verdict() })
	}
}

// Against itself a plan is as planned; of haze the adjustment tells that the
// lit side is darker, and goes on with the same method while it does.
func TestAdjust(t *testing.T) {
	s := testShoot()
	p, err := Make(t.Context(), s)
	require.NoError(t, err)
	from, _ := p.Window()
	a, err := Adjust(t.Context(), p, p, from.Add(10*time.Minute), sky.SunOut)
	require.NoError(t, err)
	assert.Zero(t, a.Lit)
	assert.Zero(t, a.Shade)
	assert.Equal(t, a.Was, a.Method)
	assert.Equal(t, a.Next[0], a.Next[1])
	read := *s
	l := hazier(from, 10*time.Minute, 2)
	l.Under = s.Sky[0].Condition
	read.Learned = []shoot.Learned{l}
	after, err := Make(t.Context(), &read)
	require.NoError(t, err)
	a, err = Adjust(t.Context(), p, after, l.From, sky.SunOut)
	require.NoError(t, err)
	assert.Less(t, float64(a.Lit), -0.1)
	assert.Greater(t, float64(a.Shade), float64(a.Lit))
	assert.GreaterOrEqual(t, a.After.succeeds(a.Method), a.After.succeeds(a.Was))
	assert.Equal(t, l.By.Turbidity, a.At.Correction.Turbidity)
}
