package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// asJSON runs a command and decodes its JSON.
func asJSON(t *testing.T, into any, args ...string) {
	var out, errs bytes.Buffer
	code := Run(context.Background(), Process{
		Args: append(args, "--format", "json"), Stdout: &out, Stderr: &errs, Getenv: func(string) string { return "" }, Now: noon,
	})
	require.Contains(t, []int{exitDone, exitOutOfReach}, code, errs.String())
	require.NoError(t, json.Unmarshal(out.Bytes(), into))
}

// The figures of each value are those of the same shoot planned alone, by the
// commands that plan it: the method, the minutes, from and until, the headroom
// and the batteries.
func TestVaryIsTheSamePlannedOneByOne(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	for flag, values := range map[string]string{
		"units": "1,2,4", "distance": "1,2,3", "aperture": "2,4,8", "ratio": "2,3", "background-at-most": "0,1.5,any",
		"background": "-1.5,0", "facing": "backlit,front,left,120", "sky": "clear,overcast", "from": "16:30,sunset-1h",
		"flash": "speedlight-60,compact-36", "modifier": "bare,softbox-60x90,octa-150-double", "flash-angle": "-30,30",
	} {
		var together struct {
			Varied struct {
				Key    string
				Values []struct {
					Text, Method, Verdict string
					Held                  int `json:"minutes_held"`
					Softer                int `json:"minutes_softer"`
					Missed                int `json:"minutes_missed"`
					From, Until           *string
					Headroom              *float64 `json:"least_headroom_stops"`
					Sets                  int      `json:"battery_sets_per_flash"`
				}
			}
		}
		asJSON(t, &together, "compare", "--vary", flag+"="+values)
		require.Len(t, together.Varied.Values, strings.Count(values, ",")+1)
		for _, got := range together.Varied.Values {
			where := "--" + flag + " " + got.Text
			var alone struct {
				Runs []struct {
					Method   string
					Held     int      `json:"minutes_held"`
					Softer   int      `json:"minutes_softer"`
					Missed   int      `json:"minutes_missed"`
					Headroom *float64 `json:"least_headroom_stops"`
				}
				Verdict struct {
					Method      string
					From, Until *string
				}
			}
			asJSON(t, &alone, "timeline", "--"+flag, got.Text)
			assert.Equal(t, alone.Verdict.Method, got.Method, where)
			assert.Equal(t, alone.Verdict.From, got.From, where)
			assert.Equal(t, alone.Verdict.Until, got.Until, where)
			for _, r := range alone.Runs {
				if r.Method == got.Method {
					assert.Equal(t, [3]int{r.Held, r.Softer, r.Missed}, [3]int{got.Held, got.Softer, got.Missed}, where)
					assert.Equal(t, r.Headroom, got.Headroom, where)
				}
			}
			var costs struct {
				Totals []struct {
					Method string
					Main   struct {
						Sets int `json:"battery_sets_per_flash"`
					}
				}
			}
			asJSON(t, &costs, "compare", "--"+flag, got.Text)
			for _, total := range costs.Totals {
				if total.Method == got.Method {
					assert.Equal(t, total.Main.Sets, got.Sets, where)
				}
			}
		}
	}
}
