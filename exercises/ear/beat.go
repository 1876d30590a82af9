package ear

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// How soon the beat has to be found. Our choice: two beats are no more than a
// guess, 24 are six bars.
var beatsToFind = Scale{
	Unit: "beats", Means: "beats that are heard before the taps count",
	Low: 2, High: 24, Falling: true, Log: true,
}

const startFinding = 12

// What counts. Our choice.
const (
	// judgedBeats are tapped once the beat is to be found: two bars of four.
	judgedBeats = 8
	// onBeatShare of the taps lie on the beat.
	onBeatShare = 0.75
	// leastTaps lie on different beats: every second one is enough, and one of
	// these may be wanting.
	leastTaps = judgedBeats/2 - 1
	// farthestOnBeat is how many ms off is still on the beat, as in grading; less
	// where the cymbal is near.
	farthestOnBeat = 100
	// leastLure is how many ms the cymbal is from the beat at least: closer ones
	// are a flam, not another beat. Our choice, the rate at which one can tap
	// (Repp 2006, Adv. Cogn. Psychol. 2(2-3) 163-181).
	leastLure = 100
)

// lures are how far after the beat a cymbal is put, in shares of the beat.
var (
	plainLures  = []meter.Rat{meter.R(1, 2), meter.R(1, 2), meter.R(1, 4), meter.R(3, 4)}
	dottedLures = []meter.Rat{meter.R(1, 3), meter.R(2, 3)}
)

func beat() Task {
	return Task{
		Name: "beat", Title: "Find the beat", Question: "Where is the beat? Tap it along.",
		About:    "A passage starts beside the beat, and where its cymbal is even, that strikes beside the beat too. Find the true beat and tap it along until the sound ends.",
		Answered: Taps, Scale: beatsToFind, Stair: stair(beatsToFind, startFinding),
		make: makeBeat, mark: markBeat,
	}
}

// A lure is a cymbal that strikes regularly beside the beat; without a voice it
// is only that the sound starts there.
type lure struct {
	voice  passage.Voice
	share  meter.Rat       // of the beat, after it; 0 without a voice
	window passage.Passage // with the cymbal there
	on     []passage.Voice // that strike on the beat
}

func makeBeat(m *maker) (Trial, error) {
	u, v := m.rng.Float64(), m.rng.Float64()
	var found []lure
	w, err := m.window(func(p passage.Passage) error {
		var err error
		found, err = luresOf(p)
		return err
	})
	if err != nil {
		return Trial{}, err
	}
	l := found[int(u*float64(len(found)))]
	start, skipped := startBeside(l, v)
	find := int(math.Round(m.d))
	per := len(w.Beats())
	times := (skipped + find + judgedBeats + per - 1) / per
	sound, ok := looped(l.window, times)
	if !ok {
		return Trial{}, errors.New("the bars are too short to loop; take a longer step")
	}
	sound = silentUntil(sound, start)
	one := timer(sound)(sound.Beats()[1].At)
	t := Trial{
		Made:   float64(find),
		Sounds: []Sound{{Passage: sound, Strip: l.window, Passes: 1}},
		Asks:   []Ask{beatAsk(sound, "Where is the beat? Tap it along.")},
	}
	beats := beatTimes(sound, 1)
	t.truth = truth{
		answer: &Answer{Taps: tappedAt(beats[skipped:])},
		pulse: &pulse{
			beats: beats, from: skipped + find, to: skipped + find + judgedBeats,
			within: l.within(one),
		},
		lure: l,
		a:    l.window, b: l.window,
		spans: []passage.Span{{To: l.window.Length(), Voices: l.window.Voices()}},
	}
	t.truth.said, t.truth.hint = l.words(sound, start)
	if l.voice.Valid() {
		t.truth.spans[0].Voices = []passage.Voice{l.voice}
	}
	return t, nil
}

// words says where the beat is, and what to follow to hear it.
func (l lure) words(sound passage.Passage, start meter.Rat) (said, hint string) {
	who := voiceWords(l.on) + " " + strikes(l.on)
	if l.voice.Valid() {
		return fmt.Sprintf("The %s strikes %s after the beat; the %s on it.", l.voice.Spoken(), shareWords(l.share), who),
			fmt.Sprintf("Leave the %s aside and count with the %s.", l.voice.Spoken(), l.on[0].Spoken())
	}
	return fmt.Sprintf("It starts on %s; the %s on the beat.", countedIn(sound, start), who),
		fmt.Sprintf("Wait for the %s and count with it.", l.on[0].Spoken())
}

// within returns how far off, in ms, is still on a beat of some length: never
// so far that it is nearer to where one is led astray.
func (l lure) within(one float64) float64 {
	off := 0.5
	if l.voice.Valid() {
		off = min(l.share.Float(), 1-l.share.Float())
	}
	return min(farthestOnBeat, one*off/2)
}

func strikes(voices []passage.Voice) string {
	if len(voices) == 1 {
		return "strikes"
	}
	return "strike"
}

// luresOf returns the ways in which a cymbal of a window can lead astray while
// the other voices still say where the beat is.
func luresOf(p passage.Passage) ([]lure, error) {
	if err := tappable(p); err != nil {
		return nil, err
	}
	if err := evenBeats(p); err != nil {
		return nil, err
	}
	if len(p.Beats()) < leastBeats {
		return nil, fmt.Errorf("%d beats are too few to find one; take a longer step", len(p.Beats()))
	}
	var all []lure
	cymbals := false
	for _, v := range voicesOf(p) {
		share, ok := pulseOf(p, v)
		if !ok {
			continue
		}
		cymbals = true
		for _, to := range ways(p, share) {
			if l := (lure{voice: v, share: to, window: turned(p, v, to.Sub(share))}); l.clear() {
				l.on = onBeat(l.window, v)
				all = append(all, l)
			}
		}
	}
	if len(all) == 0 && !cymbals {
		if l := (lure{window: p}); l.clear() {
			l.on = onBeat(p, passage.NoVoice)
			if start, _ := startBeside(l, 0); start.Sign() > 0 {
				return []lure{l}, nil
			}
		}
	}
	if len(all) == 0 {
		return nil, errors.New("the strokes do not say where the beat is; take a step with a snare or kick on the beat, and more beside it")
	}
	return all, nil
}

// pulseOf returns how far after the beat a cymbal strikes, as a share of it:
// the same on every beat, or on every second one at least.
func pulseOf(p passage.Passage, v passage.Voice) (meter.Rat, bool) {
	l, _ := p.Line(v)
	at, beats := onsetsOf(l), p.Beats()
	if v.Family() != passage.Cymbals || 2*len(at) < len(beats) {
		return meter.Rat{}, false
	}
	share := p.Place(at[0]).Into
	for _, place := range at {
		if p.Place(place).Into != share {
			return meter.Rat{}, false
		}
	}
	return share.Div(beats[0].Length), true
}

// ways returns where a cymbal may strike: where it does if that is beside the
// beat, else where it can be put.
func ways(p passage.Passage, share meter.Rat) []meter.Rat {
	length := p.Beats()[0].Length
	one := timer(p)(length)
	all := plainLures
	if share.Sign() > 0 {
		all = []meter.Rat{share}
	} else if length.Num()%3 == 0 {
		all = dottedLures
	}
	var kept []meter.Rat
	for _, to := range all {
		if near := one * min(to.Float(), 1-to.Float()); near >= leastLure {
			kept = append(kept, to)
		}
	}
	return kept
}

// turned returns a passage in which a voice strikes some share of a beat later;
// what leaves the end comes in again at the start.
func turned(p passage.Passage, v passage.Voice, share meter.Rat) passage.Passage {
	p = p.Clone()
	end := p.Length()
	by := share.Mul(p.Beats()[0].Length)
	for i, l := range p.Lines {
		if l.Voice != v || by.Sign() == 0 {
			continue
		}
		var out []passage.Stroke
		for _, s := range l.Strokes {
			if s.At = s.At.Add(by); !s.At.Less(end) {
				s.At = s.At.Sub(end)
			}
			if end.Less(s.End()) {
				s.Length = end.Sub(s.At)
			}
			out = append(out, s)
		}
		sort.SliceStable(out, func(i, j int) bool { return out[i].At.Less(out[j].At) })
		p.Lines[i].Strokes, p.Lines[i].Groups = out, nil
	}
	p, _ = p.Regroup()
	return p
}

// snareWeight is how much more a snare says of the beat than other strokes.
// Our choice.
const snareWeight = 2

// clear reports whether the other voices say where the beat is: they strike
// more often on it than at any other place in it.
func (l lure) clear() bool {
	if len(passage.Check(l.window)) > 0 {
		return false
	}
	weight := map[meter.Rat]int{}
	for _, line := range l.window.Lines {
		if !asked(line.Voice) || line.Voice.Family() == passage.Cymbals {
			continue
		}
		w := 1
		if line.Voice == passage.Snare {
			w = snareWeight
		}
		for _, at := range onsetsOf(line) {
			weight[l.window.Place(at).Into] += w
		}
	}
	on := weight[meter.Rat{}]
	delete(weight, meter.Rat{})
	for _, n := range weight {
		if n >= on {
			return false
		}
	}
	return on >= len(l.window.Bars)
}

// onBeat returns the voices but one by which the beat is known, those first
// that say most of it: those that mostly strike on it, the snare, then by how
// often.
func onBeat(p passage.Passage, but passage.Voice) []passage.Voice {
	type told struct {
		voice  passage.Voice
		mostly bool
		on     int
	}
	var all []told
	for _, v := range voicesOf(p) {
		l, _ := p.Line(v)
		at, on := onsetsOf(l), 0
		for _, place := range at {
			if p.Place(place).Into.Sign() == 0 {
				on++
			}
		}
		if on > 0 && v != but && v.Family() != passage.Cymbals {
			all = append(all, told{v, 2*on > len(at), on})
		}
	}
	sort.SliceStable(all, func(i, j int) bool {
		a, b := all[i], all[j]
		switch {
		case a.mostly != b.mostly:
			return a.mostly
		case (a.voice == passage.Snare) != (b.voice == passage.Snare):
			return a.voice == passage.Snare
		}
		return a.on > b.on
	})
	var voices []passage.Voice
	for _, t := range all {
		if len(voices) < snippetVoices && t.mostly == all[0].mostly {
			voices = append(voices, t.voice)
		}
	}
	return voices
}

// startBeside returns where the sound starts: at a stroke beside the beat in the
// first bar, so that its start does not tell, and how many beats are before.
func startBeside(l lure, u float64) (start meter.Rat, beats int) {
	var at []meter.Rat
	end := l.window.Bars[0].Metre.Length()
	for _, line := range l.window.Lines {
		for _, place := range onsetsOf(line) {
			if asked(line.Voice) && place.Less(end) && l.window.Place(place).Into.Sign() > 0 {
				at = append(at, place)
			}
		}
	}
	if len(at) == 0 {
		return meter.Rat{}, 0
	}
	sort.Slice(at, func(i, j int) bool { return at[i].Less(at[j]) })
	start = at[int(u*float64(len(at)))]
	for _, b := range l.window.Beats() {
		if b.At.Less(start) {
			beats++
		}
	}
	return start, beats
}

// looped returns a passage so many times after itself; false where that is too
// long.
func looped(p passage.Passage, times int) (passage.Passage, bool) {
	if len(p.Bars)*times > passage.MaxBars {
		return p, false
	}
	out := p.Clone()
	out.Bars = nil
	for range times {
		out.Bars = append(out.Bars, p.Bars...)
	}
	length := p.Length()
	for i, l := range p.Lines {
		out.Lines[i].Strokes, out.Lines[i].Groups = nil, nil
		for pass := range times {
			by := length.Mul(meter.Int(int64(pass)))
			for _, s := range l.Strokes {
				s.At = s.At.Add(by)
				out.Lines[i].Strokes = append(out.Lines[i].Strokes, s)
			}
			for _, g := range l.Groups {
				g.At = g.At.Add(by)
				out.Lines[i].Groups = append(out.Lines[i].Groups, g)
			}
		}
	}
	return out, true
}

// silentUntil returns a passage without what begins before a place.
func silentUntil(p passage.Passage, start meter.Rat) passage.Passage {
	p = p.Clone()
	for i, l := range p.Lines {
		j := 0
		for j < len(l.Strokes) && l.Strokes[j].At.Less(start) {
			j++
		}
		p.Lines[i].Strokes = l.Strokes[j:]
	}
	return p
}

// markBeat marks taps along a loop: from the beat on by which it was to be
// found, they lie on it.
func markBeat(t Trial, a Answer) Result {
	l, p := t.truth.lure, *t.truth.pulse
	slow := slowly([]Sound{{Passage: l.window, Strip: l.window, Passes: 1}}, 1, len(l.window.Bars))
	slow[0].CountIn, slow[0].Click, slow[0].Passes = 1, ClickBeats, 2
	part := p.found(tapsOf(a), l)
	if part.Right {
		part.Says += withDelay(a)
	}
	return Result{Parts: []Part{part}, Slow: slow}
}

// found marks the taps on the beats that count.
func (p pulse) found(taps []float64, l lure) Part {
	one := p.beats[1] - p.beats[0]
	first, last := p.beats[p.from]-one/2, p.beats[p.to-1]+one/2
	var off []float64 // of each tap that counts, from the nearest beat
	hit, lured := map[int]bool{}, 0
	for _, ms := range taps {
		if ms < first || ms >= last {
			continue
		}
		i := int(math.Round((ms - p.beats[0]) / one))
		e := ms - p.beats[0] - float64(i)*one
		off = append(off, e)
		if math.Abs(e) <= p.within {
			hit[i] = true
		}
		if d := math.Mod(e-one*l.share.Float()+1.5*one, one) - one/2; l.voice.Valid() && math.Abs(d) <= p.within {
			lured++
		}
	}
	part := Part{Was: fmt.Sprintf("on the beat, with the %s", voiceWords(l.on))}
	counts := fmt.Sprintf("the last %d beats", p.to-p.from)
	switch n := len(off); {
	case n < leastTaps:
		part.Says = fmt.Sprintf("%d taps on %s that count; tap on until the sound ends", n, counts)
	case float64(len(hit)) >= onBeatShare*float64(n) && len(hit) >= leastTaps:
		part.Right, part.Says = true, fmt.Sprintf("right: %d of %d taps on the beat, %s", len(hit), n, grade.EarlyOrLate(grade.Median(off)))
	case 2*lured > n:
		part.Off = l.share.Float()
		part.Says = fmt.Sprintf("%d of %d taps on the %s, which is %s after the beat", lured, n, l.voice.Spoken(), shareWords(l.share))
	case n > 3*(p.to-p.from)/2:
		part.Says = fmt.Sprintf("%d taps on %s, too many to be the beat; tap the beat alone", n, counts)
	default:
		part.Says = fmt.Sprintf("%d of %d taps on the beat", len(hit), n)
	}
	return part
}
