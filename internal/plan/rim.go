package plan

import (
	"evenfall/internal/exposure"
	"evenfall/sky"
)

// rim sets the second group of flashes for a setting of the camera: so many
// stops above what the key side gets, which is a normal exposure plus bias.
// Ambient light does not count, it comes from elsewhere. It returns nil where they
// cannot fire.
func (v *Solver) rim(e *setting) (*RimFlash, *Problem) {
	r := v.shoot.Rim
	key := e.need * exposure.LuxSeconds(v.shoot.Look.Bias.Factor())
	wanted := key * exposure.LuxSeconds(r.Over.Factor())
	available := r.Full()
	if e.Shutter > v.shoot.Camera.Sync {
		if !r.Unit.HighSpeed {
			return nil, &Problem{Kind: RimNoHighSpeed}
		}
		available *= exposure.LuxSeconds((-r.Unit.HighSpeedLoss(e.Shutter)).Factor())
	}
	headroom := sky.StopsOf(float64(available / wanted))
	power, upper := r.Unit.About(headroom)
	if headroom+upper.Stops() < -headroom-power.Stops() {
		power = upper
	}
	added := available * exposure.LuxSeconds(power.Fraction())
	f := &RimFlash{
		Power: power, Added: added, Headroom: headroom,
		Over: sky.StopsOf(float64(added / key)), Recycle: r.Unit.Recycle(power),
	}
	// Half a click is what rounding may miss by.
	half := max(v.within, sky.Stops(r.Unit.Click.Stops()/2))
	switch miss := f.Over - r.Over; {
	case headroom < 0:
		return f, &Problem{RimTooWeak, -headroom}
	case miss > half+1e-9:
		return f, &Problem{RimTooStrong, miss}
	}
	return f, nil
}
