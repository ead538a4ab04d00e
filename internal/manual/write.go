// Manual writes the manual pages and the completion scripts of the command into
// a folder that it is given: man/man1 and completions. They are of the day that
// SOURCE_DATE_EPOCH says.
package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"evenfall/internal/cli"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "manual: name the folder to write into")
		os.Exit(2)
	}
	if err := write(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "manual:", err)
		os.Exit(1)
	}
}

// write writes all of it into a folder.
func write(folder string) error {
	pages, scripts := filepath.Join(folder, "man", "man1"), filepath.Join(folder, "completions")
	if err := errors.Join(os.MkdirAll(pages, 0o755), os.MkdirAll(scripts, 0o755)); err != nil {
		return err
	}
	root := cli.Commands()
	root.DisableAutoGenTag = true
	header := &doc.GenManHeader{Section: "1", Source: "evenfall", Manual: "evenfall"}
	if err := doc.GenManTree(root, header, pages); err != nil {
		return err
	}
	return completions(root, scripts)
}

// completions writes a script for each shell.
func completions(root *cobra.Command, folder string) error {
	in := func(name string) string { return filepath.Join(folder, name) }
	return cmp.Or(root.GenBashCompletionFileV2(in("evenfall.bash"), true), root.GenZshCompletionFile(in("_evenfall")),
		root.GenFishCompletionFile(in("evenfall.fish"), true), root.GenPowerShellCompletionFileWithDesc(in("evenfall.ps1")))
}
