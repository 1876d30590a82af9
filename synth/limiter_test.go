package synth

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The limiter holds every peak at the ceiling of -1 dBFS (.8913), whatever
// comes, in blocks of any size.
func TestLimiterHoldsPeaks(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		l := newLimiter(48000)
		for range 6 {
			frames := rapid.IntRange(1, 700).Draw(rt, "frames")
			level := rapid.Float64Range(0, 20).Draw(rt, "level")
			every := rapid.IntRange(1, 90).Draw(rt, "every")
			pcm := make([]float32, 2*frames)
			for i := range pcm {
				if i%every == 0 {
					pcm[i] = float32(level * math.Sin(float64(i*i)))
				}
			}
			l.process(pcm)
			for i, x := range pcm {
				if x > .8913 || x < -.8913 || x != x {
					rt.Fatalf("sample %d is %g", i, x)
				}
			}
		}
	})
}

// A sine at a quarter of the rate, 45 degrees off, is sampled at .707 of its
// peak: 1.2 looks like .85 and must be held all the same (the signal of EBU Tech
// 3341's true-peak tests, from memory; tolerance +.2 dB).
func TestLimiterHoldsPeaksBetweenSamples(t *testing.T) {
	l := newLimiter(48000)
	pcm := make([]float32, 2*20000)
	for i := range pcm {
		fade := min(1, float64(i/2)/2000)
		pcm[i] = float32(1.2 * fade * math.Sin(math.Pi/2*float64(i/2)+math.Pi/4))
	}
	l.process(pcm)
	for i, x := range pcm {
		if peak := math.Abs(float64(x)) * math.Sqrt2; peak > .8913*1.023 {
			t.Fatalf("sample %d: true peak %.3f", i, peak)
		}
	}
}

// What stays below the ceiling is only delayed.
func TestLimiterLeavesQuietSoundAlone(t *testing.T) {
	l := newLimiter(48000)
	pcm := make([]float32, 2*5000)
	for i := range pcm {
		pcm[i] = float32(.8 * math.Sin(float64(i)/7))
	}
	want := append([]float32(nil), pcm...)
	l.process(pcm)
	for i := 2 * l.latency(); i < len(pcm); i++ {
		if pcm[i] != want[i-2*l.latency()] {
			t.Fatalf("sample %d is %g, want %g", i, pcm[i], want[i-2*l.latency()])
		}
	}
}

// After a peak the gain comes back: a second later the sound is as it was.
func TestLimiterRecovers(t *testing.T) {
	l := newLimiter(48000)
	pcm := make([]float32, 2*48000)
	for i := range pcm {
		pcm[i] = .5
	}
	pcm[2*1000] = 8
	l.process(pcm)
	if dip := pcm[2*(1000+l.latency()+10)]; dip > .4 {
		t.Errorf("level %g just after the peak, want less", dip)
	}
	if last := pcm[len(pcm)-2]; math.Abs(float64(last)-.5) > 1e-4 {
		t.Errorf("level %g a second after the peak, want .5", last)
	}
}
