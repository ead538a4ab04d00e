//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package cli

import (
	"errors"
	"os"
	"syscall"
)

// lock keeps others that lock the file from it until it is closed, and reports
// that; of a system of files without locks it asks for none.
func lock(f *os.File) (alone bool, err error) {
	for {
		err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX)
		switch {
		case errors.Is(err, syscall.EINTR):
			continue
		case errors.Is(err, syscall.ENOTSUP), errors.Is(err, syscall.ENOLCK), errors.Is(err, syscall.ENOSYS):
			return false, nil
		}
		return err == nil, err
	}
}

// lockName keeps others that lock a file by its name from it until it is
// unlocked, also where it is replaced by another of its name meanwhile. Where
// there is none an empty one is made.
func lockName(name string) (unlock func() error, err error) {
	for {
		f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE, 0o666)
		if err != nil {
			return nil, err
		}
		if _, err := lock(f); err != nil {
			return nil, errors.Join(err, f.Close())
		}
		locked, err := f.Stat()
		if err != nil {
			return nil, errors.Join(err, f.Close())
		}
		if named, err := os.Stat(name); err == nil && os.SameFile(locked, named) {
			return f.Close, nil
		}
		if err := f.Close(); err != nil { // it has been replaced
			return nil, err
		}
	}
}
