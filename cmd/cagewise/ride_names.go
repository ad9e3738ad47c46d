package main

import (
	"fmt"
	"path/filepath"
)

// nameWidth keeps a ride's name from filling the page.
const nameWidth = 24

// nameForms are ways to write a path short, the plainest first.
var nameForms = []func(path string) string{
	func(path string) string { return cutEnd(filepath.Base(path)) },
	func(path string) string { return cutMiddle(filepath.Base(path)) },
	func(path string) string { return cutMiddle(folderAndFile(path)) },
	cutMiddle,
}

// rideNames gives each path a short name, with as much of the path as tells it
// from the others.
func rideNames(paths []string) map[string]string {
	names := map[string]string{}
	for _, form := range nameForms {
		clash := clashes(names)
		for _, path := range paths {
			if name, ok := names[path]; !ok || clash[name] {
				names[path] = form(path)
			}
		}
	}
	clash := clashes(names)
	for i, path := range paths {
		if clash[names[path]] {
			names[path] = cutMiddle(fmt.Sprintf("%d %s", i+1, path))
		}
	}
	return names
}

// clashes are the names that several paths have.
func clashes(names map[string]string) map[string]bool {
	seen := map[string]bool{}
	for _, name := range names {
		_, twice := seen[name]
		seen[name] = twice
	}
	return seen
}

func folderAndFile(path string) string {
	return filepath.Join(filepath.Base(filepath.Dir(path)), filepath.Base(path))
}

func cutEnd(s string) string {
	name := []rune(s)
	if len(name) <= nameWidth {
		return s
	}
	return string(name[:nameWidth-3]) + "..."
}

// cutMiddle keeps the start and the end.
func cutMiddle(s string) string {
	name := []rune(s)
	if len(name) <= nameWidth {
		return s
	}
	return string(name[:10]) + "..." + string(name[len(name)-nameWidth+13:])
}
