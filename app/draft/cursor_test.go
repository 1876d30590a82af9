package draft

import (
	"testing"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// where says where the cursor is: voice and place.
func where(d Draft) string {
	c := d.Cursor()
	return c.Voice.String() + " " + d.Passage().Place(c.At).String()
}

func TestMove(t *testing.T) {
	for _, c := range []struct {
		name  string
		moves []Direction
		want  string
	}{
		{"it begins at the first cell", nil, "china 1.1"},
		{"a cell is as long as it is written", []Direction{Down, Down, Right, Right}, "kick 1.1+1/8"},
		{"over beats", []Direction{Right}, "china 1.2"},
		{"over bar lines", []Direction{Last, Left, Left, Left, Left}, "china 1.4"},
		{"not beyond the ends", []Direction{Left, Up, Last, Right}, "china 2.4"},
		{"down to the cell in which it lies", []Direction{Down, Down, Right, Up}, "snare 1.1"},
		{"and down again to where it was", []Direction{Down, Down, Right, Up, Down}, "kick 1.1+1/16"},
		{"a row at the end stays", []Direction{Down, Down, Down, Down, Down}, "guitar 1.1"},
		{"to the next bar", []Direction{Right, BarRight}, "china 2.1"},
		{"to the beginning of the bar", []Direction{Last, BarLeft}, "china 2.1"},
		{"and of the one before", []Direction{Last, BarLeft, BarLeft}, "china 1.1"},
		{"no further", []Direction{BarRight, BarRight, Right, First, BarLeft}, "china 1.1"},
	} {
		d := New("adit", floor, nil)
		for _, m := range c.moves {
			d = d.Move(m, false)
		}
		if got := where(d); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
		if d.Selected() {
			t.Errorf("%s: something is selected", c.name)
		}
	}
}

func TestSelection(t *testing.T) {
	d := New("adit", floor, nil).Put(passage.Kick, meter.R(1, 4), false)
	if got, want := d.Selection(), (passage.Span{From: meter.R(1, 4), To: meter.R(1, 2), Voices: []passage.Voice{passage.Kick}}); diff(got, want) != "" {
		t.Errorf("one cell: %s", diff(got, want))
	}
	if got, want := d.Scope(), (passage.Span{To: meter.Int(1), Voices: []passage.Voice{passage.Kick, passage.Guitar}}); diff(got, want) != "" {
		t.Errorf("its beat, with the guitar that strikes there too: %s", diff(got, want))
	}
	if got, want := d.Alone().Scope(), (passage.Span{To: meter.Int(1), Voices: []passage.Voice{passage.Kick}}); diff(got, want) != "" {
		t.Errorf("its beat alone: %s", diff(got, want))
	}
	for at, want := range map[int64]int{2: 1, 3: 1, 5: 2} { // both are silent; they differ; the guitar holds what both strike
		if got := d.Put(passage.Kick, meter.Int(at), false).Scope().Voices; len(got) != want {
			t.Errorf("%v change together at %d", got, at)
		}
	}
	e := d.Move(Right, true).Move(Up, true)
	if got, want := e.Selection(), (passage.Span{To: meter.Int(1), Voices: []passage.Voice{passage.Snare, passage.Kick}}); diff(got, want) != "" {
		t.Errorf("extended over a longer cell: %s", diff(got, want))
	}
	if !e.Selected() || e.Move(Down, false).Selected() {
		t.Error("moving without extending keeps the selection")
	}
	span := passage.Span{From: meter.Int(4), To: meter.Int(8), Voices: []passage.Voice{passage.China, passage.Guitar}}
	if got := d.Select(span).Selection(); diff(got, span) != "" {
		t.Errorf("selected as a whole: %s", diff(got, span))
	}
	if d.Select(passage.Span{To: meter.Int(99), Voices: span.Voices}).Selected() {
		t.Error("what is outside the passage is selected")
	}
}

func TestCursorAndCaretGoTogether(t *testing.T) {
	d := New("adit", floor, nil).SetCaret(Caret{9, 13}) // kick | x.x. .x .
	if got := where(d); got != "kick 1.1+3/16" {
		t.Errorf("the caret is on the fourth cell of the kick, and the cursor at %s", got)
	}
	if got := d.Move(Down, false).Caret(); got != (Caret{10, 13}) {
		t.Errorf("the cursor goes to the guitar, and the caret to %v", got)
	}
	d = d.SetCaret(Caret{13, 1})
	if d.Step() != 1 || where(d) != "kick 1.1+3/16" {
		t.Errorf("the caret is in the second step, and the cursor in step %d at %s", d.Step()+1, where(d))
	}
	if d = d.GoTo(0); d.Step() != 0 || d.Caret() != (Caret{9, 13}) {
		t.Errorf("back in the first step the caret is at %v", d.Caret())
	}
}

func TestNothingToMoveIn(t *testing.T) {
	for _, text := range []string{"", "title: Adit", "step: Timber", "step: Timber\nfrom: Nowhere"} {
		d := New("adit", text, nil)
		for m := Left; m <= Last; m++ {
			d = d.Move(m, m%2 == 0)
		}
		if d.Text() != text || len(d.Selection().Voices) > 0 {
			t.Errorf("%q: %v is selected", text, d.Selection())
		}
		if _, err := d.Type('x'); err == nil {
			t.Errorf("%q: a stroke was typed into nothing", text)
		}
	}
}
