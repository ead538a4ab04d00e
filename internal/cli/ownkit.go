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
	return userFolder(system, getenv, "AppData", "Application Support", "XDG_CONFIG_HOME", ".config")
}

// userFolder returns a folder of the user's: on Windows as a variable has it, on
// a Mac of that name in the library, elsewhere as a variable of the XDG Base
// Directory Specification has it, or of that name at home. It is empty where
// there is none.
func userFolder(system string, getenv func(string) string, windows, library, xdg, home string) string {
	within := func(variable string, parts ...string) string {
		root := getenv(variable)
		if !filepath.IsAbs(root) {
			return "" // a relative one is to be ignored, says the specification
		}
		return filepath.Join(append([]string{root}, parts...)...)
	}
	switch system {
	case "windows":
		return within(windows)
	case "darwin", "ios":
		return within("HOME", "Library", library)
	}
	if folder := within(xdg); folder != "" {
		return folder
	}
	return within("HOME", home)
}

// ownKit is the photographer's own kit.
type ownKit struct {
	file    string         // empty where there is no place for one
	library *shoot.Library // nil where there is no such file
}

// ownKitFile is where the photographer's own kit is read from; empty where
// there is no place for it.
func (p *Process) ownKitFile() string { return p.ownFile("kit.toml") }

// ownFile is a file of the photographer's own for all shoots; empty where there
// is no place for it.
func (p *Process) ownFile(name string) string {
	folder := configFolder(runtime.GOOS, p.Getenv)
	if folder == "" {
		return ""
	}
	return filepath.Join(folder, "evenfall", name)
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
	return own, err // of a kit with faults there may be a part
}

func unreadableKit(what, name string, err error) error {
	return &problem{exitUsage, fmt.Sprintf("%s %q cannot be read: %v", what, name, withoutPath(err)),
		"evenfall kit --help"}
}
