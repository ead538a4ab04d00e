package cli

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/mattn/go-runewidth"
	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// run runs the command line at noon on a day of June 2027, in UTC.
func run(t testing.TB, args ...string) (code int, out, errs string) {
	t.Helper()
	return runOn(t, 80, args...)
}

// runOn does so on a screen of some columns.
func runOn(t testing.TB, columns int, args ...string) (code int, out, errs string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code = Run(context.Background(), Process{
		Args: args, Stdout: &stdout, Stderr: &stderr,
		Getenv: func(name string) string { return map[string]string{"COLUMNS": strconv.Itoa(columns)}[name] },
		Now:    time.Date(2027, 6, 12, 12, 0, 0, 0, time.UTC),
	})
	return code, stdout.String(), stderr.String()
}

// everyCommand returns the words of each command there is.
func everyCommand(c *cobra.Command) [][]string {
	list := [][]string{strings.Fields(c.CommandPath())[1:]}
	for _, sub := range c.Commands() {
		list = append(list, everyCommand(sub)...)
	}
	return list
}

// No help is wider than the screen, from 60 columns up, nor than 80; its examples,
// continued lines joined as a shell does, are those of the command.
func TestHelpFits(t *testing.T) {
	root := newRoot(&Process{}, &bytes.Buffer{})
	commands := everyCommand(root)
	require.Greater(t, len(commands), 15)
	for _, columns := range [...]int{60, 61, 67, 72, 80, 120} {
		for _, words := range commands {
			code, out, errs := runOn(t, columns, append(words, "--help")...)
			require.Equal(t, exitDone, code, "%v: %s", words, errs)
			for line := range strings.SplitSeq(out, "\n") {
				assert.LessOrEqual(t, utf8.RuneCountInString(line), min(columns, 80), "%v: %s", words, line)
			}
			c, _, err := root.Find(words)
			require.NoError(t, err)
			joined := strings.ReplaceAll(out, " \\\n      ", " ")
			assert.Contains(t, joined, c.Example, "%v", words)
			if columns >= 80 {
				long, _, _ := strings.Cut(c.Long, "\n")
				assert.Contains(t, out, strings.TrimSpace(long), "as it is written")
			}
		}
	}
}

// Names of any length and script, and the widths that the Unicode Standard gives
// their characters (Annex 11; combining marks and joiners have none).
func TestKitKeepsToTheScreen(t *testing.T) {
	names := []string{strings.Repeat("x", 200), strings.Repeat("half-cto ", 20), strings.Repeat("長い名前", 45),
		strings.Repeat("한글 이름 ", 30), strings.Repeat("e\u0301\u0323", 60), strings.Repeat("👩\u200d👩\u200d👧", 35),
		strings.Repeat("नमस्ते ", 25), strings.Repeat("مرحبا ", 30), strings.Repeat("ｆｕｌｌ", 40),
		"𝔘𝔫𝔦𝔠𝔬𝔡𝔢 " + strings.Repeat("𝔛", 120)}
	t.Chdir(t.TempDir())
	kit := ""
	for i, name := range names {
		names[i] = strings.TrimSpace(name)
		name = names[i]
		kit += fmt.Sprintf("[[gel]]\nname = %q\nshift_mired = %d\n[[flash]]\nname = %q\nguide_number_m = 36\n"+
			"guide_number_zoom_mm = 50\nsource = %q\n", name, i, name, name)
	}
	require.NoError(t, os.WriteFile("kit.toml", []byte(kit), 0o600))
	shoot := regexp.MustCompile(`(?m)^\[\[`).ReplaceAllString(kit, "[[kit.")
	require.NoError(t, os.WriteFile("shoot.toml", []byte(shoot), 0o600))
	printed := 0
	for _, columns := range [...]int{60, 61, 66, 73, 80, 100, 131} {
		calls := [][]string{{"kit", "check", "kit.toml"}, {"kit", "list", "--shoot", "shoot.toml"}}
		for _, name := range names {
			calls = append(calls, []string{"kit", "show", name, "--shoot", "shoot.toml"}, []string{"kit", "calibrate",
				"--shoot", "shoot.toml", "--flash", name, "--power", "1/4", "--distance", "2", "--reading", "f/5.6"})
		}
		for _, args := range calls {
			code, out, errs := runOn(t, columns, args...)
			require.Equal(t, exitDone, code, "%q: %s", args, errs)
			for line := range strings.SplitSeq(out, "\n") {
				if !pasted.MatchString(line) {
					assert.LessOrEqual(t, runewidth.StringWidth(line), columns, "%q: %s", args, line)
				}
				printed++
			}
		}
	}
	t.Logf("%d lines", printed)
}

// pasted is a line of a kit file, to be pasted as it is, with a word that is
// longer than the screen.
var pasted = regexp.MustCompile(`^\S+"""$`)

func TestFitted(t *testing.T) {
	word := strings.Repeat("x", 30)
	for text, want := range map[string]string{
		"short":                        "short",
		word + " " + word + " " + word: word + " " + word + "\n" + word,
		"  evenfall new --name " + word + " --at " + word + " --tz " + word: "  evenfall new --name " + word +
			" \\\n      --at " + word + " --tz " + word,
	} {
		assert.Equal(t, want, fitted(text, widestHelp))
	}
}

// Messages are broken between words, and not in what is to be typed.
func TestWrapped(t *testing.T) {
	for _, c := range []struct {
		text    string
		columns int
		want    string
	}{
		{"one two three", 7, "one two|three"},
		{"one two three", 80, "one two three"},
		{"try --tz Europe/Berlin there", 12, "try|--tz Europe/Berlin|there"},
		{"--sky overcast, or broken", 16, "--sky overcast,|or broken"},
		{"evenfall kit list, or --shoot FILE for more", 20, "evenfall kit list,|or --shoot FILE for|more"},
		{`widest = 1.8, or aperture = "2" here`, 14, `widest = 1.8,|or|aperture = "2"|here`},
		{"evenfall new 'a b c.toml' --force", 10, "evenfall new 'a b c.toml' --force"},
		{"--moment 21:21 in place of --at 21:21", 20, "--moment 21:21 in|place of --at 21:21"},
		{"", 10, ""},
		{"a", 0, "a"},
	} {
		assert.Equal(t, c.want, wrapped(c.text, c.columns, "|"), c.text)
	}
}

// Only a terminal has its lines broken.
func TestProblemsAreWrapped(t *testing.T) {
	const want = "evenfall: one two\n          three\nhint: four five\n      --tz UTC\n"
	for width, want := range map[int]string{18: want, 0: "evenfall: one two three\nhint: four five --tz UTC\n"} {
		var b bytes.Buffer
		p := &Process{Stderr: &b, width: width}
		p.printProblem("one two three", "four five --tz UTC")
		assert.Equal(t, want, b.String())
	}
}
