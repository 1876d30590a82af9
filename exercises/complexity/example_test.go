package complexity_test

import (
	"fmt"

	"stampmill/exercises/complexity"
	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

func ExampleRate() {
	climb, _ := drill.Parse("headframe.drill", []byte(`
title: Headframe
tempo: 100
metre: 4/4

step: Stamp
china  | x x x x |
kick   | x x . x |

step: Late answer
china  | x    x    x    x |
kick   | x..x x..x .x.x x |
`), nil)
	var before *passage.Passage
	for _, s := range climb.Steps {
		r := complexity.Rate(before, s.Passage)
		fmt.Printf("%s: syncopation %d, %.1f strokes a second of the %s, %d new\n", s.Title, r.Syncopation, r.PeakRate, r.Fastest, r.New)
		before = &s.Passage
	}
	for _, s := range complexity.Syncopes(*before, complexity.Levels) {
		fmt.Println(before.Place(s.At), "before", before.Place(s.Against), "degree", s.Degree)
	}
	// Output:
	// Stamp: syncopation 0, 1.7 strokes a second of the right hand, 7 new
	// Late answer: syncopation 14, 3.3 strokes a second of the right foot, 4 new
	// 1.2+3/16 before 1.3 degree 7
	// 1.3+1/16 before 1.3+1/8 degree 7
}
