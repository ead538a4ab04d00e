package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"runtime"

	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"
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

// ownKitFile is where the photographer's own kit is read from; empty where
// there is no place for it.
func (p *Process) ownKitFile() string {
	folder := configFolder(runtime.GOOS, p.Getenv)
	if folder == "" {
		return ""
	}
	return filepath.Join(folder, "evenfall", "kit.toml")
}

// ownKit reads the photographer's own kit. A file that is not there is no
// error.
func (p *Process) ownKit(ctx context.Context) (ownKit, error) {
	own := ownKit{file: p.ownKitFile()}
	if own.file == "" {
		return own, nil
	}
	data, err := readFile(ctx, own.file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return own, nil
	case err != nil:
		return own, unreadableKit("your own kit file", own.file, err)
	}
	own.library, err = shootfile.ParseKit(filepath.ToSlash(own.file), data)
	return own, err
}

func unreadableKit(what, name string, err error) error {
	return &problem{exitUsage, fmt.Sprintf("%s %q cannot be read: %v", what, name, withoutPath(err)),
		"evenfall kit --help"}
}
