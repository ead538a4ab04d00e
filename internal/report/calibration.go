package report

import (
	"bytes"
	"fmt"
	"io"
	"math"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/sky"
)

// Calibration is a metered test shot with what was found from it.
type Calibration struct {
	Head    flash.Head
	Power   flash.Power
	ISO     exposure.ISO
	With    flash.Reading
	Without flash.Reading // of the ambient light alone; no light where it was not metered
	Found   flash.Calibration
}

// WriteCalibration writes a calibration as text with its arithmetic, and the
// line to paste into a kit or a shoot.
func WriteCalibration(w io.Writer, c *Calibration, o Options) error {
	var b bytes.Buffer
	g := newPage(&b, words{o.ASCII}.testShot(c), nil, o)
	g.line("")
	const indent = 10
	g.hang("Measured", indent, reading(&c.With, c.ISO))
	if c.Without.Light > 0 {
		g.hang("", indent, "without the flash "+reading(&c.Without, c.ISO))
		g.hang("", indent, fmt.Sprintf("the flash alone %s - %s = %s lx s",
			digits(c.With.Light), digits(c.Without.Light), digits(c.Found.Measured)))
	}
	h := &c.Head
	gn := h.GuideNumber()
	bare := 2.5 * gn * gn * c.Power.Fraction() * float64(h.Units) / (h.Distance * h.Distance)
	at := ""
	if zoom := h.HeadZoom(); zoom > 0 {
		at = fmt.Sprintf(", guide number %s m at %s mm", plainly(gn, 1), plainly(zoom, 0))
	}
	g.hang("Kit", indent, fmt.Sprintf("H = 2.5 GN^2 p n / d^2 = 2.5 x %s^2 x %s x %d / %s^2 = %s lx s%s",
		plainly(gn, 2), plainly(c.Power.Fraction(), 4), h.Units, plainly(h.Distance, 2), digits(bare), at))
	if loss := h.Modifier.Loss + h.Gel.Loss; loss != 0 {
		g.hang("", indent, fmt.Sprintf("less %s of modifier and gel = %s lx s", stopsTo(loss, 2), digits(c.Found.Stated)))
	}
	g.hang("Derate", indent, fmt.Sprintf("log2(%s / %s) = %s; the kit has %s", digits(c.Found.Stated), digits(c.Found.Measured),
		stopsTo(c.Found.Derate, 2), stopsTo(h.Unit.Derate, 2)))
	g.line("")
	g.hang("", 0, "For the [flash] section of a shoot, or the definition of the flash in a kit file:")
	g.line("")
	g.line("derate_stops = " + plainly(math.Round(float64(c.Found.Derate)*10)/10, 1)) // a meter shows tenths
	_, err := w.Write(b.Bytes())
	return err
}

// testShot says how the flash was set up.
func (w words) testShot(c *Calibration) string {
	h := &c.Head
	s := fmt.Sprintf("%d %s %s at %s, %s m away, ", h.Units, w.times(), w.text(h.Unit.Name), c.Power, plainly(h.Distance, 2))
	if h.Modifier.Loss != 0 || h.Modifier.Zoom != 0 {
		s += w.text(h.Modifier.Name)
	} else {
		s += "bare"
		if h.Zoom > 0 {
			s += " at " + plainly(h.Zoom, 0) + " mm"
		}
	}
	if h.Gel != (flash.Gel{}) {
		s += ", gel " + w.text(h.Gel.Name)
	}
	return s
}

// reading says what light a flash meter's reading stands for.
func reading(r *flash.Reading, iso exposure.ISO) string {
	if r.FNumber == 0 {
		return digits(r.Light) + " lx s"
	}
	return fmt.Sprintf("H = 250 N^2 / S = 250 x %s^2 / %s = %s lx s", plainly(r.FNumber, 2), plainly(iso.Speed(), 0), digits(r.Light))
}

// digits writes an amount to three digits.
func digits[T ~float64](v T) string {
	x := float64(v)
	if x <= 0 {
		return number(x, 1)
	}
	return plainly(x, max(0, 2-int(math.Floor(math.Log10(x)))))
}

// stopsTo writes a count of stops with at most so many decimals.
func stopsTo(s sky.Stops, decimals int) string { return plainly(float64(s), decimals) + stopWord(s) }
