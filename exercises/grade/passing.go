package grade

import (
	"fmt"
	"math"
)

// Passing is what it takes to pass a step, besides that no tuplet came out as
// another ratio. It is the teacher's or the player's to set.
type Passing struct {
	Hits     float64 // least share of the written strokes played, 0 to 1
	Extra    float64 // largest number of extra taps as a share of the written strokes
	SpreadMS float64 // largest spread
}

// DefaultPassing is our choice.
var DefaultPassing = Passing{Hits: 0.95, Extra: 0.05, SpreadMS: 20}

// passed reports whether v reaches the marks. A spread that cannot be told
// for want of strokes does not pass.
func (p Passing) passed(v *Verdict) bool {
	return v.Expected > 0 &&
		p.hit(v) &&
		v.Spread.OK && !p.wide(v.Spread) &&
		v.Misreading == nil
}

// hit reports whether enough strokes were hit, and not too many.
func (p Passing) hit(v *Verdict) bool {
	return v.Matched >= p.HitsOf(v.Expected) && v.Extra <= p.ExtraOf(v.Expected)
}

// wide reports whether a spread is too wide to pass.
func (p Passing) wide(spread Figure) bool { return spread.Value > p.SpreadMS+spreadSlackMS }

// Bounds of the marks. Our choice: fewer hits than half are not the step, and
// beyond 50 ms a stroke is nearer to its neighbours in fast runs.
const (
	LeastHits   = 0.5
	MostExtra   = 1.0
	LeastSpread = 1.0
	MostSpread  = 50.0
)

// Check returns an error for people where a mark is outside its bounds.
func (p Passing) Check() error {
	switch {
	case !(p.Hits >= LeastHits && p.Hits <= 1):
		return fmt.Errorf("hits of %g are outside %g to 1; choose the share of the strokes to be hit", p.Hits, LeastHits)
	case !(p.Extra >= 0 && p.Extra <= MostExtra):
		return fmt.Errorf("extra hits of %g are outside 0 to %g; choose a share of the strokes", p.Extra, MostExtra)
	case !(p.SpreadMS >= LeastSpread && p.SpreadMS <= MostSpread):
		return fmt.Errorf("a spread of %g ms is outside %g to %g; choose one inside", p.SpreadMS, LeastSpread, MostSpread)
	}
	return nil
}

// HitsOf returns how many of n strokes must be hit.
func (p Passing) HitsOf(n int) int { return int(math.Ceil(p.Hits*float64(n) - countSlack)) }

// ExtraOf returns how many hits too many n strokes may have.
func (p Passing) ExtraOf(n int) int { return int(math.Floor(p.Extra*float64(n) + countSlack)) }

// Rounding of a product such as 0.95*20 must not decide whether a take passes.
const (
	countSlack    = 1e-9 // strokes
	spreadSlackMS = 1e-6
)
