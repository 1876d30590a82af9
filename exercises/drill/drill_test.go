package drill

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

func TestRoundTripOfFiles(t *testing.T) {
	files, _ := filepath.Glob("testdata/text/*.drill")
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			climb, ps := Parse(file, text, testChanges{})
			if err := ps.Err(); err != nil {
				t.Fatal(err)
			}
			roundTrip(t, climb)
		})
	}
}

// What each sign of a voice line means, in 4/4.
func TestMeaningOfCells(t *testing.T) {
	r := meter.R
	hit := func(at, length meter.Rat) passage.Stroke {
		return passage.Stroke{At: at, Length: length, Kind: passage.Hit}
	}
	for _, c := range []struct {
		name, line string
		want       []passage.Stroke
	}{
		{"sixteenths", "guitar | x.xx . . . |", []passage.Stroke{hit(r(0, 1), r(1, 4)), hit(r(1, 2), r(1, 4)), hit(r(3, 4), r(1, 4))}},
		{"triplet", "guitar | x.x . . . |", []passage.Stroke{hit(r(0, 1), r(1, 3)), hit(r(2, 3), r(1, 3))}},
		{"quintuplet", "guitar | . x.x.x . . |", []passage.Stroke{hit(r(1, 1), r(1, 5)), hit(r(7, 5), r(1, 5)), hit(r(9, 5), r(1, 5))}},
		{"three over two beats", "guitar | . 2:xxx . |", []passage.Stroke{hit(r(1, 1), r(2, 3)), hit(r(5, 3), r(2, 3)), hit(r(7, 3), r(2, 3))}},
		{"cut cell", "guitar | x[xx]x . . . |", []passage.Stroke{hit(r(0, 1), r(1, 3)), hit(r(1, 3), r(1, 6)), hit(r(1, 2), r(1, 6)), hit(r(2, 3), r(1, 3))}},
		{"held over the beat", "guitar | .x -. . . |", []passage.Stroke{hit(r(1, 2), r(1, 1))}},
		{"held over the bar line", "guitar | . . . x | - --. . . |", []passage.Stroke{hit(r(3, 1), r(8, 3))}},
		{"held through brackets", "guitar | x[--]- -[-.] . . |", []passage.Stroke{hit(r(0, 1), r(7, 4))}},
		{"repeated bar", "guitar | . . x . | % |", []passage.Stroke{hit(r(2, 1), r(1, 1)), hit(r(6, 1), r(1, 1))}},
		{"details", "guitar | x(3) b(8+1) b(8) b |", []passage.Stroke{
			{At: r(0, 1), Length: r(1, 1), Kind: passage.Hit, Fret: 3}, {At: r(1, 1), Length: r(1, 1), Kind: passage.Bend, Fret: 8, Bend: 1},
			{At: r(2, 1), Length: r(1, 1), Kind: passage.Bend, Fret: 8, Bend: 2}, {At: r(3, 1), Length: r(1, 1), Kind: passage.Bend, Bend: 2}}},
		{"a repeat continues what sounds", "guitar | - . . x | % |", nil},
	} {
		climb, ps := Parse("t.drill", []byte("title: T\ntempo: 120\nmetre: 4/4\nstep: S\n"+c.line), nil)
		if c.want == nil {
			if len(ps) != 1 { // the hold in the first bar; that of the second is right
				t.Errorf("%s: %v", c.name, ps)
			}
			continue
		}
		if err := ps.Err(); err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if diff := cmp.Diff(c.want, climb.Steps[0].Passage.Lines[0].Strokes, equal); diff != "" {
			t.Errorf("%s: %s (-want +got):\n%s", c.name, c.line, diff)
		}
	}
}

// Steps are made in their order, by their changes, then by their own voices.
func TestMadeSteps(t *testing.T) {
	text, err := os.ReadFile("testdata/text/made.drill")
	if err != nil {
		t.Fatal(err)
	}
	climb, ps := Parse("made.drill", text, testChanges{})
	if err := ps.Err(); err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, s := range climb.Steps {
		line := s.Title + ":"
		for _, b := range s.Passage.Bars {
			line += " " + b.Metre.String() + " at " + b.Tempo.String()
		}
		for _, l := range s.Passage.Lines {
			line += ", " + l.Voice.String()
			for _, stroke := range l.Strokes {
				line += " " + stroke.At.String()
			}
		}
		got = append(got, line)
		if whole, ps := s.Passage.Regroup(); len(ps) > 0 || !cmp.Equal(whole, s.Passage, equal) {
			t.Errorf("%s lacks groups for what its changes made", s.Title)
		}
	}
	want := []string{
		"Straight: 5/4 at 96 3/4 at 96, kick 0 1 2 3 4 5 6 7, snare 1 3 6",
		"Late: 5/4 at 96 3/4 at 96, kick 0 1 2 3 4 5 6 7, snare 5/4 13/4 25/4",
		"Copy: 5/4 at 96 3/4 at 96, kick 0 1 2 3 4 5 6 7, snare 1 3 6",
		"Cut: 5/4 at 90, kick 0 1/2 4 9/2, snare 5/4 13/4, hat 0 1/2 1 3/2 2 5/2 3 7/2 4 9/2",
		"Grouped: 5/4 (2+3) at 96 3/4 at 96, kick 0 1 2 3 4 5 6 7, snare 1 3 6",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestProblemsAsJSON(t *testing.T) {
	got, err := json.Marshal(Problems{{"a.drill", 3, 7, "what", "what to do"}})
	if want := `[{"file":"a.drill","line":3,"column":7,"problem":"what","hint":"what to do"}]`; err != nil || string(got) != want {
		t.Errorf("%s (%v), want %s", got, err, want)
	}
}

func TestNearest(t *testing.T) {
	known := []string{"title", "tempo", "metre", "headframe", "Half-time china"}
	for word, want := range map[string]string{
		"titel": "title", "temp": "tempo", "meter": "metre", "Headframe": "headframe", "haedframe": "headframe", "half time chna": "Half-time china",
		"quarry": "", "": "", "x": "", "ti": "",
	} {
		if got, ok := Nearest(word, known); got != want || ok != (want != "") {
			t.Errorf("Nearest(%q) is %q, want %q", word, got, want)
		}
	}
}
