package engine

import (
	"go/ast"
	"go/build"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const module = "evenfall/"

// walk calls visit for a package and for all that it is built from, in the
// browser, down to the standard library.
func walk(t *testing.T, context *build.Context, path string, seen map[string]bool, visit func(*build.Package)) {
	if seen[path] || path == "C" || path == "unsafe" {
		return
	}
	seen[path] = true
	var of *build.Package
	var err error
	if strings.HasPrefix(path, module) {
		of, err = context.ImportDir(filepath.Join("..", "..", strings.TrimPrefix(path, module)), 0)
	} else {
		of, err = context.Import(path, ".", 0)
	}
	require.NoError(t, err, path)
	visit(of)
	for _, one := range of.Imports {
		if strings.Contains(one, ".") || strings.HasPrefix(one, module) {
			walk(t, context, one, seen, visit)
		}
	}
}

// What the engine is built from does no I/O and reads no clock, and has neither
// the terminal's libraries nor templates in it.
func TestSeams(t *testing.T) {
	context := build.Default
	context.GOOS, context.GOARCH, context.CgoEnabled = "wasip1", "wasm", false
	seen := map[string]bool{}
	walk(t, &context, module+"cmd/evenfall-engine", seen, func(of *build.Package) {
		for _, one := range of.Imports {
			for _, never := range []string{"tablewriter", "cobra", "pflag", "x/term", "html/template", "text/template",
				"tzdata"} {
				assert.NotContains(t, one, never, "imported by %s", of.Dir)
			}
		}
		if strings.Contains(of.Dir, "pkg/mod") {
			return
		}
		for _, one := range of.Imports {
			assert.NotContains(t, inAndOut, one, "imported by %s", of.Dir)
		}
		for _, file := range of.GoFiles {
			readsNoClock(t, filepath.Join(of.Dir, file))
		}
	})
	for _, path := range []string{"evenfall/internal/plan", "evenfall/sky", "github.com/pelletier/go-toml/v2"} {
		assert.True(t, seen[path], "%s is reached", path)
	}
}

// inAndOut are packages that read, write, log or ask the system.
var inAndOut = []string{"os", "os/exec", "os/signal", "net", "net/http", "io/fs", "log", "log/slog", "syscall",
	"path/filepath"}

// clocks are what of package time looks at the clock, waits, or reads files.
var clocks = []string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker",
	"LoadLocation", "Local"}

func readsNoClock(t *testing.T, file string) {
	parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
	require.NoError(t, err)
	name := ""
	for _, one := range parsed.Imports {
		if path, _ := strconv.Unquote(one.Path.Value); path == "time" {
			name = "time"
		}
	}
	if name == "" {
		return
	}
	ast.Inspect(parsed, func(n ast.Node) bool {
		selector, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		of, ok := selector.X.(*ast.Ident)
		uses := ok && of.Name == name && slices.Contains(clocks, selector.Sel.Name)
		assert.False(t, uses, "%s uses time.%s", file, selector.Sel.Name)
		return true
	})
}
