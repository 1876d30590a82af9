package strip_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stampmill/app/strip"
	"stampmill/exercises/passage"
)

// kicked are two bars in which B has the kick of one beat a sixteenth later.
func kicked(t testing.TB) (a, b passage.Passage) {
	lines := func(kick string) []string {
		return []string{
			"china  | x x x x          | x x x x         |",
			"snare  | . . X .          | . . X .         |",
			"kick   | x ...x .x.. x.x. | x ...x " + kick + " |",
		}
	}
	return written(t, "4/4", "92", lines("xx.. x.x.")...), written(t, "4/4", "92", lines(".xx. x.x.")...)
}

// asked are the strips of a trial: covered, small on a phone, and answered.
func asked(t testing.TB) map[string]string {
	a, b := kicked(t)
	covered := strip.Sheet{
		ID: "a", Passage: a, Width: 606, Row: 46, Labels: strip.LabelsPlain, Playhead: true, HeadAt: 6,
		Heard: &strip.Heard{Cover: "covered until you answer"},
	}
	phone := strip.Sheet{ID: "b", Passage: a, Width: 222, Small: true, Playhead: true, HeadAt: 5, Heard: covered.Heard}
	phone.Passage.Lines = phone.Passage.Lines[:1]
	left, right := covered, covered
	left.Playhead, right.Playhead, right.ID, right.Passage = false, false, "b", b
	left.Heard = &strip.Heard{Spans: passage.Diff(b, a), Word: "here in A"}
	right.Heard = &strip.Heard{Spans: passage.Diff(a, b), Word: "a sixteenth later", Was: &a}
	left, right = strip.Beside(left, right)
	one := func(p passage.Passage) passage.Passage {
		p, _ = p.Section(2, 2)
		p.Lines = p.Lines[1:]
		return p
	}
	from, to := strip.Minis(one(a), one(b), 150)
	return map[string]string{
		"heard-covered": covered.SVG(), "heard-phone": phone.SVG(), "heard-a": left.SVG(), "heard-b": right.SVG(),
		"heard-from": from, "heard-to": to,
	}
}

// What is covered cannot be known from the picture, nor from what it says: two
// passages with the same bars and voices have the same cover.
func TestCoverHidesAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := passages(t)
		sheet := strip.Sheet{
			Passage: p, Width: 606, Labels: strip.LabelsPlain, Playhead: true, Compact: rapid.Bool().Draw(t, "compact"),
			Heard: &strip.Heard{Cover: "covered until you answer", Spans: []passage.Span{{To: p.Length(), Voices: p.Voices()}}, Word: "here", Was: &p},
		}
		bare := sheet
		bare.Passage = p.Clone()
		for i := range bare.Passage.Lines {
			bare.Passage.Lines[i].Strokes, bare.Passage.Lines[i].Groups = nil, nil
		}
		if sheet.SVG() != bare.SVG() || sheet.Describe() != bare.Describe() {
			t.Fatal("the cover tells of strokes")
		}
	})
}

// Whatever differs is drawn and told, beside each other and small.
func TestAnyDifferenceIsDrawn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := passages(t), passages(t)
		left, right := sheetOf(t, a), sheetOf(t, b)
		left.Heard = &strip.Heard{Spans: passage.Diff(b, a), Word: "here in A"}
		right.Heard = &strip.Heard{Spans: passage.Diff(a, b), Word: rapid.String().Draw(t, "word"), Was: &a}
		left, right = strip.Beside(left, right)
		before, after := strip.Minis(a, b, left.Width)
		for _, picture := range []string{left.SVG(), right.SVG(), before, after} {
			parse(t, picture)
			if strings.Contains(picture, "NaN") || strings.Contains(picture, "Inf") {
				t.Fatal(picture)
			}
		}
	})
}

// The two sides have the same rows and the same scale of time, also where one
// has a voice more or a tempo of its own.
func TestBeside(t *testing.T) {
	a := written(t, "4/4", "120", "snare | . . X . |", "guitar | x x x x |")
	b := written(t, "4/4", "60", "snare | . . X . |", "kick | x x x x |")
	left, right := strip.Beside(strip.Sheet{Passage: a, Width: 600}, strip.Sheet{Passage: b, Width: 600})
	l, r := left.Layout(), right.Layout()
	for i, want := range []passage.Voice{passage.Snare, passage.Kick, passage.Guitar} {
		if l.Rows[i].Voice != want || r.Rows[i].Voice != want {
			t.Errorf("row %d is %s at the left and %s at the right, want %s", i, l.Rows[i].Voice, r.Rows[i].Voice, want)
		}
	}
	if got, want := 2*(l.X(4)-l.X(0)), r.X(4)-r.X(0); got < want-0.01 || got > want+0.01 {
		t.Errorf("a bar at 120 is %v wide, half of the %v at 60", got/2, want)
	}
}

// What is marked is told in words too, with the old place.
func TestHeardSays(t *testing.T) {
	a, b := kicked(t)
	sheet := strip.Sheet{Passage: b, Width: 606, Heard: &strip.Heard{Spans: passage.Diff(a, b), Word: "a sixteenth later", Was: &a}}
	for _, want := range []string{"Marked, a sixteenth later: kick, bar 2 beat 3.", "Dashed, where the kick was: 3 in bar 2."} {
		if got := sheet.Describe(); !strings.Contains(got, want) {
			t.Errorf("%q is not in %q", want, got)
		}
	}
}

// The words under a difference stay in the picture wherever it lies.
func TestHeardWordStaysInside(t *testing.T) {
	a, b := kicked(t)
	for _, word := range []string{"here", "kick, guitar and bass in groups of 3 3 3 3 4"} {
		for _, width := range []float64{320, 390, 606, 1200} {
			sheet := strip.Sheet{Passage: b, Width: width, Heard: &strip.Heard{Spans: passage.Diff(a, b), Word: word, Was: &a}}
			left, room := number(t, sheet, "sm-heard", "x"), 6.8*float64(len(word))
			if strings.Contains(sheet.SVG(), `text-anchor="end">`+word) {
				left -= room
			}
			if room < width && (left < 0 || left+room > width) {
				t.Errorf("%q in %v: from %v to %v", word, width, left, left+room)
			}
		}
	}
}
