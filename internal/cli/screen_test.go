package cli

import (
	"bytes"
	"context"
	"os"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// soon is how long an interrupted command may take to end: nobody notices less.
// What else the machine does counts in it, so a command that has not ended
// after some multiple of it is the fault.
const soon = 100 * time.Millisecond

// busy is a plan that takes several times as long as the tests wait: about as long
// as any that is not refused.
var busy = []string{"--from", "03:00", "--to", "18:59", "--step", "3m", "--sky", "broken", "--distance", "100",
	"--method", "sync,hss,nd,scrim,scrim+hss"}

// runIn runs the command line with variables of the environment.
func runIn(variables map[string]string, args ...string) (code int, out, errs string) {
	var stdout, stderr bytes.Buffer
	code = Run(context.Background(), Process{Args: args, Stdout: &stdout, Stderr: &stderr, Now: noon,
		Getenv: func(name string) string { return variables[name] }})
	return code, stdout.String(), stderr.String()
}

// Which locales take UTF-8, by the names that POSIX.1-2024 gives locales (Base
// Definitions 8.2): LC_ALL before LC_CTYPE before LANG, an empty one not counted.
func TestLocaleWithoutUTF8IsASCII(t *testing.T) {
	for _, c := range []struct {
		variables map[string]string
		ascii     bool
	}{
		{nil, false},
		{map[string]string{"LC_ALL": "C"}, true},
		{map[string]string{"LANG": "C"}, true},
		{map[string]string{"LANG": "POSIX"}, true},
		{map[string]string{"LC_ALL": "C.UTF-8", "LANG": "C"}, false},
		{map[string]string{"LC_ALL": "", "LC_CTYPE": "en_GB.utf8", "LANG": "C"}, false},
		{map[string]string{"LC_CTYPE": "C", "LANG": "en_GB.UTF-8"}, true},
		{map[string]string{"LANG": "de_DE.ISO-8859-15@euro"}, true},
		{map[string]string{"LANG": "de_DE"}, false},
	} {
		for _, args := range [][]string{{"timeline", "--full"}, {"help", "words"}, {"compare", "--help"}, {"kit", "list"}} {
			_, out, errs := runIn(c.variables, args...)
			require.NotEmpty(t, out, "%v", errs)
			outside := strings.ContainsFunc(out, func(r rune) bool { return r > unicode.MaxASCII })
			assert.Equal(t, c.ascii, !outside, "%v %v", c.variables, args)
		}
	}
	_, out, _ := runIn(map[string]string{"LC_ALL": "C"}, "timeline", "--format", "markdown")
	assert.Contains(t, out, "°", "of what is no screen the locale says nothing")
}

// The system's own pipe, its reader gone before anything is written. That the
// results are longer than it takes at once does not matter then.
func TestNobodyReads(t *testing.T) {
	for _, args := range [][]string{{"timeline", "--full"}, {"--help"}, {"kit", "list"}, {"version"}, {"sheet"}, {"new"},
		{"completion", "bash"}} {
		read, write, err := os.Pipe()
		require.NoError(t, err)
		require.NoError(t, read.Close())
		var stderr bytes.Buffer
		code := Run(context.Background(), Process{Args: args, Stdout: write, Stderr: &stderr, Now: noon,
			Getenv: func(string) string { return "" }})
		assert.Equal(t, exitUnread, code, "%v", args)
		if args[0] != "sheet" && args[0] != "new" { // these have something to say
			assert.Empty(t, stderr.String(), "%v", args)
		}
		assert.NotContains(t, stderr.String(), "pipe", "%v", args)
		require.NoError(t, write.Close())
	}
}

// What output is asked for is looked at before anything is planned, and told with
// what is wrong with the shoot: one that takes long to plan is refused at once.
func TestOutputIsCheckedFirst(t *testing.T) {
	for _, args := range [][]string{{"--format", "yaml"}, {"--color", "blue"}, {"-o", "plan.toml"}, {"-o", "plan.docx"}} {
		for _, command := range [...]string{"timeline", "compare", "cues", "explain"} {
			started := time.Now()
			code, out, errs := run(t, slices.Concat([]string{command}, busy, args)...)
			assert.Equal(t, exitUsage, code)
			assert.Empty(t, out)
			assert.Contains(t, errs, args[0]+" ", "%s %v", command, args)
			assert.Less(t, time.Since(started), 5*soon, "%s %v", command, args)
			for _, wrong := range [][]string{{"nowhere.toml"}, {"--ratio", "0.3"}} {
				_, _, errs = run(t, slices.Concat([]string{command}, wrong, args)...)
				assert.Regexp(t, `(?s)\A[^\n]*`+args[0]+` .*`+strings.Join(wrong, " "), errs, "%s %v", command, args)
			}
		}
	}
}
