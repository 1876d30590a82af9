package complexity_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"stampmill/exercises/complexity"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/passage/passagetest"
)

// steadyLine strikes the n equal cells of every beat.
func steadyLine(p passage.Passage, v passage.Voice, n int64) passage.Line {
	line := passage.Line{Voice: v}
	for _, b := range p.Beats() {
		cell := b.Length.Div(meter.Int(n))
		for i := range n {
			at := b.At.Add(cell.Mul(meter.Int(i)))
			line.Strokes = append(line.Strokes, passage.Stroke{At: at, Length: cell, Kind: v.Kinds()[0]})
		}
	}
	return line
}

// Streams that each divide every beat evenly are not syncopated, in any metre,
// however many of them and however they differ: the next place of a stroke is a
// stroke of its own stream.
func TestSteadyStreamsAreZero(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var p passage.Passage
		for range rapid.IntRange(1, 3).Draw(t, "bars") {
			p.Bars = append(p.Bars, passage.Bar{Metre: passagetest.Metres().Draw(t, "metre"), Tempo: passagetest.Tempos().Draw(t, "tempo")})
		}
		for _, v := range []passage.Voice{passage.Kick, passage.Snare, passage.Hat} {
			if n := rapid.Int64Range(0, 16).Draw(t, v.String()); n > 0 {
				p.Lines = append(p.Lines, steadyLine(p, v, n))
			}
		}
		for i, degree := range complexity.Syncopation(p) {
			if degree != 0 {
				t.Fatalf("bar %d: syncopation %d, want 0", i+1, degree)
			}
		}
	})
}

// sameIndex fails where the syncopation of two passages differs.
func sameIndex(t *rapid.T, what string, p, q passage.Passage) {
	if a, b := complexity.Syncopation(p), complexity.Syncopation(q); !slices.Equal(a, b) {
		t.Fatalf("%s: syncopation %v, before %v", what, b, a)
	}
}

// What is heard counts: not how strokes are written, how long drums sound, who
// of a stream plays them, nor how fast.
func TestIndexIsOfWhatIsHeard(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := passagetest.Passages().Draw(t, "passage")

		bare := p.Clone()
		for i := range bare.Lines {
			bare.Lines[i].Groups = nil
			for j := range bare.Lines[i].Strokes {
				bare.Lines[i].Strokes[j].Length = meter.R(1, 64)
			}
		}
		sameIndex(t, "written another way", p, bare)

		slow := p.Clone()
		for i := range slow.Bars {
			slow.Bars[i].Tempo = meter.Tempo{BPM: meter.Int(60)}
		}
		sameIndex(t, "at another tempo", p, slow)

		if _, ok := p.Line(passage.Kick); ok {
			return
		}
		for i, l := range p.Lines {
			if complexity.StreamOf(l.Voice) == complexity.Low {
				both := p.Clone()
				both.Lines = append(both.Lines, passage.Line{Voice: passage.Kick, Strokes: p.Lines[i].Strokes})
				sameIndex(t, "doubled by the kick", p, both)
			}
		}
	})
}

// twice returns a passage played twice.
func twice(p passage.Passage) passage.Passage {
	q := p.Clone()
	q.Bars = append(q.Bars, p.Bars...)
	for i, l := range p.Lines {
		for _, s := range l.Strokes {
			s.At = s.At.Add(p.Length())
			q.Lines[i].Strokes = append(q.Lines[i].Strokes, s)
		}
	}
	return q
}

// fastest returns the rate of a voice.
func fastest(p passage.Passage, v passage.Voice) float64 {
	l, _ := p.Line(v)
	var onsets []meter.Rat
	for _, s := range l.Strokes {
		if s.Sounds() {
			onsets = append(onsets, s.At)
		}
	}
	return complexity.Fastest(p, onsets).PerSecond
}

// Passages loop, so one written out twice is as hard as once: in syncopation
// bar for bar, in WNBD twice the sum, in strokes a second.
func TestRepeatIsNoHarder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := passagetest.Passages().Draw(t, "passage")
		q := twice(p)
		once, both := complexity.Syncopation(p), complexity.Syncopation(q)
		if !slices.Equal(append(slices.Clone(once), once...), both) {
			t.Fatalf("syncopation %v once, %v twice", once, both)
		}
		for _, v := range p.Voices() {
			a, b := complexity.WNBD(p, v), complexity.WNBD(q, v)
			if math.Abs(2*a.Float()-b.Float()) > 1e-6*b.Float() {
				t.Fatalf("%s: WNBD %v once, %v twice", v, a.Float(), b.Float())
			}
			if a, b := fastest(p, v), fastest(q, v); math.Abs(a-b) > 1e-6*b {
				t.Fatalf("%s: %v strokes a second once, %v twice", v, a, b)
			}
		}
	})
}

// A passage whose metres and places are all stretched is the same in longer
// notes, at half the rate.
func TestLongerNotes(t *testing.T) {
	double := map[string]string{"4/4": "4/2", "3/4": "3/2", "6/8": "6/4 (3+3)", "7/8 (2+2+3)": "7/4 (2+2+3)"}
	rapid.Check(t, func(t *rapid.T) {
		metre := rapid.SampledFrom([]string{"4/4", "3/4", "6/8", "7/8 (2+2+3)"}).Draw(t, "metre")
		m, _ := meter.ParseMetre(metre)
		d, _ := meter.ParseMetre(double[metre])
		p := passage.Passage{Bars: []passage.Bar{{Metre: m, Tempo: meter.Tempo{BPM: meter.Int(240), Unit: meter.Int(1)}}}}
		for _, v := range []passage.Voice{passage.Kick, passage.Snare, passage.China} {
			p.Lines = append(p.Lines, passagetest.Lines(v, p.Bars).Draw(t, v.String()))
		}
		q := p.Clone()
		q.Bars[0].Metre = d
		for i := range q.Lines {
			for j, s := range q.Lines[i].Strokes {
				q.Lines[i].Strokes[j].At, q.Lines[i].Strokes[j].Length = s.At.Mul(meter.Int(2)), s.Length.Mul(meter.Int(2))
			}
		}
		sameIndex(t, "in longer notes", p, q)
		for _, l := range p.Lines {
			if a, b := complexity.WNBD(p, l.Voice), complexity.WNBD(q, l.Voice); a.Sum != b.Sum {
				t.Fatalf("%s: WNBD %s, in longer notes %s", l.Voice, a.Sum, b.Sum)
			}
		}
	})
}

// Newness counts what differs: nothing from itself, the same both ways, at
// most the strokes there are.
func TestNewness(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, q := passagetest.Loose().Draw(t, "before"), passagetest.Loose().Draw(t, "after")
		n, m := complexity.New(p, q), complexity.New(q, p)
		if complexity.New(p, p) != 0 || n != m || n > count(p)+count(q) {
			t.Fatalf("new strokes: %d there, %d back, %d of itself", n, m, complexity.New(p, p))
		}
		if got := complexity.New(passage.Passage{}, p); got != count(p) {
			t.Fatalf("%d strokes of the first step are new, want %d", got, count(p))
		}
	})
}

func count(p passage.Passage) int {
	n := 0
	for _, l := range p.Lines {
		n += len(l.Strokes)
	}
	return n
}
