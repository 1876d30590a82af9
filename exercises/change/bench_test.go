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

// BenchmarkApplyUsual makes a change of two bars of five voices.
func BenchmarkApplyUsual(b *testing.B) {
	p := read(b, "4/4", "china | x . x . | x . x . | / snare | . . X . | . . X . | / kick | x.x. .x . ..x. | x.x. .x . xxx | / guitar | x.x. .x . ..x. | o--- x x b(3) | / bass | x.x. .x . ..x. | o--- x x x |")
	c, err := Parse("displace china by 1/16")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := c.Apply(p); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkApply makes changes of the longest passage there is. The last ones
// ask for what cannot be written.
func BenchmarkApply(b *testing.B) {
	p := changed(b, long(b), "thin china to 1/4")
	for _, text := range []string{"half-time china", "add kick at 32.1+1/16", "reverse guitar kick at 7", "displace kick by 1/99999", "displace kick by 1/65536", "rotate kick by 1/2431", "displace china by 1/1001", "displace china by 1/874", "displace china by 1/961"} {
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
