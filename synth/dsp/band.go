package dsp

import "math"

// A Band is white noise through a flat high-pass and a flat low-pass of second
// order.
//
// Their numerators, (1 - z^-1)^2 and (1 + z^-1)^2, are taken first and together,
// (1 - z^-2)^2, so that what is left to each filter are its two poles.
type Band struct {
	noise          Noise
	gain           float64
	x1, x2, x3, x4 float64 // noise
	a1, a2, y1, y2 float64 // the high-pass
	c1, c2, z1, z2 float64 // the low-pass
}

// NewBand returns noise between two frequencies that depends on nothing but
// them and the seed.
func NewBand(low, high float64, rate int, seed uint64) Band {
	h, l := HighPass(low, math.Sqrt2/2, rate), LowPass(high, math.Sqrt2/2, rate)
	return Band{noise: *NewNoise(seed), gain: h.b0 * l.b0, a1: h.a1, a2: h.a2, c1: l.a1, c2: l.a2}
}

// Fill makes the next samples.
func (b *Band) Fill(dst *Block) {
	noise, gain, x1, x2, x3, x4 := b.noise, b.gain, b.x1, b.x2, b.x3, b.x4
	a1, a2, y1, y2 := b.a1, b.a2, b.y1, b.y2
	c1, c2, z1, z2 := b.c1, b.c2, b.z1, b.z2
	for i := range dst {
		x := gain * noise.Next()
		y1, y2 = (x-2*x2+x4-a2*y2)-a1*y1, y1 // only the last part waits for y1
		z1, z2 = (y1-c2*z2)-c1*z1, z1
		x1, x2, x3, x4 = x, x1, x2, x3
		dst[i] = z1
	}
	b.noise, b.x1, b.x2, b.x3, b.x4 = noise, x1, x2, x3, x4
	b.y1, b.y2, b.z1, b.z2 = y1, y2, z1, z2
}
