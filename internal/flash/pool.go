package flash

import (
	"math"

	"evenfall/sky"
)

// PoolKind is what shapes the light of a head.
type PoolKind int

// The kinds.
const (
	ByZoom      PoolKind = iota // of a bare head: stretched as its frame is
	ByReflector                 // the reflector of a head without zoom
	ByGrid                      // of round cells as deep as its angle says
	BySurface                   // an even glowing disc: softboxes, umbrellas, dishes
)

// String returns the kind as it is called for programs.
func (k PoolKind) String() string { return [...]string{"zoom", "reflector", "grid", "surface"}[k] }

// Pool is what a head lights of the plane square to its axis at the subject:
// an estimate, for heads, reflectors and modifiers differ.
//
//   - A zoomed head is a stop down at the edges of what it covers, 36/zoom by
//     24/zoom of the distance, and falls with the square of the way out, as a
//     bell curve does (common practice, no source).
//   - A reflector likewise, at the edge of reflectorAngle.
//   - A grid passes what its round cells let through: the share that two equal
//     circles overlap, moved apart with the angle. It is a stop down at the edge
//     of the angle it is marked with (common practice, no source).
//   - A surface is a disc of the modifier's area that glows alike from all
//     sides: its configuration factor to the plane (any radiation handbook).
type Pool struct {
	Kind     PoolKind
	Distance float64 // m

	half   [2]float64 // m from the axis to where it is a stop down, across and upright; but for a surface
	radius float64    // m, of a surface
}

// reflectorAngle is the whole angle of a bare head's fixed reflector, to a stop
// down. Common practice, no source: 55 to 75 degrees.
const reflectorAngle = sky.Angle(65 * math.Pi / 180)

// Pool returns what the heads light at the subject.
func (h *Head) Pool() Pool {
	m := &h.Modifier
	p := Pool{Distance: h.Distance}
	round := func(angle sky.Angle) {
		out := h.Distance * math.Tan(float64(angle)/2)
		p.half = [2]float64{out, out}
	}
	switch {
	case m.Grid > 0:
		p.Kind = ByGrid
		round(m.Grid)
	case !m.Bare():
		p.Kind, p.radius = BySurface, math.Sqrt(m.radiusSquared())
	case h.HeadZoom() > 0:
		w, t := Cover(h.HeadZoom())
		p.half = [2]float64{w * h.Distance / 2, t * h.Distance / 2}
	default:
		p.Kind = ByReflector
		round(reflectorAngle)
	}
	return p
}

// Loss returns by how many stops less than on the axis the light is so many m
// across and upright from it; +Inf where none falls.
func (p *Pool) Loss(across, upright float64) sky.Stops {
	switch p.Kind {
	case BySurface:
		return sky.StopsOf(p.disc(0) / p.disc(math.Hypot(across, upright)))
	case ByGrid:
		return sky.StopsOf(1 / overlap(overlapHalf*math.Hypot(across, upright)/p.half[0]))
	}
	x, y := across/p.half[0], upright/p.half[1]
	return sky.Stops(x*x + y*y)
}

// disc returns the configuration factor from a small plane to a parallel disc
// whose axis lies so many m aside.
func (p *Pool) disc(aside float64) float64 {
	x, r, d := aside*aside, p.radius*p.radius, p.Distance*p.Distance
	if r < 1e-6*d { // a point that glows by the cosine; the form below would lose its digits
		return r * d / ((d + x) * (d + x))
	}
	sum := d + x + r
	return (1 - (d+x-r)/math.Sqrt(sum*sum-4*r*x)) / 2
}

// overlapHalf is how far apart, in diameters, two circles overlap by half.
const overlapHalf = 0.4039727532995173

// overlap returns the share of their area that two equal circles have in
// common, so many diameters apart.
func overlap(apart float64) float64 {
	if apart >= 1 {
		return 0
	}
	return 2 / math.Pi * (math.Acos(apart) - apart*math.Sqrt(1-apart*apart))
}

// Within returns how wide and how high the pool is that is lit no more than so
// many stops under the axis, above 0, in m.
func (p *Pool) Within(stops sky.Stops) (width, height float64) {
	return 2 * reach(stops, func(out float64) sky.Stops { return p.Loss(out, 0) }),
		2 * reach(stops, func(out float64) sky.Stops { return p.Loss(0, out) })
}

// reach returns how far out a loss that grows is no more than so many stops,
// within a tenth of a millimetre.
func reach(stops sky.Stops, loss func(float64) sky.Stops) float64 {
	far := 0.01
	for loss(far) <= stops && far < 1e4 {
		far *= 2
	}
	near := 0.0
	for far-near > 1e-4 {
		if middle := (near + far) / 2; loss(middle) <= stops {
			near = middle
		} else {
			far = middle
		}
	}
	return near
}

// FallOff returns by how many stops less light than the face an upright plane
// gets that lies so many m straight below it, both turned to the flash, which
// stands at the height of the face: by the square of the distance, the slant
// and the near field of the modifier. How the head's own light goes off beside
// its axis does not count, see Pool: aimed between the two, it takes as much
// from either.
func (h *Head) FallOff(below float64) sky.Stops {
	d := h.Distance
	far := math.Hypot(d, below)
	at := func(distance float64) float64 { return h.Modifier.NearField(distance) / (distance * distance) }
	return sky.StopsOf(at(d) / (at(far) * d / far))
}
