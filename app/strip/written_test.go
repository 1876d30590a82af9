package strip_test

import (
	"strings"
	"testing"

	"stampmill/app/strip"
	"stampmill/exercises/drill"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// written reads the voice lines of one step.
func written(t testing.TB, metre, tempo string, lines ...string) passage.Passage {
	t.Helper()
	text := "title: Test\ntempo: " + tempo + "\nmetre: " + metre + "\nstep: One\n" + strings.Join(lines, "\n") + "\n"
	climb, problems := drill.Parse("test.drill", []byte(text), nil)
	if err := problems.Err(); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return climb.Steps[0].Passage
}

// headframe is four bars and the same with a triplet over the last two beats.
func headframe(t testing.TB) (before, after passage.Passage) {
	lines := []string{
		"china  | x . x .        | x . x .        | x . x x!       | x . x .        |",
		"snare  | . . X .        | . . X .        | . . X .        | . . X .        |",
	}
	before = written(t, "4/4", "96", append(lines,
		"kick   | x.xx ..x. .x.. x.x. | x.xx ..x. .x.. x.x. | x.xx ..x. .x.. x.x. | x.xx ..x. x. x.    |",
		"guitar | x-xx ..x- .x-- x-x- | x-xx ..x- .x-- x-x- | x-xx ..x- .x-- x-x- | x-xx ..x- x- x-    |")...)
	after = written(t, "4/4", "96", append(lines,
		"kick   | x.xx ..x. .x.. x.x. | x.xx ..x. .x.. x.x. | x.xx ..x. .x.. x.x. | x.xx ..x. 2:xxx    |",
		"guitar | x-xx ..x- .x-- x-x- | x-xx ..x- .x-- x-x- | x-xx ..x- .x-- x-x- | x-xx ..x- 2:xxb    |")...)
	return before, after
}

// gangue is four bars as somebody writes them: triplets, a bend, a group over
// two beats.
func gangue(t testing.TB) passage.Passage {
	return written(t, "4/4", "88",
		"china  | x . x . | x . x . | x x x x | x . x . |",
		"snare  | . . X . | . . X . | . . X . | . . X g.f. |",
		"kick   | x..x x.x. .xx. x.x. | x..x x.x. .xx. ..xx | x.xx .x.x .xx. x.x. | xxx ..x. 2:xx-xx |",
		"guitar | x--x x-x- .xx- x-x- | x--x x-x- .xx- ..xx | x-xx .x-x .xx- x-x! | xxx ..x- 2:x-b |")
}

// gangues is its third bar before and after a triplet.
func gangues(t testing.TB) strip.Pair {
	after := written(t, "4/4", "88",
		"china  | x . x . | x . x . | x x x x | x . x . |",
		"snare  | . . X . | . . X . | . . X . | . . X g.f. |",
		"kick   | x..x x.x. .xx. x.x. | x..x x.x. .xx. ..xx | xxx .x.x .xx. x.x. | xxx ..x. 2:xx-xx |",
		"guitar | x--x x-x- .xx- x-x- | x--x x-x- .xx- ..xx | xxx .x-x .xx- x-x! | xxx ..x- 2:x-b |")
	return strip.Pair{Before: gangue(t), After: after, Width: 460}
}

// hits gives each kick stroke from a place on an error; 0 stands for missed.
func hits(p passage.Passage, from meter.Rat, ms ...float64) (out []hit) {
	line, _ := p.Line(passage.Kick)
	for _, s := range line.Strokes {
		if s.At.Less(from) || len(ms) == 0 {
			continue
		}
		h := hit{Voice: passage.Kick, At: s.At, Errors: ms[:1]}
		if ms[0] == 0 {
			h.Errors, h.Missed = nil, 1
		}
		out, ms = append(out, h), ms[1:]
	}
	return out
}
