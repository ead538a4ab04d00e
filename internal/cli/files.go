package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"

	"evenfall/internal/shootfile"
)

// await does what may take as long as it likes, such as to wait for the other
// end of a pipe, but for no longer than the context lasts. What is not done by
// then is left behind, and its result with it. The error is that of the deed
// or the context's.
func await(ctx context.Context, do func() error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	done := make(chan error, 1)
	go func() { done <- do() }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
		return ctx.Err()
	}
}

// patientWriter writes for no longer than its context lasts.
type patientWriter struct {
	ctx context.Context
	to  io.Writer
}

func (w *patientWriter) Write(data []byte) (n int, err error) {
	written := 0
	if err := await(w.ctx, func() (err error) { written, err = w.to.Write(data); return err }); err != nil {
		return 0, err
	}
	return written, nil
}

// readFile reads a file, no more of it than shows that it is too large.
func readFile(ctx context.Context, name string) ([]byte, error) {
	var data []byte
	err := await(ctx, func() error {
		f, err := os.Open(name)
		if err != nil {
			return err
		}
		defer f.Close()
		data, err = io.ReadAll(io.LimitReader(f, shootfile.LargestFile+1))
		return err
	})
	if err != nil {
		return nil, err
	}
	return data, nil
}

// withoutPath is a file's error without its path, which may be of a file that
// nobody asked for.
func withoutPath(err error) error {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}

// sheaf is text in pieces: a long one is not moved about as it grows.
type sheaf [][]byte

// Write adds a piece.
func (s *sheaf) Write(piece []byte) (int, error) {
	*s = append(*s, bytes.Clone(piece))
	return len(piece), nil
}

// to writes all pieces.
func (s sheaf) to(w io.Writer) error {
	for _, piece := range s {
		if _, err := w.Write(piece); err != nil {
			return err
		}
	}
	return nil
}

// writeFile writes a file whole or not at all: it becomes a complete file
// beside the one that is there, which it then replaces. Without over there may
// be none, else the error is fs.ErrExist. What is no file but a device or a
// pipe is written to. The error may be the context's: until the very end the
// file stays as it was.
func writeFile(ctx context.Context, name string, data sheaf, over bool) error {
	if _, err := os.Lstat(name); err == nil && !over {
		return fs.ErrExist
	}
	name = followed(name)
	var mode fs.FileMode // of the file that is there
	switch info, err := os.Stat(name); {
	case err == nil && !info.Mode().IsRegular():
		return await(ctx, func() error { return writeTo(name, data) })
	case err == nil:
		if err := writeTo(name, nil); err != nil {
			return err // not to be written to, so not to be replaced either
		}
		mode = info.Mode().Perm()
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	beside, err := writeBeside(name, data, mode)
	if err != nil {
		return err
	}
	defer os.Remove(beside) // does nothing once it has its name
	if err := ctx.Err(); err != nil {
		return err
	}
	if over {
		return os.Rename(beside, name)
	}
	switch err := os.Link(beside, name); {
	case err == nil, errors.Is(err, fs.ErrExist):
		return err
	}
	return os.Rename(beside, name) // where files cannot have two names
}

// followed is the name that a link leads to, be there a file or not: the link
// itself stays.
func followed(name string) string {
	const most = 40 // links; more are a circle
	for range most {
		if target, err := filepath.EvalSymlinks(name); err == nil {
			return target
		}
		to, err := os.Readlink(name)
		if _, there := os.Stat(name); err != nil || there == nil {
			break // no link, or one of the system's to what has no name
		}
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(name), to)
		}
		name = to
	}
	return name
}

// writeTo writes to what is there.
func writeTo(name string, data sheaf) error {
	f, err := os.OpenFile(name, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	err = data.to(f)
	return errors.Join(err, f.Close())
}

// writeBeside writes a file of a name of its own into the folder of another,
// down to the disk, and returns its name. Where there is an error there is no
// file. A mode of 0 is that of any new file.
func writeBeside(name string, data sheaf, mode fs.FileMode) (string, error) {
	f, err := createBeside(name)
	if err != nil {
		return "", err
	}
	err = data.to(f)
	if mode != 0 {
		err = errors.Join(err, f.Chmod(mode))
	}
	err = errors.Join(err, f.Sync(), f.Close())
	if err != nil {
		os.Remove(f.Name())
		return "", err
	}
	return f.Name(), nil
}

// createBeside creates a file of a name that no other has.
func createBeside(name string) (f *os.File, err error) {
	const tries = 100
	for range tries {
		beside := filepath.Join(filepath.Dir(name), fmt.Sprintf(".evenfall-%08x", rand.Uint32()))
		f, err = os.OpenFile(beside, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if !errors.Is(err, fs.ErrExist) {
			break
		}
	}
	return f, err
}
