package grade

// How a misreading is found. The hypotheses are: as written; every reading of
// the catalogue of changes ([change.Reader]); strokes left out or added in
// nearly every pass; the other steps of the climb; two instruments exchanged;
// time lost or played twice. Those that come to the same strokes are one class,
// which the simplest of them names.
//
// How likely a take is under a class: taps are matched with its strokes in
// order, so that the likelihood is greatest (dynamic programming). A matched tap
// has a normal error about lean + rate * time with the player's own spread, of
// which a part is the same at one place in every pass; a stroke without a tap is
// a miss, a tap without a stroke a stray from anywhere in the take. Lean, rate
// and spread are the likeliest ones for each class by itself, held by weak
// priors; the chances of misses and strays are summed over (beta-binomial for
// each lane, gamma-Poisson). As all classes have the same continuous parameters,
// the penalty of BIC (Schwarz 1978, Ann. Stat. 6, 461-464; from memory) is the
// same for all and falls out; what remains is a prior by the length of what
// there is to say: the chance that anything is misread, of its kind, its voices,
// its place and its amount, so that many hypotheses are not many chances of a
// false word. With D the nats that a class takes to say and L its likelihood,
//
//	odds = L(class) / L(as written) * exp(-D)
//
// The likeliest class is named when its odds pass 20:1, it explains three fifths
// of the strokes and taps, and its change can be made with all checks.
//
// The work: for each lane and beat the tension is what any reading could gain
// there, by its misses, strays and mean errors; scopes of readings whose tension
// does not reach what they take to say, or what was found already, are not
// tried. Readings are sifted at one spread and under two trends, the taps' own
// and none, each voice by itself; the two dozen best are then fitted. Every piece
// is linear in the strokes and taps of the take.

// A Misreading names what was played instead of the part as written, where
// that explains the take better.
type Misreading struct {
	Change   string   `json:"change"`         // text of the catalogue, where it has one
	Sentence string   `json:"sentence"`       // what was played, where, and not what
	Odds     float64  `json:"odds"`           // against as written
	Also     []string `json:"also,omitempty"` // other changes that make the same onsets
}
