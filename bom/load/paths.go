package load

import (
	"errors"
	"io/fs"
	"os"
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

// Reason drops the path from an error of the operating system, which the
// message has already.
func Reason(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err
	}
	return err
}
