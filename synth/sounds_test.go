package synth

import (
	"math"
	"testing"

	"stampmill/exercises/passage"
	"stampmill/synth/features"
)

// stroke returns the key of a stroke as a sequence would ask for it, on the
// default tuning, two seconds long where length matters.
func stroke(v passage.Voice, k passage.Kind) Key {
	key := Key{Voice: v, Kind: k, Pitch: Sounding(v, passage.DefaultTuning, passage.Stroke{Kind: k})}
	if v == passage.Guitar {
		key.Side = -1
	}
	if k == passage.Bend {
		key.Bend = 2
	}
	if ringing(v, k) || shaped(v, k) {
		key.Millis = 2000
	}
	return key
}

// every calls f for each voice and stroke that has a sound of its own.
func every(t *testing.T, f func(t *testing.T, key Key)) {
	for _, v := range passage.Voices() {
		for _, k := range v.Kinds() {
			if k == passage.Flam || k == passage.Drag || k == passage.Choke {
				continue
			}
			t.Run(v.String()+" "+k.String(), func(t *testing.T) { f(t, stroke(v, k)) })
		}
	}
}

func sound(t testing.TB, key Key, rate int, seed uint64) []float32 {
	t.Helper()
	b, err := NewBank(rate, seed)
	if err != nil {
		t.Fatal(err)
	}
	b.Make(key)
	return b.Sound(key).PCM
}

// rates are all rates, or one where time is short.
func rates() []int {
	if testing.Short() {
		return []int{44100}
	}
	return Rates()
}

// What every sound promises.
func TestConformance(t *testing.T) {
	every(t, func(t *testing.T, key Key) {
		for _, rate := range rates() {
			pcm := sound(t, key, rate, 1)
			top, sum := 0.0, 0.0
			for i, x := range pcm {
				if x != x || math.IsInf(float64(x), 0) {
					t.Fatalf("%d Hz: sample %d is %g", rate, i, x)
				}
				top = max(top, math.Abs(float64(x)))
				sum += float64(x)
			}
			if top <= .05 || top > 1 {
				t.Fatalf("%d Hz: peak %g of %d samples, want above .05 and at most 1", rate, top, len(pcm))
			}
			if dc := sum / float64(len(pcm)); math.Abs(dc) > .02 {
				t.Errorf("%d Hz: mean %g", rate, dc)
			}
			if ms := 1000 * float64(firstAbove(pcm, top/100)) / float64(rate); ms > 2 {
				t.Errorf("%d Hz: starts after %.2f ms, want within 2", rate, ms)
			}
			if end := pcm[len(pcm)-rate/1000:]; firstAbove(end, 1e-3) < len(end) {
				t.Errorf("%d Hz: the last millisecond is not silent: %v", rate, end)
			}
		}
	})
}

func firstAbove(pcm []float32, level float64) int {
	for i, x := range pcm {
		if math.Abs(float64(x)) >= level {
			return i
		}
	}
	return len(pcm)
}

// One seed is one sound; another take of the same stroke is another.
func TestSoundsRepeatAndTakesDiffer(t *testing.T) {
	every(t, func(t *testing.T, key Key) {
		a, b := sound(t, key, 48000, 1), sound(t, key, 48000, 1)
		if d := difference(a, b); d != 0 {
			t.Errorf("made twice, differs by %g", d)
		}
		if takes(key) == 1 {
			return
		}
		other := key
		other.Take = 1
		if d := difference(a, sound(t, other, 48000, 1)); d < .02 {
			t.Errorf("another take differs by only %g", d)
		}
		if d := difference(a, sound(t, key, 48000, 2)); d < .02 {
			t.Errorf("another seed differs by only %g", d)
		}
	})
}

// difference is the RMS of a-b as a share of the RMS of a.
func difference(a, b []float32) float64 {
	if len(a) != len(b) {
		return math.Inf(1)
	}
	d, e := 0.0, 0.0
	for i := range a {
		d += float64(a[i]-b[i]) * float64(a[i]-b[i])
		e += float64(a[i]) * float64(a[i])
	}
	return math.Sqrt(d / e)
}

// A sound made in slices is the sound made in one go.
func TestSlicesDoNotMatter(t *testing.T) {
	every(t, func(t *testing.T, key Key) {
		want := sound(t, key, 44100, 3)
		g := Begin(key, 44100, 3)
		var got []float32
		for size := 1; ; size = size*7%1009 + 1 {
			part := make([]float32, size)
			n := g.Read(part)
			got = append(got, part[:n]...)
			if n < size {
				break
			}
		}
		if d := difference(want, got); d != 0 {
			t.Errorf("%d samples, want %d; differs by %g", len(got), len(want), d)
		}
	})
}

func TestKeysWithoutSoundAreSilent(t *testing.T) {
	for _, key := range []Key{{}, {Voice: passage.Kick, Kind: passage.Choke}, {Voice: passage.Guitar, Kind: passage.Flam, Pitch: 33},
		{Voice: passage.Sub, Kind: passage.Hit, Pitch: 33}, {Voice: 200, Kind: 200}, {Voice: passage.Click, Kind: passage.Open}} {
		if pcm := sound(t, key, 48000, 1); len(pcm) != 0 {
			t.Errorf("%v has %d samples", key, len(pcm))
		}
	}
}

// Any key whatever is finite and within full scale: keys come from files.
func TestExtremeKeys(t *testing.T) {
	for _, pitch := range []passage.Pitch{-100, 0, 17, 29, 88, 127, 300} {
		for _, k := range passage.Kinds() {
			for _, ms := range []int32{-5, 0, 10, 500} {
				key := Key{Voice: passage.Lead, Kind: k, Pitch: pitch, Bend: 255, Millis: ms}
				for i, x := range sound(t, key, 44100, 1) {
					if !(x >= -1 && x <= 1) {
						t.Fatalf("%v: sample %d is %g", key, i, x)
					}
				}
			}
		}
	}
}

// Strings sound at their pitch within 2 cents, amplifier included, from the
// lowest tuning to the highest fret (equal temperament at 440 Hz, ISO 16).
func TestPitch(t *testing.T) {
	tests := []struct {
		v     passage.Voice
		k     passage.Kind
		pitch passage.Pitch
	}{
		{passage.Guitar, passage.Open, 29}, {passage.Guitar, passage.Open, 33}, {passage.Guitar, passage.Open, 40},
		{passage.Guitar, passage.Open, 57}, {passage.Guitar, passage.Harmonic, 57}, {passage.Guitar, passage.Tapped, 45},
		{passage.Bass, passage.Open, 21}, {passage.Bass, passage.Open, 28}, {passage.Bass, passage.Open, 45},
		{passage.Lead, passage.Open, 57}, {passage.Lead, passage.Open, 88}, {passage.Lead, passage.Tapped, 81},
	}
	for _, test := range tests {
		for _, rate := range rates() {
			key := Key{Voice: test.v, Kind: test.k, Pitch: test.pitch, Millis: 2000}
			x := features.Float(sound(t, key, rate, 1))
			got := features.Pitch(x[rate/5:rate*6/5], rate, test.pitch.Hertz())
			if c := features.Cents(got, test.pitch.Hertz()); math.Abs(c) > 2 {
				t.Errorf("%v at %d Hz: %.2f cents off (%.3f Hz, want %.3f)", key, rate, c, got, test.pitch.Hertz())
			}
		}
	}
}

// So does the strongest partial of every take of both guitars, whatever the
// lowest string: players are never in tune to the cent, and stay within two.
func TestEveryTakeIsInTune(t *testing.T) {
	for _, pitch := range []passage.Pitch{30, 34, 38} { // not those of TestPitch
		for _, k := range []passage.Kind{passage.Open, passage.Tapped} {
			for _, key := range recordings(plucking(passage.Guitar, k, pitch, 0)) {
				x := features.Float(sound(t, key, 48000, 1))[12000:60000] // before, it settles
				got := features.Strongest(x, 48000, 20, 1000)
				partial := math.Round(got / pitch.Hertz())
				if c := features.Cents(got, partial*pitch.Hertz()); math.Abs(c) > 2 {
					t.Errorf("%v: partial %g is %.2f cents off", key, partial, c)
				}
			}
		}
	}
}

// A muted chug is short, but long enough to have a pitch.
func TestChugHasItsPitch(t *testing.T) {
	x := features.Float(sound(t, stroke(passage.Guitar, passage.Hit), 48000, 1))
	if c := features.Cents(features.Pitch(x[480:4800], 48000, 55), 55); math.Abs(c) > 15 {
		t.Errorf("%.1f cents off", c)
	}
}

// A bend arrives at the note plus its semitones within the written time, and
// starts at the note.
func TestBendArrives(t *testing.T) {
	for _, semitones := range []uint8{1, 2, 4} {
		key := Key{Voice: passage.Lead, Kind: passage.Bend, Pitch: 57, Bend: semitones, Millis: 1000}
		x := features.Float(sound(t, key, 48000, 1))
		want := (57 + passage.Pitch(semitones)).Hertz()
		if c := features.Cents(features.Pitch(x[24000:47000], 48000, want), want); math.Abs(c) > 3 {
			t.Errorf("+%d: %.2f cents off at the end", semitones, c)
		}
		if c := features.Cents(features.Pitch(x[240:1440], 48000, 220), 220); c < -5 || c > 35 {
			t.Errorf("+%d: starts %.1f cents off", semitones, c)
		}
	}
}

// A natural harmonic's strongest partial is its own: the fourth of the open
// string without a fret.
func TestHarmonicsStrongestPartial(t *testing.T) {
	for _, tuning := range []passage.Pitch{29, 33, 40} {
		s := passage.Stroke{Kind: passage.Harmonic}
		key := Key{Voice: passage.Guitar, Kind: passage.Harmonic, Pitch: Sounding(passage.Guitar, tuning, s), Millis: 2000}
		got := features.Strongest(features.Float(sound(t, key, 48000, 1))[4800:52800], 48000, 30, 5000)
		if want := 4 * tuning.Hertz(); math.Abs(features.Cents(got, want)) > 3 {
			t.Errorf("tuned to %s: strongest partial at %.2f Hz, want %.2f", tuning, got, want)
		}
	}
}

// The sub falls by f(t) = 2 f (1/4)^(t/T): read from zero crossings, within
// 1 %.
func TestSubDropsByItsFormula(t *testing.T) {
	key := stroke(passage.Sub, passage.Hit)
	x := sound(t, key, 48000, 1)
	last := 0.0
	crossings := 0
	for i := 1; i < 2*48000; i++ {
		if x[i-1] > 0 || x[i] <= 0 {
			continue
		}
		at := (float64(i) - float64(x[i])/float64(x[i]-x[i-1])) / 48000
		if crossings++; crossings > 2 {
			f, mid := 1/(at-last), (at+last)/2
			want := 2 * 55 * math.Pow(.25, mid/2)
			if math.Abs(f/want-1) > .01 {
				t.Errorf("at %.3f s: %.2f Hz, want %.2f", mid, f, want)
			}
		}
		last = at
	}
	if crossings < 90 {
		t.Errorf("%d periods", crossings)
	}
}

// The two guitars are two takes: over a passage their largest
// cross-correlation within 40 ms stays far from a copy's 1, and their sum in
// mono loses and gains less than 3 dB.
func TestGuitarsLeftAndRightDiffer(t *testing.T) {
	p := strip(t, "4/4", "120", "guitar:x.x. .x.x ..xx o-|xxxxxx x.x. .x.x o-")
	for seed := range uint64(2) {
		bank, err := NewBank(48000, seed)
		if err != nil {
			t.Fatal(err)
		}
		left, right := channels(rendered(t, Plan{Passage: p, Rate: 48000, Passes: 2}, bank, AsMixed))
		if like := features.Likeness(left, right, .04, 48000); like > .4 {
			t.Errorf("seed %d: left and right are alike to %.2f", seed, like)
		}
		stereo, mono := 0.0, 0.0
		for i := range left {
			stereo += left[i]*left[i] + right[i]*right[i]
			mono += (left[i] + right[i]) * (left[i] + right[i])
		}
		if db := 10 * math.Log10(mono/stereo); math.Abs(db) > 3 {
			t.Errorf("seed %d: mono sum %.1f dB", seed, db)
		}
	}
}

func channels(pcm []float32) (left, right []float64) {
	for i := 0; i+1 < len(pcm); i += 2 {
		left, right = append(left, float64(pcm[i])), append(right, float64(pcm[i+1]))
	}
	return left, right
}
