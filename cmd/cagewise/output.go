package main

import (
	"bytes"
	"cagewise/gearing/build"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"unicode/utf8"
)

// writeFile writes data to path whole or not at all: into a temporary file
// beside it, synced, then renamed over it. A symbolic link is followed, and a
// file that is there keeps its mode. A pipe or a device is written to as it
// is.
func writeFile(path string, data []byte) error {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	mode := os.FileMode(0o644)
	if info, err := os.Stat(path); err == nil {
		switch {
		case info.IsDir():
			return fmt.Errorf("writing %s: is a directory; name a file in it", path)
		case !info.Mode().IsRegular():
			return writeThrough(path, data)
		}
		mode = info.Mode().Perm()
	}
	tmp, err := stage(path, data, mode)
	if err != nil {
		return err
	}
	if err := os.Rename(tmp, path); err != nil {
		os.Remove(tmp)
		return fmt.Errorf("writing %s: %w", path, build.Cause(err))
	}
	return syncDir(filepath.Dir(path))
}

func writeThrough(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return fmt.Errorf("writing %s: %w", path, build.Cause(err))
	}
	_, err = f.Write(data)
	if closing := f.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return fmt.Errorf("writing %s: %w", path, build.Cause(err))
	}
	return nil
}

// createFile is writeFile for a path that must not exist yet. An empty file
// takes the name first, so that nobody else's file is written over.
func createFile(path string, data []byte) error {
	claim, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, os.ErrExist) {
		return fmt.Errorf("%s exists already; it is left as it is", path)
	} else if err != nil {
		return fmt.Errorf("writing %s: %w", path, build.Cause(err))
	}
	claim.Close()
	tmp, err := stage(path, data, 0o644)
	if err == nil {
		if err = os.Rename(tmp, path); err != nil {
			os.Remove(tmp)
			err = fmt.Errorf("writing %s: %w", path, build.Cause(err))
		}
	}
	if err != nil {
		os.Remove(path)
		return err
	}
	return syncDir(filepath.Dir(path))
}

// stage puts data into a synced temporary file in the directory of path.
func stage(path string, data []byte, mode os.FileMode) (tmp string, err error) {
	f, err := os.CreateTemp(filepath.Dir(path), ".cagewise-*")
	if err != nil {
		return "", fmt.Errorf("writing %s: %w", path, build.Cause(err))
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if err == nil {
		err = f.Chmod(mode)
	}
	if closing := f.Close(); err == nil {
		err = closing
	}
	if err != nil {
		os.Remove(f.Name())
		return "", fmt.Errorf("writing %s: %w", path, build.Cause(err))
	}
	return f.Name(), nil
}

// syncDir makes the new name durable; file systems that cannot sync a
// directory are let off.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return nil
	}
	defer d.Close()
	_ = d.Sync()
	return nil
}

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// wrap breaks text at spaces so that no line is wider than width; following
// lines get the indent, which does not count.
func wrap(text string, width int, indent string) string {
	var out bytes.Buffer
	line := 0
	for i, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case line+1+n > width:
			out.WriteString("\n" + indent)
			line = 0
		default:
			out.WriteByte(' ')
			line++
		}
		out.WriteString(word)
		line += n
	}
	return out.String()
}

// listed turns a nil list into an empty one, so that JSON has [] and not null.
func listed[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
