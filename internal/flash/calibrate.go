package flash

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"evenfall/internal/exposure"
	"evenfall/sky"
)

// The range that a unit's derating may lie in. A negative one is of a flash
// that gives more than its stated figures.
const (
	LeastDerate sky.Stops = -2
	MostDerate  sky.Stops = 4
)

// ParsePower reads a power as flashes show it: "1/1", "1/4", "1/4+1/3", down
// to 1/1024.
func ParsePower(text string) (Power, error) {
	clean := strings.Join(strings.Fields(text), "")
	for p := Power(0); p >= -60; p-- {
		if p.String() == clean {
			return p, nil
		}
	}
	return 0, fmt.Errorf("%q is no power of a flash", text)
}

// Sets returns an error where the unit has no setting of the power.
func (u *Unit) Sets(p Power) error {
	switch {
	case p > 0 || p < u.LowestPower:
		return fmt.Errorf("the flash has no power %s: it goes from 1/1 to %s", p, u.LowestPower)
	case int(p)%int(u.Click) != 0:
		return fmt.Errorf("the flash has no power %s: it moves by %s stop", p,
			map[exposure.Increment]string{exposure.Third: "1/3", exposure.Half: "1/2", exposure.Full: "one"}[u.Click])
	}
	return nil
}

// Reading is a flash meter's.
type Reading struct {
	Light   exposure.LuxSeconds
	FNumber float64 // exact; 0 for a reading in lux-seconds
}

// The readings that any flash meter could show.
const (
	lowestFNumber, highestFNumber = 0.5, 180
	leastLight, mostLight         = 0.01, 1e5 // lx s
)

// ParseReading reads what a flash meter shows: an f-number for the film speed
// it is set to, "f/5.6", in tenths of a stop beyond it too, "f/5.6+0.4"; or
// lux-seconds, "80lxs". Nominal f-numbers stand for the exact ones.
func ParseReading(text string, iso exposure.ISO) (Reading, error) {
	none := fmt.Errorf("%q is neither an f-number such as f/5.6 nor lux-seconds such as 80lxs", text)
	clean := strings.ToLower(strings.Join(strings.Fields(text), ""))
	for _, unit := range [...]string{"lxs", "lx*s", "lx·s"} {
		number, ok := strings.CutSuffix(clean, unit)
		if !ok {
			continue
		}
		v, err := strconv.ParseFloat(number, 64)
		if err != nil || math.IsNaN(v) {
			return Reading{}, none
		}
		if !(v >= leastLight && v <= mostLight) {
			return Reading{}, fmt.Errorf("%q lies outside %g to %g lx s", text, leastLight, mostLight)
		}
		return Reading{Light: exposure.LuxSeconds(v)}, nil
	}
	clean = strings.TrimPrefix(strings.TrimPrefix(clean, "f"), "/")
	number, beyond, more := strings.Cut(clean, "+")
	n, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsNaN(n) {
		return Reading{}, none
	}
	if !(n >= lowestFNumber && n <= highestFNumber) {
		return Reading{}, fmt.Errorf("%q lies outside f/%g to f/%d", text, lowestFNumber, highestFNumber)
	}
	for _, by := range [...]exposure.Increment{exposure.Third, exposure.Half} {
		if a, err := exposure.ParseAperture(number, by); err == nil && a.Nominal() == number {
			n = a.FNumber()
			break
		}
	}
	if more {
		stops, err := strconv.ParseFloat(beyond, 64)
		if err != nil || !(stops >= 0 && stops < 1) {
			return Reading{}, fmt.Errorf("%q: beyond the f-number come tenths of a stop, 0.1 to 0.9", text)
		}
		n *= math.Exp2(stops / 2)
	}
	return Reading{exposure.FlashReading(n, iso), n}, nil
}

// Calibration is what a metered test shot says of a flash.
type Calibration struct {
	Measured exposure.LuxSeconds // of the flash alone, at the subject
	Stated   exposure.LuxSeconds // by the kit's figures before derating
	Derate   sky.Stops           // that makes the two agree
}

// Mismatch is a test shot too far from the kit's figures to be the loss
// outdoors.
type Mismatch struct{ Derate sky.Stops }

func (m *Mismatch) Error() string {
	side, most := "under", MostDerate
	if m.Derate < 0 {
		side, most = "above", -LeastDerate
	}
	return fmt.Sprintf("the reading lies %.1f stops %s what the kit's figures give, more than the %g that can be put down to the surroundings",
		m.Derate.Abs(), side, float64(most))
}

// ErrNoFlash tells that a reading with flash is no brighter than the one
// without.
var ErrNoFlash = errors.New("the reading with flash is no brighter than the one without")

// Calibrate derives the derating of a flash, as set up, from light measured
// at the subject with the flash at a power, and without it (0 where the flash
// was alone):
//
//	H = 2.5 GN^2 p n / d^2, less modifier, its near field and gel
//	derate = log2(H / measured)
//
// The unit's own derating does not enter. The error is ErrNoFlash or a
// *Mismatch; an error of any other kind is of light that is no number.
func Calibrate(h *Head, p Power, with, without exposure.LuxSeconds) (Calibration, error) {
	measured := float64(with - without)
	if math.IsNaN(measured) || math.IsInf(measured, 0) || without < 0 {
		return Calibration{}, fmt.Errorf("measured light of %g and %g lx s is no light", float64(with), float64(without))
	}
	if measured <= 0 {
		return Calibration{}, ErrNoFlash
	}
	c := Calibration{Measured: with - without}
	stated := float64(h.Full()) * p.Fraction() * h.Unit.Derate.Factor()
	c.Stated = exposure.LuxSeconds(stated)
	c.Derate = sky.StopsOf(stated / measured)
	if !(c.Derate >= LeastDerate && c.Derate <= MostDerate) {
		return Calibration{}, &Mismatch{c.Derate}
	}
	return c, nil
}
