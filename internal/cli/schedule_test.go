package cli

import (
	"encoding/json"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// heeded are the words of a command with a piece of advice in their place.
func heeded(t *testing.T, args []string, advice string) []string {
	words := strings.Fields(advice)
	if words[0] == "leave" {
		if at := index(args, words[1]); at+1 < len(args) && !strings.HasPrefix(args[at+1], "--") {
			return withoutFlag(append([]string{}, args...), words[1])
		}
		return append(append([]string{}, args[:index(args, words[1])]...), args[index(args, words[1])+1:]...)
	}
	args = append([]string{}, args...)
	if better, given, ok := strings.Cut(advice, " in place of "); ok {
		words = strings.Fields(better)
		args = withoutFlag(args, strings.Fields(given)[0])
	}
	require.Len(t, words, 2, advice)
	return withFlag(args, words[0], words[1])
}

func index(args []string, word string) int {
	for i, one := range args {
		if one == word {
			return i
		}
	}
	return -1
}

// Where nothing fits, whatever is advised finds a window when it is typed.
func TestAdviceFindsWindows(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	tried := map[string]bool{}
	for _, line := range []string{
		"--dates 2027-05 --on sat,sun --light golden-hour --sun-from backlit --units 1 --keep-aperture --at-least 2h",
		"--dates 2027-05-01..2027-05-04 --light blue-hour --at-least 25m",
		"--dates 2027-05-01..2027-05-04 --headroom 2 --sun-altitude 0..6 --facing backlit --at-least 20m",
		"--dates 2027-05-01..2027-05-04 --sun-altitude 55..60 --at-least 1h",
		"--dates 2027-05-01..2027-05-04 --sun-azimuth 285..290 --sun-altitude 5..12 --at-least 40m",
		"--dates 2027-05-01..2027-05-04 --sun-azimuth 285..290 --at-least 40m",
		"--dates 2027-05-03..2027-05-07 --on sun --light golden-hour",
		"--dates 2027-05-01..2027-05-04 --light golden-hour --between 21:00..23:00",
		"--dates 2027-05-01..2027-05-04 --light last-light --sun-from front",
		"--dates 2027-05-01..2027-05-04 --sun-altitude -6..-1 --sun-visible --sun-from backlit --at-least 15m",
	} {
		args := append([]string{"schedule"}, strings.Fields(line)...)
		code, out, errs := run(t, append(args, "--format", "json")...)
		require.Equal(t, exitOutOfReach, code, "%s: %s", line, errs)
		var found struct {
			Obstacles []struct {
				Wish    string
				Ask     *string
				Without int `json:"windows_without"`
			}
		}
		require.NoError(t, json.Unmarshal([]byte(out), &found))
		advised := false
		for _, o := range found.Obstacles {
			if o.Ask == nil {
				continue
			}
			advised = true
			tried[o.Wish] = true
			better := heeded(t, args, *o.Ask)
			code, out, errs := run(t, append(better, "--format", "csv")...)
			assert.Equal(t, exitDone, code, "%s: %s\n%s", line, *o.Ask, errs)
			assert.Greater(t, strings.Count(out, "\n"), 1, "%s: %s", line, *o.Ask)
		}
		assert.True(t, advised, "%s: nothing is advised", line)
	}
	for _, wish := range []string{
		"at-least", "light", "headroom", "sun-altitude", "sun-azimuth", "dates", "between", "sun-from", "sun-visible",
	} {
		assert.True(t, tried[wish], wish)
	}
}

// foundWindow is what a test looks at of a window.
type foundWindow struct {
	From        time.Time
	Command     string
	Verdict     struct{ Method string }
	Held        float64 `json:"held_share"`
	Comfortable float64 `json:"comfortable_share"`
	Burden      float64
	Useful      float64
	Skies       []struct{ Useful float64 }
	Sun         struct {
		Altitude float64 `json:"altitude_deg"`
	} `json:"sun_at_start"`
}

// windowsBy are the windows that a search finds.
func windowsBy(t *testing.T, line string) []foundWindow {
	code, out, errs := run(t, append([]string{"schedule", "--format", "json"}, shellWords(line)...)...)
	require.Equal(t, exitDone, code, "%s: %s", line, errs)
	var found struct{ Windows []foundWindow }
	require.NoError(t, json.Unmarshal([]byte(out), &found))
	require.NotEmpty(t, found.Windows, line)
	return found.Windows
}

// The command of a window, as it stands there, plans what the search says of it: by
// the same method, with as much of it held, from the same sun.
func TestTheCommandOfAWindow(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("my shoot.toml", []byte("[place]\nlatitude_deg = 47.5\nlongitude_deg = 8.5\n"+
		"time_zone = \"Europe/Zurich\"\n[subject]\nfacing = \"backlit\"\n[schedule]\nlight = \"golden-hour\"\n"), 0o666))
	require.NoError(t, os.WriteFile("cloud.csv", []byte("2027-05-02 18:00,6\n2027-05-02 20:00,2\n"), 0o666))
	const skyline = "240=2,250=2,260=2,265=2,270=3,280=3,290=3,300=2,310=2,320=2,330=2"
	for _, c := range []struct{ line, want string }{
		{"--dates 2027-05-01..2027-05-02 --light golden-hour --units 1 --aperture 2.8 --keep-aperture",
			"evenfall timeline --units 1 --aperture 2.8 --date 2027-05-0"},
		{"'my shoot.toml' --dates 2027-05-01 --wind '5 m/s' --sky hazy",
			"evenfall timeline 'my shoot.toml' --wind '5 m/s' --sky hazy --date 2027-05-01 "},
		{"--shoot 'my shoot.toml' --dates 2027-05-01 --skyline " + skyline,
			"evenfall timeline 'my shoot.toml' --skyline " + skyline + " --date "},
		{"--dates 2027-05-02 --light golden-hour --odds clear=40,broken=30,overcast=30", " --sky "},
		{"--dates 2027-05-01..2027-05-02 --light golden-hour --forecast cloud.csv --sky hazy",
			"evenfall timeline --date 2027-"},
		{"--dates 2027-05-02 --light golden-hour --headroom 1 --method sync,hss,scrim", "evenfall timeline "},
		// Clocks at Troll go back by two hours on the last Sunday of October, at 01:00 UTC
		// (IANA time zone database).
		{"--dates 2027-10-31 --between 01:30..05:00 --at -72,2.5 --tz Antarctica/Troll",
			"evenfall timeline --at -72,2.5 --tz UTC+00:00 --date 2027-10-31 --from 01:30 --to 0"},
		{"--dates 2027-06-12 --between 22:30..02:30 --at 66,14 --tz Europe/Oslo",
			" --date 2027-06-12 --from 22:30 --to 02:30"},
	} {
		for i, w := range windowsBy(t, c.line) {
			if i == 0 {
				assert.Contains(t, w.Command, c.want, c.line)
			}
			typed := shellWords(w.Command)
			require.Equal(t, "evenfall", typed[0])
			code, out, errs := run(t, append(typed[1:], "--format", "json")...)
			require.Equal(t, exitDone, code, "%s: %s", w.Command, errs)
			var p struct {
				Verdict struct {
					Method string
					Held   float64 `json:"held_share"`
				}
				Rows []struct {
					Time time.Time
					Sun  struct {
						Altitude float64 `json:"altitude_deg"`
					}
				}
			}
			require.NoError(t, json.Unmarshal([]byte(out), &p))
			assert.Equal(t, w.Verdict.Method, p.Verdict.Method, w.Command)
			assert.InDelta(t, w.Held, p.Verdict.Held, 1e-4, w.Command)
			assert.True(t, w.From.Equal(p.Rows[0].Time), w.Command)
			assert.InDelta(t, w.Sun.Altitude, p.Rows[0].Sun.Altitude, 0.02, w.Command)
		}
	}
}

// How windows are ranked can be followed by the figures that are given of them, each
// in its steps; what a window is worth is what it is under each sky.
func TestTheRankingCanBeFollowed(t *testing.T) {
	list := windowsBy(t, "--dates 2027-05-01..2027-05-06 --light golden-hour --odds clear=40,broken=30,overcast=30")
	require.Greater(t, len(list), 5)
	before := [3]float64{}
	for i, w := range list {
		sum := 0.0
		for _, s := range w.Skies {
			sum += s.Useful
		}
		assert.InDelta(t, w.Useful, sum, 1e-3, w.Command)
		steps := [3]float64{math.Round(w.Useful / 0.05), math.Round(w.Held / 0.05), math.Round(w.Comfortable / 0.05)}
		if i > 0 {
			assert.GreaterOrEqual(t, slices.Compare(before[:], steps[:]), 0, w.Command)
		}
		before = steps
		assert.Greater(t, w.Burden, 0.0)
	}
}
