package ear

import "testing"

// BenchmarkTrial makes a trial of each task from steps of two bars.
func BenchmarkTrial(b *testing.B) {
	for _, task := range Tasks() {
		b.Run(task.Name, func(b *testing.B) {
			seed := uint64(0)
			for b.Loop() {
				seed++
				if _, err := Next(task, sources()[13:20], task.Scale.High, seed, Trial{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
