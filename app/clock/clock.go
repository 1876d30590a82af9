// Package clock maps the times of key presses to the clock of the sound device.
//
// The one idea: the device tells, again and again, which of its seconds was
// being heard at which millisecond of the clock of events. Each such pair
// jitters by a tenth of a millisecond, but the difference between the two
// clocks hardly moves, so the running median of the differences maps an event
// to the sound heard at that moment to a few hundredths of a millisecond.
// Device times are seconds, event times milliseconds, differences milliseconds
// (device − event).
//
// Feed an [Estimator] with Add for each pair, and AddRough where the device
// gives none; ask At for what was heard when an event happened. Call Reset when
// the device starts, stops or changes. Nothing is allocated, nothing waits, and
// pairs that are no numbers are refused.
package clock

import "math"

// Bounds of the estimator.
const (
	// Window is how many pairs the median runs over. Measured: from 32 to 64
	// pairs, 19 of 20 errors are below 0.04 ms.
	Window = 64
	// MaxAge is how old the oldest pair in use may be, in ms before the newest.
	// Our choice: crystals that differ by 100 parts in a million drift apart
	// 0.2 ms in half of it. Exact pairs that stay away for longer make room for
	// rough ones.
	MaxAge = 4000
	// exactJump and roughJump are the least distances from the median, in ms, at
	// which a pair is doubted: far above the 0.13 ms that exact pairs jitter by,
	// and the 5 ms that rough ones wander by.
	exactJump = 2
	roughJump = 30
	// settled is how many pairs it takes to doubt another one. Our choice: from
	// eight on the middle half says how much they jitter.
	settled = 8
	// doubted is how many pairs in a row must be doubted before they are
	// believed: one may be an accident of the system, four are a new state.
	doubted = 4
)

// A Quality says what an estimate rests on.
type Quality uint8

// The qualities, worst first.
const (
	None  Quality = iota // no pair at all: nothing can be said
	Rough                // the device's present frame less its stated latency: wanders by some ms
	Exact                // pairs measured by the device itself
)

// A Certainty says how sure an estimate is.
type Certainty struct {
	Quality Quality
	Pairs   int     // how many pairs it rests on, up to Window
	Spread  float64 // ms: standard deviation of one pair, by the middle half of them
}

// Error returns the standard error of the estimate in ms: of a median,
// 1.2533 times that of a mean (Kenney and Keeping, Mathematics of Statistics,
// part 2, 1951; from memory). It is infinite where nothing is known.
func (c Certainty) Error() float64 {
	if c.Pairs == 0 {
		return math.Inf(1)
	}
	return 1.2533 * c.Spread / math.Sqrt(float64(c.Pairs))
}

// An Estimator maps events to the clock of the device. The zero value is ready.
type Estimator struct {
	exact, rough medians
	jumps        int
}

// Add takes a pair measured by the device. It reports whether the pair was
// used: pairs that hold a zero or no number, and repeats, are not.
func (e *Estimator) Add(device, event float64) bool { return e.add(&e.exact, device, event) }

// AddRough takes a pair made from the device's present frame less its stated
// latency. Such pairs are used only where exact ones are missing.
func (e *Estimator) AddRough(device, event float64) bool { return e.add(&e.rough, device, event) }

func (e *Estimator) add(m *medians, device, event float64) bool {
	if !usable(device) || !usable(event) {
		return false
	}
	e.exact.least, e.rough.least = exactJump, roughJump
	used, jumped := m.add(device, event)
	if best, _ := e.best(); jumped && m == best {
		e.jumps++
	}
	return used
}

// usable refuses NaN, the infinities, and what browsers answer before they
// know: zero or less.
func usable(t float64) bool { return t > 0 && !math.IsInf(t, 1) }

// Reset forgets all pairs: the device was started, stopped or changed.
func (e *Estimator) Reset() { *e = Estimator{jumps: e.jumps} }

// Jumps returns how often the clocks were found to have moved against each
// other since the estimator was made, without counting calls of Reset.
func (e *Estimator) Jumps() int { return e.jumps }

// At returns the device's second that was heard when an event happened, and how
// sure that is. With [None] the time is 0 and means nothing.
func (e *Estimator) At(event float64) (device float64, c Certainty) {
	m, quality := e.best()
	if m.n == 0 {
		return 0, Certainty{}
	}
	return (event + m.median()) / 1000, Certainty{quality, m.n, m.spread()}
}

func (e *Estimator) best() (*medians, Quality) {
	missing := e.rough.n > 0 && e.rough.last.event-e.exact.last.event > MaxAge
	if e.exact.n > 0 && !missing {
		return &e.exact, Exact
	}
	return &e.rough, Rough
}
