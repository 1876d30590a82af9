package change

import (
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A difference is one place where a voice of two passages differs. The stroke
// on the side that has none has no kind.
type difference struct {
	voice    passage.Voice
	at       meter.Rat
	was, now passage.Stroke
}

func (d difference) added() bool   { return !d.was.Kind.Valid() }
func (d difference) removed() bool { return !d.now.Kind.Valid() }

// cut reports whether a stroke only ends sooner: it is where it ends now that
// something was done.
func (d difference) cut() bool {
	was := d.was
	was.Length = d.now.Length
	return was == d.now && d.now.Length.Less(d.was.Length)
}

// differences returns where two passages of the same form differ, in order of
// time.
func differences(a, b passage.Passage) []difference {
	var all []difference
	for v := passage.China; v <= passage.Click; v++ {
		x, _ := a.Line(v)
		y, _ := b.Line(v)
		all = lineDifferences(all, v, x.Strokes, y.Strokes)
	}
	slices.SortStableFunc(all, func(a, b difference) int { return a.at.Cmp(b.at) })
	return all
}

func lineDifferences(all []difference, v passage.Voice, x, y []passage.Stroke) []difference {
	for len(x) > 0 || len(y) > 0 {
		switch {
		case len(y) == 0 || len(x) > 0 && x[0].At.Less(y[0].At):
			all, x = append(all, difference{v, x[0].At, x[0], passage.Stroke{}}), x[1:]
		case len(x) == 0 || y[0].At.Less(x[0].At):
			all, y = append(all, difference{v, y[0].At, passage.Stroke{}, y[0]}), y[1:]
		default:
			if d := (difference{v, x[0].At, x[0], y[0]}); !alike(v, x[0], y[0]) {
				if d.cut() {
					d.at = d.now.End()
				}
				all = append(all, d)
			}
			x, y = x[1:], y[1:]
		}
	}
	return all
}

// A view is some of what differs between two passages: what one change is
// looked for to explain.
type view struct {
	a, b   passage.Passage
	voices []passage.Voice
	diffs  []difference // of these voices, in order of time
	wide   bool         // propose usual amounts too, and not only those that are found
	reach  int          // bars before and after what differs where ranges may begin and end
}

// viewOf returns all that differs.
func viewOf(a, b passage.Passage) view {
	diffs := differences(a, b)
	return view{a: a, b: b, voices: voicesOf(diffs), diffs: diffs, reach: far}
}

func voicesOf(diffs []difference) []passage.Voice {
	var all []passage.Voice
	for _, d := range diffs {
		if !slices.Contains(all, d.voice) {
			all = append(all, d.voice)
		}
	}
	slices.Sort(all)
	return all
}

// only returns the part of a view that some differences make.
func (w view) only(keep func(difference) bool) view {
	var diffs []difference
	for _, d := range w.diffs {
		if keep(d) {
			diffs = append(diffs, d)
		}
	}
	w.diffs, w.voices = diffs, voicesOf(diffs)
	return w
}

// parts returns the view and parts of it that may have a change of their own:
// voices that differ in the same places together, each voice alone, and of all
// these the bars and the runs of beats apart. Where the view is wide, usual
// amounts are proposed too, for whole bars.
func (w view) parts(wide bool) []view {
	w.wide = wide
	all := []view{w}
	for _, voices := range w.bands() {
		all = append(all, w.only(func(d difference) bool { return slices.Contains(voices, d.voice) }))
	}
	for _, v := range slices.Clone(all) {
		for _, s := range append(v.runs(false), v.runs(true)...) {
			part := v.only(func(d difference) bool { return s.holds(d.at) })
			part.wide, part.reach = false, 1
			all = append(all, part)
		}
	}
	return distinct(all)
}

func distinct(all []view) []view {
	var out []view
	for _, v := range all {
		if len(v.diffs) > 0 && !slices.ContainsFunc(out, func(o view) bool { return slices.Equal(o.diffs, v.diffs) }) {
			out = append(out, v)
		}
	}
	return out
}

// bands returns the sets of voices that may be changed together: those that
// differ in the same places, those that do the same in the style, those of one
// instrument, each alone, and all but one.
func (w view) bands() [][]passage.Voice {
	places := map[passage.Voice][]meter.Rat{}
	for _, d := range w.diffs {
		places[d.voice] = append(places[d.voice], d.at)
	}
	var all [][]passage.Voice
	add := func(together func(a, b passage.Voice) bool) {
		for i, v := range w.voices {
			band := []passage.Voice{v}
			for _, o := range w.voices[i+1:] {
				if together(v, o) {
					band = append(band, o)
				}
			}
			all = append(all, band)
		}
	}
	add(func(a, b passage.Voice) bool { return slices.Equal(places[a], places[b]) })
	add(func(a, b passage.Voice) bool { return role(a) == role(b) })
	add(func(a, b passage.Voice) bool { return side(a) == side(b) })
	add(func(a, b passage.Voice) bool { return false })
	for i := range w.voices {
		all = append(all, slices.Concat(w.voices[:i], w.voices[i+1:]))
	}
	return all
}

// runs returns the stretches of neighbouring beats, or bars, in which
// something differs.
func (w view) runs(bars bool) []stretch {
	var all []stretch
	for _, unit := range w.units(bars) {
		if !slices.ContainsFunc(w.diffs, func(d difference) bool { return unit.holds(d.at) }) {
			continue
		}
		if n := len(all); n > 0 && all[n-1].to == unit.from && !bars {
			all[n-1].to = unit.to
		} else {
			all = append(all, unit)
		}
	}
	return all
}

// units returns the beats, or the bars, of the passage.
func (w view) units(bars bool) []stretch {
	var all []stretch
	if bars {
		starts := w.a.Starts()
		for i := range w.a.Bars {
			all = append(all, stretch{starts[i], starts[i+1]})
		}
		return all
	}
	for _, b := range w.a.Beats() {
		all = append(all, stretch{b.At, b.At.Add(b.Length)})
	}
	return all
}
