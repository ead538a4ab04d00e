package plan

import (
	"math"
	"slices"
	"time"

	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// PictureFacts are what else there is to know of the picture under one method,
// over the minutes that succeed; where none does, over all.
type PictureFacts struct {
	Method  shoot.Method
	Flashes bool // at some minute the flash fires, not a fill alone; else Beam is zero

	WhiteBalance     sky.Kelvin // to set
	KeyLow, KeyHigh  sky.Kelvin // colour temperature of the key side's ambient light
	Filter           sky.Stops  // of the densest filter worn
	FilterOn         time.Time  // from when
	FromBehindCamera bool       // direct sun falls on the camera's back while that is worn

	Beam Beam
}

// Beam is how the flash's light lies over the picture.
type Beam struct {
	// Below is how far under the face the figure ends, m, at the feet where Feet
	// is set, else at the lower edge of the framing.
	Below float64
	Feet  bool
	// FallOff is how much less flash falls there than on the face, see
	// flash.Head.FallOff; with daylight and fill added it is between Least and
	// Most.
	FallOff, Least, Most sky.Stops

	Pool          flash.Pool
	Width, Height float64 // m, of the frame at the sitter
	// The flash is aimed at the middle of the figure. How much less it gives
	// beside that: at the middles of the frame's sides, of its upper and lower
	// edge, and at the corners of the figure; +Inf for none at all.
	AtSides, AtEnds, AtFigure sky.Stops
}

// DenseFilter is from how many stops on a filter leaves too little light to
// focus and compose by. Common practice, no source.
const DenseFilter sky.Stops = 6

// Facts returns what else there is to know of the picture under method number
// n.
func (p *Plan) Facts(n int) PictureFacts {
	runs := p.RunsOf(n)
	f := PictureFacts{Method: p.Shoot.Methods[n], WhiteBalance: runs[0].WhiteBalance, Beam: p.beam()}
	f.KeyLow, f.Beam.Least = sky.Kelvin(math.Inf(1)), sky.Stops(math.Inf(1))
	any := slices.ContainsFunc(runs, func(r *Run) bool { return r.Missed < len(r.Minutes) })
	for _, r := range runs {
		for i := range r.Minutes {
			if m := &r.Minutes[i]; m.Outcome.Succeeds() || !any {
				f.add(p.solver, m)
			}
		}
	}
	if !f.Flashes {
		f.Beam = Beam{}
	}
	return f
}

// add takes a minute in.
func (f *PictureFacts) add(v *Solver, m *Minute) {
	if k := v.keyColour(m.Method, m.Moment); k > 0 {
		f.KeyLow, f.KeyHigh = min(f.KeyLow, k), max(f.KeyHigh, k)
	}
	if nd := m.Settings.ND; nd > f.Filter {
		f.Filter, f.FilterOn = nd, m.Time
	}
	if m.Settings.ND >= DenseFilter && m.Light.DirectNormal > 0 &&
		math.Cos(float64(m.Stance.Facing-m.Sun.Azimuth)) > 0 {
		f.FromBehindCamera = true
	}
	if !m.Fires() {
		return
	}
	f.Flashes = true
	steady := float64(m.Ambient.Key) * m.Settings.Shutter.Seconds()
	onFace := float64(m.OnKey) // an ND takes as much from both
	below := steady
	if m.Fill.Fires() {
		fill := float64(m.Fill.OnKey)
		onFace, steady = onFace-fill, steady+fill
		below += fill * (-v.shoot.Fill.FallOff(f.Beam.Below)).Factor()
	}
	loss := sky.StopsOf((steady + onFace) / (below + onFace*(-f.Beam.FallOff).Factor()))
	f.Beam.Least, f.Beam.Most = min(f.Beam.Least, loss), max(f.Beam.Most, loss)
}

// beam is what of a method's light does not depend on the moment.
func (p *Plan) beam() Beam {
	s := p.Shoot
	figure := s.Subject.Figure
	o := s.Optics(s.Lens.Wanted)
	b := Beam{
		Below: -figure.Bottom, Feet: figure == scene.FullLength, Pool: s.Flash.Pool(),
		Height: o.FieldHeight(s.Subject.CameraDistance),
	}
	b.Width = b.Height * float64(o.Width()/o.Height())
	b.FallOff = s.Flash.FallOff(b.Below)
	b.AtSides, b.AtEnds = b.Pool.Loss(b.Width/2, 0), b.Pool.Loss(0, b.Height/2)
	b.AtFigure = b.Pool.Loss(figure.Half, (figure.Top-figure.Bottom)/2)
	return b
}
