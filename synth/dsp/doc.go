// Package dsp holds the small parts that sounds are built of: noise, filters,
// ringing modes, a plucked string, a waveshaper that does not alias, and the
// Fourier transform that tests look at the results with.
//
// The one idea: each part is a plain value with a method that takes or gives
// one sample at a time, so that a sound does not depend on the size of the
// blocks it is read in. Frequencies are in hertz, rates in samples a second,
// times in seconds, levels linear. Nothing here calls a transcendental
// function once a sample. Build a part with its New function and call Next.
package dsp

// A Source makes a sound one sample at a time, for ever.
type Source interface {
	Next() float64
}
