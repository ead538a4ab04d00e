package sky

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/sixdouglas/suncalc"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sunTable reads a table of testdata/sun, moonTable one of testdata/moon: a map
// from column to cell for each row.
func sunTable(t *testing.T, name string) []map[string]string { return rowsOf(t, "sun", name) }

func moonTable(t *testing.T, name string) []map[string]string { return rowsOf(t, "moon", name) }

func rowsOf(t *testing.T, folder, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", folder, name))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	require.NoError(t, err)
	rows := make([]map[string]string, 0, len(lines))
	for _, line := range lines[1:] {
		row := make(map[string]string, len(line))
		for i, cell := range line {
			row[lines[0][i]] = cell
		}
		rows = append(rows, row)
	}
	require.NotEmpty(t, rows)
	return rows
}

func cellNumber(t *testing.T, row map[string]string, column string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(row[column], 64)
	require.NoError(t, err, column)
	return x
}

func cellTime(t *testing.T, row map[string]string, column string) time.Time {
	t.Helper()
	x, err := time.Parse(time.RFC3339, row[column])
	require.NoError(t, err, column)
	return x
}

func cellObserver(t *testing.T, row map[string]string) Observer {
	t.Helper()
	return NewObserver(Place{
		Latitude:  Degrees(cellNumber(t, row, "latitude_deg")),
		Longitude: Degrees(cellNumber(t, row, "longitude_deg")),
		Elevation: cellNumber(t, row, "elevation_m"),
	})
}

// sunSeparation returns the angle between two directions.
func sunSeparation(altitude1, azimuth1, altitude2, azimuth2 Angle) Angle {
	square := func(x float64) float64 { return x * x }
	h := square(math.Sin(float64(altitude1-altitude2)/2)) + math.Cos(float64(altitude1))*
		math.Cos(float64(altitude2))*square(math.Sin(float64(azimuth1-azimuth2)/2))
	return Angle(2 * math.Asin(math.Sqrt(h)))
}

// How far off Observer.Sun may be, as its comment states.
const (
	sunTolerance         = 0.002   // deg
	sunDistanceTolerance = 0.00015 // au
)

// Source: astropy 5.2.1 with its built-in ephemeris, and astronomy-engine 2.1.19;
// see testdata/sun/positions.py. The bar set for the package is 0.01 deg.
func TestSunAgainstEphemerides(t *testing.T) {
	var (
		n                                 int
		sum, worst, altitude, cross       float64
		engineSum, engineWorst, distances float64
		deltaT                            float64
	)
	for _, row := range sunTable(t, "positions.csv") {
		o := cellObserver(t, row)
		when := cellTime(t, row, "ut1")
		sun := o.Sun(when)

		wantAltitude := Degrees(cellNumber(t, row, "altitude_deg"))
		wantAzimuth := Degrees(cellNumber(t, row, "azimuth_deg"))
		off := sunSeparation(sun.TrueAltitude, sun.Azimuth, wantAltitude, wantAzimuth).Degrees()
		assert.LessOrEqual(t, off, sunTolerance, "%v", row)
		n++
		sum += off * off
		worst = max(worst, off)
		altitude = max(altitude, math.Abs((sun.TrueAltitude - wantAltitude).Degrees()))
		cross = max(cross, math.Abs((sun.Azimuth-wantAzimuth).Turn().Degrees())*math.Cos(float64(wantAltitude)))

		off = sunSeparation(sun.TrueAltitude, sun.Azimuth,
			Degrees(cellNumber(t, row, "engine_altitude_deg")), Degrees(cellNumber(t, row, "engine_azimuth_deg"))).Degrees()
		assert.LessOrEqual(t, off, sunTolerance, "%v", row)
		engineSum += off * off
		engineWorst = max(engineWorst, off)

		off = math.Abs(sun.Distance - cellNumber(t, row, "distance_au"))
		assert.LessOrEqual(t, off, sunDistanceTolerance, "%v", row)
		distances = max(distances, off)

		// Observed up to 2022, see positions.py.
		days := daysFrom2000(when)
		off = math.Abs((terrestrialTime(days)-days)*86400 - cellNumber(t, row, "delta_t_s"))
		assert.LessOrEqual(t, off, 6.0, "delta T, %v", row)
		deltaT = max(deltaT, off)
	}
	t.Logf("%d rows, 1950-2100: against astropy rms %.5f deg, worst %.5f (altitude %.5f, azimuth times cos altitude %.5f)",
		n, math.Sqrt(sum/float64(n)), worst, altitude, cross)
	t.Logf("against astronomy-engine rms %.5f deg, worst %.5f; distance worst %.6f au; delta T worst %.1f s",
		math.Sqrt(engineSum/float64(n)), engineWorst, distances, deltaT)
}

// rightAscension and declination of the apparent sun, in degrees.
func (s equatorialSun) degrees() (rightAscension, declination float64) {
	return Angle(math.Atan2(s.y, s.x)).Normal().Degrees(), Angle(math.Asin(s.z)).Degrees()
}

// universalTime returns days of UT at which terrestrial time reads t.
func universalTime(t time.Time) float64 {
	tt := daysFrom2000(t)
	return tt - (terrestrialTime(tt) - tt)
}

func TestSunAgainstMeeus(t *testing.T) {
	// All from Meeus, Astronomical Algorithms, 2nd ed. 1998, from memory.
	when := time.Date(1992, time.October, 13, 0, 0, 0, 0, time.UTC)
	sun, _ := apparentSun(universalTime(when))
	rightAscension, declination := sun.degrees()

	// Example 25.a, by his formulas of low accuracy, good to 0.01 deg.
	assert.InDelta(t, 198.38083, rightAscension, 0.01)
	assert.InDelta(t, -7.78507, declination, 0.01)
	assert.InDelta(t, 0.99766, sun.distance, 0.0002) // printed R
	// Example 25.b: the same by VSOP87, 13h 13m 30.749s, -7 deg 47' 01.74".
	assert.InDelta(t, 15*(13+13/60.0+30.749/3600), rightAscension, sunTolerance)
	assert.InDelta(t, -(7 + 47/60.0 + 1.74/3600), declination, sunTolerance)
	t.Logf("example 25: right ascension %.5f deg, declination %.5f deg, distance %.5f au", rightAscension, declination, sun.distance)

	// Examples 12.a (mean and apparent sidereal time) and 12.b. The apparent
	// one leaves out the short terms of nutation, 1.5" at most.
	hours := func(h, m, s float64) float64 { return 15 * (h + m/60 + s/3600) }
	sidereal := func(t time.Time) float64 {
		_, s := apparentSun(daysFrom2000(t))
		return Degrees(360 * s).Normal().Degrees()
	}
	const second = 15.0 / 3600 // of time, in degrees
	a := sidereal(time.Date(1987, time.April, 10, 0, 0, 0, 0, time.UTC))
	b := sidereal(time.Date(1987, time.April, 10, 19, 21, 0, 0, time.UTC))
	assert.InDelta(t, hours(13, 10, 46.1351), a, 0.1*second)
	// 12.b is mean sidereal time; the equation of the equinoxes of that day is
	// what 12.a's two results differ by, 46.1351 s - 46.3668 s.
	assert.InDelta(t, hours(8, 34, 57.0896)+(46.1351-46.3668)*second, b, 0.1*second)

	// Example 28.b: equation of time +13m 42.7s for the moment of 25.a.
	noon := NewObserver(Place{}).Day(1992, time.October, 13, time.UTC)
	e, ok := noon.First(SolarNoon)
	require.True(t, ok)
	equation := time.Date(1992, time.October, 13, 12, 0, 0, 0, time.UTC).Sub(e.Time).Seconds()
	// Half a day after 0h, in which it grows by 7 s.
	assert.InDelta(t, 13*60+42.7+7, equation, 1.0)
	t.Logf("sidereal time %.5f and %.5f deg; equation of time at noon %.1f s", a, b, equation)
}

// Source: Reda & Andreas (2004), Solar Position Algorithm, NREL/TP-560-34302,
// the worked example, from memory.
func TestSunAgainstNREL(t *testing.T) {
	zone := time.FixedZone("", -7*3600)
	when := time.Date(2003, time.October, 17, 12, 30, 30, 0, zone)
	o := NewObserver(Place{Latitude: Degrees(39.742476), Longitude: Degrees(-105.1786), Elevation: 1830.14})
	sun := o.Sun(when)
	air := Air{Pressure: 820, Temperature: 11}
	zenith := 90 - (sun.TrueAltitude + Refraction(sun.TrueAltitude, air)).Degrees()
	assert.InDelta(t, 50.11162, zenith, sunTolerance)
	assert.InDelta(t, 194.34024, sun.Azimuth.Degrees(), sunTolerance/math.Cos(float64(sun.TrueAltitude)))
	t.Logf("zenith %.5f deg, azimuth %.5f deg", zenith, sun.Azimuth.Degrees())

	// The report's events are those of 17 October in UT. Its sunset, 00:20:19 UT,
	// is therefore that of the local 16th, 88 s later than the one of the 17th.
	day := o.Day(2003, time.October, 17, time.UTC)
	for _, want := range []struct {
		name   EventName
		time   time.Time
		within float64 // s
	}{
		{Sunset, time.Date(2003, time.October, 16, 17, 20, 19, 0, zone), 2},
		{Sunrise, time.Date(2003, time.October, 17, 6, 12, 43, 0, zone), 2},
		{SolarNoon, time.Date(2003, time.October, 17, 18, 46, 4, 970e6, time.UTC), 1},
	} {
		got, ok := day.First(want.name)
		require.True(t, ok, want.name)
		assert.InDelta(t, 0, got.Time.Sub(want.time).Seconds(), want.within, want.name)
		t.Logf("%s %s, published %s", want.name, got.Time.In(zone).Format(time.DateTime+".00"), want.time.In(zone).Format(time.DateTime+".00"))
	}
}

// Source: USNO, "Earth's Seasons", times to the minute, from memory.
func TestSunAtEquinoxesAndSolstices(t *testing.T) {
	for _, season := range []struct {
		time      string
		longitude float64 // apparent, deg
	}{
		{"2000-03-20T07:35:00Z", 0},
		{"2000-06-21T01:48:00Z", 90},
		{"2000-09-22T17:28:00Z", 180},
		{"2000-12-21T13:37:00Z", 270},
		{"2024-03-20T03:06:00Z", 0},
		{"2024-06-20T20:51:00Z", 90},
		{"2024-09-22T12:44:00Z", 180},
		{"2024-12-21T09:20:00Z", 270},
	} {
		when, err := time.Parse(time.RFC3339, season.time)
		require.NoError(t, err)
		days := daysFrom2000(when)
		sun, _ := apparentSun(days)
		obliquity := (23.4392911 - 0.0130042*days/36525) * radPerDegree
		longitude := math.Atan2(sun.y*math.Cos(obliquity)+sun.z*math.Sin(obliquity), sun.x)
		off := (Angle(longitude) - Degrees(season.longitude)).Turn().Degrees()
		// Half a minute of rounding, and up to one in memory, is 0.001 deg.
		assert.InDelta(t, 0, off, sunTolerance+0.001, season.time)
		t.Logf("%s: longitude %+.4f deg", season.time, off)
	}
}

// Source: USNO Circular 171 (1987), certification example: sun overhead.
func TestSunOverhead(t *testing.T) {
	o := NewObserver(Place{Latitude: Degrees(-23.4), Longitude: Degrees(-135.8)})
	sun := o.Sun(time.Date(1986, time.December, 18, 21, 0, 0, 0, time.UTC))
	assert.InDelta(t, 90, sun.Altitude.Degrees(), 0.5) // printed to the degree
}

// A second opinion from another library, whose own errors reach 0.3 deg. Its
// azimuth is counted from south toward west.
func TestSunAgainstSuncalc(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	var worst float64
	for range 5000 {
		latitude, longitude := random.Float64()*180-90, random.Float64()*360-180
		when := time.Date(2015, time.January, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(random.Float64() * 30 * 365.25 * 24 * float64(time.Hour)))
		sun := NewObserver(Place{Latitude: Degrees(latitude), Longitude: Degrees(longitude)}).Sun(when)
		other := suncalc.GetPosition(when, latitude, longitude)
		off := sunSeparation(sun.TrueAltitude, sun.Azimuth, Angle(other.Altitude), Angle(other.Azimuth+math.Pi)).Degrees()
		assert.LessOrEqual(t, off, 0.35, "%v at %v, %v", when, latitude, longitude)
		worst = max(worst, off)
	}
	t.Logf("worst %.3f deg", worst)
}

func TestSunMovesWithTheSky(t *testing.T) {
	for _, latitude := range []float64{-90, -66.6, -23.4, 0, 23.4, 51.5, 78.2, 89.99, 90} {
		o := NewObserver(Place{Latitude: Degrees(latitude), Longitude: Degrees(12.3)})
		start := time.Date(2026, time.June, 20, 23, 0, 0, 0, time.UTC)
		before := o.Sun(start)
		for i := 1; i <= 2*1440; i++ {
			sun := o.Sun(start.Add(time.Duration(i) * time.Minute))
			step := sunSeparation(before.TrueAltitude, before.Azimuth, sun.TrueAltitude, sun.Azimuth).Degrees()
			// 15 deg an hour times the cosine of the declination, 23.4 deg; the
			// parallax makes it appear slightly faster up, slower down.
			require.InDelta(t, 0.25*math.Cos(23.43*radPerDegree), step, 0.0002, "%v deg, %v", latitude, i)
			require.GreaterOrEqual(t, float64(sun.Azimuth), 0.0)
			require.Less(t, float64(sun.Azimuth), 2*math.Pi)
			require.Greater(t, sun.Altitude, sun.TrueAltitude)
			before = sun
		}
	}
}

func TestSunAzimuthIsClockwiseFromNorth(t *testing.T) {
	for _, c := range []struct {
		latitude float64
		hour     int
		azimuth  float64
	}{
		{51.5, 6, 90}, {51.5, 12, 180}, {51.5, 18, 270}, {-33.9, 12, 0}, {-33.9, 6, 90},
		// At the poles north and south are those of the meridian of Greenwich.
		{90, 12, 180}, {90, 6, 90}, {-90, 12, 0}, {-90, 18, 270},
	} {
		// At an equinox the sun rises due east and sets due west. Clock and sun
		// differ by 7.5 minutes.
		o := NewObserver(Place{Latitude: Degrees(c.latitude)})
		sun := o.Sun(time.Date(2026, time.March, 20, c.hour, 7, 30, 0, time.UTC))
		assert.InDelta(t, 0, (sun.Azimuth - Degrees(c.azimuth)).Turn().Degrees(), 0.5, "%+v", c)
	}
}

func TestSunIsSymmetricAboutNoon(t *testing.T) {
	// At a solstice the declination stands still; what is left is the day's
	// change of the equation of time, 13 s in June.
	for _, latitude := range []float64{-60, 0, 40, 66, 80} {
		o := NewObserver(Place{Latitude: Degrees(latitude), Longitude: Degrees(-30)})
		noon, ok := o.Day(2026, time.June, 21, time.FixedZone("", -2*3600)).First(SolarNoon)
		require.True(t, ok)
		for minutes := 10; minutes < 720; minutes += 10 {
			span := time.Duration(minutes) * time.Minute
			morning, evening := o.Sun(noon.Time.Add(-span)), o.Sun(noon.Time.Add(span))
			assert.InDelta(t, morning.TrueAltitude.Degrees(), evening.TrueAltitude.Degrees(), 0.002)
			assert.InDelta(t, 360, (morning.Azimuth + evening.Azimuth).Degrees(), 360*0.00001+0.01, "%v %v", latitude, span)
		}
	}
}

func TestSunDistanceFactor(t *testing.T) {
	// Source: perihelion 0.9833 au in early January, aphelion 1.0167 au in early
	// July (any almanac, from memory).
	o := NewObserver(Place{})
	near := o.Sun(time.Date(2026, time.January, 3, 17, 0, 0, 0, time.UTC))
	far := o.Sun(time.Date(2026, time.July, 6, 17, 0, 0, 0, time.UTC))
	assert.InDelta(t, 0.9833, near.Distance, 0.0001)
	assert.InDelta(t, 1.0167, far.Distance, 0.0001)
	assert.InDelta(t, 1.034, near.DistanceFactor(), 0.001)
	assert.InDelta(t, 0.967, far.DistanceFactor(), 0.001)
}

func TestSunAllocatesNothing(t *testing.T) {
	o := NewObserver(Place{Latitude: Degrees(40)})
	when := time.Date(2026, time.September, 12, 18, 0, 0, 0, time.UTC)
	assert.Zero(t, testing.AllocsPerRun(100, func() { o.Sun(when) }))
}

func TestSunInTurns(t *testing.T) {
	var worst, worstPair float64
	for i := range 200001 {
		x := float64(i-100000) * 1e-4
		wantSin, wantCos := math.Sincos(radPerTurn * x)
		sin, cos := sincosTurns(x)
		worst = max(worst, math.Abs(cosTurns(x)-wantCos))
		worstPair = max(worstPair, math.Abs(sin-wantSin), math.Abs(cos-wantCos))
	}
	assert.Less(t, worst, 0.0014)
	assert.Less(t, worstPair, 2e-8)
	t.Logf("worst %.5f and %.1e", worst, worstPair)
}

// The season is the sine of the ecliptic longitude.
func TestSunSeason(t *testing.T) {
	o := NewObserver(Place{Latitude: Degrees(-33.87), Longitude: Degrees(151.21)})
	for _, c := range []struct {
		time string // as in TestSunAtEquinoxesAndSolstices
		want float64
	}{
		{"2024-03-20T03:06:00Z", 0}, {"2024-06-20T20:51:00Z", 1}, {"2024-09-22T12:44:00Z", 0}, {"2024-12-21T09:20:00Z", -1},
	} {
		when, err := time.Parse(time.RFC3339, c.time)
		require.NoError(t, err)
		assert.InDelta(t, c.want, o.Sun(when).Season, 0.0002, c.time)
	}
}
