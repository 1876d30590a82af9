package grade

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A slip is a stretch of time that the player loses or plays twice, so that
// all that follows comes too soon or too late: in one pass or in every one, to
// the end of the take or until the next pass begins.
type slip struct {
	at, length meter.Rat
	doubled    bool
	pass       int // from 0; -1: every pass
	again      bool
}

// text writes a slip, such as "lose 1/4 at 2.3 in pass 2".
func (l slip) text(p passage.Passage) string {
	word, when, again := "lose", "every pass", ""
	if l.doubled {
		word = "double"
	}
	if l.pass >= 0 {
		when = fmt.Sprintf("pass %d", l.pass+1)
	}
	if l.again {
		again = comesInAgain
	}
	return fmt.Sprintf("%s %s at %s in %s%s", word, meter.FormatLength(l.length), p.Place(l.at), when, again)
}

// comesInAgain ends the text of a slip after which the player is in place again
// when the next pass begins.
const comesInAgain = " and come in again"

// said says a slip in plain words.
func (l slip) said(p passage.Passage) string {
	beat := p.Beats()[0].Length
	for _, b := range p.Beats() {
		if !l.at.Less(b.At) {
			beat = b.Length
		}
	}
	what := "some time"
	switch l.length {
	case beat:
		what = "a beat"
	case beat.Div(meter.Int(2)):
		what = "half a beat"
	}
	if place := p.Place(l.at); place.Beat == 1 && place.Into.Sign() == 0 && l.length == p.Bars[place.Bar-1].Metre.Length() {
		what = "a bar"
	}
	did, late := "You lost "+what+" at "+p.Place(l.at).String(), "early"
	if l.doubled {
		did, late = "You played "+what+" twice at "+p.Place(l.at).String(), "late"
	}
	if what == "a bar" {
		bar := fmt.Sprintf("bar %d", p.Place(l.at).Bar)
		did = "You left out " + bar
		if l.doubled {
			did = "You played " + bar + " twice"
		}
	}
	when := " in every pass"
	if l.pass >= 0 {
		when = fmt.Sprintf(" in pass %d", l.pass+1)
	}
	again := ", and all that followed came " + strings.Replace(what, "some time", "that much", 1) + " " + late + "."
	if l.pass < 0 {
		again = ", and all that followed came " + late + "."
	}
	if l.again {
		again = ", and came in again with the next pass."
		if l.pass < 0 {
			again = ", and came in again each time."
		}
	}
	return did + when + again
}

// played returns what the lanes play with the slip, given what each plays in
// one pass.
func (s *Search) slipped(l slip) []laneStrokes {
	from, to := s.clock.of(l.at), s.clock.of(l.at.Add(l.length))
	length := to - from
	if !l.doubled {
		length = -length
	}
	var all []laneStrokes
	for k, once := range s.once {
		if len(once) == 0 {
			continue
		}
		var list strokeList
		add := func(at float64, place int) {
			if at < s.ev.end-1e-9 {
				list.at, list.place = append(list.at, at), append(list.place, int32(place))
			}
		}
		start := 0.0
		for pass := 0; start < s.ev.end && pass < slippedPasses(s.ev, length); pass++ {
			slips := l.pass < 0 || l.pass == pass
			for i, at := range once {
				if !slips || at < from-1e-9 || l.doubled && at < to-1e-9 {
					add(start+at, i)
				}
			}
			for i, at := range once {
				in := at+length < s.ev.pass-1e-9 || !l.again // what the next pass cuts off is not played
				if slips && in && (at >= to-1e-9 || l.doubled && at >= from-1e-9) {
					add(start+at+length, i)
				}
			}
			start += s.ev.pass
			if slips && !l.again {
				start += length
			}
		}
		if !sort.Float64sAreSorted(list.at) {
			sort.Sort(byTime(list))
		}
		all = append(all, laneStrokes{k, list})
	}
	return all
}

// slippedPasses bounds the passes of a take in which time is lost in each.
func slippedPasses(ev *evidence, length float64) int {
	return int(ev.end/max(ev.pass+min(length, 0), leastPass)) + 1
}

type byTime strokeList

func (l byTime) Len() int           { return len(l.at) }
func (l byTime) Less(i, j int) bool { return l.at[i] < l.at[j] }
func (l byTime) Swap(i, j int) {
	l.at[i], l.at[j] = l.at[j], l.at[i]
	l.place[i], l.place[j] = l.place[j], l.place[i]
}

// setSlips lists the slips that are worth a try: of a half beat, a beat and a
// bar, from each beat on, in every pass and in those in which the take begins
// to go wrong.
func (s *Search) setSlips() {
	wrong := s.firstWrong()
	if wrong < 0 {
		return
	}
	passes := []int{-1}
	for k := max(wrong-1, 0); k <= min(wrong, s.ev.passes-1); k++ {
		passes = append(passes, k)
	}
	for _, b := range s.p.Beats() {
		if !s.plays(b.Bar) {
			continue
		}
		lengths := []meter.Rat{b.Length, b.Length.Div(meter.Int(2))}
		if bar := s.p.Bars[b.Bar-1].Metre.Length(); b.Number == 1 && bar != b.Length {
			lengths = append(lengths, bar)
		}
		for _, length := range lengths {
			for _, pass := range passes {
				for i := range 4 {
					if i == 2 && !s.clockEnd(b.At.Add(length)) {
						continue // lost to the end of the pass: nothing slips
					}
					s.slips = append(s.slips, slip{b.At, length, i%2 == 1, pass, i/2 == 1})
				}
			}
		}
	}
	s.slipCost = math.Log(9 * float64(len(s.slips)) / likelySlip)
}

// clockEnd reports whether a place is before the end of a pass.
func (s *Search) clockEnd(at meter.Rat) bool { return at.Less(s.g.expected.clock.end) }

// likelySlip is the chance beforehand that a misreading is a slip of time. Our
// choice.
const likelySlip = 0.2

// slipCharge is how many nats a take must lose by misses and strays, in one
// pass, to be looked at for slips. Our choice.
const slipCharge = 14.0

// firstWrong returns the first pass, from 0, in which strokes are missed and
// taps astray as a slip makes them; -1 for none.
func (s *Search) firstWrong() int {
	lost := make([]float64, s.ev.passes)
	pass := func(at float64) int { return min(max(int(at/s.ev.pass), 0), s.ev.passes-1) }
	best := 0
	for i := range s.tense {
		if s.tense[i].log > s.tense[best].log {
			best = i
		}
	}
	a := newAligner(searchSpread, s.ev.strayRate())
	for k := range s.written {
		s.off = s.trends[best].off(s.off, s.ev.taps[k])
		used := make([]bool, len(s.off))
		for i, tap := range a.pairs(s.written[k].at, s.off) {
			if tap < 0 {
				lost[pass(s.written[k].at[i])] += a.miss
			} else {
				used[tap] = true
			}
		}
		for j, tap := range s.off {
			if !used[j] {
				lost[pass(tap)] += a.match - a.miss
			}
		}
	}
	for k, x := range lost {
		if x > slipCharge {
			return k
		}
	}
	return -1
}

// trySlip sifts one slip.
func (s *Search) trySlip(l slip) {
	s.consider(s.marked(s.slipped(l)), named{rank: 2, text: l.text(s.p), said: l.said(s.p)}, s.slipCost)
}

// setSteps lists the other steps of the climb.
func (s *Search) setSteps() {
	for i := range s.options.Steps {
		if i+1 != s.options.Step {
			s.steps = append(s.steps, i)
		}
	}
}

// likelyStep is the chance beforehand that a misreading is another step of the
// climb. Our choice: what was practised before is in the hands.
const likelyStep = 0.2

// tryStep sifts another step of the climb, played at the tempo of the take.
func (s *Search) tryStep(i int) {
	step := s.options.Steps[i]
	q := step.Passage
	if len(q.Bars) == 0 {
		return
	}
	q, err := q.AtTempo(s.p.Bars[0].Tempo.BPM)
	if err != nil {
		return
	}
	cost := math.Log(9 * float64(len(s.options.Steps)) / likelyStep)
	if i+1 > s.options.Step {
		cost += 2 // what comes later is less likely
	}
	said := fmt.Sprintf("You played step %d, %s, not this one.", i+1, step.Title)
	for _, lanes := range s.otherForm(q) {
		s.consider(s.marked(lanes), named{text: fmt.Sprintf("step %d", i+1), said: said}, cost)
	}
}

// setExchanges lists the pairs of voices of the part whose taps may have been
// exchanged, where the catalogue cannot exchange them: kick and guitar.
func (s *Search) setExchanges() {
	if s.g.oneKey {
		return
	}
	for i, v := range s.part {
		for _, w := range s.part[i+1:] {
			if (side(v) == 0) != (side(w) == 0) {
				s.exchanges = append(s.exchanges, [2]passage.Voice{v, w})
			}
		}
	}
}

// side is 0 for drums and cymbals, 1 for the rest.
func side(v passage.Voice) int {
	if f := v.Family(); f == passage.Cymbals || f == passage.Drums {
		return 0
	}
	return 1
}

// tryExchange sifts the exchange of two voices.
func (s *Search) tryExchange(pair [2]passage.Voice) {
	a, b := int(pair[0]), int(pair[1])
	cost := math.Log(9 * float64(len(s.exchanges)) / likelyEntry("swap"))
	said := fmt.Sprintf("You played the %s where the %s is written, and the %s where the %s is.", pair[0], pair[1], pair[1], pair[0])
	s.consider(s.marked([]laneStrokes{{a, s.written[b]}, {b, s.written[a]}}), named{text: fmt.Sprintf("exchange %s and %s", pair[0], pair[1]), said: said}, cost)
}
