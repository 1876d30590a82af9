package draft_test

import (
	"fmt"

	"stampmill/app/draft"
	"stampmill/exercises/change"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A stroke is typed on the strip, a change is saved as the next step, and
// taken back.
func Example() {
	d := draft.New("adit", `title: Adit
tempo: 96
metre: 4/4

step: Timber
china | x x x x |
snare | . . X . |
kick  | x . . . | # two more to come
`, change.Catalogue())

	d, _ = d.Put(passage.Kick, meter.Int(1), false).Type('x')
	d, _ = d.Type('X')
	half, _ := change.Parse("half-time china")
	d, err := d.SaveAsStep(half)
	fmt.Println(d.Text(), err)
	fmt.Println("Undo:", d.UndoName())
	fmt.Println("Undo:", d.Undo().UndoName())

	// Output:
	// title: Adit
	// tempo: 96
	// metre: 4/4
	//
	// step: Timber
	// china | x x x x |
	// snare | . . X . |
	// kick  | x x X . | # two more to come
	//
	// step: Half-time china
	// from: Timber
	// do: half-time china
	// says: The china plays in half time.
	//  <nil>
	// Undo: The china plays in half time, as a step
	// Undo: accent on kick at 1.3
}
