package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"evenfall/internal/shootfile"
)

// ownPlacesFile is where the photographer's own places are kept; empty where
// there is no place for it.
func (p *Process) ownPlacesFile() string { return p.ownFile("places.toml") }

// ownPlaces reads the photographer's own places. A file that is not there is no
// error.
func (p *Process) ownPlaces(ctx context.Context, env shootfile.Environment) (shootfile.Places, error) {
	file := p.ownPlacesFile()
	if file == "" {
		return nil, nil
	}
	text, err := readFile(ctx, file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, unreadablePlaces(file, err)
	}
	return shootfile.ParsePlaces(filepath.ToSlash(file), text, env)
}

// placesFor reads the photographer's own places where a document picks one of
// them.
func (p *Process) placesFor(ctx context.Context, d *shootfile.Document, env shootfile.Environment,
) (shootfile.Places, error) {
	if _, elsewhere := d.Picks(); !elsewhere {
		return nil, nil
	}
	return p.ownPlaces(ctx, env)
}

func unreadablePlaces(file string, err error) error {
	return &problem{exitUsage, fmt.Sprintf("your file of places %q cannot be read: %v", file, withoutPath(err)),
		"evenfall place --help"}
}

// changePlaces writes the photographer's file of places anew, as change makes it
// of the old text; it is whole at all times. Where the system has locks, one
// change waits for another, so that none is lost.
func (p *Process) changePlaces(ctx context.Context, change func(old []byte) ([]byte, error)) error {
	file := p.ownPlacesFile()
	if file == "" {
		return &problem{exitUsage, "there is no place to save places: neither HOME nor a configuration folder is set",
			"evenfall place show NAME, to paste into a shoot"}
	}
	unwritable := func(err error) error {
		return unwritten(ctx, file, err, "evenfall place --help")
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o777); err != nil {
		return unwritable(err)
	}
	var unlock func() error
	err := await(ctx, func() (err error) { unlock, err = lockName(file); return err })
	if err != nil {
		return unwritable(err)
	}
	defer unlock() // of a file that is not written to
	old, err := readFile(ctx, file)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return unreadablePlaces(file, err)
	}
	text, err := change(old)
	if err != nil {
		return err
	}
	if err := writeFile(ctx, file, sheaf{text}, true); err != nil {
		return unwritable(err)
	}
	return nil
}
