package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"cagewise/gearing/build"
	writeup "cagewise/plot/report"
)

// writeFiles writes several files of one directory, all or none: each is
// staged first, and only when every one lies on the disk do they take their
// names.
func writeFiles(files []writeup.File) error {
	b := batch{}
	defer b.clean()
	for _, f := range files {
		if err := b.stage(f); err != nil {
			return err
		}
	}
	for i := range b.files {
		if err := b.place(i); err != nil {
			b.undo(i)
			return err
		}
	}
	return syncDir(filepath.Dir(files[0].Name))
}

// batch is files on their way to their names.
type batch struct {
	files []batchFile
}

type batchFile struct {
	path, staged string
	before       string // second name of what stood there; "" for nothing
}

func (b *batch) stage(f writeup.File) error {
	mode, err := modeFor(f.Name)
	if err != nil {
		return err
	}
	staged, err := stage(f.Name, f.Data, mode)
	if err != nil {
		return err
	}
	b.files = append(b.files, batchFile{path: f.Name, staged: staged})
	return nil
}

func (b *batch) place(i int) error {
	f := &b.files[i]
	f.before = secondName(f.path)
	if err := os.Rename(f.staged, f.path); err != nil {
		return fmt.Errorf("writing %s: %w", f.path, build.Cause(err))
	}
	f.staged = ""
	return nil
}

// undo brings back what stood under the first n names.
func (b *batch) undo(n int) {
	for _, f := range b.files[:n] {
		os.Remove(f.path)
		if f.before != "" {
			os.Rename(f.before, f.path)
		}
	}
}

// clean removes every temporary name that is left.
func (b *batch) clean() {
	for _, f := range b.files {
		for _, path := range []string{f.staged, f.before} {
			if path != "" {
				os.Remove(path)
			}
		}
	}
}

// modeFor is the mode of the file that is there already, or the usual one. A
// directory or a device is refused.
func modeFor(path string) (fs.FileMode, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return 0o644, nil
	case info.IsDir():
		return 0, fmt.Errorf("writing %s: is a directory; name a file in it", path)
	case !info.Mode().IsRegular():
		return 0, fmt.Errorf("writing %s: is no file; name one", path)
	}
	return info.Mode().Perm(), nil
}

// secondName gives a file a second name, so that it can come back; "" when
// there is none, or the disk knows no second names.
func secondName(path string) string {
	if _, err := os.Stat(path); err != nil {
		return ""
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".cagewise-*")
	if err != nil {
		return ""
	}
	f.Close()
	os.Remove(f.Name())
	if os.Link(path, f.Name()) != nil {
		return ""
	}
	return f.Name()
}
