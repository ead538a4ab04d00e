package sky

import "math"

// Bands of the three planes, fitted by quantile regression to the minutes at
// Kgs. Lyngby that each word means (testdata/daylight/README.md has the rules),
// so that about eight of ten minutes of a year not seen lie within. On the
// horizon and below, where sunlit words have no measurements, they are
// judgement: there the level under a clear sky reaches up to what a calculation
// of low suns in clear air gives, 0.25 to 0.65 stop above the twilight table.

// bandAltitudes are the apparent altitudes of the sun, in degrees, that the
// bands are given for; between them they go along straight lines.
var bandAltitudes = [...]float64{-1, 0, 4.5, 8, 15, 27, 45}

// bandRow is a band at the altitudes of bandAltitudes.
type bandRow struct{ low, high [len(bandAltitudes)]Stops }

// bands are those of a condition.
type bands struct {
	level, lit, shade bandRow
	cloudless         bool
}

var clearBands = bands{
	cloudless: true,
	level: bandRow{
		[...]Stops{-0.8, -0.45, -0.23, -0.15, -0.12, -0.07, -0.065},
		[...]Stops{0.65, 0.55, 0.29, 0.14, 0.08, 0.09, 0.06}},
	lit: bandRow{
		[...]Stops{-0.9, -1.2, -0.86, -0.45, -0.24, -0.13, -0.06},
		[...]Stops{0.6, 0.8, 0.44, 0.28, 0.13, 0.09, 0.065}},
	shade: bandRow{
		[...]Stops{-0.9, -0.45, -0.25, -0.28, -0.26, -0.25, -0.18},
		[...]Stops{0.6, 0.5, 0.45, 0.31, 0.3, 0.43, 0.36}},
}

var hazyBands = bands{
	cloudless: true,
	level: bandRow{
		[...]Stops{-0.9, -0.4, -0.28, -0.32, -0.2, -0.09, -0.04},
		[...]Stops{0.5, 0.5, 0.6, 0.16, 0.12, 0.08, 0.09}},
	lit: bandRow{
		[...]Stops{-1, -0.6, -0.4, -0.45, -0.29, -0.13, -0.04},
		[...]Stops{0.6, 0.5, 0.44, 0.2, 0.12, 0.07, 0.09}},
	shade: bandRow{
		[...]Stops{-1, -0.5, -0.29, -0.28, -0.17, -0.13, -0.11},
		[...]Stops{0.6, 0.6, 0.66, 0.16, 0.18, 0.34, 0.27}},
}

var thinBands = bands{
	level: bandRow{
		[...]Stops{-0.9, -0.6, -0.48, -0.45, -0.41, -0.39, -0.4},
		[...]Stops{0.5, 0.5, 0.48, 0.52, 0.32, 0.27, 0.25}},
	lit: bandRow{
		[...]Stops{-1, -1.1, -0.69, -0.79, -0.78, -0.59, -0.48},
		[...]Stops{0.6, 0.6, 0.74, 0.65, 0.48, 0.34, 0.28}},
	shade: bandRow{
		[...]Stops{-1, -0.6, -0.47, -0.42, -0.3, -0.25, -0.24},
		[...]Stops{0.6, 0.45, 0.47, 0.49, 0.33, 0.26, 0.23}},
}

var sunOutBands = bands{
	level: bandRow{
		[...]Stops{-0.9, -0.5, -0.3, -0.2, -0.19, -0.2, -0.22},
		[...]Stops{0.6, 0.35, 0.38, 0.34, 0.28, 0.22, 0.11}},
	lit: bandRow{
		[...]Stops{-1, -0.6, -0.42, -0.38, -0.33, -0.28, -0.24},
		[...]Stops{0.6, 0.9, 0.5, 0.22, 0.17, 0.17, 0.11}},
	shade: bandRow{
		[...]Stops{-1, -0.55, -0.37, -0.27, -0.34, -0.38, -0.49},
		[...]Stops{0.6, 0.35, 0.44, 0.51, 0.51, 0.44, 0.28}},
}

// Without sun all planes go with the sky alone.
var (
	sunInBands = evenBands(
		[...]Stops{-0.9, -0.5, -0.52, -0.53, -0.52, -0.61, -0.74},
		[...]Stops{0.8, 0.73, 0.55, 0.62, 0.67, 0.6, 0.51})
	overcastBands = evenBands(
		[...]Stops{-1.4, -1.39, -1.51, -1.24, -1.27, -1.23, -1.2},
		[...]Stops{1.15, 1.15, 0.92, 0.95, 0.85, 0.85, 0.71})
	heavyBands = evenBands(
		[...]Stops{-1.2, -1.05, -0.99, -0.91, -0.77, -0.97, -0.94},
		[...]Stops{0.8, 0.62, 0.56, 0.56, 0.6, 0.57, 0.67})
)

// turbidityBands are what remains when the turbidity is known within 0.25.
var turbidityBands = bands{
	cloudless: true,
	level: bandRow{
		[...]Stops{-0.8, -0.4, -0.18, -0.12, -0.06, -0.04, -0.04},
		[...]Stops{0.65, 0.55, 0.28, 0.14, 0.09, 0.07, 0.05}},
	lit: bandRow{
		[...]Stops{-0.9, -0.5, -0.23, -0.16, -0.09, -0.05, -0.04},
		[...]Stops{0.6, 0.5, 0.24, 0.16, 0.1, 0.07, 0.05}},
	shade: bandRow{
		[...]Stops{-0.9, -0.4, -0.21, -0.19, -0.13, -0.1, -0.14},
		[...]Stops{0.6, 0.45, 0.32, 0.22, 0.2, 0.22, 0.16}},
}

func evenBands(low, high [len(bandAltitudes)]Stops) bands {
	row := bandRow{low, high}
	return bands{level: row, lit: row, shade: row}
}

// readBands are what remains under a cloudless sky when the lit side has been
// read within the hour by a meter good to 0.1 stop; readShade is the shade
// row's when the shade has been read too. On the horizon and below they are
// judgement.
var (
	readBands = bands{
		level: bandRow{
			[...]Stops{-0.8, -0.4, -0.2, -0.13, -0.06, -0.05, -0.05},
			[...]Stops{0.65, 0.55, 0.24, 0.11, 0.08, 0.07, 0.04}},
		lit: bandRow{
			[...]Stops{-0.9, -0.5, -0.25, -0.23, -0.14, -0.08, -0.05},
			[...]Stops{0.6, 0.5, 0.23, 0.16, 0.11, 0.07, 0.04}},
		shade: bandRow{
			[...]Stops{-0.9, -0.45, -0.29, -0.21, -0.17, -0.18, -0.17},
			[...]Stops{0.6, 0.45, 0.33, 0.26, 0.26, 0.41, 0.26}},
	}
	readShade = bandRow{
		[...]Stops{-0.9, -0.4, -0.2, -0.16, -0.13, -0.1, -0.09},
		[...]Stops{0.6, 0.4, 0.13, 0.14, 0.14, 0.12, 0.1}}
)

// after returns the bands of lit, shade and level when so much is told by
// readings. Of a cloudless sky they run from the condition's to those of a
// reading just taken; under cloud a share w that readings tell leaves
// sqrt(1 - w^2) of the band, which held on years not seen.
func (b *bands) after(by *Correction, altitude Angle) (lit, shade, level Band) {
	lit, shade, level = b.at(altitude)
	if !b.cloudless {
		left := Stops(leftOpen(by.Told))
		return lit.scaled(left), shade.scaled(left), level.scaled(left)
	}
	readLit, usual, readLevel := readBands.at(altitude)
	i, f := bandStretch(altitude)
	inShade := usual.toward(readShade.at(i, f), by.SkyTold)
	return lit.toward(readLit, by.Told), shade.toward(inShade, max(by.Told, by.SkyTold)), level.toward(readLevel, by.Told)
}

// leftOpen returns the share of a band that is left when readings tell so
// much of what it spans.
func leftOpen(told float64) float64 { return math.Sqrt(max(0, 1-told*told)) }

// toward returns the band with its ends a share of the way to those of another
// that lie further in.
func (b Band) toward(other Band, share float64) Band {
	return Band{b.Low + Stops(share)*max(0, other.Low-b.Low), b.High + Stops(share)*min(0, other.High-b.High)}
}

// scaled returns a share of the band.
func (b Band) scaled(by Stops) Band { return Band{b.Low * by, b.High * by} }

// at returns the bands of lit, shade and level at an altitude of the sun.
func (b *bands) at(altitude Angle) (lit, shade, level Band) {
	i, f := bandStretch(altitude)
	return b.lit.at(i, f), b.shade.at(i, f), b.level.at(i, f)
}

// bandStretch returns between which of bandAltitudes, i and i + 1, an altitude
// lies, and how far along; beyond the ends, at the end.
func bandStretch(altitude Angle) (i int, f float64) {
	degrees := altitude.Degrees()
	for i < len(bandAltitudes)-2 && degrees > bandAltitudes[i+1] {
		i++
	}
	f = (degrees - bandAltitudes[i]) / (bandAltitudes[i+1] - bandAltitudes[i])
	return i, max(0, min(f, 1))
}

func (r *bandRow) at(i int, f float64) Band {
	return Band{
		r.low[i] + Stops(f)*(r.low[i+1]-r.low[i]),
		r.high[i] + Stops(f)*(r.high[i+1]-r.high[i]),
	}
}

// widened returns the band with another uncertainty of so many stops, which
// has nothing to do with the first.
func (b Band) widened(by Stops) Band {
	return Band{-Stops(math.Hypot(float64(b.Low), float64(by))), Stops(math.Hypot(float64(b.High), float64(by)))}
}

// Two things widen every band, by estimates. Away from the latitudes the bands
// were measured in, the air differs; and nobody has measured upright planes in
// twilight here. High places have no more: their thinner haze is in the
// turbidity, and the bands held on clear days in Colorado.
const (
	elsewhere = Stops(0.15)
	dusky     = Stops(0.3)
)

// awayFromHome reports whether a place lies outside the latitudes of Denmark's
// climate.
func awayFromHome(p Place) bool {
	degrees := math.Abs(p.Latitude.Degrees())
	return degrees < 45 || degrees > 65
}
