package dsp

import "math"

// A Biquad is a filter of second order in transposed direct form II. The
// designs are those of R. Bristow-Johnson, "Cookbook formulae for audio
// equalizer biquad filter coefficients" (from memory). The zero value lets
// nothing through.
type Biquad struct {
	b0, b1, b2, a1, a2 float64
	z1, z2             float64
}

// Filter returns the filtered sample.
func (f *Biquad) Filter(x float64) float64 {
	y := f.b0*x + f.z1
	f.z1 = (f.b1*x + f.z2) - f.a1*y // only the last part waits for y
	f.z2 = f.b2*x - f.a2*y
	return y
}

// NewBiquad returns the filter y = (b0 + b1/z + b2/z²) / (1 + a1/z + a2/z²) x,
// for designs that come from elsewhere.
func NewBiquad(b0, b1, b2, a1, a2 float64) Biquad { return biquad(b0, b1, b2, 1, a1, a2) }

func biquad(b0, b1, b2, a0, a1, a2 float64) Biquad {
	return Biquad{b0: b0 / a0, b1: b1 / a0, b2: b2 / a0, a1: a1 / a0, a2: a2 / a0}
}

// angle returns cosine and alpha of the cookbook; frequencies are kept below
// the Nyquist frequency.
func angle(hertz, q float64, rate int) (cos, alpha float64) {
	w := 2 * math.Pi * min(hertz/float64(rate), .49)
	return math.Cos(w), math.Sin(w) / (2 * q)
}

// LowPass passes what is below hertz; q .7071 is flat.
func LowPass(hertz, q float64, rate int) Biquad {
	c, a := angle(hertz, q, rate)
	return biquad((1-c)/2, 1-c, (1-c)/2, 1+a, -2*c, 1-a)
}

// HighPass passes what is above hertz; q .7071 is flat.
func HighPass(hertz, q float64, rate int) Biquad {
	c, a := angle(hertz, q, rate)
	return biquad((1+c)/2, -1-c, (1+c)/2, 1+a, -2*c, 1-a)
}

// AllPass turns the phase around hertz, by half a turn there, and leaves every
// level as it is.
func AllPass(hertz, q float64, rate int) Biquad {
	c, a := angle(hertz, q, rate)
	return biquad(1-a, -2*c, 1+a, 1+a, -2*c, 1-a)
}

// Peak raises or lowers a band of width hertz/q around hertz by db.
func Peak(hertz, q, db float64, rate int) Biquad {
	c, a := angle(hertz, q, rate)
	g := math.Pow(10, db/40)
	return biquad(1+a*g, -2*c, 1-a*g, 1+a/g, -2*c, 1-a/g)
}

// Coefficients returns b0, b1, b2, a1 and a2, where a0 is 1.
func (f Biquad) Coefficients() [5]float64 { return [5]float64{f.b0, f.b1, f.b2, f.a1, f.a2} }

// Gain returns the filter's linear gain at hertz.
func (f Biquad) Gain(hertz float64, rate int) float64 {
	w := 2 * math.Pi * hertz / float64(rate)
	c1, s1 := math.Cos(w), math.Sin(w)
	c2, s2 := math.Cos(2*w), math.Sin(2*w)
	num := math.Hypot(f.b0+f.b1*c1+f.b2*c2, f.b1*s1+f.b2*s2)
	return num / math.Hypot(1+f.a1*c1+f.a2*c2, f.a1*s1+f.a2*s2)
}

// A Chain is filters one after the other.
type Chain []Biquad

// Filter returns the sample filtered by every filter of the chain.
func (c Chain) Filter(x float64) float64 {
	for i := range c {
		x = c[i].Filter(x)
	}
	return x
}

// Run filters a block.
func (c Chain) Run(x *Block) {
	for ; len(c) > 1; c = c[2:] {
		runPair(x, &c[0], &c[1])
	}
	for i := range c {
		for k := range x {
			x[k] = c[i].Filter(x[k])
		}
	}
}

// runPair is two filters with what they remember in registers; the second works
// while the first waits for itself.
func runPair(x *Block, f, g *Biquad) {
	f1, f2, g1, g2 := f.z1, f.z2, g.z1, g.z2
	for i, in := range x {
		mid := f.b0*in + f1
		f1, f2 = (f.b1*in+f2)-f.a1*mid, f.b2*in-f.a2*mid
		out := g.b0*mid + g1
		g1, g2 = (g.b1*mid+g2)-g.a1*out, g.b2*mid-g.a2*out
		x[i] = out
	}
	f.z1, f.z2, g.z1, g.z2 = f1, f2, g1, g2
}

// A OnePole is the low-pass y += k (x - y).
type OnePole struct{ k, y float64 }

// NewOnePole returns a low-pass of first order with its corner at hertz.
func NewOnePole(hertz float64, rate int) OnePole {
	return OnePole{k: 1 - math.Exp(-2*math.Pi*hertz/float64(rate))}
}

// Low returns the sample through the low-pass.
func (f *OnePole) Low(x float64) float64 {
	f.y += f.k * (x - f.y)
	return f.y
}

// High returns what the low-pass takes away: with a low corner it removes a
// constant offset.
func (f *OnePole) High(x float64) float64 { return x - f.Low(x) }
