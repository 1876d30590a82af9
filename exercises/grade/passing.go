package grade

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
	n := float64(v.Expected)
	return v.Expected > 0 &&
		float64(v.Matched) >= p.Hits*n-countSlack &&
		float64(v.Extra) <= p.Extra*n+countSlack &&
		v.Spread.OK && v.Spread.Value <= p.SpreadMS+spreadSlackMS &&
		v.Misreading == nil
}

// Rounding of a product such as 0.95*20 must not decide whether a take passes.
const (
	countSlack    = 1e-9 // strokes
	spreadSlackMS = 1e-6
)
