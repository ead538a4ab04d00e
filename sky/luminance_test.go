package sky_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// table reads the numbers of a check table of the project: lines after the
// heading, comments left out.
func table(t testing.TB, name string) [][]float64 {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", filepath.FromSlash(name)))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	require.NoError(t, err)
	var rows [][]float64
	for _, line := range lines[1:] {
		row := make([]float64, len(line))
		for i, cell := range line {
			row[i], err = strconv.ParseFloat(cell, 64)
			require.NoError(t, err)
		}
		rows = append(rows, row)
	}
	require.NotEmpty(t, rows)
	return rows
}

// Source: ISO 15469:2004; the table names it.
func TestRelativeLuminance(t *testing.T) {
	for _, r := range table(t, "luminance/relative.csv") {
		got := sky.SkyType(r[0]).Relative(sky.Degrees(r[1]), sky.Degrees(90-r[2]), sky.Degrees(r[3]))
		assert.InEpsilon(t, r[4], got, 2e-6, "%v", r)
	}
}

// Source: ISO 15469:2004 by an independent quadrature; the table names it.
func TestIntegralsOfStandardSkies(t *testing.T) {
	worst := 0.0
	for _, r := range table(t, "luminance/integrals.csv") {
		k, sun := sky.SkyType(r[0]), sky.Degrees(r[1])
		assert.InEpsilon(t, r[2], 1/k.ZenithShare(sun), 0.005, "%v", r)
		for i, azimuth := range []float64{0, 90, 180} {
			miss := k.VerticalShare(sun, sky.Degrees(azimuth))/r[3+i] - 1
			worst = max(worst, math.Abs(miss))
			assert.InDelta(t, 0, miss, 0.01, "type %g, sun %g, azimuth %g", r[0], r[1], azimuth)
		}
	}
	t.Logf("vertical planes: worst %.2f %% of the table", 100*worst)
}

// ISO 15469:2004, type 12 with the sun at 30 deg: vertical over level toward
// the sun 1.2346, across 0.5590, away 0.3966 (dense quadrature).
func TestClearSkyVerticals(t *testing.T) {
	for azimuth, want := range map[float64]float64{0: 1.2346, 90: 0.5590, 180: 0.3966} {
		assert.InEpsilon(t, want, sky.ClearSky.VerticalShare(sky.Degrees(30), sky.Degrees(azimuth)), 0.005)
	}
}

// The bar: within 1 % of dense quadrature of the standard's equations, at
// altitudes and azimuths between the nodes of the table.
func TestVerticalShareAgainstQuadrature(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	worst := 0.0
	for k := sky.SkyType(1); k.Valid(); k++ {
		for _, sun := range []float64{0.7, 4.6, 28.6, 61.6} {
			for _, azimuth := range []float64{0, 65, 141} {
				want := quadrature(func(altitude, azimuth sky.Angle) float64 {
					return k.Relative(sky.Degrees(sun), altitude, azimuth)
				}, sky.Degrees(azimuth))
				miss := k.VerticalShare(sky.Degrees(sun), sky.Degrees(azimuth))/want - 1
				worst = max(worst, math.Abs(miss))
				assert.InDelta(t, 0, miss, 0.01, "type %d, sun %g, azimuth %g", k, sun, azimuth)
			}
		}
	}
	t.Logf("worst against quadrature %.2f %%", 100*worst)
}

// quadrature integrates over another grid than the table's generator.
func quadrature(relative func(altitude, azimuth sky.Angle) float64, azimuth sky.Angle) float64 {
	const rings, sectors = 70, 200
	var upright, level float64
	for i := range rings {
		alt := (float64(i) + 0.5) / rings * math.Pi / 2
		for j := range sectors {
			az := (float64(j) + 0.5) / sectors * 2 * math.Pi
			l := relative(sky.Angle(alt), sky.Angle(az)) * math.Cos(alt)
			level += l * math.Sin(alt)
			upright += l * math.Cos(alt) * max(0, math.Cos(az-float64(azimuth)))
		}
	}
	return upright / level
}

func TestSkyTypeOutOfRange(t *testing.T) {
	for _, k := range []sky.SkyType{0, -1, 16} {
		assert.True(t, math.IsNaN(k.Relative(0.1, 0.1, 0)))
		assert.True(t, math.IsNaN(k.VerticalShare(0.1, 0)))
		assert.True(t, math.IsNaN(k.ZenithShare(0.1)))
	}
}
