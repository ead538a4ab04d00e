package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"evenfall/internal/page"
	"evenfall/internal/shootfile"
)

// checkSite refuses a folder that a site cannot be written to, or that holds a
// page which is not one of ours.
func (g *planning) checkSite() error {
	switch info, err := os.Stat(g.site); {
	case g.site == "":
		return &problem{exitUsage, "--site was given no folder", "--site site"}
	case err == nil && !info.IsDir():
		return &problem{exitUsage, fmt.Sprintf("--site %q is a file, and a site is a folder", g.site), "--site site"}
	}
	if g.isSite() {
		return nil
	}
	for _, name := range [...]string{"index.html", page.WorkerFile} {
		if _, err := os.Lstat(filepath.Join(g.site, name)); err == nil {
			return &problem{exitUsage, fmt.Sprintf("--site %q holds %s, which is not evenfall's to write over", g.site, name),
				"--site " + shootfile.Typed(filepath.Join(g.site, "site"))}
		}
	}
	return nil
}

// isSite reports whether the folder holds a site that was written before.
func (g *planning) isSite() bool {
	text, err := readFile(g.command.Context(), filepath.Join(g.site, page.WorkerFile))
	return err == nil && strings.HasPrefix(string(text), page.SiteMark)
}

// writeSite writes a sheet as a site into its folder, in the place of the one
// that is there.
func (g *planning) writeSite(s *page.Sheet) error {
	files, err := page.Site(s)
	if err != nil {
		return err
	}
	ctx := g.command.Context()
	if err := os.MkdirAll(g.site, 0o777); err != nil {
		return &problem{exitFailed, fmt.Sprintf("%q cannot be made: %v", g.site, withoutPath(err)), "--site site"}
	}
	size := 0
	for _, f := range files {
		name := filepath.Join(g.site, f.Name)
		if err := writeFile(ctx, name, sheaf{f.Data}, true); err != nil {
			return unwritten(ctx, name, err, "--site site")
		}
		size += len(f.Data)
	}
	return g.process.say(fmt.Sprintf("wrote %s: %d files, %s; put them on any host that has https",
		shootfile.Typed(g.site), len(files), kilobytes(size)))
}
