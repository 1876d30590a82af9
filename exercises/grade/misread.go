package grade

// A Misreading names what was played instead of the part as written, where
// that explains the take better.
type Misreading struct {
	Change   string   `json:"change"`         // text of the catalogue, where it has one
	Sentence string   `json:"sentence"`       // what was played, where, and not what
	Odds     float64  `json:"odds"`           // against as written
	Also     []string `json:"also,omitempty"` // other changes that make the same onsets
}
