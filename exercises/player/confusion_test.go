package player_test

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises"
	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/player"
)

// TestSlips: what is lost or doubled, of snares on the beat in two bars at 120
// BPM (half a second each) played twice; as seconds of the snares.
func TestSlips(t *testing.T) {
	take := grade.Take{Tempo: 120, Passes: 2, Part: []passage.Voice{passage.Snare}}
	e, err := grade.Expect(haulage(), take, false)
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		slip player.Slip
		says string
		want []float64 // strokes of the first six seconds
	}{
		{player.Slip{From: meter.Int(2), For: meter.Int(1)}, "lose 1/4 at 1.3 in every pass",
			[]float64{0, .5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 5.5}}, // a pass is 3.5 s, and a third one begins
		{player.Slip{From: meter.Int(2), For: meter.R(1, 2), Pass: 1}, "lose 1/8 at 1.3 in pass 1",
			[]float64{0, .5, 1.25, 1.75, 2.25, 2.75, 3.25, 3.75, 4.25, 4.75, 5.25, 5.75}},
		{player.Slip{From: meter.Int(2), For: meter.R(1, 2), Pass: 2, Doubled: true}, "double 1/8 at 1.3 in pass 2",
			[]float64{0, .5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 5.25, 5.75}},
	} {
		if got := tt.slip.String(haulage()); got != tt.says {
			t.Errorf("it says %q, want %q", got, tt.says)
		}
		var got []float64
		for _, o := range tt.slip.Of(e, haulage(), 120).Onsets {
			if o.Seconds < 6 {
				got = append(got, o.Seconds)
			}
		}
		slices.Sort(got)
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.says, diff)
		}
	}
}

// TestTruths: every truth of a step plays something else than is written, the
// texts of changes are of the catalogue, and a seed gives the same.
func TestTruths(t *testing.T) {
	climb, err := exercises.Open("headframe")
	if err != nil {
		t.Fatal(err)
	}
	steps := climb.Steps
	take := grade.Take{Tempo: 100, Passes: 3, Part: []passage.Voice{passage.Kick, passage.Guitar}}
	asked, err := grade.Expect(steps[4].Passage, take, false)
	if err != nil {
		t.Fatal(err)
	}
	texts := func(seed uint64) (all []string) {
		truths, err := player.Truths(steps, 4, take, false, 2, rand.New(rand.NewPCG(seed, 0)))
		if err != nil {
			t.Fatal(err)
		}
		kinds := map[string]bool{}
		for _, truth := range truths {
			kinds[truth.Kind] = true
			all = append(all, truth.Text)
			if len(truth.Played.Onsets) == len(asked.Onsets) && slices.EqualFunc(truth.Played.Onsets, asked.Onsets, func(a, b grade.Onset) bool {
				return a.Seconds == b.Seconds && truth.Played.Positions[a.Position].Voices == asked.Positions[b.Position].Voices
			}) {
				t.Errorf("%s plays as written", truth.Text)
			}
		}
		for _, want := range []string{player.OldStep, player.Lost, player.Doubled, "retime", "shift", "group", "cut bar", "half-time all", "swap"} {
			if !kinds[want] {
				t.Errorf("no truth of kind %q", want)
			}
		}
		return all
	}
	if diff := cmp.Diff(texts(1), texts(1)); diff != "" {
		t.Errorf("one seed, two lists:\n%s", diff)
	}
}

// TestConfuse: each step comes once, counts agree, and trials depend on the
// seed alone.
func TestConfuse(t *testing.T) {
	climb, err := exercises.Open("headframe")
	if err != nil {
		t.Fatal(err)
	}
	climb.Steps = climb.Steps[:2]
	run := func() map[int][]player.Trial {
		all := map[int][]player.Trial{}
		calls := 0
		err := player.Confuse(context.Background(), player.Trials{
			Climbs: []passage.Climb{climb}, SpreadsMS: []float64{10}, Passes: 2, CleanEach: 3, Seed: 5,
			Part: []passage.Voice{passage.Kick},
		}, func(done, of int, trials []player.Trial) {
			if calls++; done != calls || of != 2 {
				t.Errorf("call %d says %d of %d", calls, done, of)
			}
			all[trials[0].Step] = trials
		})
		if err != nil {
			t.Fatal(err)
		}
		return all
	}
	first := run()
	if diff := cmp.Diff(first, run()); diff != "" {
		t.Errorf("one seed, two tables:\n%s", diff)
	}
	if len(first) != 2 {
		t.Errorf("trials of steps %v", first)
	}
	for _, trials := range first {
		clean := 0
		for _, trial := range trials {
			if trial.Kind == player.Clean {
				clean++
			}
		}
		if clean != 3 {
			t.Errorf("%d clean takes, want 3", clean)
		}
	}
	stopped, stop := context.WithCancel(context.Background())
	stop()
	if err := player.Confuse(stopped, player.Trials{Climbs: []passage.Climb{climb}}, func(int, int, []player.Trial) {
		t.Error("a trial after the end")
	}); err == nil {
		t.Error("no error after it was stopped")
	}
}

// TestInstead: a player who halves everything plays as long as the take is
// written, and begins again at his own end or with each pass.
func TestInstead(t *testing.T) {
	take := grade.Take{Tempo: 60, Passes: 3, Part: []passage.Voice{passage.Snare}} // half the written tempo: 8 s a pass
	whole := haulage()
	half, _, err := player.Misread([]passage.Step{{Passage: whole}}, 0, "cut bar 2 to 2/4")
	if err != nil {
		t.Fatal(err)
	}
	for loop, want := range map[player.Loop][]float64{
		player.Run:   {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23},
		player.Again: {0, 1, 2, 3, 4, 5, 8, 9, 10, 11, 12, 13, 16, 17, 18, 19, 20, 21},
	} {
		e, err := player.Instead(whole, half, take, false, loop)
		if err != nil {
			t.Fatal(err)
		}
		var got []float64
		for _, o := range e.Onsets {
			got = append(got, o.Seconds)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%d (-want +got):\n%s", loop, diff)
		}
	}
	faster, err := whole.AtTempo(meter.Int(240))
	if err != nil {
		t.Fatal(err)
	}
	e, err := player.Instead(whole, faster, take, false, player.Run)
	if err != nil || e.Onsets[1].Seconds != .5 || len(e.Onsets) != 48 {
		t.Errorf("twice as fast: %v, %d strokes", e.Onsets[1].Seconds, len(e.Onsets))
	}
}
