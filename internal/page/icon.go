package page

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
)

// icon draws the mark of a site, so many pixels square: the sitter, a disc, with
// the flash before it, a bar, as the page draws them. All of it lies within the
// middle that no home screen cuts off: a circle of 0.4 of the width about the
// middle (W3C, Web Application Manifest, "safe zone").
func icon(size int) ([]byte, error) {
	ground, mark := color.RGBA{0x16, 0x16, 0x16, 0xff}, color.RGBA{0xff, 0xff, 0xff, 0xff}
	img := image.NewRGBA(image.Rect(0, 0, size, size))
	for y := range size {
		for x := range size {
			at := func(v int) float64 { return (float64(v) + 0.5) / float64(size) }
			far := min(fromDisc(at(x), at(y)), fromBar(at(x), at(y)))
			share := max(0, min(0.5-far*float64(size), 1)) // of the pixel
			img.SetRGBA(x, y, mixed(ground, mark, share))
		}
	}
	var b bytes.Buffer
	err := png.Encode(&b, img)
	return b.Bytes(), err
}

// fromDisc is how far a point lies outside of the disc, in widths of the icon.
func fromDisc(x, y float64) float64 { return math.Hypot(x-0.59, y-0.41) - 0.16 }

// fromBar is how far a point lies outside of the bar, which has round ends.
func fromBar(x, y float64) float64 {
	const ax, ay, bx, by, half = 0.27, 0.53, 0.47, 0.73, 0.045
	along := max(0, min(((x-ax)*(bx-ax)+(y-ay)*(by-ay))/((bx-ax)*(bx-ax)+(by-ay)*(by-ay)), 1))
	return math.Hypot(x-ax-along*(bx-ax), y-ay-along*(by-ay)) - half
}

func mixed(a, b color.RGBA, share float64) color.RGBA {
	part := func(a, b uint8) uint8 { return uint8(math.Round(float64(a) + share*(float64(b)-float64(a)))) }
	return color.RGBA{part(a.R, b.R), part(a.G, b.G), part(a.B, b.B), 0xff}
}
