package cli

import (
	"bytes"
	"context"
	"errors"
	"os"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // zones on machines that have none
	"unicode"

	"evenfall/internal/shootfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// noon is what the clock shows in the tests, in a system whose zone is UTC.
var noon = time.Date(2027, time.September, 18, 12, 0, 0, 0, time.UTC)

// exists reports whether there is a file or folder of a name.
func exists(name string) bool {
	_, err := os.Stat(name)
	return err == nil
}

// FuzzArguments runs command lines, their arguments parted by line ends.
// Whatever is typed, the command ends with one of its exit codes, a refusal
// prints no result and says what is wrong, and nothing that a terminal obeys
// comes out uncalled for.
func FuzzArguments(f *testing.F) {
	for _, args := range [...]string{
		"", "timeline", "timelin", "help", "help\ntimeline", "help\nwords", "help\nwrods", "version",
		"completion\nbash", "timeline\n--help", "-h",
		"--", "\x00",
		"timeline\n--at\n-33.86,151.21\n--tz\nAustralia/Sydney\n--step\n1h", "timeline\n--at\n91,10",
		"timeline\n--at=54,10\n--from\nsunset",
		"timeline\n--date\n2027-02-30", "timeline\n--date\n2011-12-30\n--at\n-13.83,-171.77\n--tz\nPacific/Apia",
		"timeline\n--from\nsunset-1h30m\n--to\ncivil-dusk\n--step\n1h", "timeline\n--from\n23:00\n--to\n01:00\n--step\n90",
		"timeline\n--sky\nbroken\n--step\n2h\n--format\ncsv", "timeline\n--okta\n8\n--step\n2h\n--format=json",
		"timeline\n--turbidity\nNaN",
		"timeline\n--facing\nbacklit\n--ratio\n3:1\n--bias\n-0.3\n--step\n2h",
		"timeline\n--background\n-1.5\n--step\n2h\n--ascii\n--color\nalways",
		"timeline\n--aperture\nf/4\n--method\nhss,scrim+hss\n--units\n3\n--distance\n1.5\n--modifier\nbare\n--step\n2h",
		"timeline\n--units\n1e9", "timeline\n--modifier\n\x1b[31m", "timeline\n--\u202eratio", "timeline\nstray",
		"timeline\n--shoot\nnowhere",
		"timeline\n--elevation\n-500", "timeline\n--step\n0.0001", "timeline\n--at\n90,0\n--tz\nUTC",
		"timeline\n--format\nmarkdown\n--step\n2h",
		"timeline\n--ascii=maybe", "timeline\n-z", "timeline\n--at", "completion\ntcsh", "help\nhelp",
		"compare\n--moment\nsunset-20m,17:30\n--why", "compare\n--moment\n,\n--method\nnd",
		"compare\n--format\ncsv\n--sky\nbroken",
		"cues\n--from\nsunset-10m", "cues\n--method\nhss,sync\n--from\nsunset\n--format\njson",
		"cues\n--background-at-most\nany\n--sky\nbroken\n--from\nsunset-5m",
	} {
		f.Add(args)
	}
	f.Fuzz(func(t *testing.T, text string) {
		args := strings.Split(text, "\n")
		if text == "" {
			args = nil
		}
		for i, arg := range args {
			switch {
			case strings.HasPrefix(arg, "--output"), strings.HasPrefix(arg, "-") && !strings.HasPrefix(arg,
				"--") && strings.Contains(arg, "o"):
				t.Skip("would write files")
			case i > 0 && exists(arg):
				t.Skip("would read files, some of which never end")
			case arg == "new":
				t.Skip("would write files, by their names alone")
			case strings.HasPrefix(arg, "--shoot") && strings.Contains(text, "/"):
				t.Skip("would read files, some of which never end")
			case i == 0 && strings.HasPrefix(arg, "__"):
				t.Skip("what completion scripts call; nobody types it")
			}
		}
		var stdout, stderr bytes.Buffer
		code := Run(context.Background(), Process{
			Args: args, Stdout: &stdout, Stderr: &stderr, Getenv: func(string) string { return "" }, Now: noon,
		})
		// Nothing can fail here but what was typed: 1 would be a fault that
		// was not recognised as one of usage.
		assert.Contains(t, []int{exitDone, exitUsage, exitOutOfReach}, code, "%q: %s", args, &stderr)
		if code == exitUsage {
			assert.Empty(t, stdout.String(), "%q", args)
			assert.Regexp(t, `\A(evenfall: .+\n(hint: .+\n)?)+\z`, stderr.String(), "%q", args)
		} else {
			// What is remarked: nobody named the zone, or one of whole hours has no summer time.
			assert.Regexp(t, `\A(evenfall: .+ (time zone|summer time).+\nhint: .+\n)*\z`, stderr.String(), "%q", args)
			assert.NotEmpty(t, stdout.String(), "%q", args)
		}
		obeyed := func(r rune) bool {
			return r != '\n' && r != '\r' && r != '\t' && unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) &&
				!(r == '\x1b' && strings.Contains(text, "color"))
		}
		assert.Negative(t, strings.IndexFunc(stdout.String(), obeyed), "%q: %q", args, &stdout)
		assert.Negative(t, strings.IndexFunc(stderr.String(), obeyed), "%q: %q", args, &stderr)
	})
}

// Moments are refused with a hint, or as many as there are commas and one.
func FuzzMoments(f *testing.F) {
	for _, text := range []string{"17:30", "sunset-20m,17:30", ",", "sunrise,,noon", "25:00,civil dusk+5m"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		list, err := parseMoments(text)
		if err == nil {
			assert.Len(t, list, strings.Count(text, ",")+1)
			return
		}
		var faults shootfile.Faults
		var own *problem
		require.True(t, errors.As(err, &faults) || errors.As(err, &own), "%v", err)
		for _, one := range faults {
			assert.NotEmpty(t, one.Hint, "%q", text)
		}
	})
}
