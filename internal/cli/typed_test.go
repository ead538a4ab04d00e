package cli

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// wrongWords are what flags may be given by mistake, by a slip of the shell or
// out of malice; few flags take more than a few of them.
var wrongWords = []string{
	"", " ", "x", "abc def", "5,6", "1/77", "-1", "0", "12", "1e308", "NaN", "-Inf", "99999999999999999999", "3 m", "6ft",
	"25:61", "17:30", "9999-99-99", "2027-02-30", "2027-09-18", "sunsett-2h", "-33.86 151.2", "91,10", "8 0N\t",
	"Europe//Berlin", "right/Europe/Berlin", "./Europe/Berlin", "a\x1b[31mb", "\x1b[2J", "a\tb", "a\nb", "\u202eabc",
	"\xff", "日本語", "it's", "$(here)", "`here`", `a"b`, "a;b", "a&b", "a|b", "!1", "~", "*", "#1", "a=b", "=", ",", "x,y",
	"sync,hhs", "--full", strings.Repeat("long ", 60), "𝔘𝔫", "a\u00a0b", "f/5.6", "ev12", "speedlight", "1:3", "no",
}

// whole are calls that are right, by the command: a flag is given in addition,
// or in the place of its own.
var whole = map[string][]string{
	"timeline": {"--from", "sunset-10m"},
	"compare":  {"--from", "sunset-10m"},
	"cues":     {"--from", "sunset-10m"},
	"sheet":    {"--from", "sunset-10m", "-o", "sheet.html"},
	"explain":  {"--from", "sunset-10m"},
	"adjust":   {"--from", "sunset-30m", "--reading", "sunset-20m=ev12"},
	"kit calibrate": {"--flash", "speedlight-60", "--power", "1/4", "--distance", "2", "--reading", "f/8", "--zoom",
		"105"},
	"kit show":   {"speedlight-60"},
	"kit check":  {"own/kit.toml"},
	"new":        {},
	"schedule":   {"--dates", "2027-09-18..2027-09-19", "--most", "1"},
	"place list": {},
	"place show": {"west-quay"},
	"place save": {"east-quay", "--at", "54.33,10.15", "--tz", "Europe/Berlin"},
	"kit list":   {},
	"help words": {},
}

// typedParts are the parts of a hint that can be typed in the place of what was
// said: they end where the explanation or the alternative begins.
var (
	typedFlags = regexp.MustCompile(`^(?:--?[a-z-]+ (?:'(?:[^']|'\\'')*'|[^ ']+?)(?: |$))+`)
	typedFlag  = regexp.MustCompile(`^(--?[a-z-]+)(?: ('(?:[^']|'\\'')*'|[^ ';]+?))?` +
		`(?:$|[;,] | or | without (--[a-z-]+)$| in place of )`)
	typedLeave = regexp.MustCompile(`^leave (--[a-z-]+) out(?:$|[;,] )`)
	typedWhole = regexp.MustCompile(`^(evenfall .+?)(?:$|, )`)
)

// inShell has a shell take a line apart.
func inShell(t testing.TB, line string) []string {
	if !strings.ContainsAny(line, `'"\$`) {
		return strings.Fields(line)
	}
	out, err := exec.Command("sh", "-c", "printf '%s\\0' "+line).Output()
	require.NoError(t, err, "%s", line)
	return strings.Split(strings.TrimSuffix(string(out), "\x00"), "\x00")
}

// obeyed returns what is wrong with a hint and the arguments with it typed.
func obeyed(t testing.TB, args []string, hint string) (after []string, ok bool) {
	args = slices.Clone(args)
	whole, leave := typedWhole.FindStringSubmatch(hint), typedLeave.FindStringSubmatch(hint)
	flag := typedFlag.FindStringSubmatch(hint)
	switch {
	case whole != nil:
		return inShell(t, whole[1])[1:], true
	case leave != nil:
		return withoutFlag(args, leave[1]), true
	case flag != nil:
		set := inShell(t, flag[1]+" "+flag[2])
		if flag[3] != "" {
			args = withoutFlag(args, flag[3])
		}
		if _, old, replaces := strings.Cut(hint, " in place of "); replaces {
			args = withoutFlag(args, inShell(t, old)[0])
		}
		return withFlag(args, set[0], strings.Join(set[1:], " ")), true
	case typedFlags.MatchString(hint):
		words := inShell(t, hint)
		for i := 0; i+1 < len(words); i += 2 {
			args = withFlag(args, words[i], words[i+1])
		}
		return args, true
	}
	return nil, false
}

// withPlaces is an environment of one saved place.
func withPlaces(t testing.TB) map[string]string {
	config, err := filepath.Abs("config")
	require.NoError(t, err)
	require.NoError(t, os.MkdirAll(filepath.Join(config, "evenfall"), 0o700))
	places := "[west-quay]\nlatitude_deg = 54.33\nlongitude_deg = 10.15\ntime_zone = \"Europe/Berlin\"\n"
	require.NoError(t, os.WriteFile(filepath.Join(config, "evenfall", "places.toml"), []byte(places), 0o600))
	return map[string]string{"XDG_CONFIG_HOME": config}
}

// unrefused types the hints of a command line until it is no longer refused. It
// says how many there were, and what went wrong on the way.
func unrefused(t testing.TB, args []string) (hints int, wrong string) {
	said := ""
	for range 12 {
		for _, made := range [...]string{"sheet.html", "x", "my.toml", "shoot.toml"} {
			os.RemoveAll(made)
		}
		code, out, errs := runIn(withPlaces(t), args...)
		hidden := func(r rune) bool { return r != '\n' && unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) }
		if strings.ContainsFunc(errs, hidden) {
			return hints, "a hidden character in " + errs
		}
		if code == exitDone || code == exitOutOfReach {
			return hints, ""
		}
		list, err := refusals(errs)
		switch {
		case code != exitUsage && code != exitFailed || out != "" || err != nil:
			return hints, "no refusal as it should be: " + errs
		case errs == said:
			return hints, "it did not help: " + errs
		}
		said = errs
		if list[0].leftOver != "" { // it goes into the flag of the hint
			word, err := strconv.Unquote(`"` + list[0].leftOver + `"`)
			require.NoError(t, err)
			slices.Reverse(args)
			args = slices.Delete(args, slices.Index(args, word), slices.Index(args, word)+1)
			slices.Reverse(args)
		}
		after, ok := obeyed(t, args, list[0].hint)
		if !ok {
			return hints, "nothing to type: " + errs
		}
		hints++
		args = after
	}
	return hints, "no end: " + said
}

// Each hint of each flag of each command works as it is typed into a shell,
// whatever the flag was given.
func TestEveryHintOfAFlagWorks(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	if _, err := exec.LookPath("sh"); err != nil {
		t.Skip("no shell here")
	}
	t.Chdir(t.TempDir())
	require.NoError(t, os.Mkdir("own", 0o700))
	require.NoError(t, os.WriteFile("own/kit.toml", []byte("[[gel]]\nname = \"a\"\nshift_mired = 1\n"), 0o600))
	part, n, tried, hints := 96, 0, 0, 0
	switch os.Getenv("EVENFALL_LONG") {
	case "":
	case "1":
		part = 12
	default:
		part = 1
	}
	follow := func(args []string) {
		if n++; n%part != 0 {
			return
		}
		some, wrong := unrefused(t, args)
		assert.Empty(t, wrong, "%q", args)
		tried++
		hints += some
	}
	known := map[string]bool{} // flags of several commands that plan
	for _, words := range everyCommand(newRoot(&Process{}, &bytes.Buffer{})) {
		name := strings.Join(words, " ")
		right, ok := whole[name]
		if !ok || name == "schedule" && part > 1 { // it takes long
			continue
		}
		code, _, errs := runIn(withPlaces(t), slices.Concat(words, right)...)
		require.Contains(t, []int{exitDone, exitOutOfReach}, code, "%s: %s", name, errs)
		c, _, err := newRoot(&Process{}, &bytes.Buffer{}).Find(words)
		require.NoError(t, err)
		c.Flags().VisitAll(func(f *pflag.Flag) {
			plans := c.Flags().Lookup("method") != nil
			if slices.Contains([]string{"help", "output", "serve"}, f.Name) || plans && known[f.Name] {
				return
			}
			known[f.Name] = known[f.Name] || plans
			for _, value := range wrongWords {
				args := withFlag(slices.Concat(words, right), "--"+f.Name, "")
				args[slices.Index(args, "--"+f.Name)] += "=" + value
				follow(args)
			}
		})
		for _, value := range wrongWords {
			follow(slices.Concat(words, right, []string{value}))
		}
	}
	t.Logf("%d command lines, %d hints typed", tried, hints)
}
