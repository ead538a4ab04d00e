package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"

	"evenfall/internal/engine"
	"evenfall/internal/plan"
	"evenfall/internal/shootfile"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A page takes the saved place along that its shoot picks, and no other: where
// else a photographer works is nobody's business who is handed one.
func TestPageTakesItsPlaceAlong(t *testing.T) {
	folder := t.TempDir()
	p := &Process{Stdout: io.Discard, Stderr: io.Discard, Now: noon, results: io.Discard,
		Getenv: func(name string) string {
			if name == "XDG_CONFIG_HOME" || name == "HOME" {
				return folder
			}
			return ""
		}}
	file := p.ownPlacesFile()
	require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o777))
	require.NoError(t, os.WriteFile(file, []byte("[west-quay]\nlatitude_deg = 54.33\nlongitude_deg = 10.15\n"+
		"time_zone = 'Europe/Berlin'\nhorizon_deg = [[240, 2]]\n"+
		"[secret-garden]\nlatitude_deg = 54.4\nlongitude_deg = 10.2\n"), 0o666))
	c := &cobra.Command{Use: "sheet"}
	g := addPlanning(p, c)
	c.SetContext(t.Context())
	require.NoError(t, c.ParseFlags([]string{"--place", "West Quay", "--date", "2027-06-12"}))
	s, err := g.load()
	require.NoError(t, err)
	made, err := plan.Make(t.Context(), s)
	require.NoError(t, err)
	asked, err := g.asked(made)
	require.NoError(t, err)
	assert.NotContains(t, asked.Place, "secret")
	request, err := json.Marshal(asked)
	require.NoError(t, err)
	request, err = json.Marshal(engine.Request{Shoot: request})
	require.NoError(t, err)
	var e engine.Engine
	var response engine.Response
	require.NoError(t, json.Unmarshal(e.Plan(request), &response))
	assert.Empty(t, response.Faults)
	assert.Contains(t, response.Title, "west-quay")
}

// Many that save places at once lose none of them, and the file is whole whenever
// it is looked at.
func TestPlacesSavedTogether(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("has no locks here")
	}
	folder := t.TempDir()
	process := Process{Stdout: io.Discard, Stderr: io.Discard, Now: noon, Getenv: func(name string) string {
		if name == "XDG_CONFIG_HOME" || name == "HOME" {
			return folder
		}
		return ""
	}}
	file := process.ownPlacesFile()
	const savers, each = 12, 5
	var all sync.WaitGroup
	for n := range savers {
		all.Go(func() {
			for i := range each {
				p := process
				p.Args = strings.Fields(fmt.Sprintf("place save p-%c-%c --at 54.33,10.15 --tz Europe/Berlin", 'a'+n, 'a'+i))
				assert.Equal(t, exitDone, Run(context.Background(), p))
				text, err := os.ReadFile(file)
				if !assert.NoError(t, err) {
					return
				}
				_, err = shootfile.ParsePlaces("places.toml", text, p.environment())
				assert.NoError(t, err)
			}
		})
	}
	all.Wait()
	places, err := process.ownPlaces(t.Context(), process.environment())
	require.NoError(t, err)
	assert.Len(t, places, savers*each)
	left, err := os.ReadDir(filepath.Dir(file))
	require.NoError(t, err)
	assert.Len(t, left, 1, "nothing but the file itself")
}
