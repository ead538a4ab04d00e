package cli

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"

	"evenfall/internal/shootfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

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
