package guitar

import (
	"math"
	"testing"

	"stampmill/synth/dsp"
)

func play(i Instrument, t Technique, n Note, seconds float64) []float64 {
	src := i.Play(t, n, 48000)
	x := make([]float64, int(seconds*48000))
	var part dsp.Block
	for k := 0; k < len(x); {
		src.Fill(&part)
		k += copy(x[k:], part[:])
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
	x := play(Rhythm, Muted, Note{Hertz: 55, Turned: true, Seed: 1}, .3)
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
// lies on the string, and little is heard before the next stroke, on low
// strings through an amplifier that compresses too.
func TestTremoloStrokes(t *testing.T) {
	for _, test := range []struct {
		name  string
		on    Instrument
		hertz float64
	}{{"guitar", Rhythm, 55}, {"second guitar", Second, 55}, {"guitar", Rhythm, 220}, {"bass", Bass, 55}, {"lead", Lead, 220}} {
		x := play(test.on, Trembled, Note{Hertz: test.hertz, Seconds: 1, Seed: 1}, 1)
		gaps := 0
		for k := 1; k < 11; k++ {
			at := k * 48000 / 11
			if rms(x[at-384:at-48]) < .5*rms(x[at-3200:at-1600]) {
				gaps++
			}
		}
		if gaps != 10 {
			t.Errorf("%s at %g Hz: %d gaps, want 10", test.name, test.hertz, gaps)
		}
	}
}

// The two players' sounds differ, and so do two strokes of one.
func TestPlayersDiffer(t *testing.T) {
	note := Note{Hertz: 55, Turned: true, Seed: 1}
	a := play(Rhythm, Ringing, note, .5)
	again := note
	again.Seed = 2
	for what, b := range map[string][]float64{"the other player": play(Second, Ringing, note, .5), "another stroke": play(Rhythm, Ringing, again, .5)} {
		for i := range b {
			b[i] -= a[i]
		}
		if r := rms(b) / rms(a); r < .3 {
			t.Errorf("%s differs by only %.2f", what, r)
		}
	}
}

// A scrape up gets higher, more ridges a second at its end, and one down lower.
func TestScrapesRiseAndFall(t *testing.T) {
	for _, test := range []struct {
		name     string
		from, to float64
		rises    bool
	}{{"up", ridgesSlow, ridgesFast, true}, {"down", ridgesFast, ridgesSlow, false}} {
		r := newRidges(Note{Seconds: 1, Seed: 1}, test.from, test.to, 48000)
		first, _, _, last := quarter(r), quarter(r), quarter(r), quarter(r)
		if test.rises && last < 2*first || !test.rises && first < 2*last {
			t.Errorf("%s: %d ridges in the first quarter, %d in the last", test.name, first, last)
		}
	}
}

// quarter counts the ridges of a quarter of a second.
func quarter(r *ridges) (n int) {
	for range 12000 {
		was := r.phase
		if r.next(); r.phase < was {
			n++
		}
	}
	return n
}

// BenchmarkRinging makes one second of a ringing string.
func BenchmarkRinging(b *testing.B) {
	for b.Loop() {
		play(Rhythm, Ringing, Note{Hertz: 55, Turned: true, Seed: 1}, 1)
	}
}
