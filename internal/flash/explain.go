package flash

import (
	"fmt"

	"evenfall/internal/exposure"
	"evenfall/sky"
)

const makers = "the maker's table, as the kit states it"

// Explain tells what the head gives at full power at the subject, from the
// guide number to the losses.
func (h *Head) Explain() []sky.Step {
	u := h.Unit
	zoom := h.HeadZoom()
	a, b := u.guideRows(zoom)
	guide := sky.Step{Title: "Guide number at " + sky.Figures(zoom) + " mm GN", Formula: "GN1 (GN2 / GN1)^(ln(z / z1) / ln(z2 / z1)), between two rows of the table",
		Value: h.GuideNumber(), Unit: "m, ISO 100", Source: makers + "; straight lines in logarithms"}
	if zoom == 0 {
		guide.Title = "Guide number GN"
	}
	if a == b || zoom == b.Zoom {
		guide.Formula, guide.Source = "from the table", makers
	} else {
		guide.Numbers = sky.Expression("# * (# / #)^(ln(# / #) / ln(# / #))", a.Number, b.Number, a.Number, zoom, a.Zoom, b.Zoom, a.Zoom)
	}
	return []sky.Step{guide,
		{Title: "Taken off outdoors", Formula: "stated, for surroundings that throw no light back", Value: float64(u.Derate), Unit: "stops",
			Source: "common practice, no source; a test shot tells", Estimate: true},
		{Title: "Losses together", Formula: "outdoors + modifier + gel", Numbers: sky.Expression("# + # + #", float64(u.Derate), float64(h.Modifier.Loss), float64(h.Gel.Loss)),
			Value: float64(h.Loss()), Unit: "stops", Source: "the kit", Estimate: true},
		{Title: "Full power at the subject Hf", Formula: "Hf = 2.5 GN² n / d² * 2^-losses, n units, d metres away",
			Numbers: sky.Expression("2.5 * #^2 * # / #^2 * 2^(-#)", h.GuideNumber(), float64(h.Units), h.Distance, float64(h.Loss())),
			Value:   float64(h.Full()), Unit: "lx s", Source: "GN = N d at ISO 100 and H = 250 N² / S, ISO 2720:1974", Estimate: true},
	}
}

// ExplainHighSpeed tells what high-speed sync costs at a shutter time, and what
// share of the light is left.
func (u *Unit) ExplainHighSpeed(t exposure.Shutter) []sky.Step {
	loss := u.HighSpeedLoss(t)
	step := sky.Step{Title: "Loss of high-speed sync", Value: float64(loss), Unit: "stops", Estimate: true}
	if len(u.Losses) == 0 {
		step.Formula = "log2(T / t), T what the even burst stands for; not below 0"
		step.Numbers = sky.Expression("max(0, log2(# / #))", u.Plateau, t.Seconds())
		step.Source = "a burst of even light and fixed energy, of which a row of the sensor catches t / T; T by three instruction manuals"
	} else {
		a, b := u.lossRows(t)
		step.Source = makers
		if a == b {
			step.Formula = fmt.Sprintf("stated at %s, and one stop for each stop of shutter beyond; not below 0", a.Shutter)
			step.Numbers = sky.Expression("max(0, # + # / #)", float64(a.Loss), float64(t-a.Shutter), shutterPerStop)
		} else {
			step.Formula = fmt.Sprintf("a straight line over the stops from %s to %s", a.Shutter, b.Shutter)
			step.Numbers = sky.Expression("# + (# - #) * # / #", float64(a.Loss), float64(b.Loss), float64(a.Loss), float64(t-a.Shutter), float64(b.Shutter-a.Shutter))
		}
	}
	return []sky.Step{step, {Title: "Share of the flash caught", Formula: "2^-loss", Numbers: sky.Expression("2^-#", float64(loss)),
		Value: (-loss).Factor(), Estimate: true}}
}

// ExplainRecycle tells the wait for the next flash at a power.
func (u *Unit) ExplainRecycle(p Power) sky.Step {
	return sky.Step{Title: "Recycling", Formula: "full power's time * power, no less than the floor",
		Numbers: sky.Expression("max(#, # * #)", u.RecycleFloor, u.RecycleFull, p.Fraction()), Value: u.Recycle(p), Unit: "s", Source: makers}
}
