package ear

import (
	"errors"
	"fmt"
	"math"

	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
)

// How long the time is kept alone. Our choice: one bar anybody keeps, sixteen
// are half a minute.
var silentBars = Scale{
	Unit: "bars", Means: "bars of silence through which the time is kept",
	Low: 1, High: 16, Log: true,
}

const startSilent = 2

// moreHeard is how many bars more than the window are heard first, at most, so
// that the silence is not always at the same place. Our choice.
const moreHeard = 2

// How far off one may be where the sound comes back. Our choice: half a
// sixteenth of a plain beat, beyond which one is nearer to the next; in fast
// beats what is still heard as together with some goodwill.
const (
	offShare = 1.0 / 8 // of a beat
	offLeast = 40      // ms
)

func silence() Task {
	return Task{
		Name: "silence", Title: "Keep it in silence", Question: "Tap the beat, and keep it through the silence.",
		About:    "A passage plays, then falls silent for some bars, then comes back. Tap the beat throughout; what counts is where you are when it comes back.",
		Answered: Taps, Scale: silentBars, Stair: stair(silentBars, startSilent),
		make: makeSilence, mark: markSilence,
	}
}

func makeSilence(m *maker) (Trial, error) {
	silent, more := int(math.Round(m.d)), m.rng.IntN(moreHeard+1)
	w, err := m.window(func(p passage.Passage) error {
		if moments(p) < leastOnsets {
			return fmt.Errorf("fewer than %d strokes say no tempo; take a step with more strokes", leastOnsets)
		}
		if len(p.Beats()) < leastBeats {
			return fmt.Errorf("%d beats are too few to keep; take a longer step", len(p.Beats()))
		}
		return tappable(p)
	})
	if err != nil {
		return Trial{}, err
	}
	heard := len(w.Bars) + more
	passes := (heard+silent)/len(w.Bars) + 1 // so that at least a bar comes back, and no second silence
	beats := beatTimes(w, passes)
	back := backAt(w, heard+silent)
	t := Trial{
		Made: float64(silent),
		Sounds: []Sound{{
			Passage: w, Strip: w, CountIn: 1, Passes: passes, Click: ClickCountIn,
			Silence: Silence{Heard: heard, Silent: silent},
		}},
		Asks: []Ask{beatAsk(w, silence().Question)},
	}
	one := beats[back] - beats[back-1]
	t.truth = truth{
		answer: &Answer{Taps: tappedAt(beats)},
		pulse:  &pulse{beats: beats, from: backAt(w, heard), to: back, within: max(offShare*one, offLeast)},
		said: fmt.Sprintf("After %s of silence the music comes back on bar %d; up to %.0f ms off is with it.",
			barWords(silent), (heard+silent)%len(w.Bars)+1, max(offShare*one, offLeast)),
		hint: "Count every beat of the silence aloud, and what lies between the beats with it.",
		a:    w, b: w,
		spans: []passage.Span{{To: w.Length(), Voices: w.Voices()}},
	}
	return t, nil
}

func barWords(n int) string {
	if n == 1 {
		return "1 bar"
	}
	return fmt.Sprintf("%d bars", n)
}

// backAt returns how many beats there are before a bar of the loop, from 0.
func backAt(p passage.Passage, bar int) int {
	n := 0
	for i := range bar {
		n += len(p.Bars[i%len(p.Bars)].Metre.Beats())
	}
	return n
}

// markSilence marks where the taps are when the sound comes back.
func markSilence(t Trial, a Answer) Result {
	p, s := *t.truth.pulse, t.Sounds[0]
	slow := s
	slow.Silence, slow.Click, slow.Passes = Silence{}, ClickBeats, 1
	off, err := p.off(tapsOf(a))
	part := Part{Was: fmt.Sprintf("within %.0f ms of the beat", p.within)}
	if err != nil {
		part.Says = err.Error()
		return Result{Parts: []Part{part}, Slow: []Sound{slow}}
	}
	one := p.beats[p.to] - p.beats[p.to-1]
	part.Right, part.Off = math.Abs(off) <= p.within, off/one
	part.Near = !part.Right && math.Abs(off) <= 2*p.within
	part.Says = grade.EarlyOrLate(off) + " where the sound comes back"
	if n := math.Round(part.Off); n != 0 {
		part.Says = fmt.Sprintf("%s, %s", beatsOff(int(n)), part.Says)
	}
	return Result{Parts: []Part{part}, Slow: []Sound{slow}}
}

// What taps must be there to be judged. Our choice.
const (
	// leastBefore taps while the music sounds say how early or late the player
	// taps anyway, delay of the input included; with fewer it is taken as none.
	leastBefore = 3
	// lastTaps is how many beats before the sound comes back there is a tap: one
	// a bar of four is enough. One after it alone follows what is heard.
	lastTaps = 4
)

// off returns how far off, in ms, the taps are where the sound comes back,
// against where they were while it sounded. They are followed from tap to tap,
// so somebody who has lost a beat is a beat off and not on the next one.
func (p pulse) off(taps []float64) (float64, error) {
	taps = withoutBounces(taps)
	grid, per := p.grid(taps)
	to := p.to * per
	var before []float64
	last, next := followed{at: -1}, followed{at: -1} // before the sound comes back, and from then on
	for _, f := range follow(taps, grid) {
		switch {
		case f.at >= to && next.at < 0:
			next = f
		case f.at < p.from*per:
			before = append(before, f.off)
		}
		if f.at < to {
			last = f
		}
	}
	if last.at < 0 || to-last.at > lastTaps*per {
		return 0, errors.New("no tap before the sound came back; tap through the silence until then")
	}
	off := last.off
	if next.at >= 0 && next.at-to <= lastTaps*per {
		off += (next.off - last.off) * float64(to-last.at) / float64(next.at-last.at)
	}
	if len(before) >= leastBefore {
		off -= grade.Median(before)
	}
	return off, nil
}

// leastApart is how many ms after another a tap is a new one and no bounce.
// Our choice: under the 100 ms between the fastest taps (Repp 2006).
const leastApart = 80

// withoutBounces returns the taps but those that come too soon after another.
func withoutBounces(taps []float64) []float64 {
	var all []float64
	for _, ms := range taps {
		if len(all) == 0 || ms-all[len(all)-1] >= leastApart {
			all = append(all, ms)
		}
	}
	return all
}

// grid returns what the taps count: the beats, or as many even parts of each
// where the player taps between them as well.
func (p pulse) grid(taps []float64) (all []float64, per int) {
	per = 1
	if len(taps) > 2*leastBefore {
		var apart []float64
		for i := 1; i < len(taps); i++ {
			apart = append(apart, taps[i]-taps[i-1])
		}
		one := p.beats[p.to] - p.beats[p.to-1]
		per = int(min(max(math.Round(one/max(grade.Median(apart), 1)), 1), mostPerBeat))
	}
	for i := 0; i+1 < len(p.beats); i++ {
		for j := range per {
			all = append(all, p.beats[i]+(p.beats[i+1]-p.beats[i])*float64(j)/float64(per))
		}
	}
	return append(all, p.beats[len(p.beats)-1]), per
}

// mostPerBeat is how many taps a beat are followed. Our choice: sixteenths.
const mostPerBeat = 4

// A followed tap belongs to a place of the grid, ms off.
type followed struct {
	at  int
	off float64
}

// follow gives each tap a place of the grid: the first the nearest, each
// further one the nearest to where it is due after the one before.
func follow(taps, grid []float64) []followed {
	var all []followed
	last := followed{at: -1}
	for _, ms := range taps {
		if ms < grid[0]-(grid[1]-grid[0])/2 {
			continue // counted in
		}
		if last.at+1 >= len(grid) {
			break
		}
		last.at = nearest(grid, last.at+1, ms-last.off)
		last.off = ms - grid[last.at]
		all = append(all, last)
	}
	return all
}

// nearest returns the index, at least from, of the place nearest to ms.
func nearest(grid []float64, from int, ms float64) int {
	for from+1 < len(grid) && math.Abs(grid[from+1]-ms) < math.Abs(grid[from]-ms) {
		from++
	}
	return from
}
