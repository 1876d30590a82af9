package ear

import (
	"errors"
	"fmt"
	"sort"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// kindsFrom is from how many strokes on the writing is for somebody who knows
// it: how strokes are played counts as well, and how beats are divided is not
// given. Our choice.
const kindsFrom = 8

// mostCells is the most cells into which a beat has to be divided. Our choice:
// nine are three triplets; more is not counted.
const mostCells = 9

// Cells that a beat is offered with: sixteenths in plain beats and in dotted
// ones, common practice.
const (
	plainCells  = 4
	dottedCells = 6
)

func write() Task {
	return Task{
		Name: "write", Title: "Write it down", Question: "What does the voice play?",
		About:    "A voice, which is named, plays a phrase of one or two bars; longer ones come later. Write its strokes on an empty strip.",
		Answered: Strip, Scale: strokesToKeep, Stair: stair(strokesToKeep, startKept),
		make: makeWrite, mark: markWrite,
	}
}

func makeWrite(m *maker) (Trial, error) {
	ph, w, err := m.phrase(inCells)
	if err != nil {
		return Trial{}, err
	}
	v := ph.voice
	w = only(w, append(frame(w, v), v))
	line, _ := w.Line(v)
	heard := passage.Line{Voice: v, Strokes: sounding(line)}
	kinds := m.d >= kindsFrom
	question := fmt.Sprintf("Where does the %s strike?", v.Spoken())
	if kinds {
		question = fmt.Sprintf("Where does the %s strike, and how is each stroke played?", v.Spoken())
	}
	t := Trial{Made: ph.size, Sounds: []Sound{phraseSound(w)}, Asks: []Ask{{
		Kind: Strip, Question: question, Passage: without(w, v), Voices: []passage.Voice{v},
		Grid: grid(w, heard, !kinds), Kinds: kinds,
	}}}
	t.truth = truth{
		answer: &Answer{Line: heard},
		said:   fmt.Sprintf("The %s plays %s: %s.", v.Spoken(), strokeWords(len(heard.Strokes)), counted(w, heard, kinds)),
		hint:   "Find the strokes on the beat first, then those between two beats. What goes on evenly is one thing.",
		a:      w, b: w,
		spans: []passage.Span{{To: w.Length(), Voices: []passage.Voice{v}}},
	}
	return t, nil
}

// sounding returns the strokes of a line that strike.
func sounding(l passage.Line) []passage.Stroke {
	var all []passage.Stroke
	for _, s := range l.Strokes {
		if s.Sounds() {
			all = append(all, s)
		}
	}
	return all
}

// without returns a passage in which the line of a voice is empty.
func without(p passage.Passage, v passage.Voice) passage.Passage {
	p = p.Clone()
	for i, l := range p.Lines {
		if l.Voice == v {
			p.Lines[i].Strokes, p.Lines[i].Groups = nil, nil
		}
	}
	p, _ = p.Regroup()
	return p
}

// inCells reports whether onsets stand in cells that are counted.
func inCells(bars, at []meter.Rat, p passage.Passage) bool {
	for _, b := range p.Beats() {
		if !b.At.Less(bars[0]) && b.At.Less(bars[len(bars)-1]) && cellsOf(b, between(at, b.At, b.At.Add(b.Length))) > mostCells {
			return false
		}
	}
	return true
}

// cellsOf returns the fewest equal cells of a beat that hold some onsets.
func cellsOf(b passage.Beat, at []meter.Rat) int {
	n := int64(1)
	for _, place := range at {
		share := place.Sub(b.At).Div(b.Length)
		n = n / gcd(n, share.Den()) * share.Den()
		if n > passage.MaxCells {
			break
		}
	}
	return int(n)
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// grid returns the cells of each beat that are offered: the usual ones, and
// where told, those of the beats that need others.
func grid(p passage.Passage, l passage.Line, told bool) []int {
	at := onsetsOf(l)
	var all []int
	for _, b := range p.Beats() {
		n := plainCells
		if b.Length.Num()%3 == 0 {
			n = dottedCells
		}
		if need := cellsOf(b, between(at, b.At, b.At.Add(b.Length))); told && n%need != 0 {
			n = need
		}
		all = append(all, n)
	}
	return all
}

// counted says where strokes stand, as players count: "bar 1: 1, & of 2; bar 2:
// 1"; and how they are played where that is asked for and is more than a hit.
func counted(p passage.Passage, l passage.Line, kinds bool) string {
	var bars []string
	for bar := range p.Bars {
		var in []string
		for _, s := range l.Strokes {
			if place := p.Place(s.At); place.Bar == bar+1 {
				word := countedPlace(p, s.At)
				if kinds && s.Kind != passage.Hit {
					word += " " + s.Kind.String()
				}
				in = append(in, word)
			}
		}
		if len(in) == 0 {
			in = []string{"nothing"}
		}
		bars = append(bars, fmt.Sprintf("bar %d: %s", bar+1, strings.Join(in, ", ")))
	}
	return strings.Join(bars, "; ")
}

// fitsStrip refuses what is not written on the strip of an ask.
func fitsStrip(ask Ask, a Answer) error {
	if len(ask.Voices) == 0 || a.Line.Voice != ask.Voices[0] || len(sounding(a.Line)) == 0 {
		return fmt.Errorf("nothing is written for the %s; write at least one stroke", voiceWords(ask.Voices))
	}
	end := ask.Passage.Length()
	for _, s := range a.Line.Strokes {
		if !s.At.Valid() || s.At.Sign() < 0 || !s.At.Less(end) {
			return errors.New("a stroke lies outside the bars; write it inside them")
		}
	}
	return nil
}

// A slip is one stroke that was written otherwise than it is played.
type slip struct {
	want, got *passage.Stroke // nil: too many, missing
}

// at is where the slip shows.
func (s slip) at() meter.Rat {
	if s.want != nil {
		return s.want.At
	}
	return s.got.At
}

// farthestSlip is how many beats away a stroke is still taken for a misplaced
// one. Our choice: a whole beat is another stroke.
var farthestSlip = meter.R(3, 4)

// slips holds what was written against what is played. Strokes at one place are
// one; of the others the nearest are taken for each other. All are returned
// that differ, in order.
func slips(want, got []passage.Stroke, kinds bool) []slip {
	at := map[meter.Rat]*passage.Stroke{}
	var all []slip
	var extra []*passage.Stroke
	for i := range want {
		at[want[i].At] = &want[i]
	}
	met := map[meter.Rat]bool{}
	for i := range got {
		w := at[got[i].At]
		switch {
		case w == nil || met[got[i].At]:
			extra = append(extra, &got[i])
			continue
		case kinds && w.Kind != got[i].Kind:
			all = append(all, slip{w, &got[i]})
		}
		met[got[i].At] = true
	}
	var missing []*passage.Stroke
	for i := range want {
		if !met[want[i].At] {
			missing = append(missing, &want[i])
		}
	}
	all = append(all, paired(missing, extra)...)
	sort.SliceStable(all, func(i, j int) bool { return all[i].at().Less(all[j].at()) })
	return all
}

// paired takes missing and extra strokes for each other, nearest first; those
// left over stay alone.
func paired(missing, extra []*passage.Stroke) []slip {
	type pair struct {
		i, j int
		far  meter.Rat
	}
	var pairs []pair
	for i, w := range missing {
		for j, g := range extra {
			far := g.At.Sub(w.At)
			if far.Sign() < 0 {
				far = far.Neg()
			}
			if far.Sign() > 0 && !farthestSlip.Less(far) {
				pairs = append(pairs, pair{i, j, far})
			}
		}
	}
	sort.SliceStable(pairs, func(a, b int) bool { return pairs[a].far.Less(pairs[b].far) })
	var all []slip
	usedW, usedG := make([]bool, len(missing)), make([]bool, len(extra))
	for _, p := range pairs {
		if !usedW[p.i] && !usedG[p.j] {
			usedW[p.i], usedG[p.j] = true, true
			all = append(all, slip{missing[p.i], extra[p.j]})
		}
	}
	for i, w := range missing {
		if !usedW[i] {
			all = append(all, slip{want: w})
		}
	}
	for j, g := range extra {
		if !usedG[j] {
			all = append(all, slip{got: g})
		}
	}
	return all
}

// says says one slip, with place and direction.
func (s slip) says(p passage.Passage) string {
	switch {
	case s.got == nil:
		return "missing: " + countedIn(p, s.want.At)
	case s.want == nil:
		return "too many: " + countedIn(p, s.got.At)
	case s.want.At == s.got.At:
		return fmt.Sprintf("%s: %s, not %s", countedIn(p, s.got.At), s.want.Kind, s.got.Kind)
	}
	way, by := "too late", s.got.At.Sub(s.want.At)
	if by.Sign() < 0 {
		way, by = "too soon", by.Neg()
	}
	return fmt.Sprintf("%s: %s %s, it is on %s", countedIn(p, s.got.At), lengthWords(by), way, countedIn(p, s.want.At))
}

// markWrite marks a strip. The first part is the whole; one follows for each
// stroke that is not as it is played.
func markWrite(t Trial, a Answer) Result {
	ask, want := t.Asks[0], t.truth.answer.Line.Strokes
	p := t.Sounds[0].Passage
	wrong := slips(want, sounding(a.Line), ask.Kinds)
	r := Result{Parts: []Part{{Right: len(wrong) == 0, Says: "right", Was: counted(p, t.truth.answer.Line, ask.Kinds)}}}
	if len(wrong) > 0 {
		r.Parts[0].Says = tallied(wrong, len(want))
	}
	for _, s := range wrong {
		r.Parts = append(r.Parts, Part{Says: s.says(p), Was: r.Parts[0].Was})
		r.Spans = append(r.Spans, beatSpan(p, s.at(), ask.Voices))
	}
	r.Slow = slowPhrase(t.Sounds)
	return r
}

// tallied sums slips up: "6 of 8 strokes are in place; 1 missing, 1 misplaced".
func tallied(all []slip, n int) string {
	missing, many, moved, other := 0, 0, 0, 0
	for _, s := range all {
		switch {
		case s.got == nil:
			missing++
		case s.want == nil:
			many++
		case s.want.At == s.got.At:
			other++
		default:
			moved++
		}
	}
	var words []string
	for _, x := range []struct {
		n    int
		word string
	}{{missing, "missing"}, {many, "too many"}, {moved, "misplaced"}, {other, "played otherwise"}} {
		if x.n > 0 {
			words = append(words, fmt.Sprintf("%d %s", x.n, x.word))
		}
	}
	return fmt.Sprintf("%d of %s in place; %s", n-missing-moved, strokeWords(n), strings.Join(words, ", "))
}

// beatSpan returns the beat of a place, as a span of some voices.
func beatSpan(p passage.Passage, at meter.Rat, voices []passage.Voice) passage.Span {
	span := passage.Span{From: at, To: at, Voices: voices}
	for _, b := range p.Beats() {
		if end := b.At.Add(b.Length); !at.Less(b.At) && at.Less(end) {
			span.From, span.To = b.At, end
		}
	}
	return span
}

// slowPhrase returns sounds again, slower, still counted in.
func slowPhrase(sounds []Sound) []Sound {
	slow := slowly(sounds, 1, len(sounds[0].Passage.Bars))
	for i := range slow {
		slow[i].CountIn, slow[i].Click = sounds[i].CountIn, sounds[i].Click
	}
	return slow
}
