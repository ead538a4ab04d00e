package report_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"evenfall/internal/report"
	"evenfall/internal/report/text"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write what the reports look like now")

// The demonstration's reports as they are printed: one of each, to be read
// after every change.
func TestGolden(t *testing.T) {
	made := reports(t, shoots(t)["demonstration"], report.Options{Demonstration: true})
	pages := map[string]string{}
	for _, kind := range []string{"timeline", "compare", "cues", "adjust"} {
		pages[kind+".txt"] = strings.Join(lines(t, made[kind], text.Options{Width: 80}), "\n") + "\n"
	}
	pages["timeline.md"] = as(t, made["timeline"], report.Markdown, report.Options{})
	pages["timeline.csv"] = as(t, made["timeline"], report.CSV, report.Options{})
	pages["cues.json"] = as(t, made["cues"], report.JSON, report.Options{})
	found := schedules(t)["odds"].Report(report.Options{Demonstration: true,
		Now: time.Date(2027, time.April, 2, 9, 30, 0, 0, time.UTC)})
	pages["schedule.txt"] = strings.Join(lines(t, found, text.Options{Width: 80}), "\n") + "\n"
	pages["schedule.ics"] = as(t, found, report.ICalendar, report.Options{})
	for name, page := range pages {
		file := filepath.Join("testdata", name)
		if *update {
			require.NoError(t, os.WriteFile(file, []byte(page), 0o644))
		}
		want, err := os.ReadFile(file)
		require.NoError(t, err, "go test ./internal/report -run Golden -update")
		assert.Equal(t, string(want), page, name)
	}
	if *update {
		assert.Fail(t, "written; read what changed, then run again without -update")
	}
}
