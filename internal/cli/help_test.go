package cli

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// run runs the command line at noon on a day of June 2027, in UTC.
func run(t testing.TB, args ...string) (code int, out, errs string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code = Run(context.Background(), Process{
		Args: args, Stdout: &stdout, Stderr: &stderr,
		Getenv: func(string) string { return "" }, Now: time.Date(2027, 6, 12, 12, 0, 0, 0, time.UTC),
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

// No help is wider than 80 columns, and its examples, continued lines joined as
// a shell does, are those of the command.
func TestHelpFits(t *testing.T) {
	root := newRoot(&Process{}, &bytes.Buffer{})
	commands := everyCommand(root)
	require.Greater(t, len(commands), 15)
	for _, words := range commands {
		code, out, errs := run(t, append(words, "--help")...)
		require.Equal(t, exitDone, code, "%v: %s", words, errs)
		for line := range strings.SplitSeq(out, "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, "%v: %s", words, line)
		}
		c, _, err := root.Find(words)
		require.NoError(t, err)
		joined := strings.ReplaceAll(out, " \\\n      ", " ")
		assert.Contains(t, joined, c.Example, "%v", words)
	}
}

func TestFitted(t *testing.T) {
	word := strings.Repeat("x", 30)
	for text, want := range map[string]string{
		"short":                        "short",
		word + " " + word + " " + word: word + " " + word + "\n" + word,
		"  evenfall new --name " + word + " --at " + word + " --tz " + word: "  evenfall new --name " + word +
			" \\\n      --at " + word + " --tz " + word,
	} {
		assert.Equal(t, want, fitted(text))
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
