package main

import (
	"math"
	"os"
	"testing"

	"stampmill/synth/loudness"
	"stampmill/synth/wav"
)

const quarryText = `title: Quarry
tempo: 120
metre: 4/4

step: Blast
snare  | .   .   X   .   |
kick   | .x  .   xxx .   |
guitar | .x  .   xxx o-  |
`

// rendered renders the text above and returns both channels, interleaved.
func rendered(t *testing.T, args ...string) (wav.Format, []float32) {
	t.Helper()
	args = append([]string{"render", "-", "-o", "quarry.wav"}, args...)
	if out, stderr, code := call(t, quarryText, args...); code != exitDone || out+stderr != "" {
		t.Fatalf("%v: exit %d, %q, %q", args, code, out, stderr)
	}
	data, err := os.ReadFile("quarry.wav")
	if err != nil {
		t.Fatal(err)
	}
	format, samples, err := wav.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	return format, samples
}

// firstSound returns the frame of the first sample at or after a frame that is
// not silence: the smallest step of 24 bits.
func firstSound(samples []float32, from int) int {
	for i := 2 * from; i < len(samples); i++ {
		if math.Abs(float64(samples[i])) >= 1.0/(1<<23) {
			return i / 2
		}
	}
	return -1
}

// TestRenderStartsWhereWritten: a kick alone is silent up to its sample. The
// membrane may begin at a zero crossing, so a few frames of slack are ours; the
// exact frame of each command is held by the tests of the sequence.
func TestRenderStartsWhereWritten(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, c := range []struct {
		rate string
		want int // a beat at 120 is half a second; the first kick an eighth in
	}{{"48000", 12000}, {"44100", 11025}, {"96000", 24000}} {
		format, samples := rendered(t, "--voices", "kick", "--rate", c.rate)
		if got := firstSound(samples, 0); got < c.want || got > c.want+c.want/1000 {
			t.Errorf("at %d Hz: the first sound at frame %d, want %d", format.Rate, got, c.want)
		}
	}
}

// TestRenderPasses: the second pass follows the first without a gap.
func TestRenderPasses(t *testing.T) {
	t.Chdir(t.TempDir())
	_, twice := rendered(t, "--voices", "kick", "--passes", "2")
	if got := firstSound(twice, 2*48000+12000-480); got < 108000 || got > 108012 {
		t.Errorf("the first kick of the second pass at frame %d, want 108000", got)
	}
}

// TestRenderLoudness: the file has the loudness asked for, and no sample is
// above full scale.
func TestRenderLoudness(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, want := range []struct {
		flag string
		lufs float64
	}{{"-30", -30}, {"-16", -16}} {
		format, samples := rendered(t, "--passes", "2", "--lufs", want.flag)
		m := loudness.NewMeter(format.Rate, format.Channels)
		m.Add(samples)
		if got := m.Integrated(); math.Abs(got-want.lufs) > 0.2 {
			t.Errorf("%.2f LUFS, want %g ± 0.2", got, want.lufs)
		}
		for _, s := range samples {
			if s > 1 || s < -1 {
				t.Fatalf("a sample of %v at %g LUFS", s, want.lufs)
			}
		}
	}
}

// TestRenderTwice: the same passage gives the same file.
func TestRenderTwice(t *testing.T) {
	t.Chdir(t.TempDir())
	rendered(t)
	first, _ := os.ReadFile("quarry.wav")
	rendered(t)
	second, _ := os.ReadFile("quarry.wav")
	if string(first) != string(second) {
		t.Error("rendering twice gives two different files")
	}
}
