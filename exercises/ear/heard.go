package ear

import (
	"cmp"
	"math"
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// What the ear takes for one thing, in milliseconds.
const (
	// sameMoment is how close two onsets of a voice are one. Onsets under 2 to
	// 3 ms apart are not heard as two (Watson 2004, Semin. Hear. 25(3) 219-227,
	// on Hirsh 1959, JASA 31 759-767).
	sameMoment = 2
	// sameEnd is how close two ends of held sounds are one; our choice, ends
	// are softer than onsets.
	sameEnd = 30
)

// An event is one stroke as it is heard.
type event struct {
	voice passage.Voice
	kind  passage.Kind
	pitch int       // of strings, in semitones and bend; else 0
	at    float64   // ms from the first downbeat
	end   float64   // ms, where the ear hears it; else at
	place meter.Rat // quarter notes, in its own passage
}

// hear returns what is heard of a passage, by voices and then in order of
// time: what makes no sound, and lengths that make no difference, left out.
func hear(p passage.Passage) []event {
	var all []event
	t := timer(p)
	for _, l := range p.Lines {
		for i, s := range l.Strokes {
			if !s.Sounds() && !stopsRinging(l, i, t) {
				continue
			}
			e := event{voice: l.Voice, kind: s.Kind, at: t(s.At), place: s.At}
			e.end = e.at
			if l.Voice.Sustained() {
				e.pitch = int(p.Tuning)*100 + int(s.Fret)*100 + int(s.Bend)
			}
			if rings(l.Voice, s.Kind) {
				e.end = t(s.End())
			}
			all = append(all, e)
		}
	}
	slices.SortStableFunc(all, func(a, b event) int {
		return cmp.Or(cmp.Compare(a.voice, b.voice), cmp.Compare(a.at, b.at))
	})
	return all
}

// timer returns how many milliseconds from the start a place is.
func timer(p passage.Passage) func(meter.Rat) float64 {
	starts := p.Starts()
	from := make([]float64, len(p.Bars)+1)
	pace := make([]float64, len(p.Bars)) // ms a quarter
	for i, b := range p.Bars {
		pace[i] = 60_000 / b.Tempo.Quarters(b.Metre).Float()
		from[i+1] = from[i] + pace[i]*b.Metre.Length().Float()
	}
	return func(at meter.Rat) float64 {
		i := 0
		for i+1 < len(p.Bars) && !at.Less(starts[i+1]) {
			i++
		}
		return from[i] + pace[i]*(at.Float()-starts[i].Float())
	}
}

// rings reports whether the ear hears how long a stroke is written: muted
// strings are over before, drums and cymbals ring by themselves.
func rings(v passage.Voice, k passage.Kind) bool {
	muted := k == passage.Hit || k == passage.Accent || k == passage.Ghost || k == passage.Choke
	return v.Family() == passage.Lows || v.Family() == passage.Strings && !muted
}

// longestRing is how long a cymbal is taken to ring, in ms, so that a choke is
// heard. Our choice, under the decay of a china.
const longestRing = 1500

// stopsRinging reports whether a choke is heard: a cymbal rings, or an open
// hat.
func stopsRinging(l passage.Line, i int, t func(meter.Rat) float64) bool {
	if i == 0 || l.Voice.Family() != passage.Cymbals {
		return false
	}
	before := l.Strokes[i-1]
	ringing := l.Voice != passage.Hat || before.Kind == passage.Open
	return before.Sounds() && ringing && t(l.Strokes[i].At)-t(before.At) <= longestRing
}

// like reports whether two events at one moment are played alike.
func (e event) like(o event) bool {
	return e.kind == o.kind && e.pitch == o.pitch && math.Abs((e.end-e.at)-(o.end-o.at)) <= sameEnd
}

// Alike reports whether two passages sound the same: equal onsets, voices,
// kinds and pitches, lengths where they are heard, at equal times, whatever
// bars and tempi they are written in.
func Alike(p, q passage.Passage) bool { return compare(p, q).size == 0 }

// A difference is what of two passages does not sound the same.
type difference struct {
	size       float64 // strokes: those that came, went or moved, and half of those played otherwise
	gone, come []event // of the first and of the second passage
	other      []event // of the second: at the same moment, played otherwise
	was        []event // the same of the first
}

// otherwise is how much a stroke counts that is only played otherwise. Our
// choice.
const otherwise = 0.5

// compare returns the difference between two passages as they are heard.
func compare(p, q passage.Passage) difference {
	var d difference
	a, b := hear(p), hear(q)
	for len(a) > 0 || len(b) > 0 {
		v := firstVoice(a, b)
		n, m := countOf(a, v), countOf(b, v)
		d.voice(a[:n], b[:m])
		a, b = a[n:], b[m:]
	}
	return d
}

func firstVoice(a, b []event) passage.Voice {
	switch {
	case len(a) == 0:
		return b[0].voice
	case len(b) == 0:
		return a[0].voice
	}
	return min(a[0].voice, b[0].voice)
}

// countOf returns how many events at the front are of a voice.
func countOf(all []event, v passage.Voice) int {
	n := 0
	for n < len(all) && all[n].voice == v {
		n++
	}
	return n
}

// voice adds the difference of one voice.
func (d *difference) voice(a, b []event) {
	gone, come := 0, 0
	for len(a) > 0 || len(b) > 0 {
		switch {
		case len(b) == 0 || len(a) > 0 && a[0].at < b[0].at-sameMoment:
			d.gone, a, gone = append(d.gone, a[0]), a[1:], gone+1
		case len(a) == 0 || b[0].at < a[0].at-sameMoment:
			d.come, b, come = append(d.come, b[0]), b[1:], come+1
		default:
			if !a[0].like(b[0]) {
				d.was, d.other = append(d.was, a[0]), append(d.other, b[0])
				d.size += otherwise
			}
			a, b = a[1:], b[1:]
		}
	}
	d.size += float64(max(gone, come))
}

// all returns the events of both passages that differ.
func (d difference) all() []event { return slices.Concat(d.gone, d.come, d.was, d.other) }

// voices returns the voices that differ, in printing order.
func (d difference) voices() []passage.Voice {
	var all []passage.Voice
	for _, e := range d.all() {
		if !slices.Contains(all, e.voice) {
			all = append(all, e.voice)
		}
	}
	slices.Sort(all)
	return all
}

// first returns the earliest event that differs; there must be one.
func (d difference) first() event {
	return slices.MinFunc(d.all(), func(a, b event) int { return cmp.Compare(a.at, b.at) })
}

// beats returns the beats of p in which something differs, in order.
func (d difference) beats(p passage.Passage) []passage.Place {
	var all []passage.Place
	for _, e := range d.all() {
		if b := beatOf(p, e.place); !slices.Contains(all, b) {
			all = append(all, b)
		}
	}
	slices.SortFunc(all, comparePlaces)
	return all
}

func comparePlaces(a, b passage.Place) int {
	return cmp.Or(cmp.Compare(a.Bar, b.Bar), cmp.Compare(a.Beat, b.Beat), a.Into.Cmp(b.Into))
}
