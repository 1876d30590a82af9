package limbs_test

import (
	"fmt"

	"stampmill/exercises/drill"
	"stampmill/exercises/limbs"
)

func Example() {
	text := `title: Ore bin
tempo: 120
metre: 4/4
step: Bin
china      | x x x x       |
crash-left | . . . .x      |
snare      | . X . Xx      |
kick       | x . x ....xx.. |
guitar     | x . x xx      |
`
	climb, _ := drill.Parse("ore-bin.drill", []byte(text), nil)
	p := climb.Steps[0].Passage
	sticks, _ := limbs.Play(p, limbs.Two)
	for _, s := range sticks[:4] {
		fmt.Println(p.Place(s.At), s.Voice, s.Limb)
	}
	for _, r := range limbs.Rows(p, limbs.Two) {
		fmt.Print(r.Voice, ":")
		for _, m := range r.Marks {
			fmt.Print(" ", m.Letter)
		}
		fmt.Println()
	}
	// Output:
	// 1.1 china right hand
	// 1.1 kick right foot
	// 1.2 china right hand
	// 1.2 snare left hand
	// china: R R R R
	// crash-left: R
	// snare: L L L
	// kick: R R R L
	// guitar: D D D D
}

func ExampleProblems() {
	text := `title: Ore bin
tempo: 220
metre: 4/4
step: Bin
china      | x x x x       |
crash-left | . x . .       |
snare      | . X . .       |
kick       | x . xxxx x    |
`
	climb, _ := drill.Parse("ore-bin.drill", []byte(text), nil)
	fmt.Println(limbs.Problems(climb.Steps[0].Passage, limbs.One))
	// Output:
	// snare at 1.2: three hands: china, crash-left, snare; leave one out, or move it to another place
	// kick at 1.3+1/16: the right foot would strike the kick twice within 68 ms; use a second pedal, slow down, or leave one out
}
