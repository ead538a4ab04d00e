package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"evenfall/internal/cli"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each command has a page with all its flags, the same whenever it is made on
// the same day; the scripts are ones that their shells can read.
func TestWrite(t *testing.T) {
	t.Setenv("SOURCE_DATE_EPOCH", "1000000000") // 9 September 2001
	folder, again := t.TempDir(), t.TempDir()
	require.NoError(t, write(folder))
	require.NoError(t, write(again))
	pages := 0
	var visit func(c *cobra.Command)
	visit = func(c *cobra.Command) {
		name := filepath.Join("man", "man1", strings.ReplaceAll(c.CommandPath(), " ", "-")+".1")
		page, err := os.ReadFile(filepath.Join(folder, name))
		require.NoError(t, err)
		pages++
		assert.Regexp(t, `\.TH "EVENFALL[A-Z-]*" "1" "Sep 2001" "evenfall" "evenfall"`, string(page))
		text := strings.ReplaceAll(string(page), `\-`, "-")
		c.Flags().VisitAll(func(f *pflag.Flag) { assert.Contains(t, text, "--"+f.Name, name) })
		same, err := os.ReadFile(filepath.Join(again, name))
		require.NoError(t, err)
		assert.Equal(t, string(page), string(same))
		for _, sub := range c.Commands() {
			if sub.IsAvailableCommand() && !sub.IsAdditionalHelpTopicCommand() {
				visit(sub)
			}
		}
	}
	visit(cli.Commands())
	assert.Greater(t, pages, 15)
	for script, shell := range map[string]string{"evenfall.bash": "bash", "_evenfall": "zsh", "evenfall.fish": "fish"} {
		data, err := os.ReadFile(filepath.Join(folder, "completions", script))
		require.NoError(t, err)
		assert.Regexp(t, regexp.MustCompile(`\b_?_?evenfall\b`), string(data))
		if _, err := exec.LookPath(shell); err == nil {
			out, err := exec.Command(shell, "-n", filepath.Join(folder, "completions", script)).CombinedOutput()
			assert.NoError(t, err, "%s", out)
		}
	}
	assert.FileExists(t, filepath.Join(folder, "completions", "evenfall.ps1"))
	assert.Error(t, write(filepath.Join(folder, "completions", "evenfall.ps1")), "no folder")
}
