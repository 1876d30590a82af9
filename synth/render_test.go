package synth

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"stampmill/exercises/passage"
	"stampmill/synth/dsp"
)

// probeBank answers every key with one full-scale sample, so that onsets can
// be read off the rendered frames.
func probeBank(t testing.TB, rate int, keys []Key) *Bank {
	t.Helper()
	b, err := NewBank(rate, 1)
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range keys {
		b.Put(&Sound{Key: k, PCM: []float32{1}})
	}
	return b
}

func rendered(t testing.TB, plan Plan, bank *Bank, mix Mix) []float32 {
	t.Helper()
	pcm, err := Render(plan, bank, mix)
	if err != nil {
		t.Fatal(err)
	}
	return pcm
}

// onset places come out by hand: seconds of a beat times the place in beats,
// times the rate, rounded half up. 60/137.5*48000 = 20945.4545..., 60/131*44100
// = 20198.4732..., 60/80*48000 = 36000 for a dotted quarter, and so on.
func TestOnsetsAreOnTheirExactFrames(t *testing.T) {
	tests := []struct {
		metre, tempo, line string
		rate               int
		beat               float64 // frames
		places             []float64
	}{
		{"4/4", "137.5", "kick:xxx xxxxx .x xxxxxxx", 48000, 60 / 137.5 * 48000, []float64{
			0, 1. / 3, 2. / 3, 1, 1.2, 1.4, 1.6, 1.8, 2.5, 3, 3 + 1./7, 3 + 2./7, 3 + 3./7, 3 + 4./7, 3 + 5./7, 3 + 6./7}},
		{"7/8 (2+2+3)", "131", "snare:x. .x xxx", 44100, 60. / 131 * 44100, []float64{0, 1.5, 2, 2.5, 3}},
		{"6/8", "3/8=80", "tom-mid:xx xxxx", 48000, 36000, []float64{0, .5, 1, 1.25, 1.5, 1.75}},
		{"5/4", "93", "ride:x xxxxxxxxx . xx x", 96000, 60. / 93 * 96000, []float64{
			0, 1, 1 + 1./9, 1 + 2./9, 1 + 3./9, 1 + 4./9, 1 + 5./9, 1 + 6./9, 1 + 7./9, 1 + 8./9, 3, 3.5, 4}},
	}
	for _, test := range tests {
		t.Run(test.metre, func(t *testing.T) {
			p := strip(t, test.metre, test.tempo, test.line)
			plan := Plan{Passage: p, Rate: test.rate, Passes: 3, Click: ClickNone, CountIn: 1}
			bank := probeBank(t, test.rate, sequence(t, plan).Keys())
			pcm := rendered(t, plan, bank, AsMixed)
			beats := float64(len(p.Beats()))
			if test.metre == "7/8 (2+2+3)" {
				beats = 3.5
			}
			var want []int
			for pass := range 3 {
				for _, at := range test.places {
					want = append(want, int(math.Floor((beats*float64(pass+1)+at)*test.beat+.5)))
				}
			}
			var got []int
			for i := 0; i < len(pcm); i += 2 {
				if pcm[i] != 0 {
					got = append(got, i/2)
				}
			}
			if fmt.Sprint(got) != fmt.Sprint(want) {
				t.Errorf("onsets\n%v, want\n%v", got, want)
			}
		})
	}
}

// tonal makes a bank whose every sound is a long steady tone: what stops must
// be stopped by commands.
func tonal(t testing.TB, rate int, keys []Key) *Bank {
	b := probeBank(t, rate, nil)
	pcm := make([]float32, 5*rate)
	for i := range pcm {
		pcm[i] = float32(.9 * math.Sin(2*math.Pi*1000*float64(i)/float64(rate)))
	}
	for _, k := range keys {
		b.Put(&Sound{Key: k, PCM: pcm})
	}
	return b
}

func peakBetween(pcm []float32, from, to int) float64 {
	top := 0.0
	for _, x := range pcm[2*from : 2*to] {
		top = max(top, math.Abs(float64(x)))
	}
	return top
}

// A choke silences what rings, from the pass before too: 20 ms after it, below
// -60 dB of what rang. At 120 BPM beat 2 is at frame 24000.
func TestChokeSilences(t *testing.T) {
	lines := []string{"china:x ! . .", "hat:o ! . .", "guitar:o !", "bass:o- ! . .", "lead:b- ! . .", "sub:x--- ! . .", "ride:xx ! . ."}
	for _, line := range lines {
		if line == "guitar:o !" {
			line = "guitar:o--- ! . ."
		}
		p := strip(t, "4/4", "120", line)
		plan := Plan{Passage: p, Rate: 48000, Passes: 1}
		for name, bank := range map[string]*Bank{
			"tones": tonal(t, 48000, sequence(t, plan).Keys()), "sounds": probeBank(t, 48000, nil)} {
			pcm := rendered(t, plan, bank, AsMixed)
			before := peakBetween(pcm, 12000, 23900)
			if before < .02 {
				t.Errorf("%s, %s: nothing rings before the choke (%g)", line, name, before)
			}
			if after := peakBetween(pcm, 24000+960, len(pcm)/2); after > before/1000 {
				t.Errorf("%s, %s: %.1f dB 20 ms after the choke", line, name, 20*math.Log10(after/before))
			}
		}
	}
}

func TestChokeReachesBackOverTheLoop(t *testing.T) {
	p := strip(t, "4/4", "120", "china:! . . x")
	plan := Plan{Passage: p, Rate: 48000, Passes: 2}
	pcm := rendered(t, plan, tonal(t, 48000, sequence(t, plan).Keys()), AsMixed)
	if before := peakBetween(pcm, 95000, 96000); before < .1 {
		t.Fatalf("nothing rings at the end of pass 1 (%g)", before)
	}
	if after := peakBetween(pcm, 96000+720, 96000+72000); after != 0 {
		t.Errorf("level %g after the choke of pass 2", after)
	}
}

// A stop is a short slope, not a step: no frame differs from the next by more
// than the tone itself does.
func TestStopsDoNotClick(t *testing.T) {
	p := strip(t, "4/4", "120", "bass:o . . .")
	plan := Plan{Passage: p, Rate: 48000, Passes: 1}
	pcm := rendered(t, plan, tonal(t, 48000, sequence(t, plan).Keys()), AsMixed)
	step := func(from, to int) float64 {
		top := 0.0
		for i := from; i < to; i++ {
			top = max(top, math.Abs(float64(pcm[2*i+2]-pcm[2*i])))
		}
		return top
	}
	if before, at := step(10000, 23000), step(23900, 25000); at > 1.05*before {
		t.Errorf("steps of %g at the stop, %g in the tone", at, before)
	}
}

// Nor do the sounds themselves: above 8 kHz, 10 ms around a choke hold at most
// 3 dB more than the loudest 10 ms of what rang before it, or less than -60 dB
// of the whole, which nobody hears. A stop of 0 ms was measured to add 20 dB.
func TestChokesOfSoundsDoNotClick(t *testing.T) {
	for _, line := range []string{"guitar:o-- ! . .", "bass:o- ! . .", "lead:h- ! . .", "sub:x- ! . .", "crash-left:x ! . .", "ride:x ! . ."} {
		p := strip(t, "4/4", "120", line)
		pcm := rendered(t, Plan{Passage: p, Rate: 48000, Passes: 1}, probeBank(t, 48000, nil), AsMixed)
		high := [2]dsp.Biquad{dsp.HighPass(8000, .5412, 48000), dsp.HighPass(8000, 1.3066, 48000)}
		var bins [60]float64 // 10 ms each
		whole := 0.0
		for i := range 60 * 480 {
			y := high[1].Filter(high[0].Filter(float64(pcm[2*i])))
			bins[i/480] += y * y
			whole = max(whole, float64(pcm[2*i])*float64(pcm[2*i])*480/2)
		}
		before := slices.Max(bins[10:49]) // from 100 ms on, without the stroke
		if at := slices.Max(bins[49:53]); at > max(2*before, whole*1e-6) {
			t.Errorf("%s: %.1f dB more above 8 kHz at the choke", line, 10*math.Log10(at/before))
		}
	}
}

func TestMuteAndLevels(t *testing.T) {
	p := strip(t, "4/4", "120", "kick:x . . .", "china:. x . .", "lead:. . x .")
	plan := Plan{Passage: p, Rate: 48000, Passes: 1}
	bank := probeBank(t, 48000, sequence(t, plan).Keys())
	as := rendered(t, plan, bank, AsMixed)
	got := rendered(t, plan, bank, Mix{Master: .5, Levels: map[passage.Voice]float32{passage.China: 0, passage.Lead: .5}})
	for _, test := range []struct {
		name  string
		frame int
		want  float32
	}{{"kick", 0, .5}, {"china, muted", 24000, 0}, {"lead", 48000, .25}} {
		if g, w := got[2*test.frame], as[2*test.frame]*test.want; math.Abs(float64(g-w)) > 1e-6 || as[2*test.frame] == 0 {
			t.Errorf("%s: level %g, want %g", test.name, g, w)
		}
	}
}

// The pan law keeps power: left and right squared add up to 1.
func TestPanGains(t *testing.T) {
	for _, test := range []struct{ pan, left, right float64 }{{-1, 1, 0}, {0, math.Sqrt2 / 2, math.Sqrt2 / 2}, {1, 0, 1}} {
		l, r := PanGains(float32(test.pan))
		if math.Abs(float64(l)-test.left) > 1e-6 || math.Abs(float64(r)-test.right) > 1e-6 {
			t.Errorf("pan %g gives %g and %g, want %g and %g", test.pan, l, r, test.left, test.right)
		}
	}
}

// What is read does not depend on the sizes of the slices it is read in, and
// the end is the end.
func TestRendererStreams(t *testing.T) {
	p := strip(t, "4/4", "200", "kick:x.x. .x xxx x", "snare:. X . d", "china:x x x !", "guitar:x.x. o- xb- xxxt")
	plan := Plan{Passage: p, Rate: 48000, Passes: 2, CountIn: 1}
	bank := probeBank(t, 48000, nil)
	want := rendered(t, plan, bank, AsMixed)
	for _, size := range []int{2, 254, 4097, 100_000} {
		r, err := NewRenderer(sequence(t, plan), bank, AsMixed)
		if err != nil {
			t.Fatal(err)
		}
		var got []float32
		part := make([]float32, size)
		for {
			n := r.Read(part)
			got = append(got, part[:2*n]...)
			if n < size/2 {
				break
			}
		}
		if len(got) != len(want) {
			t.Fatalf("slices of %d: %d samples, want %d", size, len(got), len(want))
		}
		for i := range got {
			if got[i] != want[i] {
				t.Fatalf("slices of %d: sample %d is %g, want %g", size, i, got[i], want[i])
			}
		}
	}
}

// An empty passage is silence of its length; the tail of a crash is heard out.
func TestRenderedLength(t *testing.T) {
	silent := strip(t, "4/4", "120", "kick:. . . .")
	if got := len(rendered(t, Plan{Passage: silent, Rate: 48000, Passes: 2}, probeBank(t, 48000, nil), AsMixed)) / 2; got < 192000 || got > 192000+2*block {
		t.Errorf("%d frames of silence, want 192000", got)
	}
	crash := strip(t, "4/4", "400", "crash-left:x . . .")
	pcm := rendered(t, Plan{Passage: crash, Rate: 48000, Passes: 1}, probeBank(t, 48000, nil), AsMixed)
	if seconds := float64(len(pcm)) / 96000; seconds < 2.5 || seconds > .6+MaxTail+.1 {
		t.Errorf("%.2f s of a crash", seconds)
	}
	if last := peakBetween(pcm, len(pcm)/2-100, len(pcm)/2); last > 1e-3 {
		t.Errorf("the render ends at level %g", last)
	}
}

func TestRatesMustAgree(t *testing.T) {
	s := sequence(t, Plan{Passage: strip(t, "4/4", "120", "kick:x . . ."), Rate: 44100})
	if _, err := NewRenderer(s, probeBank(t, 48000, nil), AsMixed); err == nil {
		t.Error("a bank of another rate was taken")
	}
	if _, err := Render(Plan{Passage: s.plan.Passage, Rate: 48000}, probeBank(t, 48000, nil), AsMixed); err == nil {
		t.Error("an endless plan was rendered whole")
	}
}

// bandStand is 8 voices that play all the time, for benchmarks: 60 s.
func bandStand(t testing.TB) Plan {
	p := strip(t, "4/4", "120",
		"china:x x x x|x x x x", "crash-left:X . . .|. . x .", "hat:xx xx xx xx|xx xx xx ox", "snare:. . X .|. . X gg",
		"kick:x.x. .x.x ..xx x|xxxxxx x.x. .x.x x", "guitar:x.x. .x.x ..xx o|xxxxxx x.x. .x.x o",
		"bass:x.x. .x.x ..xx o|xxxxxx x.x. .x.x o", "lead:o--- ---- p-p- b---|t--- ---- h--- ----")
	return Plan{Passage: p, Rate: 48000, Passes: 15}
}

// renderAgain renders a plan again and again.
func renderAgain(b *testing.B, plan Plan, bank *Bank) {
	part := make([]float32, 1<<16)
	for b.Loop() {
		r, err := NewRenderer(sequence(b, plan), bank, AsMixed)
		if err != nil {
			b.Fatal(err)
		}
		for 2*r.Read(part) == len(part) {
		}
	}
}

// BenchmarkRender60s renders a minute of eight voices from a finished bank.
func BenchmarkRender60s(b *testing.B) {
	plan := bandStand(b)
	bank := probeBank(b, 48000, nil)
	bank.Make(sequence(b, plan).Keys()...)
	renderAgain(b, plan, bank)
	b.ReportMetric(60*float64(b.N)/b.Elapsed().Seconds(), "x-realtime")
}

// BenchmarkBank makes the bank of the same passage.
func BenchmarkBank(b *testing.B) {
	keys := sequence(b, bandStand(b)).Keys()
	seconds := 0.0
	for b.Loop() {
		bank := probeBank(b, 48000, nil)
		bank.Make(keys...)
		seconds = float64(bank.Bytes()) / 4 / 48000
	}
	b.ReportMetric(float64(len(keys)), "sounds")
	b.ReportMetric(seconds, "s-of-sound")
}

// BenchmarkSequence gives the commands of a minute of eight voices.
func BenchmarkSequence(b *testing.B) {
	plan := bandStand(b)
	n := 0
	for b.Loop() {
		n = len(sequence(b, plan).Next(nil, 1<<40))
	}
	b.ReportMetric(float64(n), "commands")
}
