package cli

import (
	"bytes"
	"context"
	"os"
	"strings"
	"testing"

	"evenfall/internal/shoot"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// searchFor runs a command that reads a search over dates and does nothing else.
func searchFor(t *testing.T, args ...string) (s *shoot.Shoot, w shoot.Wishes, errs string) {
	t.Helper()
	var stderr bytes.Buffer
	p := &Process{Args: args, Stdout: &stderr, Stderr: &stderr, Getenv: func(string) string { return "" }, Now: noon}
	p.results = &stderr
	root := &cobra.Command{Use: "evenfall", SilenceErrors: true, SilenceUsage: true}
	root.SetFlagErrorFunc(p.flagProblem)
	c := &cobra.Command{Use: "schedule"}
	g := addSearch(p, c)
	c.Args = g.argument
	c.RunE = func(*cobra.Command, []string) (err error) { s, w, err = g.search(); return err }
	root.AddCommand(c)
	root.SetArgs(append([]string{"schedule"}, args...))
	if err := root.ExecuteContext(context.Background()); err != nil {
		p.conclude(err)
	}
	return s, w, stderr.String()
}

func TestSearchReadsFlagsAndFiles(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("cloud.csv", []byte("time,oktas\n2027-10-02 15:00,3\n"), 0o666))
	require.NoError(t, os.WriteFile("shoot.toml", []byte("[place]\nlatitude_deg = 48.2\nlongitude_deg = 16.37\n"+
		"time_zone = 'Europe/Vienna'\n[schedule]\ndates = '2027-09'\non = 'weekend'\n"), 0o666))
	s, w, errs := searchFor(t, "shoot.toml", "--dates", "2027-10", "--held", "--sun-altitude", "-4..6",
		"--forecast", "cloud.csv",
		"--aperture", "4")
	require.Empty(t, errs)
	assert.Equal(t, "2027-10-01..2027-10-31", w.Dates.String())
	assert.Len(t, w.On, 2)
	assert.True(t, w.Held)
	assert.False(t, w.SunVisible)
	assert.InDelta(t, -4, w.SunAltitude.Low.Degrees(), 1e-9)
	assert.Len(t, w.Forecast, 1)
	assert.Equal(t, "f/4", s.Lens.Wanted.String())
	_, w, errs = searchFor(t)
	require.Empty(t, errs)
	assert.Equal(t, "2027-09-18..2028-09-16", w.Dates.String(), "a year from today, of the demonstration")
}

// What belongs to a plan of one day has no place in a search; the hint does.
func TestSearchRefuses(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("cloud.csv", []byte("time,oktas\n\n2027-10-01 15:00,9\n"), 0o666))
	for _, c := range []struct{ args, what, hint string }{
		{"--date 2027-05-01", "schedule has no flag --date", "--dates 2027-05-01 in place of --date 2027-05-01"},
		{"--date=whenever", "schedule has no flag --date",
			"--dates 2027-05-01..2027-05-31 in place of --date whenever"},
		{"--from 17:00", "schedule has no flag --from", "--between 17:00..00:00 in place of --from 17:00"},
		{"--to sunset+20m", "schedule has no flag --to", "--between 15:00..sunset+20m in place of --to sunset+20m"},
		{"--from 17:00 --to 20:00", "schedule has no flag --from",
			"--between 17:00..20:00 in place of --from 17:00 --to 20:00"},
		{"--from sunset-2h --held --to 20:00", "schedule has no flag --from",
			"--between sunset-2h..00:00 in place of --from sunset-2h"},
		{"--step 15m", "schedule has no flag --step", "leave --step out"},
		{"2027-05", `"2027-05" is left over`, "--dates 2027-05"},
		{"15:00..21:30", `"15:00..21:30" is left over`, "--between 15:00..21:30"},
		{"--sun-altitude 6", "--sun-altitude 6 is a single angle, not a range", "--sun-altitude 4..8"},
		{"--forecast cloud.csv", "cloud.csv:3:1: 9 oktas: must be 0 to 8, eighths of the sky", "2027-10-01 15:00,8"},
		{"--forecast cluod.csv", "--forecast cluod.csv cannot be read: no such file or directory",
			"leave --forecast out"},
		{"--at 2027-05-01", `--at: "2027-05-01" is a date, and --at takes a place`,
			"--dates 2027-05-01 in place of --at 2027-05-01"},
		{"--held=perhaps", `--held: "perhaps" is neither true nor false`, "--held"},
	} {
		_, _, errs := searchFor(t, strings.Fields(c.args)...)
		assert.Equal(t, "evenfall: "+c.what+"\nhint: "+c.hint+"\n", errs, c.args)
		if better, _, ok := strings.Cut(c.hint, " in place of "); ok && !strings.Contains(c.args, "--held") {
			_, _, errs = searchFor(t, strings.Fields(better)...)
			assert.NotContains(t, errs, "hint: --dates", better)
			assert.NotContains(t, errs, "hint: --between", better)
		}
	}
	// Of wishes no other command knows but where they go.
	code, _, errs := run(t, "timeline", "--dates", "2027-05")
	assert.Equal(t, exitUsage, code)
	assert.Equal(t, "evenfall: timeline has no flag --dates\nhint: evenfall schedule --dates 2027-05\n", errs)
	_, _, errs = run(t, "compare", "--vary", "headroom=1,2")
	assert.Contains(t, errs, `--vary "headroom" is no flag of a shoot`)
}
