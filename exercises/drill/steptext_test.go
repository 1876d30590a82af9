package drill

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

const placed = `title: Tröge # the name
tempo: 100
metre: 4/4

# where it begins
step: Größe
kick   | x.xx 2:xxx . | % |
  guitar | o(3) - x[xx]x . | x . x x | # ü
says: Words.

step: Later
from: Größe
do: late kick by 1/16
do: late guitar by 1/16
hat | x x x x | x x x x |
`

// Where everything stands, in characters.
func TestWhereStepsStand(t *testing.T) {
	r := read(t, []byte(placed))
	var got strings.Builder
	for _, k := range r.Header {
		fmt.Fprintf(&got, "%s %d:%d+%d %s\n", k.Key, k.Line, k.Column, k.Width, k.Value)
	}
	for _, s := range r.Steps {
		fmt.Fprintf(&got, "%s, lines %d to %d\n", s.Title, s.First, s.Last)
		for _, k := range s.Keys {
			fmt.Fprintf(&got, "%s %d:%d+%d %s\n", k.Key, k.Line, k.Column, k.Width, k.Value)
		}
		for _, v := range s.Voices {
			fmt.Fprintf(&got, "%s %d:%d\n", v.Voice, v.Line, v.Column)
		}
	}
	want := `title 1:8+5 Tröge
tempo 2:8+3 100
metre 3:8+3 4/4
Größe, lines 6 to 9
step 6:7+5 Größe
says 9:7+6 Words.
kick 7:1
guitar 8:3
Later, lines 11 to 15
step 11:7+5 Later
from 12:7+5 Größe
do 13:5+17 late kick by 1/16
do 14:5+19 late guitar by 1/16
hat 15:1
`
	if diff := cmp.Diff(want, got.String()); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if r.Base(0) != -1 || r.Base(1) != 0 || r.Base(2) != -1 {
		t.Error("Later is made from Größe, and that is written out:", r.Base(0), r.Base(1), r.Base(2))
	}
	var steps []int
	for line := range 17 {
		steps = append(steps, r.StepAt(line))
	}
	if diff := cmp.Diff([]int{-1, -1, -1, -1, -1, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1}, steps); diff != "" {
		t.Errorf("steps of lines (-want +got):\n%s", diff)
	}
}

// Cells are found from either side, by their characters.
func TestCells(t *testing.T) {
	r := read(t, []byte(placed))
	var got []string
	for _, v := range r.Steps[0].Voices {
		for _, c := range v.Cells() {
			line := []rune(strings.Split(placed, "\n")[c.Line-1])
			got = append(got, fmt.Sprintf("%s %s+%s", string(line[c.Column-1:c.Column-1+c.Width]), c.At, c.Length))
		}
	}
	want := []string{
		"x 0+1/4", ". 1/4+1/4", "x 1/2+1/4", "x 3/4+1/4", "x 1+2/3", "x 5/3+2/3", "x 7/3+2/3", ". 3+1", "% 4+4",
		"o(3) 0+1", "- 1+1", "x 2+1/3", "x 7/3+1/6", "x 5/2+1/6", "x 8/3+1/3", ". 3+1", "x 4+1", ". 5+1", "x 6+1", "x 7+1",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	r2 := func(n, d int64) meter.Rat { return meter.R(n, d) }
	for _, c := range []struct {
		line, column int
		step         int
		voice        passage.Voice
		at           meter.Rat
		ok           bool
	}{
		{1, 1, -1, passage.NoVoice, r2(0, 1), false},
		{6, 3, 0, passage.NoVoice, r2(0, 1), false},
		{7, 1, 0, passage.Kick, r2(0, 1), true},
		{7, 13, 0, passage.Kick, r2(3, 4), true}, // the x before the space
		{7, 14, 0, passage.Kick, r2(3, 4), true}, // the space
		{7, 16, 0, passage.Kick, r2(3, 4), true}, // the colon of 2:xxx
		{7, 17, 0, passage.Kick, r2(1, 1), true}, // its first x
		{7, 24, 0, passage.Kick, r2(3, 1), true}, // before the %
		{7, 25, 0, passage.Kick, r2(4, 1), true},
		{8, 14, 0, passage.Guitar, r2(0, 1), true}, // inside o(3)
		{8, 21, 0, passage.Guitar, r2(7, 3), true},
		{8, 99, 0, passage.Guitar, r2(7, 1), true},
		{15, 7, 1, passage.Hat, r2(0, 1), true},
		{99, 1, 1, passage.NoVoice, r2(0, 1), false},
	} {
		step, v, at, ok := r.At(c.line, c.column)
		if step != c.step || v != c.voice || at != c.at || ok != c.ok {
			t.Errorf("At(%d, %d) is %d %s %s %v, want %d %s %s %v", c.line, c.column, step, v, at, ok, c.step, c.voice, c.at, c.ok)
		}
	}
	for _, c := range []struct {
		step         int
		voice        passage.Voice
		at           meter.Rat
		line, column int
	}{
		{0, passage.Kick, r2(7, 3), 7, 19},
		{0, passage.Kick, r2(5, 1), 7, 25}, // %
		{0, passage.Guitar, r2(3, 2), 8, 17},
		{0, passage.NoVoice, r2(1, 4), 7, 11},
		{0, passage.Guitar, r2(9, 1), 8, 3},  // behind the last cell: the name
		{1, passage.Guitar, r2(0, 1), 14, 5}, // the change that names it
		{1, passage.Snare, r2(0, 1), 13, 5},  // the first change
		{1, passage.Hat, r2(7, 1), 15, 23},
		{7, passage.Hat, r2(0, 1), 1, 1},
	} {
		if line, column := r.Locate(c.step, c.voice, c.at); line != c.line || column != c.column {
			t.Errorf("Locate(%d, %s, %s) is %d:%d, want %d:%d", c.step, c.voice, c.at, line, column, c.line, c.column)
		}
	}
}

// Every stroke stands in a cell of its own, with its letter, and is found again
// from there; in a bar % it is the bar.
func TestCellsHoldTheStrokes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := sprinkled(t)
		r := read(t, text)
		for i, s := range r.Climb.Steps {
			for _, l := range s.Written {
				for _, stroke := range l.Strokes {
					line, column := r.Locate(i, l.Voice, stroke.At)
					letter := []rune(r.text.lines[line-1])[column-1]
					if letter != stroke.Kind.Letter() {
						t.Fatalf("%s at %s is located at %q of line %d", l.Voice, stroke.At, letter, line)
					}
					if step, v, at, ok := r.At(line, column); step != i || v != l.Voice || at != stroke.At || !ok {
						t.Fatalf("%d:%d is %d %s %s %v, want %d %s %s", line, column, step, v, at, ok, i, l.Voice, stroke.At)
					}
				}
			}
		}
	})
}

// A text with problems still tells where its steps stand, and which are whole.
func TestPlacesDespiteProblems(t *testing.T) {
	text := "titel: T\ntempo: 120\nmetre: 4/4\nstep: A\nkick | x x x x | x q x x | x x x x |\nsnare | x x x | x x x x | x x x x |\nstep: B\nkick | x |\nstep: C\nkick | x x x x |\n"
	var reader Reader
	r := reader.Read("x.drill", []byte(text), nil)
	var got []string
	for i := range r.Steps {
		_, whole := r.Step(i)
		var cells []string
		for _, v := range r.Steps[i].Voices {
			cells = append(cells, fmt.Sprint(len(v.Cells())))
		}
		got = append(got, fmt.Sprint(r.Steps[i].Title, " ", r.Steps[i].First, "-", r.Steps[i].Last, " ", whole, " cells ", strings.Join(cells, " ")))
	}
	want := []string{"A 4-6 false cells 8 8", "B 7-8 false cells 0", "C 9-10 true cells 4"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// What a judge of passages finds is placed in the text.
func TestUnplayable(t *testing.T) {
	r := read(t, []byte(placed))
	judge := func(p passage.Passage) passage.Problems {
		return passage.Problems{
			{Voice: passage.Guitar, At: meter.Int(2), Place: p.Place(meter.Int(2)), What: "three hands", Do: "leave one out"},
			{Voice: passage.Kick, At: meter.Int(1), Place: p.Place(meter.Int(1)), What: "too fast", Do: "slow down"},
		}
	}
	want := `7:17: 1.2: too fast; slow down
8:19: 1.3: three hands; leave one out
13:5: 1.2: too fast; slow down
14:5: 1.3: three hands; leave one out
`
	if diff := cmp.Diff(want, list(r.Unplayable(judge))); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// FuzzPlaces holds that whatever the text, what is told of it stands in it.
func FuzzPlaces(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, src []byte) {
		var reader Reader
		r := reader.Read("x.drill", src, testChanges{})
		for i, s := range r.Steps {
			for _, v := range s.Voices {
				end := 0
				for _, c := range v.Cells() {
					line := r.text.lines[c.Line-1]
					if c.Column <= end || c.Column+c.Width-1 > utf8.RuneCountInString(line) {
						t.Fatalf("cell %+v of %q", c, line)
					}
					end = c.Column + c.Width - 1
					if step, voice, at, ok := r.At(c.Line, c.Column); step != i || voice != v.Voice || at != c.At || !ok {
						t.Fatalf("cell %+v is found as %d %s %s %v", c, step, voice, at, ok)
					}
				}
			}
		}
	})
}
