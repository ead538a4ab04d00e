package cli

import (
	"cmp"
	"fmt"
	"io"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func newVersion(p *Process) *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version and what it was built from",
		Args:  noArguments,
		RunE: func(*cobra.Command, []string) error {
			info, ok := debug.ReadBuildInfo()
			if !ok {
				info = &debug.BuildInfo{}
			}
			_, err := io.WriteString(p.results, versionText(info, p.Engine != nil))
			return err
		},
	}
}

// versionText says which version this is, for which machine and built with what,
// and which revision of the sources it was built from.
func versionText(info *debug.BuildInfo, engine bool) string {
	inside := "no engine for pages inside"
	if engine {
		inside = "engine for pages inside"
	}
	set := map[string]string{}
	for _, one := range info.Settings {
		set[one.Key] = one.Value
	}
	revision := "unknown"
	if id := set["vcs.revision"]; id != "" {
		revision = id + " of " + cmp.Or(set["vcs.time"], "an unknown time")
	}
	if set["vcs.modified"] == "true" {
		revision += ", with changes since"
	}
	return fmt.Sprintf("evenfall %s %s %s/%s, %s\nrevision %s\n", cmp.Or(info.Main.Version, "unknown"),
		cmp.Or(info.GoVersion, runtime.Version()), cmp.Or(set["GOOS"], runtime.GOOS), cmp.Or(set["GOARCH"], runtime.GOARCH),
		inside, revision)
}
