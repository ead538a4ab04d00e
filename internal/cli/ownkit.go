package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"evenfall/internal/shoot"
)

// configFolder returns the user's folder for configuration, as
// os.UserConfigDir has it for each system; empty where there is none.
func configFolder(system string, getenv func(string) string) string {
	within := func(home string, parts ...string) string {
		if home = getenv(home); !filepath.IsAbs(home) {
			return ""
		}
		return filepath.Join(append([]string{home}, parts...)...)
	}
	switch system {
	case "windows":
		return within("AppData")
	case "darwin", "ios":
		return within("HOME", "Library", "Application Support")
	}
	if folder := within("XDG_CONFIG_HOME"); folder != "" {
		return folder // a relative one is to be ignored, says the XDG specification
	}
	return within("HOME", ".config")
}

// ownKit is the photographer's own kit.
type ownKit struct {
	file    string         // empty where there is no place for one
	library *shoot.Library // nil where there is no such file
}

// ownKit reads the photographer's own kit. A file that is not there is no
// error.
func (p *Process) ownKit() (ownKit, error) {
	folder := configFolder(runtime.GOOS, p.Getenv)
	if folder == "" {
		return ownKit{}, nil
	}
	own := ownKit{file: filepath.Join(folder, "evenfall", "kit.toml")}
	data, err := readFile(own.file)
	if errors.Is(err, fs.ErrNotExist) {
		return own, nil
	}
	if err == nil {
		own.library, err = shoot.ParseKit(filepath.ToSlash(own.file), data)
		return own, err
	}
	return own, unreadableKit("your own kit file", own.file, err)
}

// readFile reads a file, no more of it than shows that it is too large.
func readFile(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, shoot.LargestFile+1))
}

func unreadableKit(what, name string, err error) error {
	var cause *fs.PathError
	if errors.As(err, &cause) {
		err = cause.Err
	}
	return &problem{exitUsage, fmt.Sprintf("%s %q cannot be read: %v", what, name, err), "evenfall kit --help"}
}
