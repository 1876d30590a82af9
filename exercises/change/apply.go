package change

import (
	"slices"
	"sort"
	"strings"

	"stampmill/exercises/limbs"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Apply makes the change and returns the new passage; p stays as it is. The
// result is within the limits of package passage and has groups for every
// beat. A refusal says why and what to do, and returns p.
//
// Refused always: p is outside the limits; nothing would change, in the
// passage or in a voice that the text names; the result would be outside the
// limits or could not be written; four limbs could not play it, though they
// could play p, unless the drums are programmed (Machine).
func (c Change) Apply(p passage.Passage) (passage.Passage, error) {
	c, err := c.read()
	if err != nil {
		return p, err
	}
	if problems := passage.Check(p); len(problems) > 0 {
		return p, refuse("mend the passage first", "%s: %s", problems[0].Place, problems[0].What)
	}
	out := p.Clone()
	if err := c.Entry.effect(&out, c.Args); err != nil {
		return p, err
	}
	if err = placed(p, out); err == nil {
		out, err = finish(p, out)
	}
	if err == nil {
		err = c.unchanged(p, out)
	}
	if err == nil {
		err = playable(p, out)
	}
	if err != nil {
		return p, err
	}
	return out, nil
}

// read returns the change as its text is read, so that parameters that no text
// can give are refused.
func (c Change) read() (Change, error) {
	if c.Entry == nil {
		return c, refuse("choose one of the catalogue", "there is no change")
	}
	return Parse(c.String())
}

// maxParts is the finest division of a beat in which a change may put a
// stroke: cells, each cut into cells again. Our choice: hands read no finer, and
// what is finer takes long to find cells for.
const maxParts = passage.MaxCells * passage.MaxCells

// placed refuses strokes without an exact place, two at one place, those in
// parts of a beat that are too fine, and too many.
func placed(p, out passage.Passage) error {
	n := 0
	beats := out.Beats()
	for _, l := range out.Lines {
		n += len(l.Strokes)
		was, _ := p.Line(l.Voice)
		for i, s := range l.Strokes {
			old, ok := strokeAt(was, s.At)
			switch {
			case !s.At.Valid() || !s.Length.Valid() || !s.End().Valid():
				return refuse("use simpler note values", "a stroke of the %s has no exact place", l.Voice)
			case i > 0 && !l.Strokes[i-1].At.Less(s.At):
				return refuse("leave one out first", "two strokes of the %s meet at %s", l.Voice, out.Place(s.At))
			case !(ok && old == s) && tooFine(beats, s.At), l.Voice.Sustained() && !(ok && old == s) && tooFine(beats, s.End()):
				return refuse("use simpler note values", "a stroke of the %s in bar %d would stand in parts of a beat that are too fine to write", l.Voice, out.Place(s.At).Bar)
			}
		}
	}
	if n > MaxStrokes {
		return refuse("use a longer note value or a shorter part", "there would be more than %d strokes", MaxStrokes)
	}
	return nil
}

// tooFine reports whether no cells can have a border at a place.
func tooFine(beats []passage.Beat, at meter.Rat) bool {
	b := beats[beatIndex(beats, at)]
	return !writable(at.Sub(b.At).Div(b.Length))
}

// beatIndex returns the index of the beat in which a place lies.
func beatIndex(beats []passage.Beat, at meter.Rat) int {
	return max(sort.Search(len(beats), func(i int) bool { return at.Less(beats[i].At) })-1, 0)
}

// writable reports whether a share of a beat can be a place in cells.
func writable(share meter.Rat) bool {
	d := share.Den() // 0 for a share that is no exact number
	if d < 1 || d > maxParts {
		return false
	}
	for n := int64(2); n <= passage.MaxCells; n++ {
		for d%n == 0 {
			d /= n
		}
	}
	return d == 1
}

// finish gives one-cell strokes their lengths and every beat its groups, and
// refuses what is outside the limits. Lines that are as they were in p, which
// is within the limits, need not be looked at again.
func finish(p, out passage.Passage) (passage.Passage, error) {
	loosen(p, out)
	out, problems := settle(out)
	if len(problems) == 0 && len(out.Lines) > passage.MaxLines {
		problems = passage.Check(out)
	}
	if len(problems) == 0 {
		problems = passage.Check(touched(p, out, sameLine))
	}
	if len(problems) == 0 {
		out, problems = out.Regroup()
	}
	if len(problems) > 0 {
		return out, limits(problems[0])
	}
	return out, nil
}

// touched returns out with the lines only that are not as they were in p. All
// lines are touched where the bars are not the same.
func touched(p, out passage.Passage, same func(a, b passage.Line) bool) passage.Passage {
	if !slices.Equal(p.Bars, out.Bars) {
		return out
	}
	all := out.Lines
	out.Lines = nil
	for _, l := range all {
		if was, ok := p.Line(l.Voice); !ok || !same(was, l) {
			out.Lines = append(out.Lines, l)
		}
	}
	return out
}

func sameLine(a, b passage.Line) bool {
	return slices.Equal(a.Strokes, b.Strokes) && slices.Equal(a.Groups, b.Groups)
}

func sameStrokes(a, b passage.Line) bool { return slices.Equal(a.Strokes, b.Strokes) }

func limits(p passage.Problem) error {
	if p.Voice.Valid() {
		return refuse(p.Do, "the change leaves the limits: %s at %s: %s", p.Voice, p.Place, p.What)
	}
	return refuse(p.Do, "the change leaves the limits: %s: %s", p.Place, p.What)
}

// settle gives each stroke of length 0 the length of the cell it falls in. The
// cells are those that hold the onsets, the written ones where they do; bars
// in which there are none are problems.
func settle(out passage.Passage) (passage.Passage, passage.Problems) {
	loose := out
	loose.Lines = nil
	for _, l := range out.Lines {
		if slices.ContainsFunc(l.Strokes, unsettled) {
			l.Strokes = slices.Clone(l.Strokes)
			for i := range l.Strokes {
				if unsettled(l.Strokes[i]) {
					l.Strokes[i].Kind = passage.Choke // its end needs no cell
					l.Strokes[i].Length = meter.R(1, meter.MaxDen)
				}
			}
			loose.Lines = append(loose.Lines, l)
		}
	}
	loose, problems := loose.Regroup()
	for i := range out.Lines {
		if cells, ok := loose.Line(out.Lines[i].Voice); ok {
			settleLine(out.Lines[i].Strokes, cells.Groups)
		}
	}
	return out, problems
}

// loosen makes the strokes of p that stay last one cell, in voices that do not
// sound as long as they are written, where another has come into their beat:
// else they would look held.
func loosen(p, out passage.Passage) {
	if !slices.Equal(p.Bars, out.Bars) {
		return
	}
	beats := out.Beats()
	for i, l := range out.Lines {
		was, ok := p.Line(l.Voice)
		if l.Voice.Sustained() || !ok || slices.Equal(was.Strokes, l.Strokes) {
			continue
		}
		out.Lines[i].Strokes = slices.Clone(l.Strokes)
		for _, b := range beats {
			beat := stretch{b.At, b.At.Add(b.Length)}
			if in := strokesIn(out.Lines[i], beat); !slices.EqualFunc(in, strokesIn(was, beat), sameOnset) {
				oneCellAs(in, was)
			}
		}
	}
}

func sameOnset(a, b passage.Stroke) bool { return a.At == b.At }

// oneCellAs makes those strokes last one cell that are as they were.
func oneCellAs(strokes []passage.Stroke, was passage.Line) {
	for i, s := range strokes {
		if old, ok := strokeAt(was, s.At); ok && old == s {
			strokes[i].Length = meter.Rat{}
		}
	}
}

// unsettled reports whether a stroke is to last one cell.
func unsettled(s passage.Stroke) bool { return s.Length == (meter.Rat{}) }

// settleLine sets the lengths of unsettled strokes by the groups that hold
// them, up to the next stroke.
func settleLine(strokes []passage.Stroke, groups []passage.Group) {
	for i := range strokes {
		s := &strokes[i]
		if !unsettled(*s) {
			continue
		}
		for len(groups) > 0 && !s.At.Less(groups[0].End()) {
			groups = groups[1:]
		}
		s.Length = cellAt(groups, s.At)
		if i+1 < len(strokes) && strokes[i+1].At.Less(s.End()) {
			s.Length = strokes[i+1].At.Sub(s.At)
		}
	}
}

// cellAt returns the length of the smallest cell that begins at a place, 0
// where no cell does. The first group is the first that ends after the place.
func cellAt(groups []passage.Group, at meter.Rat) meter.Rat {
	var cell meter.Rat
	for _, g := range groups {
		if at.Less(g.At) {
			break
		}
		if at.Less(g.End()) && g.Cell().Divides(at.Sub(g.At)) {
			cell = g.Cell()
		}
	}
	return cell
}

// unchanged refuses a change that leaves everything as it was, or a voice that
// the text names.
func (c Change) unchanged(p, out passage.Passage) error {
	if passage.Same(p, out) {
		return refuse("choose another, or another place", "nothing would change")
	}
	for _, v := range c.Args.Voices {
		was, _ := p.Line(v)
		now, _ := out.Line(v)
		if slices.Equal(was.Strokes, now.Strokes) {
			return refuse("leave it out, or choose another place", "nothing would change in the %s", v)
		}
	}
	return nil
}

// playable refuses what four limbs cannot play, where they could play p. Who
// plays what he played in p need not be asked again.
func playable(p, out passage.Passage) error {
	if p.Machine {
		return nil
	}
	problems := limbs.Problems(busy(p, out), limbs.Two)
	if len(problems) == 0 || len(limbs.Problems(p, limbs.Two)) > 0 {
		return nil
	}
	return refuse(problems[0].Do, "nobody could play it: %s: %s", problems[0].Place, problems[0].What)
}

// busy returns out with the lines only of those who play something else than in
// p: each string player alone, the drummer with all drums and cymbals.
func busy(p, out passage.Passage) passage.Passage {
	changed := touched(p, out, sameStrokes)
	kit := slices.ContainsFunc(changed.Lines, func(l passage.Line) bool { return side(l.Voice) == "kit" }) || len(out.Lines) < len(p.Lines)
	if !kit {
		return changed
	}
	all := out.Lines
	out.Lines = nil
	for _, l := range all {
		if _, ok := changed.Line(l.Voice); ok || side(l.Voice) == "kit" {
			out.Lines = append(out.Lines, l)
		}
	}
	return out
}

// voiceNames lists the voices of a passage for hints.
func voiceNames(p passage.Passage) string {
	var all []string
	for _, l := range p.Lines {
		all = append(all, l.Voice.String())
	}
	return strings.Join(all, ", ")
}
