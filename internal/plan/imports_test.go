package plan

import (
	"go/build"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Planning reads no files: nothing that it is built from knows TOML.
func TestNoTOML(t *testing.T) {
	const module = "evenfall/"
	seen := map[string]bool{}
	var walk func(path string)
	walk = func(path string) {
		if seen[path] {
			return
		}
		seen[path] = true
		of, err := build.ImportDir(filepath.Join("..", "..", strings.TrimPrefix(path, module)), 0)
		require.NoError(t, err)
		for _, one := range of.Imports {
			assert.NotContains(t, one, "toml", "imported by %s", path)
			assert.NotContains(t, one, "shootfile", "imported by %s", path)
			if strings.HasPrefix(one, module) {
				walk(one)
			}
		}
	}
	walk(module + "internal/plan")
	assert.True(t, seen["evenfall/internal/shoot"], "the imports were followed")
}
