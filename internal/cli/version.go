package cli

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func newVersion(p *Process) *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version",
		Args:  noArguments,
		RunE: func(*cobra.Command, []string) error {
			version := "unknown"
			if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
				version = info.Main.Version
			}
			inside := "no engine for pages inside"
			if p.Engine != nil {
				inside = "engine for pages inside"
			}
			_, err := fmt.Fprintf(p.results, "evenfall %s %s %s/%s, %s\n", version, runtime.Version(), runtime.GOOS,
				runtime.GOARCH, inside)
			return err
		},
	}
}
