package guitar

import (
	"math"
	"testing"
)

func play(i Instrument, t Technique, n Note, seconds float64) []float64 {
	src := i.Play(t, n, 48000)
	x := make([]float64, int(seconds*48000))
	for k := range x {
		x[k] = src.Next()
	}
	return x
}

func rms(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return math.Sqrt(sum / float64(len(x)))
}

// The hand stops the string: after the cut there is nothing.
func TestCutIsSilence(t *testing.T) {
	x := play(Rhythm, Muted, Note{Hertz: 55, Side: 1, Seed: 1}, .2)
	cut := int(Muted.Cut * 48000)
	if r := rms(x[:cut/2]); r < .1 {
		t.Errorf("level %g before the cut", r)
	}
	if r := rms(x[cut:]); r > 1e-9 {
		t.Errorf("level %g after the cut", r)
	}
}

// A stroke is there at once: the amplifier's delay is taken off.
func TestStrokeStartsAtOnce(t *testing.T) {
	for _, i := range []Instrument{Rhythm, Bass, Lead} {
		if r := rms(play(i, Ringing, Note{Hertz: 110, Seed: 1}, .002)); r < .02 {
			t.Errorf("level %g in the first 2 ms", r)
		}
	}
}

// A tremolo of one second is eleven strokes, evenly spaced: ten times the pick
// lies on the string, and nearly nothing is heard before the next stroke.
func TestTremoloStrokes(t *testing.T) {
	x := play(Lead, Trembled, Note{Hertz: 220, Seconds: 1, Seed: 1}, 1)
	gaps := 0
	for k := 1; k < 11; k++ {
		at := k * 48000 / 11
		if rms(x[at-240:at-48]) < .3*rms(x[at-2400:at-1200]) {
			gaps++
		}
	}
	if gaps != 10 {
		t.Errorf("%d gaps, want 10", gaps)
	}
}

// The two players' sounds differ, and so do two strokes of one.
func TestPlayersDiffer(t *testing.T) {
	a := play(Rhythm, Ringing, Note{Hertz: 55, Side: -1, Seed: 1}, .5)
	for _, n := range []Note{{Hertz: 55, Side: 1, Seed: 1}, {Hertz: 55, Side: -1, Seed: 2}} {
		b := play(Rhythm, Ringing, n, .5)
		for i := range b {
			b[i] -= a[i]
		}
		if r := rms(b) / rms(a); r < .3 {
			t.Errorf("%+v differs by only %.2f", n, r)
		}
	}
}

// A scrape gets higher: more ridges a second at its end.
func TestScrapeRises(t *testing.T) {
	r := newRidges(Note{Seconds: 1, Seed: 1}, 48000)
	count := func() (n int) {
		for range 12000 {
			if r.next() > 1 {
				n++
			}
		}
		return n
	}
	first := count()
	count()
	count()
	if last := count(); last < 2*first {
		t.Errorf("%d ridges in the first quarter, %d in the last", first, last)
	}
}

// BenchmarkRinging makes one second of a ringing string.
func BenchmarkRinging(b *testing.B) {
	for b.Loop() {
		play(Rhythm, Ringing, Note{Hertz: 55, Side: 1, Seed: 1}, 1)
	}
}
