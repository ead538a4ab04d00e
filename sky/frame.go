package sky

import "math"

// Frame is what a picture covers of the world behind the subject: an upright
// rectangle of azimuths and altitudes. A wide lens that looks up draws other
// edges; what lies between them is nearly the same.
type Frame struct {
	Altitude      Angle // of the frame's centre above the horizontal, 0 to pi/2
	Width, Height Angle // covered, through the centre; 0 is a line or a point
}

// Nodes and weights of Gauss-Legendre quadrature on [-1, 1], by their number;
// the weights add up to 1 (Abramowitz & Stegun 1964, table 25.4).
var gauss = [mostNodes + 1][]gaussNode{
	1: {{0, 1}},
	3: {{-0.774596669241483, 5. / 18}, {0, 8. / 18}, {0.774596669241483, 5. / 18}},
	4: {{-0.861136311594053, 0.173927422568727}, {-0.339981043584856, 0.326072577431273},
		{0.339981043584856, 0.326072577431273}, {0.861136311594053, 0.173927422568727}},
	6: {{-0.932469514203152, 0.085662246189585}, {-0.661209386466265, 0.180380786524070},
		{-0.238619186083197, 0.233956967286346}, {0.238619186083197, 0.233956967286346},
		{0.661209386466265, 0.180380786524070}, {0.932469514203152, 0.085662246189585}},
}

const mostNodes = 6

type gaussNode struct{ at, weight float64 }

// nodesFor returns the nodes for an angle to be covered: the sky round a low
// sun is steep, so that a wide lens needs more. The number hangs on the frame
// alone; with that, what comes out is continuous in time and direction.
func nodesFor(covered Angle) []gaussNode {
	switch {
	case covered <= 0:
		return gauss[1]
	case covered <= threeCover*math.Pi/180:
		return gauss[3]
	case covered <= fourCover*math.Pi/180:
		return gauss[4]
	}
	return gauss[6]
}

// What three and four nodes may cover, deg.
const (
	threeCover = 20
	fourCover  = 35
)

// column is an upright strip of the sky in a frame.
type column struct {
	cosAway   float64 // cosine of its azimuth from the sun's
	low, high float64 // sines of the altitudes that it lies between
	weight    float64 // its share of the sky in the frame
}

// opening is the sky in a frame.
type opening struct {
	columns [mostNodes]column
	count   int
	rows    []gaussNode // in each column, evenly in the sine of the altitude: in solid angle
	share   float64     // of the frame
}

// opening returns the sky in the frame behind a subject. Every column is cut
// off at the mean skyline of its strip; no direction is in or out by whether
// something stands there, so that nothing jumps when the frame is turned.
func (d *Daylight) opening(v *View, sunAzimuth Angle) opening {
	f := v.Frame
	up := max(f.Height, leastSize) / 2
	sinTop := math.Sin(min(float64(f.Altitude+up), math.Pi/2))
	sinBottom := math.Sin(float64(f.Altitude - up))
	width := max(f.Width, leastSize)
	width = Angle(min(float64(width)/math.Cos(float64(f.Altitude)), 2*math.Pi))

	o := opening{rows: nodesFor(f.Height)}
	strips := nodesFor(f.Width)
	if d.skyline != nil && f.Width > 0 { // roofs and gaps
		strips = gauss[mostNodes]
	}
	middle := v.Facing + math.Pi
	edge := middle - width/2
	for _, node := range strips {
		from := edge
		edge += width * Angle(node.weight)
		low := max(d.skyline.mean(from, edge-from), sinBottom)
		if low >= sinTop {
			continue
		}
		away := middle + width/2*Angle(node.at) - sunAzimuth
		c := &o.columns[o.count]
		*c = column{math.Cos(float64(away)), low, sinTop, node.weight * (sinTop - low)}
		o.share += c.weight
		o.count++
	}
	for i := range o.columns[:o.count] {
		o.columns[i].weight /= o.share
	}
	o.share = min(o.share/(sinTop-sinBottom), 1)
	return o
}

// leastSize keeps a frame without height or width from having no sky in it.
const leastSize Angle = 1e-6

// skyline sums up the sines of a horizon's altitudes, none below 0, from north
// on clockwise; nil for the sea's.
type skyline []float64

const skylineSteps = 720 // to the full circle

func skylineOf(h Horizon) skyline {
	if len(h) == 0 {
		return nil
	}
	s := make(skyline, skylineSteps+1)
	for i := range skylineSteps {
		altitude := h.At(Angle((float64(i) + 0.5) / skylineSteps * 2 * math.Pi))
		s[i+1] = s[i] + math.Sin(float64(max(0, min(altitude, math.Pi/2))))
	}
	return s
}

// mean returns the mean sine over a width, at most the full circle, of azimuths.
func (s skyline) mean(from, width Angle) float64 {
	if s == nil {
		return 0
	}
	const steps = skylineSteps / (2 * math.Pi)
	a, wide := float64(from.Normal())*steps, float64(width)*steps
	return (s.upTo(a+wide) - s.upTo(a)) / wide
}

// upTo returns the sum from north to a place in steps, less than two turns.
func (s skyline) upTo(place float64) float64 {
	turns := 0.0
	if place >= skylineSteps {
		place -= skylineSteps
		turns = s[skylineSteps]
	}
	i := min(int(place), skylineSteps-1)
	return turns + s[i] + (place-float64(i))*(s[i+1]-s[i])
}

// mean returns the mean luminance of a sky in an opening as a multiple of the
// luminance at the zenith.
func (t *tabulated) mean(o *opening) float64 {
	sinSun, cosSun := math.Sincos(float64(t.sun))
	var gradation, shadow, up, level [mostNodes]float64 // of the rows; up and level are sine and cosine of the altitude
	sum, last := 0.0, math.NaN()
	for i := range o.columns[:o.count] {
		c := &o.columns[i]
		if c.low != last { // an even skyline cuts all columns alike
			for j, row := range o.rows {
				up[j] = c.sine(row)
				level[j] = math.Sqrt(max(0, 1-up[j]*up[j]))
				gradation[j] = row.weight * t.gradation(up[j])
				shadow[j] = t.shadow(up[j])
			}
			last = c.low
		}
		inColumn, behind := 0.0, opposite(c.cosAway)
		for j := range o.rows {
			inColumn += gradation[j] * t.about(sinSun*up[j]+cosSun*level[j]*c.cosAway) * (1 - shadow[j]*behind)
		}
		sum += c.weight * inColumn
	}
	return sum / t.zenith()
}

// sine returns that of the altitude of a node in the column.
func (c *column) sine(row gaussNode) float64 { return c.low + (c.high-c.low)*(1+row.at)/2 }

// Patch is one of the directions whose luminance, by its weight, makes up the
// mean over the sky in a frame.
type Patch struct {
	Altitude, FromSun Angle
	Weight            float64 // all add up to 1
}

// Patches returns the directions that Light.Backdrop is the weighted mean of;
// none where no sky is in the frame.
func (d *Daylight) Patches(sun Sun, v View) []Patch {
	o := d.opening(&v, sun.Azimuth)
	var list []Patch
	for _, c := range o.columns[:o.count] {
		for _, row := range o.rows {
			list = append(list, Patch{
				Altitude: Angle(math.Asin(c.sine(row))),
				FromSun:  Angle(math.Acos(max(-1, min(c.cosAway, 1)))),
				Weight:   c.weight * row.weight,
			})
		}
	}
	return list
}

// seeBackdrop fills in what stands in the frame above the skyline.
func (l *Light) seeBackdrop(o *opening) {
	if o.count == 0 {
		return
	}
	sky := l.kind.tabulated(l.spreadAltitude)
	l.Backdrop = l.faded(sky.mean(o))
	l.BackdropShare = o.share
	l.BackdropBand = l.LevelBand.widened(skyStrays(l.sunAltitude))
}

// skyStrays returns by how much the band of the light on the level is widened
// for that of the sky behind the subject. It is judged, not fitted: luminance
// was measured nowhere. By day an even sky of its type stands for one with
// clouds and haze of its own. With a low sun haze counts for more: between an
// aerosol of 0.05 and one of 0.25 the calculated sky 10 deg up toward the sun
// differs by 0.6 stop at sunset and by 0.9 when the sun is 4 deg down.
func skyStrays(sunAltitude Angle) Stops {
	lower := max(0, min(strayBegins-sunAltitude.Degrees(), strayBegins-strayEnds))
	return straysByDay + (straysAtDusk-straysByDay)*Stops(lower/(strayBegins-strayEnds))
}

const (
	straysByDay  = 0.5 // stop
	straysAtDusk = 0.7

	// The altitudes of the sun, in degrees, between which they grow.
	strayBegins, strayEnds = 4, -4
)
