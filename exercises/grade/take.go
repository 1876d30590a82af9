// Package grade says what happened in a take: which written strokes were
// played, how early or late, how the tuplets came out, and what to do next.
//
// The one idea: a [Take] is the record, the times as they were tapped and
// nothing derived; a [Verdict] is always computed from it, so a better grader
// re-grades old takes. Times are float64 seconds on the audio clock, counted
// from the first written downbeat; errors are milliseconds, early negative.
// Strokes in time are [Expected], which keeps the exact place of each.
//
// Read a take with [ReadTake], then call [Grade] with the passage of the step
// at its written tempo.
package grade

import (
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Version is the number in a take's field "stampmill".
const Version = 1

// Simulated is the input of takes by made-up players. It has no delay.
const Simulated = "simulated"

// Limits of a take. Our choice, except the tempo, which is that of a passage.
const (
	MaxTakeBytes  = 16 << 20  // of the file
	MaxTaps       = 1_000_000 // and as many expected strokes
	MaxPasses     = 999
	MaxStep       = 999
	MaxSeconds    = 3600.0 // absolute, of a tap or release: an hour
	MaxLatencyMS  = 1000.0 // absolute
	MaxNameBytes  = 256    // of the exercise and the input
	MinBPM        = meter.MinBPM
	MaxBPM        = meter.MaxBPM
	maxFaultsRead = 20 // reported at once
)

// A Take is what a player did once. Its JSON is that of [WriteTake].
type Take struct {
	Exercise  string          // name of the exercise, as in the library
	Step      int             // from 1
	Tempo     float64         // beats a minute of the passage's first bar, in the note value it is written in
	Passes    int             // how often the bars were played, 1 to MaxPasses
	Part      []passage.Voice // what the player took over; empty: every voice but the click
	Input     string          // "keyboard", "touch", "midi", ...
	LatencyMS float64         // of device and input, to be subtracted from every tap
	Bars      [2]int          // first and last bar played, from 1; zero: all
	Stopped   Optional        // seconds at which the player stopped early
	Taps      []Tap           // in order of Seconds
}

// A Tap is one stroke of the player.
type Tap struct {
	Voice    passage.Voice // NoVoice where the input cannot tell
	Seconds  float64       // from the first written downbeat, latency included
	Strength Optional      // 0 to 1
	Release  Optional      // seconds, not before Seconds
}

// An Optional is a number that may be absent; the zero value is absent, which
// is not the same as 0. Optionals are comparable with ==.
type Optional struct {
	Value float64
	OK    bool
}

// Some returns the number v as present.
func Some(v float64) Optional { return Optional{v, true} }

// OneKey reports whether the take was played on a single key: no tap names a
// voice, so strokes of several voices at one place are one stroke.
func (t Take) OneKey() bool {
	for _, tap := range t.Taps {
		if tap.Voice.Valid() {
			return false
		}
	}
	return true
}
