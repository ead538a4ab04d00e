package cli

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a new user types by mistake, and what to type instead.
func TestHints(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.Mkdir("dir", 0o755))
	for _, c := range []struct {
		args       []string
		what, hint string
	}{
		{[]string{"timeline", "--flash-distance", "1"}, "timeline has no flag --flash-distance",
			"--distance 1 in place of --flash-distance 1"},
		{[]string{"timeline", "--flash-distance=1"}, "timeline has no flag --flash-distance",
			"--distance 1 in place of --flash-distance 1"},
		{[]string{"timeline", "--ratoi", "3"}, "timeline has no flag --ratoi", "--ratio in place of --ratoi"},
		{[]string{"timeline", "--iso", "200"}, "timeline has no flag --iso",
			"ISO limits are lowest_iso and highest_iso in [camera] of the shoot file"},
		{[]string{"timeline", "--sync", "1/160"}, "timeline has no flag --sync",
			`sync = "1/160" in [camera] of the shoot file`},
		{[]string{"new", "--ground", "sand"}, "new has no flag --ground",
			`ground = "sand" in [place] of the shoot file`},
		{[]string{"explain", "--at", "21:21"}, `--at: "21:21" is a time of day, and --at takes a place`,
			"--moment 21:21 in place of --at 21:21"},
		{[]string{"compare", "--at", "21:21"}, `--at: "21:21" is a time of day`, "--moment 21:21 in place of --at 21:21"},
		{[]string{"timeline", "--at", "21:21"}, `--at: "21:21" is a time of day`, "--from 21:21 in place of --at 21:21"},
		{[]string{"cues", "--at", "2027-06-19"}, `--at: "2027-06-19" is a date`,
			"--date 2027-06-19 in place of --at 2027-06-19"},
		{[]string{"new", "dir"}, `"dir" is a folder`, "evenfall new " + filepath.Join("dir", "shoot.toml")},
		{[]string{"new", "dir", "--force"}, `"dir" is a folder`, "evenfall new " + filepath.Join("dir", "shoot.toml")},
		{[]string{"kit", "show", "my-own"}, `there is no kit called "my-own"`,
			"evenfall kit list, or --shoot FILE for a shoot's own kit"},
		{[]string{"timeline", "--zoom", "105"}, "--zoom 105 has no effect", "leave --zoom out, or --modifier bare"},
	} {
		code, out, errs := run(t, c.args...)
		assert.Equal(t, exitUsage, code, "%v", c.args)
		assert.Empty(t, out, "%v", c.args)
		assert.Contains(t, errs, "evenfall: "+c.what, "%v", c.args)
		assert.Contains(t, errs, "\nhint: "+c.hint+"\n", "%v", c.args)
		assert.NotContains(t, errs, "example", "%v", c.args)
	}
}

// Greenwich time in a British summer is taken, with a remark.
func TestGreenwichInSummerIsRemarked(t *testing.T) {
	code, out, errs := run(t, "timeline", "--at", "50.64,-2.06", "--tz", "GMT", "--date", "2027-06-27")
	assert.Contains(t, []int{exitDone, exitOutOfReach}, code)
	assert.NotEmpty(t, out)
	assert.Equal(t, "evenfall: GMT has no summer time: Europe/London is an hour ahead on 2027-06-27\n"+
		"hint: --tz Europe/London\n", errs)
}

// A starter without a place says so once it is written.
func TestStarterPlaceIsAnExample(t *testing.T) {
	t.Chdir(t.TempDir())
	code, _, errs := run(t, "new", "shoot.toml")
	assert.Equal(t, exitDone, code, errs)
	assert.Equal(t, "wrote shoot.toml. Next: evenfall timeline shoot.toml\n"+
		"the place is only an example: set latitude_deg and longitude_deg\n", errs)
	_, _, errs = run(t, "new", "shoot.toml")
	assert.Equal(t, "evenfall: \"shoot.toml\" already exists\nhint: evenfall new shoot.toml --force\n", errs)
}
