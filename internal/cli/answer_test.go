package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// jsonOf runs a command for its JSON.
func jsonOf(t *testing.T, into any, args ...string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code := Run(context.Background(), Process{
		Args: append(args, "--format", "json"), Stdout: &stdout, Stderr: &stderr,
		Getenv: func(string) string { return "" }, Now: noon,
	})
	require.Contains(t, []int{exitDone, exitOutOfReach}, code, "%q: %s", args, &stderr)
	require.NoError(t, json.Unmarshal(stdout.Bytes(), into), "%q", args)
}

// One moment has one answer, whichever command is asked: timeline and compare
// give the same picture for each method at each time, and what cues begins with
// is timeline's first picture that succeeds.
func TestOneAnswer(t *testing.T) {
	shoots, err := filepath.Glob("../../examples/*.toml")
	require.NoError(t, err)
	pictures, begun := 0, 0
	for _, shoot := range append(shoots, "") {
		var named []string
		if shoot != "" {
			named = []string{shoot}
		}
		var line planned
		jsonOf(t, &line, append([]string{"timeline"}, named...)...)
		var moments []string
		for _, r := range line.Rows {
			at, err := time.Parse(time.RFC3339, r.Time)
			require.NoError(t, err)
			if at.Second() == 0 && (r.Case == nil || *r.Case == "sun") {
				moments = append(moments, at.Format("15:04"))
			}
		}
		if len(moments) == 0 { // the window begins at an event, not by the clock
			moments = []string{"sunset-60m", "sunset-30m", "sunset-15m", "sunset"}
		}
		var compared struct{ Moments []plannedRow }
		jsonOf(t, &compared, append([]string{"compare", "--moment", strings.Join(moments, ",")}, named...)...)
		for _, c := range compared.Moments {
			for _, r := range line.Rows {
				if r.Time != c.Time || (r.Case == nil) != (c.Case == nil) || r.Case != nil && *r.Case != *c.Case {
					continue
				}
				for i := range r.Methods {
					// What stands beside in compare is no cure there.
					r.Methods[i].Cures, c.Methods[i].Cures = nil, nil
					assert.Equal(t, r.Methods[i], c.Methods[i], "%s at %s", shoot, r.Time)
					pictures++
				}
			}
		}
		var cues struct {
			Runs []struct {
				Method string
				Case   *string
				Cues   []struct {
					Time     string
					Settings picture
				}
			}
		}
		jsonOf(t, &cues, append([]string{"cues", "--method", line.Rows[0].Methods[0].Method}, named...)...)
		for _, run := range cues.Runs {
			if len(run.Cues) == 0 || run.Cues[0].Time != line.Rows[0].Time || run.Case != nil {
				continue
			}
			for _, m := range line.Rows[0].Methods {
				if m.Method == run.Method {
					was := run.Cues[0].Settings
					assert.Equal(t, [4]any{m.Aperture, m.Shutter, m.ISO, m.PowerText},
						[4]any{was.Aperture, was.Shutter, was.ISO, was.PowerText},
						"%s: cues of %s", shoot, m.Method)
					begun++
				}
			}
		}
	}
	t.Logf("%d pictures and %d beginnings compared", pictures, begun)
	assert.Greater(t, pictures, 100)
	assert.Greater(t, begun, 3)
}
