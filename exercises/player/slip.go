package player

import (
	"cmp"
	"fmt"
	"math/big"
	"slices"

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
	Again   bool      // the next pass begins where it is written all the same
}

const (
	everyPass = "every pass"
	comeAgain = " and come in again"
)

// String says what happens and where, such as "lose 1/4 at 2.3 in pass 2".
func (s Slip) String(p passage.Passage) string {
	word, when := "lose", everyPass
	if s.Doubled {
		word = "double"
	}
	if s.Pass > 0 {
		when = fmt.Sprintf("pass %d", s.Pass)
	}
	if s.Again {
		when += comeAgain
	}
	return fmt.Sprintf("%s %s at %s in %s", word, meter.FormatLength(s.For), p.Place(s.From), when)
}

// Of returns what is played in a take with the slip: the player goes on until
// the take is over as written. The passage is that which is written, the tempo
// that of the take; all bars are played.
func (s Slip) Of(e grade.Expected, p passage.Passage, bpm float64) grade.Expected {
	seconds := secondsOf(p, bpm)
	from, to := seconds(s.From), seconds(s.From.Add(s.For))
	last := lastPass(e)
	end := float64(last) * e.PassSeconds
	e.Onsets = nil
	length := to - from
	if !s.Doubled {
		length = -length
	}
	start := 0.0 // of the pass
	for pass := 1; start < end-slack; pass++ {
		slips := s.Pass == 0 || s.Pass == pass
		for i, pos := range e.Positions {
			at := start + pos.Seconds
			if s.Again && slips && pos.Seconds >= to-slack && at+length >= start+e.PassSeconds-slack {
				continue // the next pass has begun
			}
			inside := slips && pos.Seconds >= from-slack && pos.Seconds < to-slack
			if slips && (pos.Seconds >= to-slack || inside && s.Doubled) {
				e.Onsets = append(e.Onsets, grade.Onset{Position: i, Pass: min(pass, last), Seconds: at + length})
			}
			if !slips || pos.Seconds < from-slack || inside && s.Doubled {
				e.Onsets = append(e.Onsets, grade.Onset{Position: i, Pass: min(pass, last), Seconds: at})
			}
		}
		start += e.PassSeconds
		if slips && !s.Again {
			start += length
		}
		if start < slack && pass > 1 {
			break // all of each pass is lost
		}
	}
	e.Onsets = slices.DeleteFunc(e.Onsets, func(o grade.Onset) bool { return o.Seconds >= end-slack })
	slices.SortStableFunc(e.Onsets, func(a, b grade.Onset) int { return cmp.Compare(a.Seconds, b.Seconds) })
	return e
}

// slack keeps rounding from putting a stroke on the wrong side of an edge, in
// seconds.
const slack = 1e-9

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
