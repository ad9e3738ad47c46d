package wearlog

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// Appended is what was added to a log.
type Appended struct {
	Text     string // the lines, ended by line feeds
	Line     int    // where they begin
	Warnings []build.Problem
}

// Append adds the parts, readings, findings and rides of a WearLog at the end
// of the log at path; the rest of the WearLog is left out, and so are the Line
// fields. Distances are written in the unit of the file.
//
// Not a byte of what is there is touched. A symbolic link is followed, and the
// file keeps its mode; it then belongs to the user who wrote it, and a second
// hard link keeps the old log. The log as it would become is checked before
// anything is written: a log that cannot be read is refused as build.Problems,
// an entry that does not fit into it as a *BadEntry.
//
// The new log is written beside the old one, synced and renamed over it, so
// that after a failure, a kill or a power cut the path holds the old log or the
// new one. A lock (the file .NAME.lock in the same directory, which stays there
// empty) keeps writers after one another; one that waits longer than half a
// minute is told so. When an error is returned the log is the old one.
func Append(path string, add gearing.WearLog) (Appended, error) {
	return appendTo(osDisk{}, path, true, func(miles bool) string {
		add.Miles = miles
		return Format(add)
	})
}

// Append adds the draft at the end of the log at path; see the function. A
// reading that no chain has is refused, as a *BadEntry with Forcible set, unless
// force.
func (d *Draft) Append(path string, force bool) (Appended, error) {
	return appendTo(osDisk{}, path, force, func(bool) string { return d.String() })
}

func appendTo(d disk, path string, force bool, entry func(miles bool) string) (Appended, error) {
	real, err := d.resolve(path)
	if err != nil {
		return Appended{}, fmt.Errorf("%s: cannot be opened: %w", path, build.Cause(err))
	}
	mode, err := writable(d, real)
	if err != nil {
		return Appended{}, fmt.Errorf("%s: %w", path, err)
	}
	unlock, err := d.lock(beside(real, ".lock"))
	if err != nil {
		return Appended{}, fmt.Errorf("%s: is left as it is: its lock %s cannot be had: %w", path, beside(real, ".lock"), build.Cause(err))
	}
	defer unlock()
	old, err := d.read(real)
	if err != nil {
		return Appended{}, fmt.Errorf("%s: %w", path, err)
	}
	data, added, err := joined(path, old, force, entry)
	if err != nil {
		return Appended{}, err
	}
	if err := replace(d, real, data, mode); err != nil {
		return Appended{}, fmt.Errorf("%s: is left as it is: %w", path, err)
	}
	return added, nil
}

// writable tells whether a path is a file that its owner lets be changed, and
// its mode.
func writable(d disk, path string) (fs.FileMode, error) {
	info, err := d.stat(path)
	switch {
	case err != nil:
		return 0, fmt.Errorf("cannot be opened: %w", build.Cause(err))
	case info.IsDir():
		return 0, errors.New("is a directory; a wear log is wanted")
	case !info.Mode().IsRegular():
		return 0, errors.New("is not a plain file; a wear log is wanted")
	case info.Mode().Perm()&0o222 == 0:
		return 0, errors.New("is read-only and left as it is; allow writing to it first")
	}
	if err := d.mayWrite(path); err != nil {
		return 0, fmt.Errorf("is left as it is: writing to it: %w", build.Cause(err))
	}
	return info.Mode().Perm(), nil
}

// beside names a hidden file that belongs to a log.
func beside(path, suffix string) string {
	return filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+suffix)
}

// joined is the log with the entry behind it, checked.
func joined(path string, old []byte, force bool, entry func(miles bool) string) ([]byte, Appended, error) {
	before, err := parse(path, old)
	if err == nil && len(before.problems) > 0 {
		err = before.list(before.problems, before.dropped)
	}
	if err != nil {
		return nil, Appended{}, build.Foreign(path, wearLogFile.Kind, old, err)
	}
	text := entry(before.log.Miles)
	data := behind(old, text)
	added := Appended{Text: text, Line: bytes.Count(data, []byte("\n")) - strings.Count(text, "\n") + 1}
	after, err := before.readOn(text, added.Line, data)
	switch {
	case err != nil:
		return nil, Appended{}, err
	case len(after.problems) > 0:
		return nil, Appended{}, &BadEntry{problems: after.problems}
	}
	if slips := after.slipsFrom(added.Line); len(slips) > 0 && !force {
		return nil, Appended{}, &BadEntry{problems: slips, Forcible: true}
	}
	for _, w := range after.warnings {
		if w.line >= added.Line {
			added.Warnings = append(added.Warnings, w.inFile(path))
		}
	}
	return data, added, nil
}

// slipsFrom are those at a line or after it.
func (r *reader) slipsFrom(line int) (list []placed) {
	for _, s := range r.slips {
		if s.line >= line {
			list = append(list, s)
		}
	}
	return list
}

// readOn goes on reading with an entry that was put at the end of the log, at
// a line of the whole data. A log that is right so far and an entry written by
// this package are right together, unless the log keeps its entries in a way
// that TOML does not let be added to: then the whole is read again.
func (r *reader) readOn(text string, line int, data []byte) (*reader, error) {
	tables, ok := quick(text)
	for i, t := range tables {
		ok = ok && !r.listed[t.name]
		tables[i].line += line - 1
		for j := range t.keys {
			t.keys[j].line += line - 1
		}
	}
	if ok && len(data) <= MaxBytes {
		r.more(tables[1:])
		return r, nil
	}
	again, err := parse(r.name, data)
	if err != nil {
		return nil, fmt.Errorf("nothing can be added at the end of %s; write its entries as [[reading]], [[finding]], [[ride]] and [[part]]: %w", r.name, err)
	}
	return again, nil
}

// behind puts an entry behind a log, an empty line between, with the line
// ends the log has.
func behind(old []byte, text string) []byte {
	end := "\n"
	if i := bytes.LastIndexByte(old, '\n'); i > 0 && old[i-1] == '\r' {
		end = "\r\n"
	}
	gap := ""
	if len(old) > 0 && !bytes.HasSuffix(old, []byte("\n")) {
		gap = end
	}
	if len(bytes.TrimSpace(old)) > 0 && !bytes.HasSuffix(old, []byte(end+end)) {
		gap += end
	}
	text = gap + strings.ReplaceAll(text, "\n", end)
	return append(bytes.Clone(old), text...)
}

// replace puts data in the place of a file, whole or not at all. The temporary
// file has one name: the lock is held, so that one left by a killed writer is
// nobody's.
func replace(d disk, path string, data []byte, mode fs.FileMode) error {
	tmp := beside(path, ".new")
	if err := d.remove(tmp); err != nil && !errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("removing a left-over %s: %w", tmp, build.Cause(err))
	}
	err := stage(d, tmp, data, mode)
	if err == nil {
		err = d.rename(tmp, path)
	}
	if err != nil {
		_ = d.remove(tmp) // the first error is the one to tell
		return fmt.Errorf("writing the new log beside it: %w", build.Cause(err))
	}
	// The new log stands. An error now would make its owner add the entry
	// again; some file systems cannot sync a directory at all.
	_ = d.syncDir(filepath.Dir(path))
	return nil
}

// stage writes and syncs a new file.
func stage(d disk, path string, data []byte, mode fs.FileMode) error {
	f, err := d.create(path)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Chmod(mode)
	}
	if err == nil {
		err = f.Sync()
	}
	if closing := f.Close(); err == nil {
		err = closing
	}
	return err
}
