package grade_test

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"stampmill/exercises/grade"
	"stampmill/exercises/limbs"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A witness knows what was hit.
type witness struct {
	grade.Verdict
	p        passage.Passage
	take     grade.Take
	said     string
	all      []hit
	onCourse bool // no drift or lateness took strokes from their places: the hits are what leaning rests on
}

// errOffCourse: a drift took strokes from their places, so what is said rests
// on taps that match no stroke where it is written.
var errOffCourse = errors.New("strokes are off their places")

// A hit is a written stroke of one pass that was played.
type hit struct {
	pos      grade.PositionFigures
	pass     int
	ms, at   float64 // error, with a drift that is said taken off; seconds
	inTuplet bool    // of a tuplet that is said to have come out otherwise
}

// hits collects the hits, without what sentences about drift and tuplets
// explain.
func (w *witness) hits(t *testing.T) {
	e, err := grade.Expect(w.p, w.take, w.take.OneKey())
	if err != nil {
		t.Fatal(err)
	}
	n, sum, at := 0, 0.0, 0.0
	for _, pos := range w.Positions {
		for _, h := range pos.Hits {
			s := pos.Seconds + float64(h.Pass-1)*e.PassSeconds
			w.all = append(w.all, hit{pos: pos, pass: h.Pass, ms: h.ErrorMS, at: s, inTuplet: w.otherwise(pos) || pos.Place.Bar == w.misreadBar()})
			n, sum, at = n+1, sum+h.ErrorMS, at+s
		}
	}
	w.onCourse = w.Leaning.N == n && math.Abs(w.Leaning.Value*float64(n)-sum) < 1e-3*float64(n) || !w.Leaning.OK
	if strings.Contains(w.said, "You run ") || strings.Contains(w.said, "Your hits") {
		// written time for played: bpm / (bpm + won)
		slope := w.take.Tempo/(w.take.Tempo+w.Drift.Value) - 1
		for i := range w.all {
			if strings.Contains(w.said, "You run ") {
				w.all[i].ms -= 1000 * slope * (w.all[i].at - at/float64(n))
			}
		}
	}
}

// misreadBar is the one bar after "at" in the change that is said to have been
// played, or one that comes to the same; 0 for none.
func (w *witness) misreadBar() (bar int) {
	if w.Misreading == nil {
		return 0
	}
	for _, text := range append([]string{w.Misreading.Change}, w.Misreading.Also...) {
		_, at, _ := strings.Cut(text, " at ")
		bars := map[string]bool{}
		for _, word := range strings.Fields(strings.ReplaceAll(at, "-", " ")) {
			digits, _, _ := strings.Cut(word, ".")
			if _, err := strconv.Atoi(digits); err != nil {
				break
			}
			bars[digits] = true
		}
		if len(bars) == 1 {
			for digits := range bars {
				bar, _ = strconv.Atoi(digits)
			}
			return bar
		}
	}
	return 0
}

// otherwise reports whether a stroke is in a tuplet that is said to have come
// out as another ratio.
func (w *witness) otherwise(pos grade.PositionFigures) bool {
	return slices.ContainsFunc(w.Tuplets, func(f grade.TupletFigures) bool {
		return w.cameOut(f) && !pos.At.Less(f.At) && pos.At.Less(f.End) && pos.Voices.Has(f.Voice)
	})
}

// cameOut reports whether a sentence is about a tuplet: its ratio is the
// nearest, and its place is named, or others are summed up.
func (w *witness) cameOut(f grade.TupletFigures) bool {
	for _, s := range w.Sentences {
		m := cameOut.FindStringSubmatch(s)
		if m == nil || m[3] != "" && m[3] != spokenVoice(f.Voice) || f.Nearest == nil {
			continue
		}
		named := m[1] == "" || slices.Contains(strings.Fields(strings.NewReplacer(",", " ", " and ", " ").Replace(m[1])), f.Place.String())
		if named && !slices.Equal(f.Nearest, f.Split) && (m[2] == ratioOf(f) || strings.HasPrefix(m[2], "uneven")) {
			return true
		}
	}
	return false
}

var cameOut = regexp.MustCompile(`^(?:The \S+ at (.+)|\d+ \S+) came out ([\d:]+|uneven, its strokes about \d+ ms off)(?: on the ([a-z ]+?))?(?:, the first at \S+)?\.$`)

func ratioOf(f grade.TupletFigures) string {
	return strings.Trim(strings.ReplaceAll(fmt.Sprint(f.Nearest), " ", ":"), "[]")
}

func (w *witness) drift(m []string) error {
	sign := 1.0
	if m[2] == "slow" {
		sign = -1
	}
	bpm, _ := strconv.ParseFloat(m[1], 64)
	if !w.onCourse {
		return when(sign*w.Drift.Value > 0, "the other way")
	}
	from, to := math.Inf(1), math.Inf(-1)
	for _, h := range w.all {
		from, to = min(from, h.at), max(to, h.at)
	}
	long := to - from
	unit := map[string]float64{"ms": 1, "s": 1000}[m[4]]
	ms, _ := strconv.ParseFloat(m[3], 64)
	want := 1000 * long * sign * w.Drift.Value / (w.take.Tempo + w.Drift.Value)
	return first(when(math.Abs(bpm-sign*w.Drift.Value) <= .05*bpm+1e-9, "the tempo"), when(math.Abs(ms*unit-want) <= .5*unit+.05*unit, fmt.Sprintf("%.2f ms", want)),
		when(w.Drift.Low > 0 || w.Drift.High < 0, "its interval holds zero"), when((m[5] == "gained") == (m[2] == "fast"), "gained or lost"))
}

// run holds what is gained through a bar, each bar, or a run from a place, by a
// line of least squares through it.
func (w *witness) run(m []string) error {
	if !w.onCourse {
		return nil
	}
	var through func(pos grade.PositionFigures) (int, bool) // which run
	bar, from := 0, ""
	switch {
	case m[2] == "each bar":
		through = func(pos grade.PositionFigures) (int, bool) { return pos.Place.Bar, true }
	case scan(m[2], "bar %d", &bar):
		through = func(pos grade.PositionFigures) (int, bool) { return 0, pos.Place.Bar == bar }
	default:
		_, from, _ = strings.Cut(m[2], " from ")
		in := false
		last, gap := meter.Rat{}, meter.Rat{}
		inside := map[meter.Rat]bool{}
		for _, pos := range w.Positions {
			if w.placeOf(pos) == from {
				in, last = true, pos.At
			}
			step := pos.At.Sub(last)
			switch {
			case !in:
			case step == meter.Rat{}:
				inside[pos.At] = true
			case gap == meter.Rat{} || step == gap:
				inside[pos.At], gap, last = true, step, pos.At
			default:
				in = false
			}
		}
		through = func(pos grade.PositionFigures) (int, bool) { return 0, inside[pos.At] }
	}
	type span struct {
		first, last float64
		x, y        []float64
	}
	spans := map[int]*span{}
	for _, pos := range w.Positions {
		if k, in := through(pos); in {
			if spans[k] == nil {
				spans[k] = &span{first: pos.Seconds}
			}
			spans[k].last = pos.Seconds
		}
	}
	for _, h := range w.all {
		if k, in := through(h.pos); in && !h.inTuplet {
			s := spans[k]
			s.x, s.y = append(s.x, (h.pos.Seconds-s.first)/(s.last-s.first)), append(s.y, h.ms)
		}
	}
	sxx, sxy := 0.0, 0.0
	for _, s := range spans {
		for i := range s.x {
			sxx += (s.x[i] - mean(s.x)) * (s.x[i] - mean(s.x))
			sxy += (s.x[i] - mean(s.x)) * (s.y[i] - mean(s.y))
		}
	}
	slope := sxy / sxx
	if m[1] == "speed up" {
		slope = -slope
	}
	return first(near("gain", m[3], slope), when(slope >= 10, "under 10 ms"), when((m[1] == "speed up") == (m[4] == "gained"), "gained or lost"))
}

func (w *witness) missed(m []string) error {
	if err := first(equal(m[1], w.Missed), equal(m[2], w.Expected)); err != nil || m[4] == "" {
		return err
	}
	n := w.Missed
	if m[3] != "" {
		n, _ = strconv.Atoi(m[3])
	}
	chosen, err := w.chosen(m[4])
	if err != nil {
		return err
	}
	missed, expected := 0, 0
	for _, pos := range w.Positions {
		hit := map[int]bool{}
		for _, h := range pos.Hits {
			hit[h.Pass] = true
		}
		for pass := 1; pass <= pos.Passes; pass++ {
			if chosen(pos, pass) {
				expected++
				if !hit[pass] {
					missed++
				}
			}
		}
	}
	return when(missed == n, fmt.Sprintf("%d of %d missed there", missed, expected))
}

func (w *witness) strays(all, some, where string) error {
	n, _ := strconv.Atoi(all)
	if some != "" {
		n, _ = strconv.Atoi(some)
	}
	var bar, pass int
	found := 0
	switch {
	case where == "" || strings.HasPrefix(where, "straight after"):
		return nil
	case scan(where, "in bar %d", &bar), scan(where, "in pass %d", &pass):
		for _, s := range w.Strays {
			if s.Bar == bar || s.Pass == pass {
				found++
			}
		}
	default:
		for _, s := range w.Strays {
			if "on the "+spokenVoice(s.Voice) == where {
				found++
			}
		}
	}
	return when(found == n, fmt.Sprintf("%d there", found))
}

func (w *witness) wide(where, in, out string) error {
	if !w.onCourse {
		return nil
	}
	chosen, err := w.chosen(where)
	if err != nil {
		return err
	}
	slope := 0.0
	if w.Drift.OK && !strings.Contains(w.said, "You run ") {
		slope = w.take.Tempo/(w.take.Tempo+w.Drift.Value) - 1
	}
	var a, b []float64
	for _, h := range w.all {
		if ms := h.ms - 1000*slope*h.at; chosen(h.pos, h.pass) {
			a = append(a, ms)
		} else {
			b = append(b, ms)
		}
	}
	return first(near("spread there", in, deviation(a)), near("spread elsewhere", out, deviation(b)), when(deviation(a) > 1.4*deviation(b), "it is not wider"))
}

// split returns the errors of a group and of the rest.
func (w *witness) split(name string) (in, out []float64, err error) {
	chosen, err := w.chosen(lower(name))
	if err != nil {
		return nil, nil, err
	}
	if !w.onCourse {
		return nil, nil, errOffCourse
	}
	for _, h := range w.all {
		switch {
		case h.inTuplet:
		case chosen(h.pos, h.pass):
			in = append(in, h.ms)
		default:
			out = append(out, h.ms)
		}
	}
	return in, out, nil
}

// chosen returns whether a stroke is one of those that are called so: "bar 2",
// "in bar 2 of pass 3", "the kick", "kicks after the snare".
func (w *witness) chosen(name string) (func(pos grade.PositionFigures, pass int) bool, error) {
	name = strings.TrimPrefix(strings.TrimPrefix(name, "in "), "on ")
	var bar, pass int
	for _, k := range passage.Kinds() {
		if name == k.String()+"s" {
			return func(pos grade.PositionFigures, _ int) bool {
				return slices.ContainsFunc(pos.Voices.Voices(), func(v passage.Voice) bool { return w.kind(v, pos.At) == k })
			}, nil
		}
	}
	switch {
	case scan(name, "from bar %d of pass %d on", &bar, &pass):
		return func(pos grade.PositionFigures, in int) bool { return in > pass || in == pass && pos.Place.Bar >= bar }, nil
	case scan(name, "from pass %d on", &pass):
		return func(_ grade.PositionFigures, in int) bool { return in >= pass }, nil
	case scan(name, "bar %d of pass %d", &bar, &pass):
		return func(pos grade.PositionFigures, in int) bool { return pos.Place.Bar == bar && in == pass }, nil
	case scan(name, "bar %d", &bar):
		return func(pos grade.PositionFigures, _ int) bool { return pos.Place.Bar == bar }, nil
	case scan(name, "pass %d", &pass):
		return func(_ grade.PositionFigures, in int) bool { return in == pass }, nil
	}
	for _, pos := range w.Positions {
		if "the "+voicesOf(pos)+" "+w.whereOf(pos) == name {
			return func(other grade.PositionFigures, _ int) bool { return other.Position == pos.Position }, nil
		}
	}
	if limb, ok := strings.CutPrefix(strings.TrimPrefix(name, "with "), "the "); ok && (strings.HasSuffix(limb, " hand") || strings.HasSuffix(limb, " foot")) {
		sticks, _ := limbs.Play(w.p, limbs.Two)
		return func(pos grade.PositionFigures, _ int) bool {
			return slices.ContainsFunc(sticks, func(s limbs.Stick) bool { return s.At == pos.At && pos.Voices.Has(s.Voice) && s.Limb.String() == limb })
		}, nil
	}
	for _, v := range passage.Voices() {
		if name == "the "+spokenVoice(v) {
			return func(pos grade.PositionFigures, _ int) bool { return pos.Voices.Has(v) }, nil
		}
	}
	return w.some(name)
}

// some reads "kicks after the snare", "strokes on the e", "kicks with the
// china", "strokes after a rest".
func (w *witness) some(name string) (func(pos grade.PositionFigures, pass int) bool, error) {
	for _, v := range append([]passage.Voice{passage.NoVoice}, passage.Voices()...) {
		noun := spokenVoice(v) + " strokes "
		if v == passage.Kick {
			noun = "kicks "
		} else if v == passage.NoVoice {
			noun = "strokes "
		}
		where, ok := strings.CutPrefix(name, noun)
		if !ok {
			continue
		}
		own := func(pos grade.PositionFigures) bool { return v == passage.NoVoice || pos.Voices.Has(v) }
		if where == "after a rest" {
			return func(pos grade.PositionFigures, _ int) bool { return w.rested(pos) }, nil
		}
		for _, x := range passage.Voices() {
			switch where {
			case "after the " + spokenVoice(x):
				return func(pos grade.PositionFigures, _ int) bool { return own(pos) && w.follows(pos, v, x) }, nil
			case "with the " + spokenVoice(x):
				return func(pos grade.PositionFigures, _ int) bool {
					k := w.kind(x, pos.At)
					return own(pos) && k != passage.NoKind && k != passage.Choke
				}, nil
			}
		}
		word := strings.TrimPrefix(where, "on the ")
		if slices.ContainsFunc(w.ByPlace, func(f grade.PlaceFigures) bool { return strings.TrimPrefix(f.Word, "on the ") == word }) {
			return func(pos grade.PositionFigures, _ int) bool { return own(pos) && w.word(pos) == word }, nil
		}
	}
	return nil, fmt.Errorf("who is %q", name)
}

// word returns the counting word of a stroke by ByPlace.
func (w *witness) word(pos grade.PositionFigures) string {
	length := w.p.Bars[pos.Place.Bar-1].Metre.Beats()[pos.Place.Beat-1]
	for _, f := range w.ByPlace {
		if f.Into == pos.Place.Into && f.Beat == length {
			return strings.TrimPrefix(f.Word, "on the ")
		}
	}
	return ""
}

func (w *witness) kind(v passage.Voice, at meter.Rat) passage.Kind {
	l, _ := w.p.Line(v)
	for _, s := range l.Strokes {
		if s.At == at {
			return s.Kind
		}
	}
	return passage.NoKind
}

// follows: going back from the stroke of v by no more than a beat, x sounds
// before v does. Of NoVoice, the strokes of the part are v.
func (w *witness) follows(pos grade.PositionFigures, v, x passage.Voice) bool {
	length := w.p.Bars[pos.Place.Bar-1].Metre.Beats()[pos.Place.Beat-1]
	sounds := func(v passage.Voice) (last meter.Rat, ok bool) {
		l, _ := w.p.Line(v)
		for _, s := range l.Strokes {
			if s.At.Less(pos.At) && s.Sounds() {
				last, ok = s.At, true
			}
		}
		return last, ok
	}
	if v == passage.NoVoice {
		for _, v := range pos.Voices.Voices() {
			if v != x && w.follows(pos, v, x) {
				return true
			}
		}
		return false
	}
	at, ok := sounds(x)
	own, before := sounds(v)
	return ok && !length.Less(pos.At.Sub(at)) && (!before || own.Less(at))
}

func (w *witness) rested(pos grade.PositionFigures) bool {
	length := w.p.Bars[pos.Place.Bar-1].Metre.Beats()[pos.Place.Beat-1]
	last, ok := meter.Rat{}, false
	for _, other := range w.Positions {
		if other.At.Less(pos.At) {
			last, ok = other.At, true
		}
	}
	return ok && length.Less(pos.At.Sub(last))
}

func voicesOf(pos grade.PositionFigures) string { return pos.Voices.String() }

// whereOf is "on 2.3", "on the & of 2.3" or "on the 2nd of 5 in 2.3".
func (w *witness) whereOf(pos grade.PositionFigures) string { return "on " + w.placeOf(pos) }

func (w *witness) placeOf(pos grade.PositionFigures) string {
	beat := fmt.Sprintf("%d.%d", pos.Place.Bar, pos.Place.Beat)
	if pos.Place.Into == (meter.Rat{}) {
		return beat
	}
	for _, c := range w.p.Counts() {
		if c.At == pos.At && len(c.Word) == 1 && strings.Contains("e&a", c.Word) {
			return "the " + c.Word + " of " + beat
		}
	}
	return "the " + w.word(pos) + " in " + beat
}

func spokenVoice(v passage.Voice) string {
	switch v {
	case passage.CrashLeft:
		return "left crash"
	case passage.CrashRight:
		return "right crash"
	}
	return strings.ToLower(v.Label())
}

func lower(s string) string   { return strings.ToLower(s[:1]) + s[1:] }
func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
