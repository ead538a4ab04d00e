package report

import (
	"fmt"
	"math"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/words"
	"evenfall/sky"
)

// calibrationSchema names the contract of a calibration. It only ever grows.
const calibrationSchema = "evenfall/calibration/1"

// Calibration is a metered test shot with what was found from it.
type Calibration struct {
	Head    flash.Head
	Power   flash.Power
	ISO     exposure.ISO
	With    flash.Reading
	Without flash.Reading // of the ambient light alone; no light where it was not metered
	Found   flash.Calibration
}

// bare is what the kit's figures give of the heads without a modifier and gel,
// before derating: 2.5 GN^2 p n / d^2.
func (c *Calibration) bare() exposure.LuxSeconds {
	h := &c.Head
	gn, constant := h.GuideNumber(), float64(exposure.EV(0).Lux())
	return exposure.LuxSeconds(constant * gn * gn * c.Power.Fraction() * float64(h.Units) / (h.Distance * h.Distance))
}

// covered is what modifier and gel take, by the kit's figures and the
// distance.
func (c *Calibration) covered() sky.Stops { return sky.StopsOf(float64(c.bare() / c.Found.Stated)) }

// derate is what was found, to the tenth of a stop that a meter shows.
func (c *Calibration) derate() sky.Stops {
	return sky.Stops(math.Round(float64(c.Found.Derate)*10) / 10)
}

// Report describes a calibration with its arithmetic, and the line to paste
// into a kit or a shoot.
func (c *Calibration) Report() *Report {
	derate := c.derate()
	d := Document{Title: c.setUp()}
	d.Add(Facts{{Label: "Result", Text: lossOutdoors(derate) + "; the kit has " + lossOutdoors(c.Head.Unit.Derate)}},
		Heading{Text: "Arithmetic"}, c.arithmetic(),
		Heading{Text: "For [flash] of a shoot, or the flash in a kit file"},
		Code{Language: "toml", Text: fmt.Sprintf("derate_stops = %g", float64(derate))})
	return &Report{Summary: fmt.Sprintf("derate_stops = %g", float64(derate)), Document: d, Data: c.document()}
}

// lossOutdoors says what a flash loses, or gains, against its figures.
func lossOutdoors(derate sky.Stops) string {
	if derate < 0 {
		return words.StopsTo(-derate, 2) + " more than stated"
	}
	return words.StopsTo(derate, 2) + " less than stated"
}

// arithmetic shows how the light was measured, what the kit's figures give,
// and what makes the two agree.
func (c *Calibration) arithmetic() Facts {
	h, found := &c.Head, &c.Found
	facts := Facts{{Label: "Measured", Text: metered(&c.With, c.ISO)}}
	if c.Without.Light > 0 {
		facts = append(facts, Fact{Label: "Without", Text: metered(&c.Without, c.ISO)},
			Fact{Label: "Flash alone", Text: luxSeconds(c.With.Light) + " − " + luxSeconds(c.Without.Light) +
				" = " + luxSeconds(found.Measured) + " lx s"})
	}
	gn, at := h.GuideNumber(), ""
	if zoom := h.HeadZoom(); zoom > 0 {
		at = fmt.Sprintf(", guide number %s at %s mm", words.Metres(gn), words.UpTo(zoom, 0))
	}
	facts = append(facts, Fact{Label: "Kit",
		Text: fmt.Sprintf("H = 2.5 GN² p n / d² = 2.5 × %s² × %s × %d / %s² = %s lx s%s", words.UpTo(gn, 2),
			words.UpTo(c.Power.Fraction(), 4), h.Units, words.UpTo(h.Distance, 2), luxSeconds(c.bare()), at)})
	if loss := c.covered(); math.Abs(float64(loss)) > 0.005 {
		facts = append(facts, Fact{Label: "Covered",
			Text: fmt.Sprintf("less %s of modifier, its near field and gel = %s lx s",
				words.StopsTo(loss, 2), luxSeconds(found.Stated))})
	}
	return append(facts, Fact{Label: "Derate", Text: fmt.Sprintf("log2(%s / %s) = %s", luxSeconds(found.Stated),
		luxSeconds(found.Measured), words.StopsTo(found.Derate, 2))})
}

// luxSeconds writes an exposure to three digits.
func luxSeconds(h exposure.LuxSeconds) string { return words.Digits(float64(h), 3) }

// setUp says how the flash was set up.
func (c *Calibration) setUp() string {
	h := &c.Head
	s := h.Unit.Name
	if h.Units != 1 {
		s = words.Count(h.Units, "flash") + " " + s
	}
	s += fmt.Sprintf(" at %s, %s away, ", c.Power, words.Metres(h.Distance))
	switch {
	case h.Modifier.Loss != 0 || h.Modifier.Zoom != 0:
		s += h.Modifier.Name
	case h.Zoom > 0:
		s += "bare at " + words.UpTo(h.Zoom, 0) + " mm"
	default:
		s += "bare"
	}
	if h.Gel != (flash.Gel{}) {
		s += ", gel " + h.Gel.Name
	}
	return s
}

// metered says what light a flash meter's reading stands for.
func metered(r *flash.Reading, iso exposure.ISO) string {
	if r.FNumber == 0 {
		return luxSeconds(r.Light) + " lx s"
	}
	return fmt.Sprintf("H = 250 N² / S = 250 × %s² / %s = %s lx s", words.UpTo(r.FNumber, 2),
		words.UpTo(iso.Speed(), 0), luxSeconds(r.Light))
}

// calibrationDocument is a calibration for programs. Light is in lux-seconds
// at the subject.
type calibrationDocument struct {
	Schema    string  `json:"schema"`
	Flash     string  `json:"flash"`
	Units     int     `json:"units"`
	Power     figure  `json:"power"`
	PowerText string  `json:"power_text"`
	Distance  figure  `json:"distance_m"`
	Zoom      figure  `json:"zoom_mm"` // null for a head without zoom
	Guide     figure  `json:"guide_number_m"`
	Modifier  *string `json:"modifier"`
	Gel       *string `json:"gel"`
	ISO       figure  `json:"iso"`
	With      figure  `json:"with_flash_lux_seconds"`
	Without   figure  `json:"without_flash_lux_seconds"` // 0 where it was not metered
	Measured  figure  `json:"measured_lux_seconds"`
	Stated    figure  `json:"stated_lux_seconds"` // by the kit, before derating
	Kit       figure  `json:"kit_derate_stops"`
	Found     figure  `json:"derate_stops"`
}

func (c *Calibration) document() *calibrationDocument {
	h := &c.Head
	d := &calibrationDocument{Schema: calibrationSchema, Flash: h.Unit.Name, Units: h.Units,
		Power:     exact(c.Power.Fraction()),
		PowerText: c.Power.String(), Distance: exact(h.Distance), Zoom: known(h.HeadZoom()),
		Guide: exact(h.GuideNumber()),
		ISO:   exact(c.ISO.Speed()), With: amount(c.With.Light), Without: amount(c.Without.Light),
		Measured: amount(c.Found.Measured),
		Stated:   amount(c.Found.Stated), Kit: exact(float64(h.Unit.Derate)), Found: fixed(c.Found.Derate, 3)}
	if !h.Modifier.Bare() {
		d.Modifier = &h.Modifier.Name
	}
	if h.Gel != (flash.Gel{}) {
		d.Gel = &h.Gel.Name
	}
	return d
}
