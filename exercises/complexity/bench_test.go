package complexity_test

import (
	"fmt"
	"testing"

	"stampmill/exercises/complexity"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// long returns bars of four voices in syncopated sixteenths and quintuplets.
func long(bars int) passage.Passage {
	p := passage.Passage{}
	for range bars {
		p.Bars = append(p.Bars, passage.Bar{Metre: meter.CommonTime, Tempo: meter.Tempo{BPM: meter.Int(100)}})
	}
	for i, v := range []passage.Voice{passage.China, passage.Snare, passage.Kick, passage.Guitar} {
		l := steadyLine(p, v, int64(4+i%2))
		for j := 0; j < len(l.Strokes); j += 3 {
			l.Strokes[j].Kind = passage.Accent
		}
		p.Lines = append(p.Lines, l)
	}
	return p
}

// BenchmarkRate rates whole steps; the time a stroke stays as passages grow.
func BenchmarkRate(b *testing.B) {
	for _, bars := range []int{4, 16, 64} {
		p := long(bars)
		b.Run(fmt.Sprintf("%d bars", bars), func(b *testing.B) {
			for b.Loop() {
				complexity.Rate(&p, p)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*count(p)), "ns/stroke")
		})
	}
}
