package main

import (
	"math"
	"os"
	"strings"
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

// TestRenderAsItIs: without --lufs the whole step is at -20 LUFS, and some of
// its voices are as loud as among the others.
func TestRenderAsItIs(t *testing.T) {
	t.Chdir(t.TempDir())
	format, all := rendered(t)
	m := loudness.NewMeter(format.Rate, format.Channels)
	m.Add(all)
	if got := m.Integrated(); math.Abs(got+20) > 1 {
		t.Errorf("%.2f LUFS, want -20 ± 1", got)
	}
	_, kick := rendered(t, "--voices", "kick")
	_, rest := rendered(t, "--voices", "snare,guitar")
	apart, whole := 0.0, 0.0
	for i, x := range all {
		for _, part := range [][]float32{kick, rest} {
			if i < len(part) {
				x -= part[i]
			}
		}
		apart += float64(x) * float64(x)
		whole += float64(all[i]) * float64(all[i])
	}
	if db := 10 * math.Log10(apart/whole); db > -40 {
		t.Errorf("the voices one by one are %.1f dB off the whole", db)
	}
}

// TestRenderView: the drummer hears the kit the other way round.
func TestRenderView(t *testing.T) {
	t.Chdir(t.TempDir())
	_, front := rendered(t, "--voices", "snare,kick", "--dry")
	_, same := rendered(t, "--voices", "snare,kick", "--dry", "--view", "drummer")
	for i := range front {
		if front[i] != same[i] {
			t.Fatal("what is in the middle moves")
		}
	}
	const hat = "title: Hat\ntempo: 120\nmetre: 4/4\n\nstep: Hat\nhat | x . . . |\n"
	side := func(view string) float64 {
		if _, stderr, code := call(t, hat, "render", "-", "-o", "quarry.wav", "--view", view); code != exitDone {
			t.Fatal(stderr)
		}
		data, err := os.ReadFile("quarry.wav")
		if err != nil {
			t.Fatal(err)
		}
		_, x, err := wav.Decode(data)
		if err != nil {
			t.Fatal(err)
		}
		left, right := 0.0, 0.0
		for i := 0; i+1 < len(x); i += 2 {
			left, right = left+float64(x[i]*x[i]), right+float64(x[i+1]*x[i+1])
		}
		return right / left
	}
	if a, d := side("audience"), side("drummer"); a < 1.5 || d > 1/1.5 {
		t.Errorf("the hat is %.2f times as strong on the right for the audience, %.2f for the drummer", a, d)
	}
}

// TestRenderRefuses: what cannot be rendered is told before any work is done.
func TestRenderRefuses(t *testing.T) {
	t.Chdir(t.TempDir())
	const empty = "title: Rest\ntempo: 120\nmetre: 4/4\n\nstep: Rest\nkick | . . . . |\n"
	for _, c := range []struct {
		name, text string
		args       []string
		code       int
		want       string
	}{
		{"no folder", quarryText, []string{"-o", "none/x.wav"}, exitFailed, "none/x.wav: there is no such file or folder"},
		{"a folder", quarryText, []string{"-o", "x.wav"}, exitFailed, "x.wav: it is a folder"},
		{"no strokes", empty, []string{"-o", "y.wav"}, exitFailed, "step 1 has no strokes to be heard; write some"},
		{"rate", quarryText, []string{"-o", "y.wav", "--rate", "22050"}, exitMisuse, "use 44100, 48000 or 96000"},
		{"tuning", quarryText, []string{"-o", "y.wav", "--tuning", "A0"}, exitMisuse, "from F1 to E2"},
		{"view", quarryText, []string{"-o", "y.wav", "--view", "roof"}, exitMisuse, "use audience or drummer"},
		{"voice", quarryText, []string{"-o", "y.wav", "--voices", "sub"}, exitMisuse, "the step has no sub"},
	} {
		if err := os.MkdirAll("x.wav", 0o777); err != nil {
			t.Fatal(err)
		}
		_, stderr, code := call(t, c.text, append([]string{"render", "-"}, c.args...)...)
		if code != c.code || !strings.Contains(stderr, c.want) {
			t.Errorf("%s: exit %d, %q; want %d, %q", c.name, code, stderr, c.code, c.want)
		}
		if _, err := os.Stat("y.wav"); err == nil {
			t.Errorf("%s: a file is left", c.name)
		}
	}
}
