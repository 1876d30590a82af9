// Package transport plays a sequence of commands through an audio device, in
// time, and knows where the sound is: it makes the sounds in slices, schedules
// ahead, starts, stops, loops, and turns the time of a key press into a place
// in the music.
//
// The one idea: everything is counted in frames of the device's own clock,
// from the exact sequence; the device is a port ([Audio]) that only
// translates. Make one [Transport] for the program, call Load for what is to
// be played, then Start, and Place for each press.
package transport

import (
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// A DeviceState is what the sound output is doing.
type DeviceState uint8

// The states of the device.
const (
	Closed  DeviceState = iota // never opened
	Waiting                    // opened, but the browser waits for a press
	Running                    // sounds
	Paused                     // was running; the system or the browser suspended it
	Lost                       // the output went away or changed under a running device
	Refused                    // there is no sound output, or the browser gives none
)

// Audio is the sound device as one-shots started at exact frames. It decides
// nothing. Frames count from the opening of the device, seconds of the device
// are frames over Rate.
type Audio interface {
	// Open asks for the device, or resumes it; one that was lost, closed, or is
	// open at another rate is opened anew. Rate 0 means the one it has, or else
	// the device's own. Call it while handling a press: browsers give sound only
	// then. The answer comes by OnState, or stands in State at once.
	Open(rate int)
	// Rest lets a running device sleep until the next Open: it becomes Paused.
	Rest()
	// Close gives the device back, so that the next Open is a fresh start.
	Close()
	// OnState sets the one function that is told of every change of state, with
	// a short technical reason for the console (never for people).
	OnState(func(DeviceState, string))
	// State returns the present state.
	State() DeviceState
	// OnOutputs sets the one function told when a sound device was plugged in or
	// out. It may be another one than that in use.
	OnOutputs(func())
	// Rate returns frames a second; 0 until the device was opened.
	Rate() int
	// Now returns the frame that is being handed to the device.
	Now() int64
	// OutputPair returns a pair of the same moment on the device's clock (seconds)
	// and on the clock of events (ms), as measured by the device; false where the
	// browser has none.
	OutputPair() (device, event float64, ok bool)
	// RoughPair returns such a pair made of the present frame less the latency
	// that the device states; false while it is not running.
	RoughPair() (device, event float64, ok bool)
	// Load gives the device one sound, mono, at rate frames a second; pcm is
	// copied. It may come before the first Open and outlives the device.
	Load(key synth.Key, rate int, pcm []float32)
	// Drop forgets a sound.
	Drop(key synth.Key)
	// Play starts a loaded sound at an exact frame.
	Play(frame int64, key synth.Key, gain, pan float32)
	// Fade lets everything of a voice that began before frame end linearly from
	// frame to frame+fade.
	Fade(frame int64, voice passage.Voice, fade int32)
	// Silence ends everything that sounds or is scheduled, linearly from frame to
	// frame+fade. What is played after the call is not concerned.
	Silence(frame int64, fade int32)
	// Level sets how loud a voice is from now on, smoothly; 0 is mute.
	Level(voice passage.Voice, gain float32)
	// Master sets how loud all is from now on, smoothly.
	Master(gain float32)
}

// Clock is time as the page has it.
type Clock interface {
	// Now returns ms on the clock of events.
	Now() float64
	// Every calls f about every ms milliseconds until stop is called.
	Every(ms int, f func()) (stop func())
	// After calls f once, in ms from now, unless stop is called before.
	After(ms float64, f func()) (stop func())
	// Yield calls f as soon as the page has answered what waits for it.
	Yield(f func())
	// Frames calls f before each picture until stop is called.
	Frames(f func()) (stop func())
	// Hidden reports whether the page is out of sight; OnHidden sets the one
	// function told when that changes.
	Hidden() bool
	OnHidden(func(hidden bool))
}
