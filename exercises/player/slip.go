package player

import (
	"fmt"
	"math/big"

	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Slip is a stretch of a pass that the player loses or plays twice, so that
// all that follows comes too soon or too late.
type Slip struct {
	From    meter.Rat // quarter notes from the first downbeat of the passage
	For     meter.Rat // quarter notes, above 0
	Doubled bool      // played twice; else lost
	Pass    int       // in which pass, from 1; 0: in each
}

const everyPass = "every pass"

// String says what happens and where, such as "lose 1/4 at 2.3 in pass 2".
func (s Slip) String(p passage.Passage) string {
	word, when := "lose", everyPass
	if s.Doubled {
		word = "double"
	}
	if s.Pass > 0 {
		when = fmt.Sprintf("pass %d", s.Pass)
	}
	return fmt.Sprintf("%s %s at %s in %s", word, meter.FormatLength(s.For), p.Place(s.From), when)
}

// Of returns what is played in a take with the slip. The passage is that which
// is written, the tempo that of the take; all bars are played.
func (s Slip) Of(e grade.Expected, p passage.Passage, bpm float64) grade.Expected {
	at := secondsOf(p, bpm)
	from, to := at(s.From), at(s.From.Add(s.For))
	out := e
	out.Onsets = nil
	late := 0.0
	for pass := 1; pass <= lastPass(e); pass++ {
		slips := s.Pass == 0 || s.Pass == pass
		for _, o := range e.Onsets {
			if o.Pass != pass {
				continue
			}
			within := e.Positions[o.Position].Seconds
			inside := within >= from-slack && within < to-slack
			if !(slips && !s.Doubled && inside) {
				again := o
				again.Seconds += late + s.after(slips, within >= to-slack, to-from)
				out.Onsets = append(out.Onsets, again)
			}
			if slips && s.Doubled && inside {
				again := o
				again.Seconds += late + to - from
				out.Onsets = append(out.Onsets, again)
			}
		}
		late += s.after(slips, true, to-from)
	}
	return out
}

// slack keeps rounding from putting a stroke on the wrong side of an edge, in
// seconds.
const slack = 1e-9

// after returns by how much what follows a slip comes later.
func (s Slip) after(slips, follows bool, seconds float64) float64 {
	switch {
	case !slips || !follows:
		return 0
	case s.Doubled:
		return seconds
	}
	return -seconds
}

func lastPass(e grade.Expected) int {
	if len(e.Onsets) == 0 {
		return 0
	}
	return e.Onsets[len(e.Onsets)-1].Pass
}

// secondsOf returns what turns a place of the passage into seconds from its
// first downbeat, where the first bar has a tempo of bpm.
func secondsOf(p passage.Passage, bpm float64) func(meter.Rat) float64 {
	m, err := p.TempoMap()
	if err != nil {
		return func(meter.Rat) float64 { return 0 }
	}
	slower := new(big.Rat).SetFloat64(bpm)
	slower.Quo(p.Bars[0].Tempo.BPM.Big(), slower)
	return func(at meter.Rat) float64 {
		f, _ := new(big.Rat).Mul(m.Exact(at), slower).Float64()
		return f
	}
}
