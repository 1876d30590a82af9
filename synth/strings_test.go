package synth

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"stampmill/exercises"
	"stampmill/exercises/passage"
	"stampmill/synth/dsp"
	"stampmill/synth/features"
)

// plucking returns the key of a stroke on a string, two seconds long where
// length matters.
func plucking(v passage.Voice, k passage.Kind, pitch passage.Pitch, take uint8) Key {
	key := stroke(v, k)
	key.Pitch, key.Take = pitch, take
	return key
}

// partials returns the power of the first n partials of a note of f hertz.
func partials(x []float64, rate int, f float64, n int) []float64 {
	all := make([]float64, n)
	for k := range all {
		turn := 2 * math.Pi * f * float64(k+1) / float64(rate)
		c, s := 0.0, 0.0
		for i, v := range x {
			sin, cos := math.Sincos(turn * float64(i))
			w := v * (.5 - .5*math.Cos(2*math.Pi*float64(i)/float64(len(x))))
			c, s = c+w*cos, s+w*sin
		}
		all[k] = c*c + s*s
	}
	return all
}

func decibel(ratio float64) float64 { return 10 * math.Log10(ratio) }

// Strings measure like sampled ones: of the eight features that have ranges for
// strings (features.Targets), so many lie inside, widened by a quarter, in the
// mean over takes, sides and seeds. Ours are lower and held by an amplifier:
// nothing of theirs is as far down as our lowest strings, so single strings
// that ring are less noisy between their partials (flat) than sampled ones.
func TestStringsMeasureLikeSampledOnes(t *testing.T) {
	tests := []struct {
		v     passage.Voice
		k     passage.Kind
		pitch passage.Pitch
		name  string
		least float64
	}{
		{passage.Guitar, passage.Hit, 33, "gtr_muted", 5.5}, {passage.Guitar, passage.Hit, 40, "gtr_muted", 4},
		{passage.Guitar, passage.Open, 33, "gtr_distortion", 6.5}, {passage.Guitar, passage.Open, 40, "gtr_distortion", 5.5},
		{passage.Guitar, passage.Chord, 33, "gtr_distortion", 6}, {passage.Guitar, passage.Chord, 40, "gtr_distortion", 5.5},
		{passage.Guitar, passage.Harmonic, 64, "gtr_harmonics", 5},
		{passage.Bass, passage.Open, 21, "bass_picked", 7}, {passage.Bass, passage.Open, 28, "bass_picked", 7},
		{passage.Bass, passage.Hit, 21, "bass_picked", 6.5},
		{passage.Lead, passage.Open, 57, "gtr_overdrive", 6.5}, {passage.Lead, passage.Tapped, 57, "gtr_overdrive", 6.5},
	}
	for _, test := range tests {
		target, ok := features.TargetNamed(test.name)
		if !ok {
			t.Fatalf("no target %q", test.name)
		}
		inside, n := 0, 0
		for _, key := range recordings(plucking(test.v, test.k, test.pitch, 0)) {
			for seed := range uint64(2) {
				inside += within(target, measured(t, key, seed))
				n++
			}
		}
		if mean := float64(inside) / float64(n); mean < test.least {
			t.Errorf("%s %s %s: %.1f of 8 features inside %s, want %.1f", test.v, test.k, test.pitch, mean, test.name, test.least)
		}
	}
}

// recordings returns a key's takes, of both guitars.
func recordings(key Key) (all []Key) {
	sides := []int8{0}
	if key.Side != 0 {
		sides = []int8{-1, 1}
	}
	for _, key.Side = range sides {
		for key.Take = range takes(key) {
			all = append(all, key)
		}
	}
	return all
}

// within counts the features that lie in their range, widened by a quarter.
func within(target features.Target, s features.Set) (n int) {
	for i, x := range s.Values() {
		if r := target.Ranges[i]; r != (features.Range{}) && r.Miss(x) <= .25 {
			n++
		}
	}
	return n
}

// A chug's fundamental is heard: it lies at most 24 dB under the strongest
// partial, far above the threshold of masking, as a lower tone is masked
// little by a higher one (Zwicker & Fastl, Psychoacoustics, chapter "Masking",
// from memory; 24 dB is our choice).
func TestChugsHaveTheirFundamental(t *testing.T) {
	for _, pitch := range []passage.Pitch{passage.LowestTuning, passage.DefaultTuning, passage.HighestTuning} {
		for take := range uint8(Takes) {
			for _, side := range []int8{-1, 1} {
				key := plucking(passage.Guitar, passage.Hit, pitch, take)
				key.Side = side
				x := features.Float(sound(t, key, 48000, 1))[480:3840]
				p := partials(x, 48000, pitch.Hertz(), 20)
				top := 0.0
				for _, v := range p {
					top = max(top, v)
				}
				if db := decibel(p[0] / top); db < -24 {
					t.Errorf("%v: fundamental %.1f dB against the strongest partial", key, db)
				}
			}
		}
	}
}

// A bend arrives within 3 cents of the note plus its semitones, within the
// written time, however short it is: what is left after the way up, three
// fifths of the note, is measured.
func TestBendsArriveInTheWrittenTime(t *testing.T) {
	for _, test := range []struct {
		v     passage.Voice
		pitch passage.Pitch
	}{{passage.Guitar, 45}, {passage.Bass, 45}, {passage.Lead, 57}, {passage.Lead, 69}} {
		for _, semitones := range []uint8{1, 2} {
			for _, ms := range []int32{300, 600, 1500} {
				key := Key{Voice: test.v, Kind: passage.Bend, Pitch: test.pitch, Bend: semitones, Millis: ms}
				x := features.Float(sound(t, key, 48000, 1))
				want := (test.pitch + passage.Pitch(semitones)).Hertz()
				got := features.Pitch(x[int(ms)*48*65/100:int(ms)*48], 48000, want)
				if c := features.Cents(got, want); math.Abs(c) > 3 {
					t.Errorf("%v: %.2f cents off at the end", key, c)
				}
			}
		}
	}
}

// Touched at fret 12, 7 and 5, a string sounds its second, third and fourth
// partial, and that is the strongest.
func TestHarmonicsOfTheFrets(t *testing.T) {
	for fret, partial := range map[uint8]float64{12: 2, 7: 3, 5: 4} {
		for _, v := range []passage.Voice{passage.Guitar, passage.Bass, passage.Lead} {
			s := passage.Stroke{Kind: passage.Harmonic, Fret: fret}
			open := Sounding(v, passage.DefaultTuning, passage.Stroke{Kind: passage.Open}).Hertz()
			key := plucking(v, passage.Harmonic, Sounding(v, passage.DefaultTuning, s), 0)
			got := features.Strongest(features.Float(sound(t, key, 48000, 1))[4800:52800], 48000, 20, 6000)
			if c := features.Cents(got, partial*open); math.Abs(c) > 4 { // 2 of them are the third partial in equal temperament
				t.Errorf("%v: strongest partial at %.1f Hz, want %.1f", key, got, partial*open)
			}
		}
	}
}

// A power chord has the fifth and the octave in it: half-way between the
// root's partials lie the odd ones of a note an octave below that root and
// fifth share, which a single string does not have.
func TestChordsHaveTheirFifth(t *testing.T) {
	for _, pitch := range []passage.Pitch{passage.LowestTuning, passage.DefaultTuning, passage.HighestTuning} {
		share := func(k passage.Kind) float64 {
			x := features.Float(sound(t, plucking(passage.Guitar, k, pitch, 0), 48000, 1))[4800:52800]
			between, all := 0.0, 0.0
			for i, v := range partials(x, 48000, pitch.Hertz()/2, 24) {
				if all += v; i%2 == 0 && i > 0 {
					between += v
				}
			}
			return decibel(between / all)
		}
		if chord, single := share(passage.Chord), share(passage.Open); chord < -12 || single > -30 {
			t.Errorf("%s: partials of the fifth %.1f dB in a chord, %.1f in a single string", pitch, chord, single)
		}
	}
}

// A scrape up the string gets higher and one down gets lower: the centroid of
// its last third against that of its first.
func TestScrapesGoUpAndDown(t *testing.T) {
	for _, v := range []passage.Voice{passage.Guitar, passage.Bass, passage.Lead} {
		ratio := func(k passage.Kind) float64 {
			x := features.Float(sound(t, stroke(v, k), 48000, 1))
			return features.Centroid(x[64000:96000], 48000) / features.Centroid(x[:32000], 48000)
		}
		if up, down := ratio(passage.Scrape), ratio(passage.ScrapeDown); up < 1.15 || down > 1/1.15 {
			t.Errorf("%s: the last third is %.2f times as high as the first in a scrape up, %.2f in one down", v, up, down)
		}
	}
}

// The takes of a chug are four strokes of one hand on one instrument: no two
// are alike to the ear, and none stands out by level or colour. A bass has few
// overtones by which its takes could differ.
func TestTakesOfAChugAreOneInstrument(t *testing.T) {
	for v, most := range map[passage.Voice]float64{passage.Guitar: .97, passage.Bass: .995, passage.Lead: .99} {
		var sounds [Takes][]float64
		var levels, colours [Takes]float64
		for take := range sounds {
			key := plucking(v, passage.Hit, stroke(v, passage.Hit).Pitch, uint8(take))
			x := features.Float(sound(t, key, 48000, 1))
			sounds[take] = x
			levels[take] = decibel(power(x))
			colours[take] = features.Centroid(x, 48000)
		}
		for a := range sounds {
			for b := range a {
				if like := features.Likeness(sounds[a], sounds[b], .005, 48000); like > most {
					t.Errorf("%s: takes %d and %d are alike to %.3f", v, b+1, a+1, like)
				}
				if d := math.Abs(levels[a] - levels[b]); d > 2.5 {
					t.Errorf("%s: takes %d and %d differ by %.1f dB", v, b+1, a+1, d)
				}
				if d := colours[a] / colours[b]; d > 1.35 || d < 1/1.35 {
					t.Errorf("%s: the centroids of takes %d and %d are %.0f and %.0f Hz", v, b+1, a+1, colours[b], colours[a])
				}
			}
		}
	}
}

func power(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return sum / float64(len(x))
}

// Where a ringing string is choked, stopped by a rest, or struck again, nothing
// clicks: above 8 kHz there are never more than 3 dB over what rang before. 30
// ms after a choke and a written end there is silence, -60 dB.
func TestStringsStopCleanly(t *testing.T) {
	for _, line := range []string{"guitar:o-!.", "guitar:c-..", "guitar:o-!.", "guitar:t-..", "bass:o-!.", "lead:o-!.", "lead:b-.."} {
		t.Run(line, func(t *testing.T) {
			left, _ := channels(rendered(t, Plan{Passage: strip(t, "4/4", "60", line+" . . ."), Rate: 48000, Passes: 1}, newBank(t), AsMixed))
			const stop, window = 24000, 480
			high := highs(left)
			before, after := 0.0, 0.0
			for i := stop - 20*window; i < stop; i += window {
				before = max(before, power(high[i:i+window]))
			}
			for i := stop; i < stop+4*window; i += window / 4 {
				after = max(after, power(high[i:i+window]))
			}
			if db := decibel(after / before); db > 3 {
				t.Errorf("%.1f dB above 8 kHz at the stop, against what rang", db)
			}
			rang, left30 := power(left[stop-4800:stop]), power(left[stop+1440:stop+4800])
			if db := decibel(left30 / rang); db > -60 {
				t.Errorf("%.1f dB are left after 30 ms", db)
			}
		})
	}
}

func newBank(t testing.TB) *Bank {
	t.Helper()
	b, err := NewBank(48000, 1)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// highs returns what is above 8 kHz.
func highs(x []float64) []float64 {
	f := dsp.Chain{dsp.HighPass(8000, .5412, 48000), dsp.HighPass(8000, 1.3066, 48000)}
	y := make([]float64, len(x))
	for i, v := range x {
		y[i] = f.Filter(v)
	}
	return y
}

// The two guitars are two takes: over the guitar part of a passage their
// largest cross-correlation within 40 ms is below .3, far from a copy's 1
// however delayed, and their sum in mono gains and loses less than 3 dB
// (measured on two real takes: .07, and .3 as the bound).
func TestGuitarsAreTwoTakes(t *testing.T) {
	names := []string{"headframe", "raise-bore", "gangue", "tailings", "crosscut"} // short and long, with rings, bends and harmonics
	if testing.Short() {
		names = names[:1]
	}
	for _, e := range exercises.Library() {
		if !slices.Contains(names, e.Name) {
			continue
		}
		steps := e.Climb.Steps
		for _, i := range []int{0, len(steps) - 1} {
			p := steps[i].Passage.Clone()
			l, ok := p.Line(passage.Guitar)
			if !ok {
				continue
			}
			p.Lines = []passage.Line{l}
			likeMono(t, fmt.Sprintf("%s, step %d", e.Name, i+1), p)
		}
	}
}

func likeMono(t *testing.T, name string, p passage.Passage) {
	t.Helper()
	left, right := channels(rendered(t, Plan{Passage: p, Rate: 48000, Passes: 1, Seed: 1}, newBank(t), AsMixed))
	if like := features.Likeness(left, right, .04, 48000); like >= .3 {
		t.Errorf("%s: left and right are alike to %.2f", name, like)
	}
	stereo, mono := 0.0, 0.0
	for i := range left {
		stereo += left[i]*left[i] + right[i]*right[i]
		mono += (left[i] + right[i]) * (left[i] + right[i])
	}
	if db := decibel(mono / stereo); math.Abs(db) > 3 {
		t.Errorf("%s: mono sum %.1f dB", name, db)
	}
}
