package flash

import (
	"time"

	"evenfall/internal/exposure"
	"evenfall/sky"
)

// GuideWorking is how the guide number of a head comes about.
type GuideWorking struct {
	GuideInUse
	From, To GuideNumber // the rows of the table that the zoom lies between; the same where one row gives the number
}

// GuideWorking returns how Guide comes to its answer.
func (h *Head) GuideWorking() GuideWorking {
	w := GuideWorking{GuideInUse: h.Guide()}
	if w.From, w.To = h.Unit.GuideRows(w.Zoom); w.Zoom == w.From.Zoom {
		w.To = w.From
	}
	return w
}

// HighSpeedWorking is how the loss of high-speed sync comes about.
type HighSpeedWorking struct {
	Loss     sky.Stops
	Plateau  time.Duration // T_eq of the even burst; 0 where losses are stated
	From, To SpeedLoss     // the stated losses that the shutter lies between; the same beyond their ends
}

// HighSpeedWorking returns how HighSpeedLoss comes to its answer.
func (u *Unit) HighSpeedWorking(t exposure.Shutter) HighSpeedWorking {
	w := HighSpeedWorking{Loss: u.HighSpeedLoss(t)}
	if len(u.Losses) == 0 {
		w.Plateau = u.Plateau
		return w
	}
	w.From, w.To = u.lossRows(t)
	return w
}
