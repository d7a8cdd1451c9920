package folder_test

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"platewright/worker/folder"
)

func ExampleWrite() {
	parent, err := os.MkdirTemp("", "example")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(parent)
	target := filepath.Join(parent, "out")
	for _, plates := range []int{3, 2} {
		err := folder.Write(folder.Disk(), target, func(d *folder.Dir) error {
			for n := range plates {
				name := fmt.Sprintf("plates/%02d.stl", n+1)
				err := d.Create(name, func(w io.Writer) error { _, err := fmt.Fprintln(w, "solid"); return err })
				if err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			fmt.Println(err)
		}
	}
	files, err := os.ReadDir(filepath.Join(target, "plates"))
	fmt.Println(len(files), err)
	// Output: 2 <nil>
}
