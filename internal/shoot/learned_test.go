package shoot_test

import (
	"testing"
	"time"

	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

// The latest reading of the sky that is there counts, from its time on, and
// fades.
func TestCorrectionAt(t *testing.T) {
	six := time.Date(2027, 9, 18, 18, 0, 0, 0, time.UTC)
	overcast, clear := sky.Described(sky.Overcast), sky.Described(sky.Clear)
	hourly := shoot.Fading{Light: time.Hour, Told: 2 * time.Hour}
	s := shoot.Shoot{Learned: []shoot.Learned{
		{From: six, Under: overcast, By: sky.Correction{Sky: -1, Told: 0.8}, Fades: hourly},
		{From: six.Add(time.Hour), Under: clear, By: sky.Correction{Turbidity: 2, Told: 0.9}},
		{From: six.Add(2 * time.Hour), Under: overcast, By: sky.Correction{Sky: 0.5}, Fades: hourly},
	}}
	at := func(after time.Duration, c sky.Condition) sky.Correction {
		return s.CorrectionAt(six.Add(after), c, sky.SunOut)
	}
	assert.Zero(t, at(-time.Second, overcast))
	assert.Equal(t, sky.Correction{Sky: -1, Told: 0.8}, at(0, overcast))
	later := at(time.Hour, overcast)
	assert.InDelta(t, -1/2.718281828, float64(later.Sky), 1e-9)
	assert.InDelta(t, 0.8/1.648721271, later.Told, 1e-9)
	assert.Equal(t, sky.Correction{Sky: 0.5}, at(2*time.Hour, overcast))
	assert.Zero(t, at(30*time.Minute, clear))
	assert.Equal(t, 2., at(9*time.Hour, clear).Turbidity)
	assert.Zero(t, s.CorrectionAt(six.Add(9*time.Hour), clear, sky.SunIn))
}
