package delay

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestOffsetIsTheNearestSensibleClick(t *testing.T) {
	for _, c := range []struct{ tap, want float64 }{
		{0, 0}, {44, 44}, {600, 0}, {644, 44}, {6000 - 30, -30}, {399, 399}, {401, -199}, {-30, -30}, {-630, -30},
	} {
		if got := Offset(c.tap); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("Offset(%v) = %v, want %v", c.tap, got, c.want)
		}
	}
}

// taps makes n offsets around mean with a standard deviation of sd.
func taps(n int, mean, sd float64, r *rand.Rand) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = mean + sd*r.NormFloat64()
	}
	return out
}

// The mean of 24 taps has a standard error of sd/√24; 5 of them is chance of
// one in a million (normal distribution).
func TestTheDelayThatWasPutInComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mean := rapid.Float64Range(-60, 300).Draw(t, "mean")
		sd := rapid.Float64Range(1, 15).Draw(t, "sd")
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		got, err := Measure(taps(Taps, mean, sd, r))
		if err != nil {
			t.Fatalf("refused: %v", err)
		}
		if math.Abs(got.Mean-mean) > 5*sd/math.Sqrt(24)+1 {
			t.Fatalf("mean %v, put in %v", got.Mean, mean)
		}
	})
}

func TestFirstTapsAndStraysAreLeftOut(t *testing.T) {
	offsets := []float64{-150, 200, 90, 0}
	for i := range 24 {
		offsets = append(offsets, 44+float64(i%3-1)*5)
	}
	offsets[10], offsets[20] = 300, -120
	got, err := Measure(offsets)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got.Mean-44) > 0.6 || got.N != 22 || got.Used[0] || got.Used[3] || got.Used[10] || got.Used[20] || !got.Used[5] {
		t.Errorf("mean %.2f of %d, used %v", got.Mean, got.N, got.Used)
	}
	if got.Spread < 3 || got.Spread > 5 {
		t.Errorf("spread %.2f, want about 4.2 (thirds at -5, 0, 5)", got.Spread)
	}
}

func TestWhatIsRefused(t *testing.T) {
	wide := make([]float64, Taps)
	for i := range wide {
		wide[i] = 40 * float64(i%3-1)
	}
	for _, c := range []struct {
		name    string
		offsets []float64
		want    string
	}{
		{"nothing", nil, "only 0 taps"},
		{"few", make([]float64, 19), "only 15 taps"},
		{"wide", wide, "the taps spread over ±33 ms"},
	} {
		_, err := Measure(c.offsets)
		var unfit *Unfit
		if !errors.As(err, &unfit) || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

func TestBlindIsTwiceTheStandardError(t *testing.T) {
	for _, c := range []struct {
		r    Result
		want float64
	}{{Result{Spread: 5, N: 22}, 2}, {Result{Spread: 1, N: 24}, 1}, {Result{}, 0}} {
		if got := c.r.Blind(); got != c.want {
			t.Errorf("Blind of ±%v, n %d: %v, want %v", c.r.Spread, c.r.N, got, c.want)
		}
	}
}
