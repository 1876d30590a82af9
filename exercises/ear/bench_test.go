package ear

import "testing"

// BenchmarkTrial makes a trial of each task from a step of two bars.
func BenchmarkTrial(b *testing.B) {
	for _, task := range Tasks() {
		b.Run(task.Name, func(b *testing.B) {
			seed := uint64(0)
			for b.Loop() {
				seed++
				if _, err := task.Trial(sources()[13], task.Scale.High, seed); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
