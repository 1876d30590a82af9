// Package dsp holds the small parts that sounds are built of: noise, filters,
// ringing modes, a plucked string, a waveshaper that does not alias, and the
// Fourier transform that tests look at the results with.
//
// The one idea: each part is a plain value that either takes and gives one
// sample at a time (Next, Filter), where samples depend on those just before,
// or a whole [Block] (Fill, AddTo), which is several times as fast where many
// parts sound at once. Frequencies are in hertz, rates in samples a second,
// times in seconds, levels linear. Nothing here calls a transcendental
// function once a sample. Build a part with its New function.
package dsp

// BlockSize is how many samples are made at once; our choice: 5 ms, few enough
// to stay in a processor's nearest memory.
const BlockSize = 256

// A Block is the next samples of a sound. Blocks are always whole, so that a
// sound does not depend on the sizes of the slices that it is read in.
type Block [BlockSize]float64

// A Source makes a sound block by block, for ever.
type Source interface {
	Fill(dst *Block)
}
