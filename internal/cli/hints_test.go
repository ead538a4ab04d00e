package cli

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
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

// What is wrong with the own kit, the shoot and the flags is told at once, each
// fault once, with its place; of very many the first fifty.
func TestFaultsComeTogether(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.MkdirAll(filepath.Join("config", "evenfall"), 0o700))
	config, err := filepath.Abs("config")
	require.NoError(t, err)
	kit, shoot := filepath.Join("config", "evenfall", "kit.toml"), "shoot.toml"
	told := func(kitText, shootText string, args ...string) []string {
		require.NoError(t, os.WriteFile(kit, []byte(kitText), 0o600))
		require.NoError(t, os.WriteFile(shoot, []byte(shootText), 0o600))
		var stdout, stderr bytes.Buffer
		code := Run(context.Background(), Process{Args: args, Stdout: &stdout, Stderr: &stderr, Now: noon,
			Getenv: func(name string) string { return map[string]string{"XDG_CONFIG_HOME": config}[name] }})
		assert.Equal(t, exitUsage, code, "%s", &stderr)
		assert.Empty(t, stdout.String())
		var lines []string
		for line := range strings.Lines(stderr.String()) {
			if what, ok := strings.CutPrefix(line, "evenfall: "); ok {
				what = strings.ReplaceAll(what, filepath.ToSlash(config)+"/evenfall/", "")
				lines = append(lines, strings.TrimSpace(what))
			}
		}
		return lines
	}
	const badKit = "[[flash]]\nname = 'mine'\nguide_number_m = 40\nguide_number_zoom_mm = 105\nrecycle_full_s = 1e308\n"
	const badShoot = "[look]\nratio = 0\n[flash]\nkit = 'mine'\n"
	assert.Equal(t, []string{
		"kit.toml:5:1: flash.recycle_full_s = 1e+308: must be 0.01 to 60",
		"shoot.toml:1:1: the shoot has no place",
		"shoot.toml:2:1: look.ratio = 0: must be at least 1.1; " +
			"below 1:1 the fill would be brighter than the key and fill together",
		`--bias: "x" is not a number`,
		`--moment: "y" is not an event of the day; they are`,
	}, cut(told(badKit, badShoot, "compare", shoot, "--bias", "x", "--moment", "y"), "they are"))
	assert.Len(t, told("= broken", badShoot, "timeline", shoot, "--bias", "x"), 2, "names of the kit are not known")
	assert.Len(t, told("", "= broken", "timeline", shoot, "--bias", "x", "--step", "y"), 3)
	assert.Len(t, told("", badShoot, "timeline", shoot, "--bias", "x", "--sky", "\x1b", "--sky", "\x1b"), 5)
	many := told("", strings.Repeat("[[rim]]\n", 1)+strings.Repeat("[[kit.gel]]\n", 300), "timeline", shoot)
	require.Len(t, many, 51)
	assert.Regexp(t, `^\d+ more faults$`, many[50])
}

// cut ends lines behind a word.
func cut(lines []string, word string) []string {
	for i, line := range lines {
		if at := strings.Index(line, word); at >= 0 {
			lines[i] = line[:at+len(word)]
		}
	}
	return lines
}
