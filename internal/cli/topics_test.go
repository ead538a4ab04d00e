package cli

import (
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"

	"evenfall/internal/reading"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// linesShown is how much at the most of an example's output a guide shows.
const linesShown = 24

// What the guides show is what their examples print on a screen of 60 columns.
func TestGuidesShowWhatIsPrinted(t *testing.T) {
	for _, guide := range words.Guides() {
		code, out, errs := runOn(t, 60, strings.Fields(guide.Example)...)
		require.Contains(t, []int{exitDone, exitOutOfReach}, code, "%s: %s", guide.Example, errs)
		lines := strings.SplitAfter(out, "\n")
		want := strings.Join(lines[:min(linesShown, len(lines))], "")
		if at := strings.LastIndex(want, "\n\n"); at >= 0 {
			want = want[:at+1] // whole paragraphs
		}
		file := filepath.Join("topics", guide.Name+".txt")
		if *update {
			require.NoError(t, os.WriteFile(file, []byte(want), 0o644))
			continue
		}
		shown, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Equal(t, want, string(shown), "go test ./internal/cli -update writes it")
	}
}

// Every word that can be typed is explained, in a line on a screen of 80 columns.
func TestGuidesHaveEveryWord(t *testing.T) {
	typed := map[string][]string{}
	for _, m := range shoot.AllMethods {
		typed["methods"] = append(typed["methods"], m.String())
	}
	for _, w := range sky.Words {
		typed["conditions"] = append(typed["conditions"], w.String())
	}
	for _, p := range reading.Planes {
		typed["planes"] = append(typed["planes"], p.String())
	}
	require.Len(t, words.Guides(), 4)
	for _, guide := range words.Guides() {
		var named []string
		for _, term := range guide.Terms {
			named = append(named, term.Name)
			if flag := strings.Fields(term.Name); strings.HasPrefix(flag[0], "--") {
				_, out, _ := run(t, "timeline", "--help")
				assert.Contains(t, out, flag[0]+" ", "it is a flag")
				if len(flag) == 1 {
					flag = append(flag, strings.Fields(strings.ReplaceAll(term.Means, ":", ""))[0])
				}
				code, _, errs := run(t, append([]string{"timeline", "--from", "sunset-10m"}, flag...)...)
				assert.Contains(t, []int{exitDone, exitOutOfReach}, code, "%v: %s", flag, errs)
			}
		}
		assert.Subset(t, named, typed[guide.Name])
		code, out, errs := run(t, "help", guide.Name)
		require.Equal(t, exitDone, code, errs)
		above, example, ok := strings.Cut(out, "For example")
		require.True(t, ok)
		assert.Len(t, strings.Split(strings.TrimSpace(above), "\n"), 1+len(guide.Terms), "a line each")
		assert.Contains(t, example, "\n$ evenfall "+guide.Example+"\n")
		_, narrow, _ := runOn(t, 60, "help", guide.Name)
		for line := range strings.SplitSeq(narrow, "\n") {
			assert.LessOrEqual(t, len([]rune(line)), 60, line)
		}
		_, ascii, _ := run(t, "help", guide.Name, "--ascii")
		assert.NotContains(t, ascii, `\u`)
	}
}

// The settings that the Go tool writes down, as runtime/debug names them.
func TestVersionText(t *testing.T) {
	info := &debug.BuildInfo{GoVersion: "go1.99", Main: debug.Module{Version: "v1.2.3"}, Settings: []debug.BuildSetting{
		{Key: "GOOS", Value: "plan9"}, {Key: "GOARCH", Value: "arm64"}, {Key: "vcs.revision", Value: "abc"},
		{Key: "vcs.time", Value: "2027-01-02T03:04:05Z"}, {Key: "vcs.modified", Value: "true"}}}
	assert.Equal(t, "evenfall v1.2.3 go1.99 plan9/arm64, engine for pages inside\n"+
		"revision abc of 2027-01-02T03:04:05Z, with changes since\n", versionText(info, true))
	assert.Regexp(t, `^evenfall unknown go\S+ \w+/\w+, no engine for pages inside\nrevision unknown\n$`,
		versionText(&debug.BuildInfo{}, false))
}
