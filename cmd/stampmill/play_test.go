package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"strings"
	"testing"

	"stampmill/cmd/stampmill/speaker"
	"stampmill/exercises/drill"
	"stampmill/synth"
)

// A tape is a sound output that keeps what it is given, in pieces of 1000
// frames, and calls after once it has so many.
type tape struct {
	pcm    []float32
	frames int // at which after is called; 0: never
	after  func()
	fails  error
}

func (o *tape) Behind() int { return 0 }

func (o *tape) Play(source speaker.Source) error {
	piece := make([]float32, 2000)
	for {
		n := source(piece)
		o.pcm = append(o.pcm, piece[:2*n]...)
		if n < len(piece)/2 {
			return o.fails
		}
		if o.frames > 0 && len(o.pcm) >= 2*o.frames {
			o.frames = 0
			o.after()
		}
	}
}

// playOn plays the quarry, or its second step in which nothing happens, on an
// output and returns what is told of it.
func playOn(ctx context.Context, out speaker.Output, err error, args ...string) (stderr string, code int) {
	var told bytes.Buffer
	const rest = "\nstep: Rest\nsnare | . . . . |\n"
	t := terminal{ctx: ctx, stdin: strings.NewReader(quarryText + rest), stdout: io.Discard, live: io.Discard, stderr: &told,
		speaker: func(int) (speaker.Output, error) { return out, err }}
	code = report(&told, "play", playCommand.run(t, append([]string{"-"}, args...)))
	return told.String(), code
}

// quarry renders the same passage in one go.
func quarry(t *testing.T, plan synth.Plan) []float32 {
	t.Helper()
	climb, problems := drill.Parse("-", []byte(quarryText), nil)
	if problems != nil {
		t.Fatal(problems)
	}
	plan.Passage, plan.Seed, plan.Rate = climb.Steps[0].Passage, renderSeed, 48000
	bank, err := synth.NewBank(plan.Rate, renderSeed)
	if err != nil {
		t.Fatal(err)
	}
	pcm, err := synth.Render(plan, bank, synth.AsMixed)
	if err != nil {
		t.Fatal(err)
	}
	return pcm
}

// What is played is what is rendered, to its end.
func TestPlayIsRender(t *testing.T) {
	var out tape
	if stderr, code := playOn(t.Context(), &out, nil, "--passes", "2", "--click", "beats", "--count-in", "1"); code != exitDone || stderr != "" {
		t.Fatalf("exit %d, %q", code, stderr)
	}
	want := quarry(t, synth.Plan{Passes: 2, CountIn: 1, Click: synth.ClickBeats})
	if len(out.pcm) != len(want) {
		t.Fatalf("%d samples, want %d", len(out.pcm), len(want))
	}
	for i := range want {
		if out.pcm[i] != want[i] {
			t.Fatalf("sample %d is %g, want %g", i, out.pcm[i], want[i])
		}
	}
}

// Ctrl-C ends a loop with a straight fade of 50 ms, wherever it comes, and is
// no failure.
func TestPlayStopsWithAFade(t *testing.T) {
	want := quarry(t, synth.Plan{Passes: 3})
	const pass = 2 * 48000 // frames: four beats at 120
	for _, at := range []int{1000, pass / 2, 2*pass + 7000} {
		ctx, stop := context.WithCancel(t.Context())
		out := tape{frames: at, after: stop}
		if stderr, code := playOn(ctx, &out, nil, "--loop"); code != exitDone || stderr != "" {
			t.Fatalf("exit %d, %q", code, stderr)
		}
		const fade = 2400 // frames: 50 ms
		if n := len(out.pcm) / 2; n != at+fade {
			t.Fatalf("stopped at frame %d, it ends at %d, want %d", at, n, at+fade)
		}
		for i, x := range out.pcm {
			gain := min(1, max(0, 1-float32(i/2+1-at)/fade))
			if off := x - want[i]*gain; off > 1e-6 || off < -1e-6 {
				t.Fatalf("stopped at frame %d: frame %d is %g, want %g", at, i/2, x, want[i]*gain)
			}
		}
	}
}

// Interrupted before the first sound, it plays nothing and says so.
func TestPlayInterruptedEarly(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	var out tape
	if stderr, code := playOn(ctx, &out, nil); code != exitFailed || !strings.Contains(stderr, "interrupted") || len(out.pcm) > 0 {
		t.Errorf("exit %d, %q, %d samples", code, stderr, len(out.pcm))
	}
}

// What cannot be played is told in words, with what to do.
func TestPlayRefuses(t *testing.T) {
	lost := errors.New("the cable was pulled")
	for _, c := range []struct {
		name string
		out  speaker.Output
		err  error
		args []string
		exit int
		says string
	}{
		{"no device", nil, speaker.ErrNoDevice, nil, exitFailed, "no sound output here; connect a device or close what holds it; stampmill render"},
		{"built without", nil, speaker.ErrNotBuilt, nil, exitFailed, "-tags alsa ./cmd/stampmill; stampmill render"},
		{"the device goes", &tape{fails: lost}, nil, nil, exitFailed, "the cable was pulled"},
		{"a rate", &tape{}, nil, []string{"--rate", "22050"}, exitMisuse, "use 44100, 48000 or 96000"},
		{"a tuning", &tape{}, nil, []string{"--tuning", "C4"}, exitMisuse, "from F1 to E2"},
		{"a voice", &tape{}, nil, []string{"--voices", "china"}, exitMisuse, "the step has no china"},
		{"a count-in in silence", &tape{}, nil, []string{"--count-in", "1"}, exitMisuse, "add --click beats"},
		{"no strokes", &tape{}, nil, []string{"--step", "2"}, exitFailed, "step 2 has no strokes to be heard"},
	} {
		stderr, code := playOn(t.Context(), c.out, c.err, c.args...)
		if code != c.exit || !strings.Contains(stderr, c.says) {
			t.Errorf("%s: exit %d, %q; want exit %d, %q", c.name, code, stderr, c.exit, c.says)
		}
	}
}

// The line at the terminal names what is heard, not what was asked for, and
// covers a longer line before it.
func TestPlayTellsThePlace(t *testing.T) {
	climb, problems := drill.Parse("-", []byte("title: Q\ntempo: 120\nmetre: 7/8 (2+2+3)\nstep: A\nkick | x. .x x.x | x. .. ... |\n"), nil)
	if problems != nil {
		t.Fatal(problems)
	}
	line := lineOf(climb.Steps[0].Passage, 2)
	for _, c := range []struct {
		pass     int
		quarters float64
		want     string
	}{
		{-1, -2, "count-in"},
		{0, 0, "pass 1 of 2, bar 1 of 2, beat 1"},
		{0, .999, "pass 1 of 2, bar 1 of 2, beat 1"},
		{1, 3.4, "pass 2 of 2, bar 1 of 2, beat 3"},
		{1, 4.5, "pass 2 of 2, bar 2 of 2, beat 2"},
		{2, 0, "ringing out"},
	} {
		if got := line(c.pass, c.quarters); got != c.want {
			t.Errorf("pass %d, %g quarters: %q, want %q", c.pass, c.quarters, got, c.want)
		}
	}
	var told bytes.Buffer
	show := oneLine(&told)
	show("bar 12")
	show("end")
	if got := told.String(); got != "\rbar 12\rend   " {
		t.Errorf("%q", got)
	}
}

// A performance whose output is behind shows the place that much later.
func TestPlayShowsWhatIsHeard(t *testing.T) {
	var shown []string
	seq, err := (&playing{passes: countFlag{value: 1}, rate: countFlag{value: 48000}}).sequence(parsed(t))
	if err != nil {
		t.Fatal(err)
	}
	p := performance{ctx: t.Context(), seq: seq, sound: silent{}, rate: 48000, behind: 24000,
		line: lineOf(parsed(t).passage, 1), show: func(s string) { shown = append(shown, s) }}
	for range 48 { // a second: two beats
		p.read(make([]float32, 2000))
	}
	if got := strings.Join(shown, "; "); got != "pass 1 of 1, bar 1 of 1, beat 1; pass 1 of 1, bar 1 of 1, beat 2" {
		t.Error(got)
	}
}

type silent struct{}

func (silent) Read(dst []float32) int { return len(dst) / 2 }

// parsed is the quarry as play opens it.
func parsed(t *testing.T) *chosen {
	t.Helper()
	climb, problems := drill.Parse("-", []byte(quarryText), nil)
	if problems != nil {
		t.Fatal(problems)
	}
	c, err := choose(climb, 1, climb.Steps[0].Passage.Bars[0].Tempo.BPM)
	if err != nil {
		t.Fatal(err)
	}
	return &c
}
