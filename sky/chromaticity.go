package sky

import "math"

// chromaticity is the colour of a light without its amount, in the CIE 1960
// uniform chromaticity scale, in which correlated colour temperature is
// defined. No light has v = 0: the zero value stands for no light.
type chromaticity struct{ u, v float64 }

// ofXY returns the chromaticity of CIE 1931 coordinates.
func ofXY(x, y float64) chromaticity {
	d := -2*x + 12*y + 3
	return chromaticity{4 * x / d, 6 * y / d}
}

// Isotherm is a line of equal correlated colour temperature on the CIE 1960
// scale: where it meets the Planckian locus, and its slope dv/du.
type Isotherm struct {
	Mired       float64
	U, V, Slope float64
}

// isotherms are those of Robertson (1968, J. Opt. Soc. Am. 58, 1528) as Wyszecki &
// Stiles print them (Color Science, 2nd ed. 1982, table 1(3.11), from memory).
// Every 10 mired to 100, then every 25.
var isotherms = [...]Isotherm{
	{0, 0.18006, 0.26352, -0.24341},
	{10, 0.18066, 0.26589, -0.25479},
	{20, 0.18133, 0.26846, -0.26876},
	{30, 0.18208, 0.27119, -0.28539},
	{40, 0.18293, 0.27407, -0.30470},
	{50, 0.18388, 0.27709, -0.32675},
	{60, 0.18494, 0.28021, -0.35156},
	{70, 0.18611, 0.28342, -0.37915},
	{80, 0.18740, 0.28668, -0.40955},
	{90, 0.18880, 0.28997, -0.44278},
	{100, 0.19032, 0.29326, -0.47888},
	{125, 0.19462, 0.30141, -0.58204},
	{150, 0.19962, 0.30921, -0.70471},
	{175, 0.20525, 0.31647, -0.84901},
	{200, 0.21142, 0.32312, -1.0182},
	{225, 0.21807, 0.32909, -1.2168},
	{250, 0.22511, 0.33439, -1.4512},
	{275, 0.23247, 0.33904, -1.7298},
	{300, 0.24010, 0.34308, -2.0637},
	{325, 0.24792, 0.34655, -2.4681},
	{350, 0.25591, 0.34951, -2.9641},
	{375, 0.26400, 0.35200, -3.5814},
	{400, 0.27218, 0.35407, -4.3633},
	{425, 0.28039, 0.35577, -5.3762},
	{450, 0.28863, 0.35714, -6.7262},
	{475, 0.29685, 0.35823, -8.5955},
	{500, 0.30505, 0.35907, -11.324},
	{525, 0.31320, 0.35968, -15.628},
	{550, 0.32129, 0.36011, -23.325},
	{575, 0.32931, 0.36038, -40.770},
	{600, 0.33724, 0.36051, -116.45},
}

const lastIsotherm = len(isotherms) - 1

// side returns a negative number for a chromaticity bluer than the isotherm, a
// positive one for a warmer.
func (i *Isotherm) side(c chromaticity) float64 { return c.v - i.V - i.Slope*(c.u-i.U) }

// distance returns how far a chromaticity lies from the isotherm, signed like
// side.
func (i *Isotherm) distance(c chromaticity) float64 {
	return i.side(c) / math.Sqrt(1+i.Slope*i.Slope)
}

// mired returns the reciprocal of the correlated colour temperature, by
// Robertson's interpolation between isotherms; beyond the last it stays at 0
// or 600.
func (c chromaticity) mired() Mired {
	if isotherms[0].side(c) <= 0 {
		return Mired(isotherms[0].Mired)
	}
	if isotherms[lastIsotherm].side(c) >= 0 {
		return Mired(isotherms[lastIsotherm].Mired)
	}
	a, b := c.isotherms()
	from, to := a.distance(c), b.distance(c)
	return Mired(a.Mired + (b.Mired-a.Mired)*from/(from-to))
}

// isotherms returns the two that the chromaticity lies between.
func (c chromaticity) isotherms() (a, b *Isotherm) {
	i, j := 0, lastIsotherm
	for j-i > 1 {
		if k := (i + j) / 2; isotherms[k].side(c) < 0 {
			j = k
		} else {
			i = k
		}
	}
	return &isotherms[i], &isotherms[j]
}

// The natural light of a temperature lies on the CIE daylight locus above
// 5000 K and on the Planckian locus below 4000 K; between, it passes from one
// to the other. 4000 K is the end of the daylight locus, 5000 K is chosen.
const (
	allDaylight  = 200 // mired
	allPlanckian = 250
)

// natural returns the chromaticity of natural light from 40 to 600 mired, the
// nearer end outside. Back by mired, it is off by no more than 0.2.
func natural(m Mired) chromaticity {
	m = max(40, min(m, 600))
	if m <= allDaylight {
		return phase(float64(m))
	}
	c := planckian(float64(m))
	if m < allPlanckian {
		f := float64(allPlanckian-m) / (allPlanckian - allDaylight)
		f *= f * (3 - 2*f)
		d := phase(float64(m))
		c.u += f * (d.u - c.u)
		c.v += f * (d.v - c.v)
	}
	return c
}

// planckian returns the chromaticity of a black body, on straight lines
// between the isotherms.
func planckian(mired float64) chromaticity {
	i := int(mired / 10)
	if mired >= 100 {
		i = 10 + int((mired-100)/25)
	}
	i = min(i, lastIsotherm-1)
	a, b := &isotherms[i], &isotherms[i+1]
	f := (mired - a.Mired) / (b.Mired - a.Mired)
	return chromaticity{a.U + f*(b.U-a.U), a.V + f*(b.V-a.V)}
}

// phase returns the chromaticity of a phase of daylight (CIE 15:2004,
// section 3.1, from memory), 40 to 250 mired. The CIE's cubics in 1/T meet at
// 7000 K within 1e-6.
func phase(mired float64) chromaticity {
	k := mired / 1000 // 1000 K / T
	x := 0.244063 + k*(0.09911+k*(2.9678-k*4.6070))
	if mired < 1e6/7000. {
		x = 0.237040 + k*(0.24748+k*(1.9018-k*2.0064))
	}
	return ofXY(x, x*(2.870-3*x)-0.275)
}

// mixture adds lights up. Their tristimulus values add; in the u, v scale
// that means a mean weighted by illuminance / v (CIE 15, additive mixing).
type mixture struct {
	weight, u float64 // sums of lux / v and of lux / v * u
	lux       float64
}

func (m *mixture) add(c chromaticity, e Lux) {
	if c.v <= 0 || e <= 0 {
		return
	}
	w := float64(e) / c.v
	m.weight += w
	m.u += w * c.u
	m.lux += float64(e)
}

// chromaticity returns that of the sum; the zero value where there is none.
func (m *mixture) chromaticity() chromaticity {
	if m.weight <= 0 {
		return chromaticity{}
	}
	return chromaticity{m.u / m.weight, m.lux / m.weight}
}

// kelvin returns the correlated colour temperature of the sum, 0 where there
// is none.
func (m *mixture) kelvin() Kelvin {
	if m.weight <= 0 {
		return 0
	}
	return m.chromaticity().mired().Kelvin()
}
