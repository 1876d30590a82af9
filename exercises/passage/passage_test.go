package passage_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/passage/passagetest"
)

func TestPlace(t *testing.T) {
	p := read(t, "4/4 | 7/8 (2+2+3) | 6/8", "kick | x x x x | x x x | x x |")
	for _, c := range []struct {
		at   meter.Rat
		want string
	}{
		{meter.Int(0), "1.1"}, {meter.Int(2), "1.3"}, {meter.R(5, 2), "1.3+1/8"}, {meter.R(10, 3), "1.4+1/12"},
		{meter.Int(4), "2.1"}, {meter.Int(6), "2.3"}, {meter.Int(7), "2.3+1/4"}, {meter.R(15, 2), "3.1"}, {meter.Int(9), "3.2"},
		{meter.R(21, 2), "3.2+3/8"}, // the end counts from the last beat
		{meter.Int(20), "3.2+11/4"}, {meter.R(-1, 2), "1.1+-1/8"},
	} {
		if got := p.Place(c.at).String(); got != c.want {
			t.Errorf("%s is at %s, want %s", c.at, got, c.want)
		}
	}
	var none passage.Passage
	if got := none.Place(meter.Int(1)).String(); got != "1.1+1/4" {
		t.Errorf("without bars 1 is at %s", got)
	}
}

func TestBarsOf(t *testing.T) {
	p := read(t, "4/4 | 7/8 (2+2+3) | 6/8", "kick | x x x x | x x x | x x |")
	for _, c := range []struct {
		from, to    meter.Rat
		first, last int
	}{
		{meter.Int(0), meter.Int(4), 1, 1}, {meter.Int(3), meter.R(9, 2), 1, 2}, {meter.Int(4), meter.R(15, 2), 2, 2},
		{meter.Int(0), meter.R(21, 2), 1, 3}, {meter.Int(5), meter.Int(5), 2, 2}, {meter.Int(9), meter.Int(99), 3, 3},
	} {
		if first, last := p.BarsOf(passage.Span{From: c.from, To: c.to}); first != c.first || last != c.last {
			t.Errorf("%s to %s touches bars %d to %d, want %d to %d", c.from, c.to, first, last, c.first, c.last)
		}
	}
}

// A place says the same as the start of its beat and how far it is into it.
func TestPlaceAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := passagetest.Passages().Draw(t, "passage")
		beats := p.Beats()
		for _, l := range p.Lines {
			for _, s := range l.Strokes {
				at := p.Place(s.At)
				for _, b := range beats {
					if b.Bar == at.Bar && b.Number == at.Beat && (b.At.Add(at.Into) != s.At || !at.Into.Less(b.Length)) {
						t.Fatalf("%s is said to be at %s, a beat that starts at %s", s.At, at, b.At)
					}
				}
			}
		}
	})
}

func TestBeatsAndStarts(t *testing.T) {
	p := read(t, "4/4 | 7/8 (2+2+3)", "kick | x x x x | x x x |")
	if diff := cmp.Diff([]meter.Rat{{}, meter.Int(4), meter.R(15, 2)}, p.Starts(), equal); diff != "" {
		t.Errorf("starts (-want +got):\n%s", diff)
	}
	beats := p.Beats()
	want := passage.Beat{Bar: 2, Number: 3, At: meter.Int(6), Length: meter.R(3, 2)}
	if len(beats) != 7 || beats[6] != want {
		t.Errorf("%d beats, the last %+v, want 7 and %+v", len(beats), beats[len(beats)-1], want)
	}
}

func TestSection(t *testing.T) {
	p := read(t, "2/4", "kick | x x | xx x | x x |", "guitar | . o | - x | o- -- |", "snare | x x | . . | x x |")
	got, err := p.Section(2, 2)
	if err != nil {
		t.Fatal(err)
	}
	// The guitar's held stroke began before; its next one stays.
	want := read(t, "2/4", "kick | xx x |", "guitar | . x |", "snare | . . |")
	if diff := cmp.Diff(want, got, equal); diff != "" {
		t.Errorf("bar 2 (-want +got):\n%s", diff)
	}
	first, err := p.Section(1, 1)
	if err != nil {
		t.Fatal(err)
	}
	if s := first.Lines[1].Strokes[0]; s.Length != meter.Int(1) {
		t.Errorf("the stroke held over the last bar line lasts %s, want 1", s.Length)
	}
	for _, bars := range [][2]int{{0, 1}, {1, 4}, {3, 2}} {
		if _, err := p.Section(bars[0], bars[1]); err == nil || !strings.Contains(err.Error(), "; ") {
			t.Errorf("bars %v: %v", bars, err)
		}
	}
}

func TestSectionIsValidAndWholeIsItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := passagetest.Passages().Draw(t, "passage")
		whole, err := p.Section(1, len(p.Bars))
		if diff := cmp.Diff(p, whole, equal); err != nil || diff != "" {
			t.Fatalf("all bars (-want +got): %v\n%s", err, diff)
		}
		last := rapid.IntRange(1, len(p.Bars)).Draw(t, "last")
		first := rapid.IntRange(1, last).Draw(t, "first")
		part, err := p.Section(first, last)
		if ps := passage.Check(part); err != nil || len(ps) > 0 {
			t.Fatalf("bars %d to %d: %v %v", first, last, err, ps)
		}
	})
}

func TestAtTempo(t *testing.T) {
	p := read(t, "4/4", "kick | x x x x | x x x x |")
	p.Bars[1].Tempo.BPM = meter.Int(180) // 3/2 of the first
	slow, err := p.AtTempo(meter.Int(80))
	if err != nil || slow.Bars[0].Tempo.BPM != meter.Int(80) || slow.Bars[1].Tempo.BPM != meter.Int(120) {
		t.Errorf("at 80: %v, %v", slow.Bars, err)
	}
	if p.Bars[0].Tempo.BPM != meter.Int(120) {
		t.Error("the passage itself has changed")
	}
	for bpm, want := range map[int64]string{
		300: "bar 2 would be at 450, outside 20 to 400 beats a minute; choose a tempo from 20 to 266", // 400*2/3
		500: "a tempo of 500 is outside 20 to 400 beats a minute; choose one inside",
	} {
		if _, err := p.AtTempo(meter.Int(bpm)); err == nil || err.Error() != want {
			t.Errorf("at %d: %v, want %s", bpm, err, want)
		}
	}
	p.Bars[0].Tempo.BPM, p.Bars[1].Tempo.BPM = meter.Int(400), meter.Int(20)
	if _, err := p.AtTempo(meter.Int(60)); err == nil || err.Error() != "bar 2 would be at 3, outside 20 to 400 beats a minute; keep the written 400" {
		t.Errorf("400 and 20 at 60: %v", err)
	}
	if _, err := (passage.Passage{}).AtTempo(meter.Int(100)); err == nil {
		t.Error("a passage without bars has a tempo")
	}
}

func TestTempoMapOfBars(t *testing.T) {
	p := read(t, "4/4 | 6/8 | 6/8", "kick | x x x x | x x | x x |")
	m, err := p.TempoMap()
	if err != nil {
		t.Fatal(err)
	}
	// 120 beats a minute are 120 quarter notes in 4/4 and 180 in 6/8.
	if got := m.Segments(); len(got) != 2 || got[1] != (meter.Segment{At: meter.Int(4), Quarters: meter.Int(180)}) {
		t.Errorf("segments %v", got)
	}
	if got := m.Exact(p.Length()).RatString(); got != "4" { // 8 beats of half a second
		t.Errorf("the passage lasts %s s, want 4", got)
	}
}

func TestCloneSharesNothing(t *testing.T) {
	p := read(t, "4/4", "kick | x x x x |")
	q := p.Clone()
	q.Bars[0].Tempo.BPM = meter.Int(60)
	q.Lines[0].Strokes[0].Kind = passage.Accent
	q.Lines[0].Groups[0].Cells = 4
	q.Lines = append(q.Lines, passage.Line{Voice: passage.Snare})
	if diff := cmp.Diff(read(t, "4/4", "kick | x x x x |"), p, equal); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
