package player

import (
	"fmt"
	"strconv"
	"strings"

	"stampmill/exercises/change"
	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Misread returns what a player plays in the place of step n (from 0) of a
// climb: the passage, and the slips to put into [Options]. The text is a change
// of the catalogue, an earlier step ("step 3"), or a slip as [Slip.String]
// writes it ("lose 1/4 at 2.3 in pass 2", "double 1/8 at 1.1"; without a pass,
// in every one). An error says "what; what to do".
func Misread(steps []passage.Step, n int, text string) (passage.Passage, []Slip, error) {
	written := steps[n].Passage
	word, rest, _ := strings.Cut(strings.ToLower(strings.TrimSpace(text)), " ")
	switch word {
	case "step":
		k, err := strconv.Atoi(strings.TrimSpace(rest))
		if err != nil || k < 1 || k > len(steps) {
			return written, nil, fmt.Errorf("there is no step %.20q; name one of 1 to %d", rest, len(steps))
		}
		return steps[k-1].Passage, nil, nil
	case "lose", "double":
		s, err := parseSlip(written, word == "double", rest)
		return written, []Slip{s}, err
	}
	c, err := change.Parse(text)
	if err != nil {
		return written, nil, err
	}
	p, err := c.Apply(written)
	if err != nil {
		return written, nil, fmt.Errorf("it does not fit this step: %w", err)
	}
	return p, nil, nil
}

// A Loop says how a player who plays something shorter or longer in the place
// of a passage begins again.
type Loop uint8

// The ways to begin again.
const (
	Run   Loop = iota // at its own end, passes and all, until the take is over
	Again             // with each pass as it is written, whatever is left out then
)

// Instead returns what is played in a take of the passage p by somebody who
// plays q in its place at the same speed, until the take is over as written.
// Voices of the part that q lacks are not played. The errors are those of
// [grade.Expect].
func Instead(p, q passage.Passage, t grade.Take, oneKey bool, loop Loop) (grade.Expected, error) {
	e, err := grade.Expect(p, t, oneKey)
	if err != nil {
		return e, err
	}
	end := float64(lastPass(e)) * e.PassSeconds
	t, ok := within(q, t)
	if !ok {
		return grade.Expected{Tempo: t.Tempo, PassSeconds: e.PassSeconds}, nil
	}
	t.Tempo *= q.Bars[0].Tempo.BPM.Float() / p.Bars[0].Tempo.BPM.Float()
	once := t
	once.Passes, once.Stopped = 1, grade.Optional{}
	out, err := grade.Expect(q, once, oneKey)
	if err != nil {
		return out, err
	}
	length := out.PassSeconds
	if loop == Again {
		length = e.PassSeconds
	}
	first := out.Onsets
	out.Onsets, out.PassSeconds = nil, length
	for pass := 1; float64(pass-1)*length < end-slack; pass++ {
		for _, o := range first {
			at := o.Seconds + float64(pass-1)*length
			if o.Seconds < length-slack && at < end-slack {
				out.Onsets = append(out.Onsets, grade.Onset{Position: o.Position, Pass: pass, Seconds: at})
			}
		}
	}
	return out, nil
}

// parseSlip reads "1/4 at 2.3 in pass 2".
func parseSlip(p passage.Passage, doubled bool, text string) (Slip, error) {
	length, rest, _ := strings.Cut(text, " at ")
	where, pass, some := strings.Cut(rest, " in ")
	s := Slip{Doubled: doubled}
	pass, s.Again = strings.CutSuffix(pass, comeAgain)
	if some && pass != everyPass {
		n, err := strconv.Atoi(strings.TrimPrefix(pass, "pass "))
		if err != nil || n < 1 {
			return s, fmt.Errorf("%.20q is no pass; write it like in pass 2, or leave it out for every pass", pass)
		}
		s.Pass = n
	}
	// The catalogue reads places and lengths; a stop has one of each.
	c, err := change.Parse("stop at " + where + " for " + length)
	if err != nil {
		return s, fmt.Errorf("%.40q is no length and place; write it like lose 1/4 at 2.3", text)
	}
	s.For = c.Args.By
	if s.From, err = at(p, c.Args.Places[0]); err != nil {
		return s, err
	}
	if !s.From.Add(s.For).Valid() || p.Length().Less(s.From.Add(s.For)) {
		return s, fmt.Errorf("%s at %s goes beyond the end; choose less", length, where)
	}
	return s, nil
}

// at returns the quarter notes of a place of the passage.
func at(p passage.Passage, spot passage.Place) (meter.Rat, error) {
	for _, b := range p.Beats() {
		if b.Bar == spot.Bar && b.Number == spot.Beat && spot.Into.Less(b.Length) {
			return b.At.Add(spot.Into), nil
		}
	}
	return meter.Rat{}, fmt.Errorf("there is no place %s; choose one of the bars", spot)
}
