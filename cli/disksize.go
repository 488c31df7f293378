package cli

import (
	"io/fs"
	"os"
	"path/filepath"
)

// diskBlock is in which pieces most disks hand out their room, bytes.
const diskBlock = 4096

// onDisk is what a file of so many bytes takes of a disk.
func onDisk(bytes int64) int64 { return (bytes + diskBlock - 1) / diskBlock * diskBlock }

// sizeOf is what a file, or a folder with all that is in it, takes of the disk; what cannot be read takes nothing.
func sizeOf(path string) (size int64, files int) {
	_ = filepath.WalkDir(path, func(_ string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return fs.SkipDir
		case d.IsDir():
			size += diskBlock
		default:
			if info, err := d.Info(); err == nil && info.Mode().IsRegular() {
				size += onDisk(info.Size())
				files++
			}
		}
		return nil
	})
	return size, files
}

// isFolder tells whether a folder stands at a path; a link to one is none.
func isFolder(path string) bool {
	st, err := os.Lstat(path)
	return err == nil && st.IsDir()
}
