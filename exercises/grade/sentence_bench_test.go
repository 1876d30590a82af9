package grade

import (
	"math/rand/v2"
	"strings"
	"testing"
)

// BenchmarkSentences looks for what to say of the longest passages: 64 bars of
// sixteenths of two voices, ten passes, with strokes missed.
func BenchmarkSentences(b *testing.B) {
	p := step(b, "title: T\ntempo: 120\nmetre: 4/4\n\nstep: S\nsays: Steady.\nsnare |"+strings.Repeat(" . x . x |", 64)+"\nkick |"+strings.Repeat(" xxxx xxxx xxxx xxxx |", 64)+"\n")
	tk := kickTake(10)
	tk.Part = nil
	rng := rand.New(rand.NewPCG(1, 1))
	tk = takeOf(b, p, tk, func(int, Onset, Position) float64 { return 10 * rng.NormFloat64() })
	for i := 0; i < len(tk.Taps); i += 20 {
		tk.Taps = append(tk.Taps[:i], tk.Taps[i+1:]...)
	}
	v, err := Grade(p, tk, Options{NoSearch: true})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		v.With(nil)
	}
}
