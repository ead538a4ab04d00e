package scene

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// planeRow is a row of the check table of the two planes of a face.
type planeRow struct {
	kind, sun, bearing, albedo, beam, key, keyNoBeam, shadow float64
}

// readPlanes reads testdata/planes/planes.csv: quadrature of the definitions
// under ISO 15469 skies, by planes.py beside it, which knows nothing of this
// program.
func readPlanes(t *testing.T) []planeRow {
	f, err := os.Open("../../testdata/planes/planes.csv")
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	records, err := r.ReadAll()
	require.NoError(t, err)
	var list []planeRow
	for _, record := range records[1:] {
		var v [9]float64
		for i := range v {
			v[i], err = strconv.ParseFloat(record[i], 64)
			require.NoError(t, err, strings.Join(record, ","))
		}
		list = append(list, planeRow{v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[7]})
	}
	return list
}

// The planes of key side and shadow side against the table, all relative to
// the sky's light on the level. The table's beam is an input: what it adds to
// the key side is taken at the strength that the model's beam has.
func TestPlanesAgreeWithQuadrature(t *testing.T) {
	conditions := map[float64]struct {
		c sky.Condition
		k sky.Case
	}{
		1: {sky.Described(sky.Overcast), 0}, 8: {sky.Described(sky.Broken), sky.SunOut},
		12: {sky.Described(sky.Clear), 0}, 13: {sky.Described(sky.Hazy), 0},
	}
	worst, tried := 0.0, 0
	for _, row := range readPlanes(t) {
		if row.kind == 8 && row.beam == 0 {
			conditions[8] = struct {
				c sky.Condition
				k sky.Case
			}{sky.Described(sky.Broken), sky.SunIn}
		}
		of := conditions[row.kind]
		sun := sky.Sun{Altitude: sky.Degrees(row.sun), TrueAltitude: sky.Degrees(row.sun), Azimuth: sky.Degrees(200), Distance: 1}
		stance := Stance{Facing: sun.Azimuth - sky.Degrees(row.bearing), Key: Left}
		if row.bearing < 0 {
			stance.Key = Right
		}
		d := sky.NewDaylight(sky.Place{Latitude: sky.Degrees(50)}, row.albedo, nil)
		l := d.At(of.c, of.k, sun, sky.View{Facing: stance.Facing})
		a := Open(&l, sun, stance)

		sin := math.Sin(row.sun * math.Pi / 180)
		ground := func(beam float64) float64 { return row.albedo * (1 + beam*sin) / 2 }
		beam := float64(l.DirectNormal / l.DiffuseHorizontal)
		share := 0.0
		if row.beam > 0 {
			share = (row.key - row.keyNoBeam) / row.beam
		}
		key := row.keyNoBeam - ground(row.beam) + ground(beam) + share*beam
		shadow := row.shadow - ground(row.beam) + ground(beam)
		for _, side := range [2][2]float64{{float64(a.Key / l.DiffuseHorizontal), key}, {float64(a.Shadow / l.DiffuseHorizontal), shadow}} {
			off := math.Abs(math.Log2(side[0] / side[1]))
			worst = max(worst, off)
			assert.LessOrEqualf(t, off, 0.05, "type %g, sun %g, bearing %g, albedo %g", row.kind, row.sun, row.bearing, row.albedo)
		}
		tried++
	}
	require.Greater(t, tried, 200)
	t.Logf("%d rows, worst %.4f stop", tried, worst)
}

func TestFlashOnFace(t *testing.T) {
	// tan(45 deg + angle) is the ratio of a flash alone; the figures are those
	// that the relation gives, common practice, no source.
	for _, c := range []struct{ degrees, ratio float64 }{{0, 1}, {18, 2}, {27, 3}, {31, 4}} {
		key, shadow := FlashOnFace(sky.Degrees(c.degrees))
		assert.InDelta(t, math.Tan((45+c.degrees)*math.Pi/180), key/shadow, 1e-9)
		assert.Equal(t, c.degrees, math.Round(math.Atan(c.ratio)*180/math.Pi-45), "to the degree")
	}
	key, shadow := FlashOnFace(sky.Degrees(45))
	assert.InDelta(t, 1, key, 1e-12)
	assert.InDelta(t, 0, shadow, 1e-12)
	for d := -180.; d <= 180; d++ {
		key, shadow := FlashOnFace(sky.Degrees(d))
		other, mirrored := FlashOnFace(sky.Degrees(-d))
		assert.InDelta(t, key, mirrored, 1e-12)
		assert.InDelta(t, shadow, other, 1e-12)
		if math.Abs(d) > 135 {
			assert.Zero(t, key+shadow, "%g deg: from behind", d)
		}
	}
}

func TestBeamOnFace(t *testing.T) {
	assert.Equal(t, 1., BeamOnFace(0))
	assert.Equal(t, 1., BeamOnFace(sky.Degrees(45)))
	assert.InDelta(t, math.Sqrt(0.5), BeamOnFace(sky.Degrees(90)), 1e-12)
	assert.InDelta(t, 0, BeamOnFace(sky.Degrees(135)), 1e-12)
	assert.Zero(t, BeamOnFace(sky.Degrees(170)))
	was := 1.0
	for d := 0.; d <= 180; d++ {
		is := BeamOnFace(sky.Degrees(d))
		assert.LessOrEqual(t, is, was)
		assert.Less(t, was-is, 0.02, "%g deg", d)
		was = is
	}
}

func TestSidesOfThePicture(t *testing.T) {
	// The camera looks north at a sitter who faces south: east is to the
	// camera's right.
	south := Stance{Facing: sky.Degrees(180), Key: Right}
	assert.InDelta(t, 135, south.KeyPlane().Degrees(), 1e-9)
	assert.InDelta(t, 225, south.ShadowPlane().Degrees(), 1e-9)
	assert.InDelta(t, 150, south.Toward(sky.Degrees(30)).Degrees(), 1e-9)
	sun := sky.Sun{Altitude: sky.Degrees(30), Azimuth: sky.Degrees(90)}
	assert.Less(t, float64(Aside(sun, south.Facing)), 0., "a sun in the east stands to the right")
	assert.InDelta(t, 90, ToCamera(sun, south.Facing).Degrees(), 1e-9)
	assert.Equal(t, Left, Right.Other())
	assert.Equal(t, "left", Left.String())
}
