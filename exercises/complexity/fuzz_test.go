package complexity_test

import (
	"math"
	"testing"

	"stampmill/exercises"
	"stampmill/exercises/complexity"
	"stampmill/exercises/drill"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// FuzzRate: any exercise has a rating made of finite numbers that are not below
// zero, and so has what is left of it when its bars or tempi are taken away.
func FuzzRate(f *testing.F) {
	for _, e := range exercises.Library() {
		f.Add(exercises.Source(e.Name), int64(0))
	}
	f.Add([]byte("title: T\ntempo: 20\nmetre: 11/16 (3+3+3+2)\nstep: S\nkick | 3:xxxxxxxxxxxxx x[x[x[xxxxx]]]x |\n"), int64(7))
	f.Fuzz(func(t *testing.T, src []byte, seed int64) {
		climb, problems := drill.Parse("f.drill", src, nil)
		if len(problems) > 0 {
			return
		}
		var before *passage.Passage
		for _, s := range climb.Steps {
			check(t, complexity.Rate(before, s.Passage))
			check(t, complexity.Rate(before, spoiled(s.Passage, seed)))
			before = &s.Passage
		}
	})
}

// spoiled returns a passage that Check refuses.
func spoiled(p passage.Passage, seed int64) passage.Passage {
	p = p.Clone()
	odd := []meter.Rat{meter.Invalid, meter.Int(-1), meter.R(seed%1000, 999_983), meter.Int(meter.MaxAbs), meter.R(1, meter.MaxDen)}
	for i := range p.Lines {
		for j := range p.Lines[i].Strokes {
			s := &p.Lines[i].Strokes[j]
			s.At, s.Length = odd[(i+3*j)%len(odd)], odd[(i+j)%len(odd)]
		}
	}
	switch seed % 3 {
	case 1:
		p.Bars = nil
	case 2:
		p.Bars[0] = passage.Bar{}
	}
	return p
}

func check(t *testing.T, r complexity.Rating) {
	for _, x := range []float64{r.Load(), r.WNBD(), r.PeakRate, float64(r.New)} {
		if math.IsNaN(x) || math.IsInf(x, 0) || x < 0 {
			t.Fatalf("%v in %+v", x, r)
		}
	}
}
