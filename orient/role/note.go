package role

import (
	"fmt"
	"strings"
)

// Note is one remark for the person at the bench.
type Note struct {
	Part int    // index of the part, −1 for the build as a whole
	Code string // one of the Note… constants, stable
	Text string // a sentence or more, with the numbers
}

// Codes of notes.
const (
	NoteTogether = "parts fit together"
	NoteApart    = "parts judged one by one"
	NoteAlone    = "part judged by itself"
	NoteClash    = "parts inside each other"
	NoteScale    = "another scale"
	NoteTwins    = "mirror twins"
	NoteUnlike   = "named as twins"
	NoteUnpaired = "no partner"
)

// notes puts an assembly into words: the build first, then part by part.
func notes(parts []Part, a Assembly) []Note {
	out := []Note{togetherNote(a)}
	names := func(list []int) string {
		var out []string
		for _, i := range list {
			out = append(out, parts[i].Name)
		}
		return strings.Join(out, ", ")
	}
	for i := range parts {
		if a.Together && a.Alone[i] {
			out = append(out, Note{i, NoteAlone, "Meets no other part. " + guessText})
		}
		if list := partnersOf(i, a.Clashes); len(list) > 0 {
			out = append(out, Note{i, NoteClash, "Lies partly inside " + names(list) + ": not where it belongs, or cut without room for the other."})
		}
	}
	out = append(out, scaleNotes(a.Odd)...)
	out = append(out, twinNotes(parts, a.Twins)...)
	return append(out, unpairedNotes(parts, a)...)
}

const guessText = "Its roles are guessed from its own shape: the outer skin shows, the inner is hidden, large flat cut faces are joints."

func togetherNote(a Assembly) Note {
	if !a.Together {
		return Note{-1, NoteApart, "No part lies where it meets another, so each is judged by itself. " + strings.Replace(guessText, "Its roles", "Roles", 1)}
	}
	area, alone := 0.0, 0
	for _, m := range a.Meetings {
		area += m.Area
	}
	for _, b := range a.Alone {
		if b {
			alone++
		}
	}
	text := fmt.Sprintf("The parts lie as they fit together: %s with %.1f cm² in contact.", count(len(a.Meetings), "pair"), area/100)
	if alone > 0 {
		text += fmt.Sprintf(" %s no other.", countMeet(alone))
	}
	return Note{-1, NoteTogether, text}
}

func scaleNotes(odd []Odd) []Note {
	var out []Note
	for _, o := range odd {
		text := fmt.Sprintf("Is out of proportion to the other parts; %.6g times the size would suit. It was not scaled.", o.Factor)
		if o.Fits {
			text = fmt.Sprintf("Would fit the other parts at %.6g times the size. It was not scaled.", o.Factor)
		}
		out = append(out, Note{o.Part, NoteScale, text})
	}
	return out
}

func twinNotes(parts []Part, twins []Twin) []Note {
	var out []Note
	for _, t := range twins {
		text := fmt.Sprintf("Is the mirror image of %s.", parts[t.B].Name)
		if t.Alike {
			text = fmt.Sprintf("Is the mirror image of %s and, to %.1f mm, the same without a mirror.", parts[t.B].Name, twinGap*parts[t.A].Mesh.Diagonal())
		}
		out = append(out, Note{t.A, NoteTwins, text})
	}
	return out
}

// unpairedNotes tells of missing partners, and of parts that are named as
// twins but are none.
func unpairedNotes(parts []Part, a Assembly) []Note {
	var out []Note
	for _, u := range a.Unpaired {
		text := "Lies on one side of the build only, and no part is its mirror image."
		if u.Named {
			text = "Is named for one side, and no part is named for the other."
		}
		out = append(out, Note{u.Part, NoteUnpaired, text})
	}
	for i := range parts {
		for j := i + 1; j < len(parts); j++ {
			if counterparts(parts[i].Name, parts[j].Name) && !areTwins(a.Twins, i, j) {
				out = append(out, Note{i, NoteUnlike, "Is named as the other side of " + parts[j].Name + ", but is not its mirror image."})
			}
		}
	}
	return out
}

func areTwins(twins []Twin, i, j int) bool {
	for _, t := range twins {
		if t.A == i && t.B == j {
			return true
		}
	}
	return false
}

// partnersOf returns the parts that stand in a pair with part i.
func partnersOf(i int, pairs [][2]int) []int {
	var out []int
	for _, p := range pairs {
		switch i {
		case p[0]:
			out = append(out, p[1])
		case p[1]:
			out = append(out, p[0])
		}
	}
	return out
}

// count puts a number before a noun: "1 pair", "4 pairs".
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

func countMeet(n int) string {
	if n == 1 {
		return "1 part meets"
	}
	return fmt.Sprintf("%d parts meet", n)
}
