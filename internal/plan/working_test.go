package plan

import (
	"math"
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

// How far a flash brings a ratio of 3:1 from its place, by hand: it can where
// R far - near and cos(45 - phi) - R cos(45 + phi) have one sign.
func TestReach(t *testing.T) {
	sixth := math.Exp2(1. / 6)
	for _, c := range []struct {
		near, degrees float64
		aim           float64
		how           Reach
	}{
		{1000, 30, 3 / sixth, Reached},
		{1000, 0, 3 / sixth, KeyAlone},
		{8000, 15, 3 * sixth, Reached},
		{8000, -45, 3 * sixth, Reached},
		{8000, 45, 3 * sixth, FillUseless},
		{3000, 20, 3, RatioNear},
		{3300, 20, 3, RatioNear}, // 0.14 stop
		{3400, 20, 3 * sixth, Reached},
	} {
		aim, how := lampAt(sky.Degrees(c.degrees)).reach(3, sky.Lux(c.near), 1000)
		assert.InDelta(t, c.aim, aim, 1e-12, c)
		assert.Equal(t, c.how, how, c)
	}
}
