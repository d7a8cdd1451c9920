package worker

import (
	"bufio"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/orient"
	"platewright/support/mesh"
	"platewright/worker/folder"
)

// scoring is the version of the scores. Whoever changes what a search returns
// for the same mesh and settings raises it, so that no remembered score of an
// older program is taken for a new one.
const scoring = 4

// memory keeps choice sets on disk, one file each, by hash of mesh and
// settings. The zero memory keeps nothing.
type memory struct{ folder string }

// remembered is a choice set as it is kept. encoding/json writes the shortest
// digits that read back as the same float64, so a recalled set is the same to
// the bit.
type remembered struct {
	orient.Answer
	Ups []r3.Vec // one an option: a direction does not show its numbers
}

// key names the choice set of a mesh under settings.
func (m memory) key(p *part, s orient.Settings) (string, error) {
	settings, err := json.Marshal(s)
	if err != nil {
		return "", fmt.Errorf("name scores: %w", err)
	}
	h := sha256.New()
	fmt.Fprintf(h, "scores %d\n%s\n", scoring, settings)
	// The mesh, not the file: the scale and the mending have a say too.
	w := bufio.NewWriterSize(h, 1<<16)
	var number [8]byte
	for _, v := range p.mesh.Vertices() {
		for _, x := range [3]float64{v.X, v.Y, v.Z} {
			w.Write(binary.LittleEndian.AppendUint64(number[:0], math.Float64bits(x)))
		}
	}
	for _, f := range p.mesh.Faces() {
		for _, v := range f {
			w.Write(binary.LittleEndian.AppendUint32(number[:0], uint32(v)))
		}
	}
	for _, r := range p.roles {
		w.WriteByte(byte(r))
	}
	if err := w.Flush(); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// recall returns a kept choice set; false when there is none that can be read.
func (m memory) recall(key string) (orient.Answer, bool) {
	if m.folder == "" {
		return orient.Answer{}, false
	}
	data, err := os.ReadFile(m.path(key))
	if err != nil {
		return orient.Answer{}, false
	}
	var r remembered
	if json.Unmarshal(data, &r) != nil || len(r.Options) == 0 || len(r.Options) != len(r.Ups) {
		return orient.Answer{}, false
	}
	for i, v := range r.Ups {
		up, err := mesh.NewDirection(v)
		if err != nil {
			return orient.Answer{}, false
		}
		r.Options[i].Up = up
	}
	return r.Answer, true
}

// keep writes a choice set.
func (m memory) keep(key string, answer orient.Answer) error {
	if m.folder == "" {
		return nil
	}
	r := remembered{Answer: answer}
	for _, o := range answer.Options {
		r.Ups = append(r.Ups, o.Up.Vec())
	}
	data, err := json.Marshal(r)
	if err != nil {
		return err
	}
	path := m.path(key)
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return folder.WriteFile(folder.Disk(), path, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}

// path spreads the files over folders: some file systems grow slow with
// thousands in one.
func (m memory) path(key string) string {
	return filepath.Join(m.folder, "scores", key[:2], key+".json")
}
