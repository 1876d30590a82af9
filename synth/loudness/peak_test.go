package loudness

import (
	"math"
	"testing"
)

// tone is a sine of so many quarter turns a sample, faded in and out over
// 100 ms as the signals of EBU Tech 3341 are, with an offset in degrees.
func tone(turn, degrees, amplitude float64) []float32 {
	const rate = 48000
	out := make([]float32, rate)
	for i := range out {
		fade := min(1, float64(i)/(rate/10), float64(rate-i)/(rate/10))
		out[i] = float32(amplitude * fade * math.Sin(math.Pi/2*turn*float64(i)+degrees*math.Pi/180))
	}
	return out
}

// The signals of EBU Tech 3341, cases 15 to 19 (from memory; tolerance +0.2 and
// -0.4 dB): sines at 1/4, 1/4, 1/6 and 1/8 of the rate, between whose samples
// the peak may lie.
func TestTruePeak(t *testing.T) {
	for _, c := range []struct {
		source                   string
		turn, degrees, amplitude float64
		want                     float64
	}{
		{"EBU Tech 3341 case 15", 1, 0, .5, -6},
		{"EBU Tech 3341 case 16", 1, 45, .5, -6},
		{"EBU Tech 3341 case 17", 2. / 3, 60, .5, -6},
		{"EBU Tech 3341 case 18", 1. / 2, 67.5, .5, -6},
		{"EBU Tech 3341 case 19", 1, 45, 1.41, 3},
	} {
		x := tone(c.turn, c.degrees, c.amplitude)
		m := NewPeakMeter(2)
		for _, s := range x {
			m.Add([]float32{s, -s / 2})
		}
		if got := m.Peak(); got > c.want+.2 || got < c.want-.4 {
			t.Errorf("%s: %.2f dBTP, want %g +0.2 -0.4", c.source, got, c.want)
		}
	}
	if got := NewPeakMeter(1).Peak(); !math.IsInf(got, -1) {
		t.Errorf("nothing peaks at %g dBTP", got)
	}
}
