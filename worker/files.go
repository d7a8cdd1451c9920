package worker

import (
	"fmt"
	"io"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/worker/folder"
	"platewright/worker/joblist"
	"platewright/worker/partfile"
)

// writeFiles writes all files of a result. Poses are read back from the job
// list, so that plates and list cannot disagree.
func writeFiles(d *folder.Dir, list joblist.List, parts []*part) error {
	byName := map[string]*part{}
	for _, p := range parts {
		byName[p.name] = p
	}
	for _, plate := range list.Plates {
		if err := writePlate(d, list, plate, byName); err != nil {
			return err
		}
	}
	for i, p := range list.Parts {
		if p.Chosen == nil {
			continue
		}
		if err := writeTurned(d, fmt.Sprintf("parts/%s.stl", uniqueFileName(list.Parts, i)), parts[i], *p.Chosen); err != nil {
			return err
		}
	}
	if len(list.Layouts) > 0 {
		if err := d.Create("compare.csv", func(w io.Writer) error { return joblist.WriteComparisonCSV(w, list) }); err != nil {
			return err
		}
	}
	if err := d.Create("changes.ics", func(w io.Writer) error { return joblist.WriteCalendar(w, list) }); err != nil {
		return err
	}
	if err := d.Create("options.csv", func(w io.Writer) error { return joblist.WriteOptionsCSV(w, list) }); err != nil {
		return err
	}
	if err := d.Create("jobs.csv", func(w io.Writer) error { return joblist.WriteCSV(w, list) }); err != nil {
		return err
	}
	return d.Create("jobs.json", func(w io.Writer) error { return joblist.Encode(w, list) })
}

func writePlate(d *folder.Dir, list joblist.List, plate joblist.Plate, parts map[string]*part) error {
	out := partfile.Plate{Title: fmt.Sprintf("%s, plate %s, %s", list.Build, plate.ID, plate.Printer)}
	for _, item := range plate.Items {
		p := parts[item.Part]
		out.Copies = append(out.Copies, partfile.Copy{
			Mesh: p.mesh, Name: p.name, Number: fmt.Sprintf("%s %d/%d", p.name, item.Copy, p.count),
			Pose: poseOf(item.Matrix),
		})
	}
	if err := d.Create(plate.Files.ThreeMF, func(w io.Writer) error { return partfile.Write3MF(w, out) }); err != nil {
		return err
	}
	return d.Create(plate.Files.STL, func(w io.Writer) error {
		return partfile.WriteSTL(w, out.Title, out.NumFacets(), out.Triangles())
	})
}

// writeTurned writes a part the chosen way up, standing on z = 0.
func writeTurned(d *folder.Dir, name string, p *part, option int) error {
	one := partfile.Plate{Copies: []partfile.Copy{{Mesh: p.mesh, Name: p.name, Pose: p.stands[option].pose}}}
	return d.Create(name, func(w io.Writer) error {
		return partfile.WriteSTL(w, p.name, one.NumFacets(), one.Triangles())
	})
}

// poseOf reads a pose back from a job list's matrix.
func poseOf(m [16]float64) mesh.Pose {
	return mesh.Pose{
		Frame: mesh.Frame{
			X: r3.Vec{X: m[0], Y: m[1], Z: m[2]},
			Y: r3.Vec{X: m[4], Y: m[5], Z: m[6]},
			Z: r3.Vec{X: m[8], Y: m[9], Z: m[10]},
		},
		Shift: r3.Vec{X: m[3], Y: m[7], Z: m[11]},
	}
}

// uniqueFileName returns a file name for part i that none before it has.
func uniqueFileName(parts []joblist.Part, i int) string {
	name := fileName(parts[i].Name)
	for _, p := range parts[:i] {
		if fileName(p.Name) == name {
			return fmt.Sprintf("%s-%d", name, i+1)
		}
	}
	return name
}
