package change

import (
	"strings"
	"testing"

	"stampmill/exercises/passage"
)

// long is a passage of 64 bars of 16 voices, the most there are: sixteenths in
// all.
func long(b testing.TB) passage.Passage {
	bars := strings.Repeat("| x.x. .x.x x..x xxx ", passage.MaxBars) + "|"
	var lines []string
	for _, v := range passage.Voices() {
		lines = append(lines, v.String()+" "+bars)
	}
	return read(b, "4/4", strings.Join(lines, " / "))
}

// BenchmarkApply makes changes of the longest passage there is. The last ones
// ask for what cannot be written.
func BenchmarkApply(b *testing.B) {
	p := long(b)
	for _, text := range []string{"half-time china", "add kick at 32.1+1/16", "reverse guitar kick at 7", "displace kick by 1/99999", "displace kick by 1/65536", "displace kick by 1/2431", "rotate kick by 1/29791"} {
		c, err := Parse(text)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(strings.ReplaceAll(text, " ", "_"), func(b *testing.B) {
			var err error
			for b.Loop() {
				_, err = c.Apply(p)
			}
			_ = err
		})
	}
}
