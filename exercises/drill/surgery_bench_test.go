package drill

import (
	"fmt"
	"testing"

	"stampmill/exercises/passage"
)

// BenchmarkReplaceOneStroke changes a stroke of the kick in the largest step,
// as the strip does, and reads the text that comes out.
func BenchmarkReplaceOneStroke(b *testing.B) {
	for _, bars := range []int{16, 64} {
		b.Run(fmt.Sprintf("bars=%d", bars), func(b *testing.B) {
			var r Reader
			reading := r.Read("full.drill", full(bars), nil)
			kinds := []passage.Kind{passage.Accent, passage.Hit}
			for i := 0; b.Loop(); i++ {
				s, _ := reading.Step(0)
				s.Passage = s.Passage.Clone()
				s.Passage.Lines[6].Strokes[0].Kind = kinds[i%2]
				text, err := reading.Replace(0, s)
				if err != nil {
					b.Fatal(err)
				}
				if reading = r.Read("full.drill", text, nil); len(reading.Problems) > 0 {
					b.Fatal(reading.Problems)
				}
			}
		})
	}
}
