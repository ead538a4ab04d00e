package cli

import (
	"bytes"
	"context"
	"flag"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rewrite has the README show what the commands print now.
var rewrite = flag.Bool("update-readme", false, "write the commands' output into README.md")

const readmeFile = "../../README.md"

// The README's commands, replayed: each `$ go run ./cmd/evenfall ...` of a
// console block prints what stands below it, where "..." stands for any lines.
func TestReadme(t *testing.T) {
	data, err := os.ReadFile(readmeFile)
	require.NoError(t, err)
	blocks := consoleBlocks(string(data))
	require.NotEmpty(t, blocks)
	text := string(data)
	for _, b := range blocks {
		args, ok := strings.CutPrefix(b.command, "go run ./cmd/evenfall")
		if !ok {
			continue // a command for people, not for the test
		}
		var out, errs bytes.Buffer
		code := Run(context.Background(), Process{
			Args: strings.Fields(args), Stdout: &out, Stderr: &errs,
			Getenv: func(string) string { return "" }, Now: time.Date(2027, 9, 18, 12, 0, 0, 0, time.UTC),
		})
		assert.Contains(t, []int{exitDone, exitOutOfReach}, code, "%s: %s", b.command, errs.String())
		if *rewrite && !strings.Contains(b.output, elided) {
			text = strings.Replace(text, b.whole, "$ "+b.command+"\n"+out.String(), 1)
			continue
		}
		rest := out.String()
		for part := range strings.SplitSeq(b.output, elided) {
			at := strings.Index(rest, part)
			if !assert.GreaterOrEqual(t, at, 0, "%s no longer prints\n%s", b.command, part) {
				break
			}
			rest = rest[at+len(part):]
		}
	}
	if *rewrite {
		require.NoError(t, os.WriteFile(readmeFile, []byte(text), 0o644))
	}
}

// elided stands in the README for lines left out.
const elided = "...\n"

type consoleBlock struct{ command, output, whole string }

// consoleBlocks finds the commands in fenced blocks of the kind console.
func consoleBlocks(text string) []consoleBlock {
	var list []consoleBlock
	for {
		_, rest, ok := strings.Cut(text, "```console\n$ ")
		if !ok {
			return list
		}
		block, rest, _ := strings.Cut(rest, "```")
		command, output, _ := strings.Cut(block, "\n")
		list = append(list, consoleBlock{command, output, "$ " + block})
		text = rest
	}
}
