package picture

import (
	"go/build"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Pictures are drawn without what makes a program large: nothing that they are
// built from knows templates or tables.
func TestNoTemplates(t *testing.T) {
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
			assert.NotContains(t, one, "template", "imported by %s", path)
			assert.NotContains(t, one, "tablewriter", "imported by %s", path)
			if strings.HasPrefix(one, module) {
				walk(one)
			}
		}
	}
	walk(module + "internal/picture")
	assert.True(t, seen[module+"internal/report"], "the imports were followed")
}
