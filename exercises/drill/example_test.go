package drill_test

import (
	"fmt"

	"stampmill/exercises/drill"
)

func ExampleParse() {
	climb, problems := drill.Parse("winze.drill", []byte(`
title: Winze
tempo: 3/8=80
metre: 6/8

step: Down
kick  | x.x x.x | % |
snare | ... X.. | % |
`), nil)
	fmt.Println(problems.Err())
	p := climb.Steps[0].Passage
	for _, s := range p.Lines[0].Strokes[:4] {
		fmt.Println(p.Place(s.At), s.Kind, "for", s.Length)
	}
	// Output:
	// <nil>
	// 1.1 hit for 1/2
	// 1.1+1/4 hit for 1/2
	// 1.2 hit for 1/2
	// 1.2+1/4 hit for 1/2
}

func ExampleProblems() {
	_, problems := drill.Parse("winze.drill", []byte(`title: Winze
tempo: 90
metre: 4/4
step: Down
kick  | x x x |
snare | . X . o |
do: half-time snare
`), nil)
	fmt.Println(problems)
	// Output:
	// winze.drill:5:14: bar 1 has 3 beats where 4/4 has 4; separate beats by spaces; write . for a silent beat
	// winze.drill:6:15: snare cannot play 'o' (open); it plays x hit, X accent, g ghost, f flam, d drag, r rim
	// winze.drill:7:5: the first step has none before it to change; write the first step out in voice lines
	// winze.drill:7:5: no change is called "half-time"; write the step's voice lines out
}

func ExamplePrint() {
	climb, _ := drill.Parse("winze.drill", []byte("title: Winze\ntempo: 90\nmetre: 4/4\nstep: Down # a comment\nkick|x.x. 2:xxx .|%|\nChina|x x x x|x x x x|"), nil)
	text, err := drill.Print(climb)
	fmt.Print(string(text), err)
	// Output:
	// title: Winze
	// tempo: 90
	// metre: 4/4
	// tuning: A1
	//
	// step: Down
	// kick  | x.x. 2:xxx . | x.x. 2:xxx . |
	// china | x    x  x  x | x    x  x  x |
	// <nil>
}
