package bench

import (
	"errors"
	"io/fs"
)

var errNotRegular = errors.New("this is a pipe or a device, not a file")

// openFile opens a file. What is neither a file nor a folder is not opened: a pipe that nobody writes to would be waited for.
func openFile(fsys fs.FS, name string) (fs.File, error) {
	if st, err := fs.Stat(fsys, name); err == nil && !st.IsDir() && !st.Mode().IsRegular() {
		return nil, &fs.PathError{Op: "open", Path: name, Err: errNotRegular}
	}
	return fsys.Open(name)
}
