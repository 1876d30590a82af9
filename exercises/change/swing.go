package change

import (
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

func swing(p *passage.Passage, a Args) error {
	all, err := a.stretches(*p)
	if err != nil {
		return err
	}
	beats := p.Beats()
	for _, v := range a.Voices {
		l, err := lineOf(p, v)
		if err != nil {
			return err
		}
		changed := false
		for _, b := range beats {
			beat := stretch{b.At, b.At.Add(b.Length)}
			i := slices.IndexFunc(all, func(s stretch) bool { return s.from.Less(beat.to) && beat.from.Less(s.to) })
			if i >= 0 && swingBeat(l, beat, all[i]) {
				changed = true
			}
		}
		if !changed {
			return refuse("choose another place", "the %s has no second half of a beat, nor of a half beat, to come late%s", v, a.there(*p))
		}
	}
	return nil
}

// Where the second of a swung pair begins, as a share of the pair: two to one,
// the split of the word in common practice.
var swungAt = meter.R(2, 3)

// swingBeat lets the second strokes of the pairs of one beat come late, those
// that lie in a stretch; false when there are none or their new places are
// taken.
func swingBeat(l *passage.Line, beat, within stretch) bool {
	old := strokesIn(*l, beat)
	pair := pairOf(old, beat)
	out := slices.Clone(old)
	moved := false
	for i, s := range out {
		first := beat.from.Add(pair.Mul(meter.Int(s.At.Sub(beat.from).Div(pair).Floor())))
		at := first.Add(pair.Mul(swungAt))
		switch {
		case s.At != first.Add(pair.Div(meter.Int(2))) || !within.holds(s.At):
			continue
		case !within.holds(at) || i+1 < len(out) && !at.Less(out[i+1].At):
			return false
		}
		out[i].At, out[i].Length = at, s.End().Sub(at)
		if !at.Less(s.End()) {
			out[i].Length = first.Add(pair).Sub(at)
		}
		moved = true
	}
	if moved {
		put(l, beat, out)
		ungroup(l, beat)
	}
	return moved
}

// pairOf returns how long two cells are together of which the second swings:
// half a beat where a stroke stands on a sixteenth (of a dotted beat a third,
// always), else a beat.
func pairOf(strokes []passage.Stroke, beat stretch) meter.Rat {
	if dotted(beat.length()) {
		return beat.length().Div(meter.Int(3))
	}
	quarter := beat.length().Div(meter.Int(4))
	if slices.ContainsFunc(strokes, func(s passage.Stroke) bool {
		cells := s.At.Sub(beat.from).Div(quarter)
		return cells.Den() == 1 && cells.Num()%2 == 1
	}) {
		return beat.length().Div(meter.Int(2))
	}
	return beat.length()
}

func swung(p passage.Passage, a Args) string {
	where := a.where(p)
	swings := agree(a.Voices, "swings", "swing")
	if where == "" {
		swings += ":"
	} else {
		where += ":"
	}
	return said(subject(a.Voices), swings, where, "the second stroke of each pair comes late, as in a triplet")
}
