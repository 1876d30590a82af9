// Package fake stands in for the browser in tests: a clock that moves when it
// is told to, and a sound device that writes down what it was given and when.
//
// The one idea: nothing here waits. Make a [Clock], give it to [NewAudio], and
// call [Clock.Run]: timers, pictures, the device's changes of state and the
// slices of work all happen in their order. Times are ms, frames are the
// device's.
package fake

import "slices"

// A Clock is simulated time. It implements the clock port of package transport.
type Clock struct {
	// Cost is how many ms pass with each look at the clock, so that work that
	// watches the time comes to an end.
	Cost float64

	now     float64
	queue   []*job
	hidden  bool
	hiddens func(bool)
}

type job struct {
	at    float64
	every float64 // 0: once
	do    func()
}

// NewClock returns a clock at 1000 ms.
func NewClock() *Clock { return &Clock{Cost: 0.05, now: 1000, hiddens: func(bool) {}} }

// Now returns the time and lets Cost pass.
func (c *Clock) Now() float64 {
	c.now += c.Cost
	return c.now
}

// Time returns the time and changes nothing.
func (c *Clock) Time() float64 { return c.now }

// After calls f once, in ms from now, unless stop is called before.
func (c *Clock) After(ms float64, f func()) (stop func()) {
	j := &job{at: c.now + ms, do: f}
	c.add(j)
	return func() { c.remove(j) }
}

// Every calls f every ms milliseconds until stop is called.
func (c *Clock) Every(ms int, f func()) (stop func()) {
	return c.repeat(float64(ms), f)
}

// Frames calls f sixty times a second until stop is called.
func (c *Clock) Frames(f func()) (stop func()) { return c.repeat(1000.0/60, f) }

func (c *Clock) repeat(ms float64, f func()) (stop func()) {
	j := &job{at: c.now + ms, every: ms, do: f}
	c.add(j)
	return func() { c.remove(j) }
}

// Yield calls f as the next thing that happens.
func (c *Clock) Yield(f func()) { c.After(0, f) }

// Hidden reports what Hide set.
func (c *Clock) Hidden() bool { return c.hidden }

// OnHidden sets the function that Hide tells.
func (c *Clock) OnHidden(f func(bool)) { c.hiddens = f }

// Hide puts the page out of sight or back.
func (c *Clock) Hide(hidden bool) {
	c.hidden = hidden
	c.hiddens(hidden)
}

// Run lets ms pass, doing what falls due.
func (c *Clock) Run(ms float64) {
	end := c.now + ms
	for len(c.queue) > 0 && c.queue[0].at <= end {
		c.next()
	}
	c.now = max(c.now, end)
}

// RunUntil lets time pass until done or ms have passed, and reports which.
func (c *Clock) RunUntil(ms float64, done func() bool) bool {
	end := c.now + ms
	for !done() {
		if len(c.queue) == 0 || c.queue[0].at > end {
			return false
		}
		c.next()
	}
	return true
}

// Block lets ms pass in which the page does nothing: what falls due comes late.
func (c *Clock) Block(ms float64) { c.now += ms }

func (c *Clock) next() {
	j := c.queue[0]
	c.queue = c.queue[1:]
	c.now = max(c.now, j.at)
	if j.every > 0 { // as a browser's timer: the next one counts from when this one ran
		j.at = c.now + j.every
		c.add(j)
	}
	j.do()
}

func (c *Clock) add(j *job) {
	i := len(c.queue)
	for i > 0 && c.queue[i-1].at > j.at {
		i--
	}
	c.queue = slices.Insert(c.queue, i, j)
}

func (c *Clock) remove(j *job) {
	c.queue = slices.DeleteFunc(c.queue, func(q *job) bool { return q == j })
}
