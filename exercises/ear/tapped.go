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

// fitsTaps refuses answers without taps, and numbers that are none.
func fitsTaps(a Answer) error {
	if !(math.Abs(a.LatencyMS) <= grade.MaxLatencyMS) {
		return fmt.Errorf("a latency of %g ms is outside %g; measure it again", a.LatencyMS, grade.MaxLatencyMS)
	}
	for _, t := range a.Taps {
		if !(math.Abs(t.Seconds) <= grade.MaxSeconds) {
			return fmt.Errorf("a tap at %g seconds is outside %g; give seconds from the first downbeat", t.Seconds, grade.MaxSeconds)
		}
	}
	if len(a.Taps) == 0 {
		return errors.New("nothing was tapped; tap along")
	}
	return nil
}

// tapsOf returns when taps were, in order: ms from the first downbeat of the
// sound, latency taken off.
func tapsOf(a Answer) []float64 {
	var all []float64
	for _, t := range a.Taps {
		all = append(all, t.Seconds*1000-a.LatencyMS)
	}
	sort.Float64s(all)
	return all
}

// tappedAt returns the taps at some times, ms.
func tappedAt(ms []float64) []grade.Tap {
	var all []grade.Tap
	for _, x := range ms {
		all = append(all, grade.Tap{Seconds: x / 1000})
	}
	return all
}

// A pulse is what is tapped along: the beats, and where they count.
type pulse struct {
	beats  []float64 // ms from the first downbeat of the sound, all of them
	from   int       // index of the first beat that counts
	to     int       // of the one after the last
	within float64   // ms off that are still on the beat
}

// beatTimes returns the beats of so many passes, ms.
func beatTimes(p passage.Passage, passes int) []float64 {
	ms := timer(p)
	length := ms(p.Length())
	var all []float64
	for pass := range passes {
		for _, b := range p.Beats() {
			all = append(all, float64(pass)*length+ms(b.At))
		}
	}
	return all
}

// What beats can be tapped, in ms. Our choice: 40 to 240 a minute, within what
// synchronisation allows, from 100 to 125 ms up to 1800 ms (Repp 2006, Adv.
// Cogn. Psychol. 2(2-3) 163-181).
const (
	shortestBeat = 250
	longestBeat  = 1500
)

// tappable refuses windows whose beats cannot be tapped.
func tappable(p passage.Passage) error {
	if err := steady(p); err != nil {
		return err
	}
	ms := timer(p)
	for _, b := range p.Beats() {
		if length := ms(b.At.Add(b.Length)) - ms(b.At); length < shortestBeat || length > longestBeat {
			return fmt.Errorf("beats of %.0f ms are hard to tap; take a step whose beats are %d to %d ms long", length, shortestBeat, longestBeat)
		}
	}
	return nil
}

// evenBeats refuses windows whose beats differ in length.
func evenBeats(p passage.Passage) error {
	beats := p.Beats()
	for _, b := range beats {
		if b.Length != beats[0].Length {
			return errors.New("the beats differ in length; take a step in an even metre")
		}
	}
	return nil
}

// beatAsk returns the ask for the beats of a passage, which stand in it as a
// click.
func beatAsk(p passage.Passage, question string) Ask {
	bars := p.Clone()
	bars.Lines = []passage.Line{{Voice: passage.Click}}
	for _, b := range p.Beats() {
		bars.Lines[0].Strokes = append(bars.Lines[0].Strokes, passage.Stroke{At: b.At, Length: b.Length, Kind: passage.Hit})
	}
	bars, _ = bars.Regroup()
	return Ask{Kind: Taps, Question: question, Passage: bars, Voices: []passage.Voice{passage.Click}}
}

// withDelay adds to how early or late somebody is that the delay of device and
// input is in it, where none was measured.
func withDelay(a Answer) string {
	if a.LatencyMS == 0 {
		return ", delay included"
	}
	return ""
}

// shareWords names parts of a beat.
func shareWords(share meter.Rat) string {
	switch share {
	case meter.R(1, 2):
		return "half a beat"
	case meter.R(1, 4):
		return "a quarter of a beat"
	case meter.R(3, 4):
		return "three quarters of a beat"
	case meter.R(1, 3):
		return "a third of a beat"
	case meter.R(2, 3):
		return "two thirds of a beat"
	}
	return share.String() + " of a beat"
}
