package cli

import (
	"encoding/json"
	"strings"
	"testing"

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
