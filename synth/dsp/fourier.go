package dsp

import (
	"math"
	"math/bits"
	"math/cmplx"
)

// Fourier returns the discrete Fourier transform of x, zero-padded to the next
// power of two: Cooley & Tukey, 1965. The sum is not divided by the length.
func Fourier(x []complex128) []complex128 {
	n := 1
	for n < len(x) {
		n *= 2
	}
	y := make([]complex128, n)
	shift := 64 - bits.TrailingZeros(uint(n))
	for i, v := range x {
		y[int(bits.Reverse64(uint64(i))>>shift)&(n-1)] = v
	}
	for half := 1; half < n; half *= 2 {
		butterflies(y, half)
	}
	return y
}

func butterflies(y []complex128, half int) {
	for k := range half {
		w := cmplx.Rect(1, -math.Pi*float64(k)/float64(half))
		for i := k; i < len(y); i += 2 * half {
			a, b := y[i], w*y[i+half]
			y[i], y[i+half] = a+b, a-b
		}
	}
}

// Power returns the power at each frequency i*rate/n of a real signal,
// zero-padded to n, the next power of two from len(x): n/2+1 values, not
// divided by the length.
func Power(x []float64) []float64 {
	c := make([]complex128, len(x))
	for i, v := range x {
		c[i] = complex(v, 0)
	}
	y := Fourier(c)
	p := make([]float64, len(y)/2+1)
	for i := range p {
		p[i] = real(y[i])*real(y[i]) + imag(y[i])*imag(y[i])
	}
	return p
}
