// Package enginebuild compiles the engine of a page that plans again, out of the
// sources of a checkout.
package enginebuild

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// command is the engine's package within the module.
const command = "cmd/evenfall-engine"

// inlined are the packages whose functions may be copied into their callers:
// those that the arithmetic is in. Elsewhere that makes the module a fifteenth
// larger, and nothing faster that counts; in the package plan a page 31 kB larger,
// and a change 5 ms in 95 faster.
var inlined = [...]string{"math", "evenfall/sky", "evenfall/internal/exposure", "evenfall/internal/flash",
	"evenfall/internal/scene", "evenfall/internal/shoot"}

// Root returns the folder of the checkout that another lies in; empty where it
// lies in none.
func Root(folder string) string {
	for folder, _ = filepath.Abs(folder); ; folder = filepath.Dir(folder) {
		text, err := os.ReadFile(filepath.Join(folder, "go.mod"))
		if err == nil && bytes.HasPrefix(text, []byte("module evenfall\n")) {
			if _, err := os.Stat(filepath.Join(folder, filepath.FromSlash(command))); err == nil {
				return folder
			}
		}
		if folder == filepath.Dir(folder) {
			return ""
		}
	}
}

// Key names what the sources of a checkout and its toolchain would give: where
// it is the same, so is the engine.
func Key(ctx context.Context, root string) (string, error) {
	version := exec.CommandContext(ctx, "go", "env", "GOVERSION")
	version.Dir = root
	toolchain, err := version.Output()
	if err != nil {
		return "", fmt.Errorf("no Go toolchain answers: %w", err)
	}
	sum := sha256.New()
	sum.Write(toolchain)
	files := os.DirFS(root)
	for _, top := range [...]string{"go.mod", "go.sum", command, "internal", "sky"} {
		err = fs.WalkDir(files, top, func(name string, entry fs.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case entry.IsDir() && entry.Name() == "testdata":
				return fs.SkipDir
			case entry.IsDir(), strings.HasSuffix(name, "_test.go"):
				return nil
			}
			text, err := fs.ReadFile(files, name)
			fmt.Fprintf(sum, "%s %d\n%s", name, len(text), text)
			return err
		})
		if err != nil {
			return "", err
		}
	}
	return hex.EncodeToString(sum.Sum(nil)[:16]), nil
}

// Build compiles the engine of a checkout, and compresses it (gzip). The error
// says what the compiler did.
func Build(ctx context.Context, root string) ([]byte, error) {
	folder, err := os.MkdirTemp("", "evenfall-engine-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	file := filepath.Join(folder, "engine.wasm")
	arguments := []string{"build", "-buildmode=c-shared", "-trimpath", "-buildvcs=false", "-ldflags=-s -w",
		"-gcflags=all=-l"}
	for _, one := range inlined {
		arguments = append(arguments, "-gcflags="+one+"=")
	}
	build := exec.CommandContext(ctx, "go", append(arguments, "-o", file, "./"+command)...)
	build.Dir = root
	build.Env = append(os.Environ(), "GOOS=wasip1", "GOARCH=wasm", "CGO_ENABLED=0", "GOFLAGS=")
	if said, err := build.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("the engine is not built: %w\n%s", err, said)
	}
	module, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(module); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
