package table

import (
	"errors"
	"io/fs"
	"os"
)

// FileError words an error of the operating system without the path, which the message has
// already, and the same on every system where it is a common one.
func FileError(err error) string {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "file not found"
	case errors.Is(err, fs.ErrPermission):
		return "permission is denied"
	}
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err.Error()
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err.Error()
	}
	return err.Error()
}
