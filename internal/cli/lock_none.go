//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd)

package cli

import "os"

// lock does nothing here: that the file is added to by one write keeps lines
// whole where the system does.
func lock(*os.File) (alone bool, err error) { return false, nil }

// lockName does nothing here: of two changes at once the later one stays.
func lockName(string) (unlock func() error, err error) { return func() error { return nil }, nil }
