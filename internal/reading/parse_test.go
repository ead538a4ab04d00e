package reading

import (
	"math"
	"strings"
	"testing"
	"time"

	"evenfall/internal/exposure"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// EV 12.3 is 2.5 * 2^12.3 lx (ISO 2720). Settings count by exact values:
// f/5.6, 1/250 at ISO 200 are 5 + 8 - 1 = EV 12, 10240 lx.
func TestParseValue(t *testing.T) {
	for _, c := range []struct {
		text, given string
		lux         float64
		plane       Plane
	}{
		{"ev12.3", "ev12.3", 2.5 * math.Exp2(12.3), Lit},
		{"EV 12", "ev12", 10240, Lit},
		{"ev12,5", "ev12.5", 2.5 * math.Exp2(12.5), Lit},
		{"12ev@shade", "ev12", 10240, Shade},
		{"ev-2", "ev-2", 0.625, Lit},
		{"41200lx", "41200lx", 41200, Lit},
		{"41.2klx @ level", "41.2klx", 41200, Level},
		{"800 lux", "800lx", 800, Lit},
		{"f/5.6,1/250,iso200", "f/5.6,1/250,iso200", 10240, Lit},
		{" F5.6  1/250 ISO 200 @FACE ", "f5.6,1/250,iso200", 10240, Face},
		{"iso 100, 1/3, f / 8", "f/8,1/3,iso100", 2.5 * math.Exp2(6+10./6), Lit},
		{"f/2.8,2s,iso100", "f/2.8,2s,iso100", 2.5 * 4, Lit},
		{"f/1.7,0.5s,iso100", "f/1.7,0.5s,iso100", 2.5 * math.Exp2(1.5+1), Lit},
	} {
		r, err := ParseValue(c.text)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.given, r.Given)
		assert.Equal(t, c.plane, r.Plane, c.text)
		assert.InEpsilon(t, c.lux, float64(r.Light), 1e-9, c.text)
	}
}

// What is wrong names what was given, and its hint can be typed.
func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ text, what, hint string }{
		{"18:05", `"18:05" does not say when it was read`, "18:05=ev12.3"},
		{"ev12@shade", `"ev12@shade" does not say when it was read`, "18:05=ev12@shade"},
		{"=ev12", `"=ev12" does not say when`, "18:05=ev12.3"},
		{"18:05=", `"" is neither an exposure value, nor lux, nor camera settings`, "18:05=ev12.3"},
		{"18:05=12.3", `"12.3" has no unit`, "18:05=ev12.3"},
		{"18:05=41200", `"41200" has no unit`, "18:05=41200lx"},
		{"18:05=bright", `"bright" is neither`, "18:05=ev12.3"},
		{"18:05=ev40", "ev40 is outside what meters show, EV -6 to 18", "18:05=ev18"},
		{"18:05=ev-12", "ev-12 is outside", "18:05=ev-6"},
		{"18:05=0lx", "0lx is outside", "18:05=ev-6"},
		{"18:05=f/5.6,1/250", `"f/5.6,1/250" lacks ISO`, "18:05=f/5.6,1/250,iso100"},
		{"18:05=iso200", `"iso200" lacks aperture and shutter`, "18:05=f/5.6,1/250,iso200"},
		{"18:05=f8", `"f8" lacks shutter and ISO`, "18:05=f8,1/250,iso100"},
		{"18:05=f/5.9,1/250,iso200", `"f/5.9" is no aperture`, "18:05=f/5.6,1/250,iso200"},
		{"18:05=f/5.6,250,iso200", `"250" is no shutter`, "18:05=f/5.6,1/250,iso200"},
		{"18:05=f/5.6,1/250,iso230", `"iso230" is no ISO`, "18:05=f/5.6,1/250,iso250"},
		{"18:05=f/5.6,f/8,1/250,iso200", "two values of aperture, f/5.6 and f/8", "18:05=f/5.6,1/250,iso200"},
		{"18:05=ev12@left", `"left" is not a plane: lit, shade, face or level`, "18:05=ev12@lit"},
		{"18:05=ev12@", `"" is not a plane`, "18:05=ev12@lit"},
	} {
		_, err := Parse(c.text, clock)
		f, ok := err.(Fault)
		require.True(t, ok, "%s: %v", c.text, err)
		assert.Contains(t, f.What, c.what)
		assert.Equal(t, c.hint, f.Hint, c.text)
		_, err = Parse(f.Hint, clock)
		assert.NoError(t, err, "the hint must do")
	}
	_, err := Parse("late=ev12", clock)
	assert.Error(t, err)
}

func clock(text string) (time.Time, error) { return time.Parse("15:04", strings.TrimSpace(text)) }

// A log is read as it was written, whatever the comments.
func TestLog(t *testing.T) {
	zone := time.FixedZone("", 2*3600)
	at := time.Date(2027, 9, 18, 18, 5, 0, 0, zone)
	var list []Reading
	text := LogHeading
	for i, value := range []string{"ev12.3", "41.2klx@level", "f/5.6,1/250,iso200@shade", "ev11@face"} {
		r, err := ParseValue(value)
		require.NoError(t, err)
		r.Time = at.Add(time.Duration(i) * time.Minute)
		list = append(list, r)
		text += r.LogLine() + "\n# between\n"
	}
	got, cut, err := ParseLog(text)
	require.NoError(t, err)
	assert.Empty(t, cut)
	require.Len(t, got, len(list))
	for i := range got {
		assert.Equal(t, list[i].LogLine(), got[i].LogLine())
		assert.Equal(t, list[i].Light, got[i].Light)
		assert.True(t, list[i].Time.Equal(got[i].Time))
	}
	assert.Equal(t, 2, got[0].Line)
}

// However much of a log's last line was written, all lines before it are read,
// and it counts only where it was written to its end: also when another line
// has been added behind it.
func TestTornLog(t *testing.T) {
	r, err := ParseValue("f/5.6,1/250,iso200@shade")
	require.NoError(t, err)
	r.Time = time.Date(2027, 9, 18, 18, 5, 0, 0, time.UTC)
	line := r.LogLine()
	for n := range len(line) {
		for _, after := range []string{"", "\n" + line} {
			text := line + line + line[:n] + after
			want := 2 + strings.Count(after, "@")
			if n == len(line)-1 { // all but the end of the line
				want++
			}
			got, cut, err := ParseLog(text)
			require.NoError(t, err, text)
			assert.Len(t, got, want, text)
			for _, one := range got {
				assert.Equal(t, r.Light, one.Light)
			}
			assert.Equal(t, n > 0 && n < len(line)-1, len(cut) == 1, text)
		}
	}
}

func TestLogRefuses(t *testing.T) {
	_, cut, err := ParseLog("2027-09-18T18:05:00+02:00 ev12@lit\n2027-09-18T18:06:00+02:00 dark@lit\n" +
		"18:07 ev12@lit\n2027-09-18T18:08:00+02:00 ev12@top\n")
	assert.Len(t, cut, 1, "what ends in no plane counts as cut short")
	var faults Faults
	require.ErrorAs(t, err, &faults)
	require.Len(t, faults, 2)
	assert.Equal(t, 2, faults[0].Line)
	assert.Equal(t, "2027-09-18T18:06:00+02:00 ev12.3@lit", faults[0].Hint)
	assert.Contains(t, faults[1].What, `"18:07" is not a date and time with its offset`)
	assert.Equal(t, faults[0].What+", and 1 more", err.Error())
}

// No text breaks the parsers, and what they take they write so that they take
// it again as the same.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"18:05=ev12.3@lit", "18:05=f/5.6,1/250,iso200", "=@", "18:05=41.2klx@level", "ev",
		"f/,1/,iso@", "2027-09-18T18:05:00+02:00 ev12@lit\n2027-09-"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if r, err := ParseValue(s); err == nil {
			again, err := ParseValue(r.Given + "@" + r.Plane.String())
			require.NoError(t, err)
			assert.Equal(t, r, again)
			ev := exposure.Incident(r.Light)
			assert.True(t, ev >= lowestEV && ev <= highestEV)
		} else if fault, ok := err.(Fault); ok {
			_, err := ParseValue(fault.Hint)
			assert.NoError(t, err, "the hint of %q: %q", s, fault.Hint)
		}
		_, _ = Parse(s, clock)
		list, _, _ := ParseLog(s)
		for i := range list {
			again, cut, err := ParseLog(list[i].LogLine())
			require.NoError(t, err)
			require.Empty(t, cut)
			assert.Equal(t, list[i].LogLine(), again[0].LogLine())
		}
	})
}
