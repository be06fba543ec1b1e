package load

import (
	"path/filepath"
	"strings"
)

// Within tells whether a path is a folder or lies below it.
func Within(dir, path string) bool {
	up, err := filepath.Rel(dir, path)
	return err == nil && up != ".." && !strings.HasPrefix(up, ".."+string(filepath.Separator))
}

// Resolved names a file the same way however it was written, through links.
func Resolved(path string) string {
	if full, err := filepath.Abs(path); err == nil {
		path = full
	}
	if real, err := filepath.EvalSymlinks(path); err == nil {
		return real
	}
	if dir, err := filepath.EvalSymlinks(filepath.Dir(path)); err == nil {
		return filepath.Join(dir, filepath.Base(path))
	}
	return path
}
