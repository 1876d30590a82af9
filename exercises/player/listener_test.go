package player

import (
	"math"
	"math/rand/v2"
	"testing"
)

// By hand from the formula: half way at Half, chance far below, 1 - Lapse far
// above, and back from a rate to its level.
func TestListener(t *testing.T) {
	falling := Listener{Half: 3, Width: .5, Lapse: .04}
	rising := Listener{Half: 3, Width: .5, Lapse: .04, Rising: true}
	for _, test := range []struct {
		from3 float64 // easier
		want  float64
	}{
		{0, .5 + .46/2}, {100, .96}, {-100, .5}, {.5 * math.Log(3), .5 + .46*3/4},
	} {
		for _, got := range []float64{falling.Right(3+test.from3, .5), rising.Right(3-test.from3, .5)} {
			if math.Abs(got-test.want) > 1e-12 {
				t.Errorf("%g easier: right with %g, want %g", test.from3, got, test.want)
			}
		}
	}
	for _, l := range []Listener{falling, rising} {
		if got := l.Right(l.Threshold(.75, .25), .25); math.Abs(got-.75) > 1e-12 {
			t.Errorf("at the threshold of 0.75: %g", got)
		}
		if got := l.Threshold(.97, .5); !math.IsNaN(got) {
			t.Errorf("threshold %g of a rate that is never reached", got)
		}
	}
}

// 10,000 answers come out as often as they should, within four standard
// deviations.
func TestListenerAnswers(t *testing.T) {
	l, rng, right := Listener{Half: 2, Width: .3}, rand.New(rand.NewPCG(1, 2)), 0
	const n = 10_000
	for range n {
		if l.Answers(2.1, .5, rng) {
			right++
		}
	}
	p := l.Right(2.1, .5)
	if got := float64(right) / n; math.Abs(got-p) > 4*math.Sqrt(p*(1-p)/n) {
		t.Errorf("right in %.4f, want %.4f", got, p)
	}
}
