package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// newFileMode is that of a file that did not exist before.
const newFileMode = 0o644

// writeFile fills a file in one go: what was there before stays until the new
// content is complete. A name that stands for something else than a file, such
// as a device, is refused.
func writeFile(name string, fill func(*os.File) error) error {
	target, mode, err := fileTarget(name)
	if err != nil {
		return err
	}
	temp, err := os.CreateTemp(filepath.Dir(target), "."+filepath.Base(target)+".*")
	if err != nil {
		return plainFileError(name, err)
	}
	defer os.Remove(temp.Name()) // fails, as it should, once it has its name
	if err := fill(temp); err != nil {
		temp.Close()
		if path := (*fs.PathError)(nil); errors.As(err, &path) { // it names the file that is not there yet
			return plainFileError(name, err)
		}
		return err
	}
	if err := temp.Chmod(mode); err != nil {
		temp.Close()
		return plainFileError(name, err)
	}
	if err := temp.Close(); err != nil {
		return plainFileError(name, err)
	}
	return plainFileError(name, os.Rename(temp.Name(), target))
}

// fileTarget follows links to where the file is or will be, and returns the
// mode it is to have.
func fileTarget(name string) (string, fs.FileMode, error) {
	info, err := os.Stat(name)
	switch {
	case err != nil:
		return name, newFileMode, nil // CreateTemp tells what is wrong with its folder
	case info.IsDir():
		return "", 0, unread{name, "it is a folder", "name a file in it"}
	case !info.Mode().IsRegular():
		return "", 0, unread{name, "it is not an ordinary file", "name another"}
	}
	target, err := filepath.EvalSymlinks(name)
	if err != nil {
		return "", 0, fmt.Errorf("%s: %w; check the link", name, err)
	}
	return target, info.Mode().Perm(), nil
}
