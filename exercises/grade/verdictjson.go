package grade

import (
	"encoding/json"
	"math"
)

// MarshalJSON writes the fields of the command line's `grade`. A number that
// cannot be told is null. Milliseconds are rounded to 0.001, BPM and shares
// to 0.0001.
func (v Verdict) MarshalJSON() ([]byte, error) {
	type tuplet struct {
		At      string    `json:"at"`
		Written string    `json:"written"`
		Played  []float64 `json:"played"`
		Nearest *string   `json:"nearest"`
	}
	tuplets := make([]tuplet, len(v.Tuplets))
	for i, t := range v.Tuplets {
		tuplets[i] = tuplet{At: t.Place.String(), Written: t.Written.String(), Played: make([]float64, len(t.Played))}
		for k, share := range t.Played {
			tuplets[i].Played[k] = rounded(share, 1e4)
		}
		if t.N > 0 {
			nearest := ratio(t.Nearest)
			tuplets[i].Nearest = &nearest
		}
	}
	return json.Marshal(struct {
		Expected   int         `json:"expected"`
		Matched    int         `json:"matched"`
		Missed     int         `json:"missed"`
		Extra      int         `json:"extra"`
		F25        float64     `json:"f25"`
		F50        float64     `json:"f50"`
		LeaningMS  *float64    `json:"leaning_ms"`
		SpreadMS   *float64    `json:"spread_ms"`
		DriftBPM   *float64    `json:"drift_bpm"`
		Tuplets    []tuplet    `json:"tuplets"`
		Misreading *Misreading `json:"misreading"`
		Sentences  []string    `json:"sentences"`
		Passed     bool        `json:"passed"`
	}{
		v.Expected, v.Matched, v.Missed, v.Extra, v.F25, v.F50,
		v.Leaning.known(1e3), v.Spread.known(1e3), v.Drift.known(1e4),
		tuplets, v.Misreading, append([]string{}, v.Sentences...), v.Passed,
	})
}

// known returns the rounded value, nil where it cannot be told.
func (f Figure) known(per float64) *float64 {
	if !f.OK {
		return nil
	}
	x := rounded(f.Value, per)
	return &x
}

// rounded returns x rounded to a whole multiple of 1/per, never minus zero.
func rounded(x, per float64) float64 { return math.Round(x*per)/per + 0 }
