package change

import (
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stampmill/exercises/limbs"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/passage/passagetest"
)

// Every entry of the catalogue keeps the one contract, on generated passages
// with generated parameters, and is really made often enough to show it.
func TestEveryEntryKeepsTheContract(t *testing.T) {
	for _, e := range entries() {
		t.Run(e.Name, func(t *testing.T) {
			tally := &tally{}
			rapid.Check(t, func(t *rapid.T) {
				p := bands().Draw(t, "passage")
				entry, _ := Named(e.Name)
				c := Change{entry, arguments(entry, p).Draw(t, "arguments")}
				tally.contract(t, c, p)
			})
			t.Logf("made %d of %d, undone %d", tally.made, tally.tried, tally.undone)
			// The least often made are 13 of 100; fewer than two come by chance once in
			// 60,000 runs, none of the twenty of a short run once in twenty.
			if tally.tried >= 100 && tally.made*50 < tally.tried {
				t.Errorf("made only %d of %d: draw parameters that fit it; refused: %s", tally.made, tally.tried, strings.Join(tally.why[:10], "\n"))
			}
		})
	}
}

// A tally counts what happened in one test.
type tally struct {
	tried, made, undone int
	why                 []string
}

// contract checks all that holds of a change on a passage.
func (n *tally) contract(t rapid.TB, c Change, p passage.Passage) {
	n.tried++
	if again, err := Parse(c.String()); err != nil || !reflect.DeepEqual(again, c) {
		t.Fatalf("%q reads back as %+v, %v; want %+v", c, again.Args, err, c.Args)
	}
	before := p.Clone()
	after, err := c.Apply(p)
	if !reflect.DeepEqual(p, before) {
		t.Fatalf("%q changed the passage it was made on", c)
	}
	if err != nil {
		n.why = append(n.why, err.Error())
		if !reflect.DeepEqual(after, before) || !strings.Contains(err.Error(), "; ") {
			t.Fatalf("%q refuses with %q and another passage, or without what to do", c, err)
		}
		return
	}
	n.made++
	if problems := passage.Check(after); problems != nil {
		t.Fatalf("%q leaves the limits: %v", c, problems)
	}
	if _, problems := after.Regroup(); problems != nil {
		t.Fatalf("%q cannot be written: %v", c, problems)
	}
	if !p.Machine && len(limbs.Problems(p, limbs.Two)) == 0 && len(limbs.Problems(after, limbs.Two)) > 0 {
		t.Fatalf("%q cannot be played: %v", c, limbs.Problems(after, limbs.Two))
	}
	if passage.Same(p, after) {
		t.Fatalf("%q changes nothing", c)
	}
	outside(t, c, p, after)
	sentence(t, c, p, after)
	if back, ok := c.Inverse(p); ok {
		n.undone++
		if again, err := back.Apply(after); err != nil || !passage.Same(again, p) {
			t.Fatalf("%q does not undo %q: %v", back, c, err)
		}
	}
}

// outside checks that nothing outside the change's voices and range is
// touched: a voice that is not named stays as it is, and a stroke that begins
// outside the range stays as it is, but that one held into the range may end
// sooner, within it. The range of a place is as long as the change says, and
// at least a beat; a stroke at its end may be a choke that ends it.
func outside(t rapid.TB, c Change, p, after passage.Passage) {
	if !slices.Equal(p.Bars, after.Bars) {
		return // the form changed; tests of those entries say how
	}
	zones := c.zones(p)
	for _, v := range passage.Voices() {
		was, _ := p.Line(v)
		now, _ := after.Line(v)
		if len(c.Args.Voices) > 0 && !slices.Contains(c.Args.Voices, v) && v != c.Args.To && v != passage.Snare {
			if !slices.Equal(was.Strokes, now.Strokes) {
				t.Fatalf("%q changes the %s", c, v)
			}
			continue
		}
		kept := map[meter.Rat]passage.Stroke{}
		for _, s := range now.Strokes {
			if !inZone(zones, s.At) {
				kept[s.At] = s
			}
		}
		for _, s := range was.Strokes {
			if inZone(zones, s.At) {
				continue
			}
			k, ok := kept[s.At]
			if cut := k.Length.Less(s.Length) && inZone(zones, k.End()); cut {
				k.Length = s.Length
			}
			if !v.Sustained() {
				k.Length = s.Length // sounds as long as it does
			}
			if !ok || k != s {
				t.Fatalf("%q touches the %s at %s: %v became %v", c, v, p.Place(s.At), s, k)
			}
			delete(kept, s.At)
		}
		for at := range kept {
			t.Fatalf("%q adds a stroke of the %s at %s", c, v, p.Place(at))
		}
	}
}

// zones returns where a change may touch anything.
func (c Change) zones(p passage.Passage) []stretch {
	if len(c.Args.Places) == 0 {
		all, _ := c.Args.stretches(p)
		if c.Entry.Name == "shift" { // moves out of its range
			for i := range all {
				if c.Args.By.Sign() < 0 {
					all[i].from = all[i].from.Add(c.Args.By)
				} else {
					all[i].to = all[i].to.Add(c.Args.By)
				}
			}
		}
		return all
	}
	var all []stretch
	places, _ := c.Args.places(p)
	for _, at := range places {
		beat := beatAt(p, at)
		length := beat.length()
		if length.Less(c.Args.By) {
			length = c.Args.By
		}
		if c.Entry.Name == "sub" && c.Args.By.Sign() == 0 { // to the end of the bar
			length = p.Starts()[p.Place(at).Bar].Sub(at)
		}
		all = append(all, stretch{at, at.Add(length).Add(meter.R(1, meter.MaxDen))})
	}
	return all
}

func inZone(zones []stretch, at meter.Rat) bool {
	return slices.ContainsFunc(zones, func(s stretch) bool { return s.holds(at) })
}

// sentence checks that the sentence names every voice that differs, and the
// bars in which one does; what a place begins, and what moves out of a range,
// may reach into the next. Where the form changes, tests of those entries say
// what it says.
func sentence(t rapid.TB, c Change, p, after passage.Passage) {
	says := c.Sentence(p)
	if !regexp.MustCompile(`^[A-Z0-9].*\.$`).MatchString(says) || strings.Contains(says, "  ") || strings.ContainsAny(says, "!%") {
		t.Fatalf("%q is no sentence: %q", c, says)
	}
	if !slices.EqualFunc(p.Bars, after.Bars, func(a, b passage.Bar) bool { return a.Metre == b.Metre }) {
		return
	}
	zones := c.zones(p)
	everywhere := len(c.Args.At)+len(c.Args.Places) == 0
	for _, span := range passage.Diff(heldAsIn(p, after, zones), after) {
		for _, v := range span.Voices {
			if !namesVoice(says, v) {
				t.Fatalf("%q changes the %s, and says %q", c, v, says)
			}
		}
		if !everywhere && !slices.ContainsFunc(zones, func(z stretch) bool {
			return z.from.Less(span.To) && span.From.Less(z.to) && (namesBar(says, p.Place(z.from).Bar) || namesBar(says, p.Place(span.From).Bar))
		}) {
			t.Fatalf("%q changes the %v at %s, and says %q", c, span.Voices, p.Place(span.From), says)
		}
	}
}

// heldAsIn returns the passage with strokes that begin outside the zones as
// long as they are after the change: what is held into a zone may be cut there,
// and that goes without saying.
func heldAsIn(p, after passage.Passage, zones []stretch) passage.Passage {
	p = p.Clone()
	for i := range p.Lines {
		now, _ := after.Line(p.Lines[i].Voice)
		for j, s := range p.Lines[i].Strokes {
			if n, ok := strokeAt(now, s.At); ok && !inZone(zones, s.At) {
				p.Lines[i].Strokes[j].Length = n.Length
			}
		}
	}
	return p
}

// namesVoice reports whether a sentence names a voice, or all of its kind.
func namesVoice(says string, v passage.Voice) bool {
	says = strings.ToLower(says)
	all := []string{v.Spoken(), "every voice", "everything"}
	switch {
	case v >= passage.TomHigh && v <= passage.TomFloor:
		all = append(all, "the toms")
	case v.Family() == passage.Cymbals:
		all = append(all, "the cymbals", "cymbals")
	}
	return slices.ContainsFunc(all, func(name string) bool { return strings.Contains(says, name) })
}

var (
	barsFromTo = regexp.MustCompile(`of bar (\d+) to (?:the end of )?beat \d+ of bar (\d+)|from bar (\d+) to bar (\d+)`)
	barList    = regexp.MustCompile(`[Bb]ars? (\d+(?: to \d+)?(?:(?:, | and )\d+(?: to \d+)?)*)`)
	barRun     = regexp.MustCompile(`(\d+)(?: to (\d+))?`)
)

// namesBar reports whether a sentence names a bar, as one or between two.
func namesBar(says string, bar int) bool {
	for _, m := range barsFromTo.FindAllStringSubmatch(says, -1) {
		ends := slices.DeleteFunc(m[1:], func(s string) bool { return s == "" })
		if isFromTo(bar, ends[0], ends[1]) {
			return true
		}
	}
	for _, m := range barList.FindAllStringSubmatch(says, -1) {
		for _, run := range barRun.FindAllStringSubmatch(m[1], -1) {
			if isFromTo(bar, run[1], run[2]) {
				return true
			}
		}
	}
	return false
}

func isFromTo(bar int, from, to string) bool {
	first, _ := strconv.Atoi(from)
	last, _ := strconv.Atoi(to)
	return first <= bar && bar <= max(first, last)
}

// bands draws a passage: one of any voices, or of those that play together in
// the style.
func bands() *rapid.Generator[passage.Passage] {
	return rapid.Custom(func(t *rapid.T) passage.Passage {
		p := passagetest.Passages().Draw(t, "passage")
		if rapid.IntRange(0, 3).Draw(t, "any voices") == 0 {
			return p
		}
		p.Bars, p.Lines = p.Bars[:min(len(p.Bars), 2)], nil
		twice := rapid.Bool().Draw(t, "twice")
		if twice {
			p.Bars = p.Bars[:1]
		}
		for _, v := range []passage.Voice{passage.China, passage.Snare, passage.Kick, passage.TomHigh, passage.Guitar} {
			if v == passage.Kick || rapid.IntRange(0, 3).Draw(t, "joins") > 0 {
				p.Lines = append(p.Lines, passagetest.Lines(v, p.Bars).Draw(t, v.String()))
			}
		}
		if twice {
			return repeated(p)
		}
		return p
	})
}

// repeated returns the passage with its bars played twice.
func repeated(p passage.Passage) passage.Passage {
	length := p.Length()
	p.Bars = append(p.Bars, p.Bars...)
	for i := range p.Lines {
		l := &p.Lines[i]
		l.Strokes = append(l.Strokes, moved(l.Strokes, length)...)
		for _, g := range l.Groups {
			g.At = g.At.Add(length)
			l.Groups = append(l.Groups, g)
		}
	}
	return p
}

// arguments draws parameters for an entry that mostly fit a passage.
func arguments(e *Entry, p passage.Passage) *rapid.Generator[Args] {
	return rapid.Custom(func(t *rapid.T) Args {
		var a Args
		rapid.Bool().Draw(t, "something") // a draw must use some data
		for _, c := range e.clauses {
			if !c.optional || rapid.Bool().Draw(t, c.name) {
				c.draw(t, e, p, &a)
			}
		}
		return a
	})
}

// draw fills one clause.
func (c clause) draw(t *rapid.T, e *Entry, p passage.Passage, a *Args) {
	one := func(all ...int) int { return rapid.SampledFrom(all).Draw(t, "n") }
	switch c.param {
	case paramVoices, paramTwo, paramVoice:
		n := one(1, 1, 1, 2)
		if c.param == paramTwo {
			n = 2
		}
		if c.param == paramVoice {
			n = 1
		}
		voice := drawVoice(p, suited[e.Name])
		if c.word == "to" {
			a.To = voice.Filter(func(v passage.Voice) bool { return !slices.Contains(a.Voices, v) }).Draw(t, "to")
		} else {
			a.Voices = rapid.SliceOfNDistinct(voice, n, n, rapid.ID[passage.Voice]).Draw(t, "voices")
		}
	case paramRanges, paramRange, paramBars:
		n := one(1, 1, 2)
		if c.param == paramRange {
			n = 1
		}
		a.At = rapid.SliceOfN(drawRange(p, c.param == paramBars), n, n).Draw(t, "ranges")
	case paramPlaces, paramPlace:
		n := one(1, 1, 1, 2)
		if c.param == paramPlace {
			n = 1
		}
		at := a.Voices // where they strike
		if slices.Contains([]string{"add", "choke"}, e.Name) {
			at = nil
		}
		a.Places = rapid.SliceOfN(drawSpot(p, at), n, n).Draw(t, "places")
	case paramShift:
		a.By = drawLength(t)
		if rapid.Bool().Draw(t, "sooner") {
			a.By = a.By.Neg()
		}
	case paramLength:
		a.By = drawLength(t)
	default:
		c.drawNumber(t, p, a)
	}
}

func (c clause) drawNumber(t *rapid.T, p passage.Passage, a *Args) {
	switch c.param {
	case paramFactor:
		a.Factor = rapid.SampledFrom([]meter.Rat{meter.Int(2), meter.R(3, 2), meter.R(4, 3), meter.R(1, 2), meter.R(5, 4), meter.R(13, 7), meter.R(1, maxFactor), meter.R(99999, 100000)}).Draw(t, "factor")
	case paramCount:
		a.Count = rapid.IntRange(1, 9).Draw(t, "count")
	case paramSemitones:
		a.Count = rapid.IntRange(1, passage.MaxBend).Draw(t, "semitones")
	case paramGroups:
		a.Groups = rapid.SliceOfN(rapid.IntRange(1, 5), 1, 4).Draw(t, "groups")
	case paramBar:
		a.Bar = rapid.IntRange(1, len(p.Bars)).Draw(t, "bar")
	case paramMetre:
		a.Metre = passagetest.Metres().Draw(t, "metre")
	case paramChoice:
		a.As = rapid.SampledFrom(c.choices).Draw(t, "choice")
	case paramWord:
		a.As = c.word
	}
}

// suited are the families of voices that can do what some entries ask for.
var suited = map[string][]passage.Family{
	"choke": {passage.Cymbals, passage.Strings}, "ring": {passage.Strings},
	"flam": {passage.Drums}, "drag": {passage.Drums},
	"bend": {passage.Strings}, "chord": {passage.Strings}, "noise": {passage.Strings}, "move": {passage.Drums, passage.Cymbals},
}

// drawVoice draws a voice, mostly one of the passage, and mostly of some
// families where there are any.
func drawVoice(p passage.Passage, families []passage.Family) *rapid.Generator[passage.Voice] {
	return rapid.Custom(func(t *rapid.T) passage.Voice {
		if rapid.IntRange(0, 4).Draw(t, "any") == 0 {
			return rapid.SampledFrom(passage.Voices()).Draw(t, "voice")
		}
		fit := slices.DeleteFunc(p.Voices(), func(v passage.Voice) bool {
			return families != nil && !slices.Contains(families, v.Family())
		})
		if len(fit) == 0 {
			fit = p.Voices()
		}
		return rapid.SampledFrom(fit).Draw(t, "voice")
	})
}

func drawLength(t *rapid.T) meter.Rat {
	l, err := meter.ParseLength(rapid.SampledFrom([]string{"1/4", "1/8", "1/8", "1/16", "1/16", "1/12", "1/24", "1/8.", "1/20", "1/2", "1/1", "1/97", "1/249999", "200000/1"}).Draw(t, "length"))
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// drawSpot draws a beat, a place in it, or where a stroke of some voice begins.
func drawSpot(p passage.Passage, voices []passage.Voice) *rapid.Generator[Spot] {
	return rapid.Custom(func(t *rapid.T) Spot {
		var strokes []passage.Stroke
		for _, v := range voices {
			l, _ := p.Line(v)
			strokes = append(strokes, l.Strokes...)
		}
		if len(strokes) > 0 && rapid.IntRange(0, 3).Draw(t, "at a stroke") > 0 {
			return p.Place(rapid.SampledFrom(strokes).Draw(t, "stroke").At)
		}
		s := drawBeat(p).Draw(t, "beat")
		s.Into = rapid.SampledFrom([]meter.Rat{{}, {}, {}, meter.R(1, 2), meter.R(1, 4), meter.R(1, 3)}).Draw(t, "into")
		return s
	})
}

func drawBeat(p passage.Passage) *rapid.Generator[Spot] {
	return rapid.Custom(func(t *rapid.T) Spot {
		if rapid.IntRange(0, 15).Draw(t, "outside") == 0 {
			return Spot{Bar: rapid.IntRange(1, passage.MaxBars).Draw(t, "bar"), Beat: rapid.IntRange(1, meter.MaxBeats).Draw(t, "beat")}
		}
		b := rapid.SampledFrom(p.Beats()).Draw(t, "place")
		return Spot{Bar: b.Bar, Beat: b.Number}
	})
}

func drawRange(p passage.Passage, bars bool) *rapid.Generator[Range] {
	return rapid.Custom(func(t *rapid.T) Range {
		from, to := drawBeat(p).Draw(t, "from"), drawBeat(p).Draw(t, "to")
		if bars || rapid.Bool().Draw(t, "bars") {
			from.Beat, to.Beat = 0, 0
		} else if rapid.IntRange(0, 5).Draw(t, "inside") == 0 {
			from.Into = meter.R(1, 2)
		}
		if to.Bar < from.Bar || to.Bar == from.Bar && to.Beat < from.Beat {
			to = Spot{Bar: from.Bar, Beat: from.Beat}
		}
		return Range{from, to}
	})
}
