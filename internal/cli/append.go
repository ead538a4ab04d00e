package cli

import (
	"errors"
	"os"
)

// appendLines adds whole lines to a file, or begins it with a heading. They are
// written at once, behind what others add at the same time, and kept from it by
// a lock where the system has one. What is there stays as it is; behind a last
// line that was cut short a new one is begun. It is apart from writeFile, which
// would put a file of its own in the place of what another adds meanwhile.
func appendLines(name, heading, lines string) (err error) {
	f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o666)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	alone, err := lock(f)
	if err != nil {
		return err
	}
	info, err := f.Stat()
	switch {
	case err != nil:
		return err
	case !info.Mode().IsRegular():
		return errors.New("it is no file")
	case info.Size() == 0:
		lines = heading + lines
	default:
		last := make([]byte, 1)
		if _, err := f.ReadAt(last, info.Size()-1); err != nil {
			return err
		}
		if last[0] != '\n' {
			lines = "\n" + lines
		}
	}
	if _, err = f.WriteString(lines); err != nil && alone {
		return errors.Join(err, f.Truncate(info.Size())) // no part of them stays on a full disk
	}
	return errors.Join(err, f.Sync())
}
