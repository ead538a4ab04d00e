package exposure

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ISO 2720:1974: N^2/t = E S / C = L S / K, anchors EV 0 = 2.5 lx with C 250
// and 0.125 cd/m2 with K 12.5; the other rows are powers of two of those.
func TestExposureValues(t *testing.T) {
	for _, c := range []struct {
		ev        EV
		lux       sky.Lux
		luminance sky.Luminance
	}{
		{-2, 0.625, 0.03125}, {0, 2.5, 0.125}, {5, 80, 4}, {12, 10240, 512}, {15, 81920, 4096}, {20, 2621440, 131072},
	} {
		assert.InDelta(t, float64(c.ev), float64(Incident(c.lux)), 1e-12)
		assert.InDelta(t, float64(c.ev), float64(Reflected(c.luminance)), 1e-12)
		assert.InEpsilon(t, float64(c.lux), float64(c.ev.Lux()), 1e-12)
		assert.InEpsilon(t, float64(c.luminance), float64(c.ev.Luminance()), 1e-12)
	}
	assert.True(t, math.IsInf(float64(Incident(0)), -1))
}

// The rule "f/16 at 1/ISO in the sun" (common practice) is EV100 14.64 with
// the exact values of f/16 and 1/100 s: log2(256 * 100).
func TestSunnySixteen(t *testing.T) {
	assert.InDelta(t, 14.64, math.Log2(16*16*100), 0.01)
	// On a camera the time is 1/100 (1/101.6 exactly), at ISO 100.
	s := Settings{Aperture: mustAperture(t, "16"), Shutter: mustShutter(t, "1/100")}
	assert.InDelta(t, 14.64, float64(s.EV()), 0.03)
}

// ISO 2720: EV 15, ISO 100, 1/250 nominal asks for N = 11.45 with the nominal
// time; with the exact time 1/256 it is f/11.31, the camera's f/11.
func TestBrightSun(t *testing.T) {
	n := math.Sqrt(float64(EV(15).Lux()) / 250 * 100 / 250)
	assert.InDelta(t, 11.45, n, 0.01)
	s := Settings{Aperture: mustAperture(t, "f/11"), Shutter: mustShutter(t, "1/250")}
	assert.InDelta(t, 15, float64(s.EV()), 1e-12)
	assert.InDelta(t, 11.31, s.Aperture.FNumber(), 0.005)
}

// Four stops exchanged between aperture and shutter leave the ambient
// exposure alone: f/11 at 1/200 against f/2.8 at 1/3200. Scale arithmetic of
// ISO 2720; the exchange is common practice.
func TestFourStopExchange(t *testing.T) {
	sync := Settings{Aperture: mustAperture(t, "11"), Shutter: mustShutter(t, "1/200")}
	wide := Settings{Aperture: mustAperture(t, "2.8"), Shutter: mustShutter(t, "1/3200")}
	assert.InDelta(t, float64(sync.EV()), float64(wide.EV()), 1e-12)
	assert.InDelta(t, 4, float64(wide.Shutter-sync.Shutter)/6, 1e-12)
}

// Common practice, no source: at or below the sync speed the shutter moves
// the ambient and leaves the flash alone; the aperture moves both.
func TestShutterMovesAmbientApertureBoth(t *testing.T) {
	a := Settings{Aperture: mustAperture(t, "8"), Shutter: mustShutter(t, "1/200")}
	slow := a
	slow.Shutter -= 6
	assert.Equal(t, a.Need(), slow.Need(), "what a flash has to give does not know the shutter")
	assert.InDelta(t, -1, float64(slow.EV()-a.EV()), 1e-12)
	wide := a
	wide.Aperture -= 6
	assert.InEpsilon(t, float64(a.Need())/2, float64(wide.Need()), 1e-12)
	assert.InDelta(t, -1, float64(wide.EV()-a.EV()), 1e-12)
}

func TestFilterTakesFromAmbientAndFlashAlike(t *testing.T) {
	a := Settings{Aperture: mustAperture(t, "2.8"), Shutter: mustShutter(t, "1/200")}
	nd := a
	nd.ND = 3
	assert.InEpsilon(t, 8*float64(a.Need()), float64(nd.Need()), 1e-12)
	assert.InDelta(t, 3, float64(nd.EV()-a.EV()), 1e-12)
}

// Nominal values against exact ones: aperture 2^(k/2), shutter 2^-k s,
// ISO 100 * 2^(k/3) (ISO 2720 family of scales); makers' rounding stays
// within 0.18 stop, the worst being the half-stop 1/10 for 1/11.3.
func TestNominalNamesAreNearExactValues(t *testing.T) {
	worst := 0.0
	for a, name := range apertureNames {
		n, err := strconv.ParseFloat(name, 64)
		require.NoError(t, err)
		miss := 2 * math.Log2(n/a.FNumber())
		worst = max(worst, math.Abs(miss))
		assert.InDelta(t, 0, miss, 0.18, name)
	}
	for s, name := range shutterNames {
		v, ok := number(strings.TrimSuffix(name, "s"))
		require.True(t, ok, name)
		miss := math.Log2(v / s.Seconds())
		worst = max(worst, math.Abs(miss))
		assert.InDelta(t, 0, miss, 0.18, name)
	}
	for i, name := range isoNames {
		n, err := strconv.ParseFloat(name, 64)
		require.NoError(t, err)
		miss := math.Log2(n / i.Speed())
		worst = max(worst, math.Abs(miss))
		assert.InDelta(t, 0, miss, 0.18, name)
	}
	t.Logf("worst nominal rounding %.3f stop", worst)
}

func TestEveryClickHasAName(t *testing.T) {
	for _, by := range []Increment{Third, Half, Full} {
		for a := widestAperture; a <= narrowestAperture; a += Aperture(by) {
			got, err := ParseAperture(a.String(), by)
			require.NoError(t, err)
			assert.Equal(t, a.String(), got.String())
			assert.Contains(t, apertureNames, a)
		}
		for s := slowestShutter; s <= 84; s += Shutter(by) {
			got, err := ParseShutter(s.String(), by)
			require.NoError(t, err)
			assert.Equal(t, s.String(), got.String())
			assert.Contains(t, shutterNames, s)
		}
		for i := lowestISO; i <= highestISO; i += ISO(by) {
			got, err := ParseISO(i.String(), by)
			require.NoError(t, err)
			assert.Equal(t, i, got)
			assert.Contains(t, isoNames, i)
		}
	}
}

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text string
		by   Increment
		want float64 // exact f-number
	}{
		{"f/11", Third, 11.3137}, {"F5.6", Third, 5.6569}, {" 2.8 ", Full, 2.8284},
		{"1.2", Third, 1.2599}, {"1.2", Half, 1.1892}, {"11.3", Third, 11.3137}, {"13", Half, 13.4543},
	} {
		a, err := ParseAperture(c.text, c.by)
		require.NoError(t, err, c.text)
		assert.InDelta(t, c.want, a.FNumber(), 1e-4, c.text)
	}
	for _, c := range []struct {
		text string
		want float64 // exact s
	}{
		{"1/60", 1. / 64}, {"1/200", 1 / 203.187}, {"0.5s", 0.5}, {"2s", 2}, {"2", 2}, {"1/3200", 1 / 3250.997}, {"1/256", 1. / 256},
	} {
		s, err := ParseShutter(c.text, Third)
		require.NoError(t, err, c.text)
		assert.InEpsilon(t, c.want, s.Seconds(), 1e-5, c.text)
	}
	i, err := ParseISO("ISO 400", Third)
	require.NoError(t, err)
	assert.InDelta(t, 400, i.Speed(), 1e-9)
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ text, near string }{
		{"3", "3.2"}, {"f/999", "64"}, {"0.5", "1"}, {"NaN", "1"}, {"Inf", "1"}, {"-4", "1"}, {"", "1"}, {"1e-320", "1"},
	} {
		_, err := ParseAperture(c.text, Third)
		var e *ScaleError
		require.ErrorAs(t, err, &e, c.text)
		assert.Equal(t, c.near, e.Near, c.text)
		_, err = ParseAperture(e.Near, Third)
		assert.NoError(t, err, "the value of the hint must do")
	}
}

// What lies about an eighth of a stop or less from a click is that click, a lens
// marked f/2.9 or a time of 1/240; half way between two thirds of a stop, 1/6
// of a stop from both, it might be either, and is refused. Stops by hand.
func TestParseBesideTheScale(t *testing.T) {
	for _, c := range []struct {
		what, text string
		off        float64 // stops from the click
		want       string  // empty: refused
	}{
		{"aperture", "2.9", 0.072, "f/2.8"}, {"aperture", "5.8", 0.072, "f/5.6"}, {"aperture", "6.6", 0.112, "f/6.3"},
		{"aperture", "4.7", 0.132, ""}, {"aperture", "3", -0.163, ""},
		{"shutter", "1/240", -0.093, "1/250"}, {"shutter", "1/48", -0.082, "1/50"}, {"shutter", "1/56", 0.140, ""},
		{"ISO", "212", 0.084, "200"}, {"ISO", "220", 0.138, ""},
	} {
		var got string
		var err error
		switch c.what {
		case "aperture":
			var a Aperture
			a, err = ParseAperture(c.text, Third)
			got = a.String()
		case "shutter":
			var s Shutter
			s, err = ParseShutter(c.text, Third)
			got = s.String()
		default:
			var i ISO
			i, err = ParseISO(c.text, Third)
			got = i.String()
		}
		if c.want == "" {
			assert.Error(t, err, "%s %s", c.what, c.text)
			continue
		}
		require.NoError(t, err, "%s %s", c.what, c.text)
		assert.Equal(t, c.want, got)
	}
}

// Cameras show 1/200 s as 200; nothing exposes for 200 s on their scale.
func TestParseShutterWithoutItsFraction(t *testing.T) {
	for _, c := range []struct {
		text string
		by   Increment
		near string
	}{
		{"200", Third, "1/200"}, {"250.0", Half, "1/250"}, {"210", Third, "1/200"}, {"31", Full, "1/30"},
		{"32", Third, "1/30"}, {"4000", Third, "1/4000"}, {"99999999999999999999", Third, "1/32000"},
		{"200s", Third, "30"}, {"30.5.", Third, "1"},
	} {
		_, err := ParseShutter(c.text, c.by)
		var e *ScaleError
		require.ErrorAs(t, err, &e, c.text)
		assert.Equal(t, c.near, e.Near, c.text)
		assert.Equal(t, c.text, e.Value)
		_, err = ParseShutter(e.Near, c.by)
		assert.NoError(t, err, "the value of the hint must do")
	}
	for _, text := range []string{"30", "30s", "32s"} {
		s, err := ParseShutter(text, Third)
		require.NoError(t, err, text)
		assert.Equal(t, slowestShutter, s, text)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"f/2.8", "1/200", "iso100", "0.3s", "1/", "\x00", "1e400", "1/1e-400"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, by := range []Increment{Third, Half, Full} {
			if a, err := ParseAperture(s, by); err == nil {
				assert.Zero(t, int(a)%int(by))
			}
			if v, err := ParseShutter(s, by); err == nil {
				assert.Zero(t, int(v)%int(by))
			}
			if v, err := ParseISO(s, by); err == nil {
				assert.Zero(t, int(v)%int(by))
			}
		}
	})
}

func mustAperture(t *testing.T, s string) Aperture {
	t.Helper()
	a, err := ParseAperture(s, Third)
	require.NoError(t, err)
	return a
}

func mustShutter(t *testing.T, s string) Shutter {
	t.Helper()
	v, err := ParseShutter(s, Third)
	require.NoError(t, err)
	return v
}

// ISO 2720: H = 250 N^2 / S at f/1, ISO 100 is 2.5 lx s.
func TestNeed(t *testing.T) {
	assert.InEpsilon(t, 2.5, float64(Settings{}.Need()), 1e-12)
	assert.InEpsilon(t, 2.5*128/4, float64(Settings{Aperture: 42, ISO: 12, Shutter: 48}.Need()), 1e-12)
}

// Optical density is log10 of the opacity (ISO 5-2): 1/8 of the light is 0.903,
// 1/1024 is 3.01; filters are marked 0.3 for each stop.
func TestDensity(t *testing.T) {
	for loss, want := range map[sky.Stops]float64{0: 0, 1: 0.30103, 3: 0.90309, 10: 3.0103} {
		assert.InDelta(t, want, Density(loss), 1e-5)
	}
}
