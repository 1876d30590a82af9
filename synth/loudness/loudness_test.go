package loudness

import (
	"math"
	"testing"
)

// sine returns seconds of a sine at a level in dBFS of its peak.
func sine(rate int, hertz, dB, seconds float64) []float32 {
	out := make([]float32, int(seconds*float64(rate)))
	amp := math.Pow(10, dB/20)
	for i := range out {
		out[i] = float32(amp * math.Sin(2*math.Pi*hertz*float64(i)/float64(rate)))
	}
	return out
}

// measure hears whole channels in pieces of an odd size.
func measure(rate int, channels ...[]float32) float64 {
	m := NewMeter(rate, len(channels))
	var all []float32
	for i := range channels[0] {
		for _, c := range channels {
			all = append(all, c[i])
		}
	}
	for len(all) > 0 {
		n := min(1021, len(all))
		m.Add(all[:n])
		all = all[n:]
	}
	return m.Integrated()
}

func join(parts ...[]float32) []float32 {
	var all []float32
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

// TestIntegrated uses the test signals of EBU Tech 3341 (from memory; tolerance
// 0.1 LU) and the calibration of ITU-R BS.1770-4 (from memory): 997 Hz at
// 0 dBFS in one channel reads -3.01. The first column is the case's source.
func TestIntegrated(t *testing.T) {
	const rate = 48000
	tone := func(dB, seconds float64) []float32 { return sine(rate, 1000, dB, seconds) }
	silent := make([]float32, 20*rate)
	cases := []struct {
		source      string
		left, right []float32
		want        float64
	}{
		{"EBU Tech 3341 case 1", tone(-23, 20), tone(-23, 20), -23},
		{"EBU Tech 3341 case 2", tone(-33, 20), tone(-33, 20), -33},
		{"EBU Tech 3341 case 3", join(tone(-36, 10), tone(-23, 60), tone(-36, 10)), join(tone(-36, 10), tone(-23, 60), tone(-36, 10)), -23},
		{"EBU Tech 3341 case 4", join(tone(-72, 10), tone(-36, 10), tone(-23, 60), tone(-36, 10), tone(-72, 10)), join(tone(-72, 10), tone(-36, 10), tone(-23, 60), tone(-36, 10), tone(-72, 10)), -23},
		{"EBU Tech 3341 case 5", join(tone(-26, 20), tone(-20, 20.1), tone(-26, 20)), join(tone(-26, 20), tone(-20, 20.1), tone(-26, 20)), -23},
		{"BS.1770-4 calibration", sine(rate, 997, 0, 20), silent, -3.01},
	}
	for _, c := range cases {
		if got := measure(rate, c.left, c.right); math.Abs(got-c.want) > 0.1 {
			t.Errorf("%s: %.2f LUFS, want %.2f ± 0.1", c.source, got, c.want)
		}
	}
}

// TestRates holds the calibration tone at rates for which the recommendation
// prints no coefficients.
func TestRates(t *testing.T) {
	for _, rate := range []int{22050, 44100, 88200, 96000, 192000} {
		if got := measure(rate, sine(rate, 997, 0, 3)); math.Abs(got+3.01) > 0.1 {
			t.Errorf("at %d Hz: %.2f LUFS, want -3.01 ± 0.1", rate, got)
		}
	}
}

func TestNothingToMeasure(t *testing.T) {
	for _, c := range []struct {
		name    string
		rate    int
		samples []float32
	}{
		{"nothing", 48000, nil},
		{"silence", 48000, make([]float32, 48000)},
		{"shorter than a block", 48000, sine(48000, 997, 0, 0.39)},
		{"below the first gate", 48000, sine(48000, 997, -80, 2)},
		{"a rate without a step of 100 ms", 9, sine(9, 2, 0, 10)},
	} {
		if got := measure(c.rate, c.samples); !math.IsInf(got, -1) {
			t.Errorf("%s: %v, want -Inf", c.name, got)
		}
	}
}

// TestCoefficients compares with the table of ITU-R BS.1770-4 at 48 kHz (from
// memory).
func TestCoefficients(t *testing.T) {
	got := Weighting(48000)
	want := [2][5]float64{
		{1.53512485958697, -2.69169618940638, 1.19839281085285, -1.69065929318241, 0.73248077421585},
		{1, -2, 1, -1.99004745483398, 0.99007225036621},
	}
	for i := range want {
		g := got[i].Coefficients()
		for k := range g {
			if math.Abs(g[k]-want[i][k]) > 1e-7 {
				t.Errorf("filter %d: %v, want %v", i+1, g, want[i])
				break
			}
		}
	}
}

func TestGain(t *testing.T) {
	for _, c := range []struct{ from, to, want float64 }{
		{-23, -17, 1.9952623149688795}, // 6 dB
		{-14, -14, 1},
		{math.Inf(-1), -14, 1},
		{-14, math.NaN(), 1},
	} {
		if got := Gain(c.from, c.to); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("Gain(%v, %v) = %v, want %v", c.from, c.to, got, c.want)
		}
	}
}
