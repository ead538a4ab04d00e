package flash

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// What a working says is what the answer is made of.
func TestWorkings(t *testing.T) {
	u := &Unit{Guide: []GuideNumber{{Zoom: 24, Number: 28}, {Zoom: 35, Number: 36}, {Zoom: 50, Number: 42}}, Plateau: 16 * time.Millisecond}
	for _, c := range []struct {
		zoom     float64
		from, to int
	}{{20, 0, 0}, {24, 0, 0}, {30, 0, 1}, {35, 1, 1}, {50, 2, 2}, {80, 2, 2}} {
		h := Head{Unit: u, Units: 1, Distance: 1, Zoom: c.zoom}
		w := h.GuideWorking()
		assert.Equal(t, GuideWorking{h.Guide(), u.Guide[c.from], u.Guide[c.to]}, w, "%v mm", c.zoom)
		assert.Equal(t, h.GuideNumber(), w.Number, "%v mm", c.zoom)
	}
	assert.Equal(t, HighSpeedWorking{Loss: u.HighSpeedLoss(66), Plateau: 16 * time.Millisecond}, u.HighSpeedWorking(66))
	u.Losses = []SpeedLoss{{50, 2.4}, {66, 5}}
	assert.Equal(t, HighSpeedWorking{u.HighSpeedLoss(60), 0, u.Losses[0], u.Losses[1]}, u.HighSpeedWorking(60))
	assert.Equal(t, HighSpeedWorking{u.HighSpeedLoss(70), 0, u.Losses[1], u.Losses[1]}, u.HighSpeedWorking(70))
}
