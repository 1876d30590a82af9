package grade

import (
	"math"
	"slices"

	"stampmill/exercises/passage"
)

// A sample is a played stroke: which, when, and how far off, in seconds.
type sample struct {
	onset, tap int
	at, err    float64
}

// verdict puts the figures together.
func (g *grader) verdict(p passage.Passage, o Options) Verdict {
	v := Verdict{Counts: g.counts(), Strays: g.strays()}
	v.Extra = len(v.Strays)
	course := g.follow(v.Counts)
	samples, whole := g.samples(g.tapOf), g.samples(g.alongOf)
	steady := newSteady(whole)
	g.overAll(&v, whole, steady)
	g.byGroup(&v, p, o, samples, steady)
	v.Tuplets = g.tuplets(p)
	v.Accents = g.accents(samples)
	v.Lengths = g.lengths(p)
	v.Graces = g.graces(p)
	v.report = &report{g: g, p: p, drift: steady.drift, whole: whole, course: course, pedals: o.Pedals, pass: DefaultPassing}
	if o.Passing != nil {
		v.report.pass = *o.Passing
	}
	return v.With(nil)
}

// overAll fills in the figures of the whole take.
func (g *grader) overAll(v *Verdict, whole []sample, s steady) {
	taps := len(g.taps) - g.graceTaps()
	v.F25, v.F50 = harmonic(g.within25, v.Expected, taps), harmonic(g.within50, v.Expected, taps)
	lag := g.lag1(whole, s.residuals)
	v.Leaning = s.leaning()
	v.Spread = spread(s.residuals, s.drift.lost(), lag.correlation())
	v.Drift = s.drift.drift(g.take.Tempo, len(whole))
	v.Lag1 = lag.figure()
	v.Clock, v.Motor, v.Violated = g.timekeeping()
	v.Flam, v.Drag = g.graceDistance(passage.Flam), g.graceDistance(passage.Drag)
}

// byGroup fills in the figures of the parts of a take.
func (g *grader) byGroup(v *Verdict, p passage.Passage, o Options, samples []sample, s steady) {
	drift, r := s.drift, 0.0
	if v.Lag1.OK {
		r = v.Lag1.Value
	}
	v.ByVoice = g.byVoice(v.Strays, samples, drift, r)
	v.ByLimb = g.byLimb(p, o.Pedals, samples, drift)
	v.ByPlace = g.byPlace(p, samples, drift)
	v.ByBar = g.byBar(v.Strays, samples, drift, r)
	v.ByPass = g.byPass(v.Strays, samples, drift, r)
	v.Positions = g.byPosition(samples)
}

// A steady is the errors of a take with its drift taken off.
type steady struct {
	drift     line
	residuals []float64 // seconds, in order of the samples
	mean      float64   // of the errors as they are, seconds
}

func newSteady(samples []sample) steady {
	at, err := times(samples), errs(samples)
	l := fit(at, err)
	return steady{l, l.residuals(at, err), mean(err)}
}

func (s steady) leaning() Figure { return leaningOf(s.mean, s.residuals, s.drift.lost()) }

// harmonic returns the F-measure of so many hits.
func harmonic(hits, written, played int) float64 {
	if written == 0 || played == 0 {
		return 0
	}
	return 2 * float64(hits) / float64(written+played)
}

// lost returns the degrees of freedom that taking the line off costs.
func (l line) lost() int {
	if l.ok {
		return 2
	}
	return 1
}

// samples returns the played strokes, given the tap of each onset or -1, in
// order of the onsets.
func (g *grader) samples(tapOf []int) []sample {
	out := make([]sample, 0, min(len(tapOf), len(g.taps)))
	for i, tap := range tapOf {
		if tap >= 0 {
			at := g.expected.Onsets[i].Seconds
			out = append(out, sample{i, tap, at, g.taps[tap] - at})
		}
	}
	return out
}

func times(samples []sample) []float64 {
	out := make([]float64, len(samples))
	for i, s := range samples {
		out[i] = s.at
	}
	return out
}

func errs(samples []sample) []float64 {
	out := make([]float64, len(samples))
	for i, s := range samples {
		out[i] = s.err
	}
	return out
}

// A tally is what belongs to one voice or one bar.
type tally struct {
	Counts
	samples []sample
}

// count counts an onset whose tap is given, or -1.
func (c *Counts) count(tap int) {
	c.Expected++
	if tap >= 0 {
		c.Matched++
	} else {
		c.Missed++
	}
}

// figures returns leaning and spread; the drift taken off, and the share r of
// an error that the next one carries, are those of the whole take.
func (t tally) figures(drift line, r float64) (Figure, Figure) {
	at, err := times(t.samples), errs(t.samples)
	steady := drift.residuals(at, err)
	return leaningOf(mean(err), steady, 1), spread(steady, 1, r)
}

// counts returns the counts of the whole take, without extra taps.
func (g *grader) counts() Counts {
	var c Counts
	for i, tap := range g.tapOf {
		if !g.open[i] {
			c.count(tap)
		}
	}
	return c
}

// tallies shares the onsets out to n tallies; of says which a position belongs
// to.
func (g *grader) tallies(n int, samples []sample, of func(position int) []int) []tally {
	out := make([]tally, n)
	belongs := make([][]int, len(g.expected.Positions))
	for i := range belongs {
		belongs[i] = of(i)
	}
	for i, o := range g.expected.Onsets {
		for _, k := range belongs[o.Position] {
			if !g.open[i] {
				out[k].count(g.tapOf[i])
			}
		}
	}
	for _, s := range samples {
		for _, k := range belongs[g.expected.Onsets[s.onset].Position] {
			out[k].samples = append(out[k].samples, s)
		}
	}
	return out
}

func (g *grader) byVoice(strays []Stray, samples []sample, drift line, r float64) []VoiceFigures {
	var part VoiceSet
	for _, pos := range g.expected.Positions {
		part |= pos.Voices
	}
	voices := part.Voices()
	index := func(v passage.Voice) int { return slices.Index(voices, v) }
	tallies := g.tallies(len(voices), samples, func(position int) []int {
		var all []int
		for _, v := range g.expected.Positions[position].Voices.Voices() {
			all = append(all, index(v))
		}
		return all
	})
	for _, s := range strays {
		if k := index(s.Voice); k >= 0 {
			tallies[k].Extra++
		}
	}
	out := make([]VoiceFigures, len(voices))
	for k, t := range tallies {
		out[k] = VoiceFigures{Voice: voices[k], Counts: t.Counts}
		out[k].Leaning, out[k].Spread = t.figures(drift, r)
	}
	return out
}

func (g *grader) byBar(strays []Stray, samples []sample, drift line, r float64) []BarFigures {
	bars := g.expected.Bars
	tallies := g.tallies(len(bars), samples, func(position int) []int {
		return []int{g.expected.Positions[position].Place.Bar - bars[0]}
	})
	for _, s := range strays {
		tallies[s.Bar-bars[0]].Extra++
	}
	out := make([]BarFigures, len(bars))
	for k, t := range tallies {
		out[k] = BarFigures{Bar: bars[k], Counts: t.Counts}
		out[k].Leaning, out[k].Spread = t.figures(drift, r)
	}
	return out
}

func (g *grader) byPosition(samples []sample) []PositionFigures {
	out := make([]PositionFigures, len(g.expected.Positions))
	for i, pos := range g.expected.Positions {
		out[i].Position = pos
	}
	for i, o := range g.expected.Onsets {
		if !g.open[i] {
			out[o.Position].Passes++
		}
	}
	for _, s := range samples {
		o := g.expected.Onsets[s.onset]
		out[o.Position].Hits = append(out[o.Position].Hits, Hit{o.Pass, 1000 * s.err, s.tap})
	}
	for i := range out {
		errs := make([]float64, len(out[i].Hits))
		for k, h := range out[i].Hits {
			errs[k] = h.ErrorMS / 1000
		}
		out[i].Mean = leaning(errs)
	}
	return out
}

// strays returns the taps that match nothing, in order of time.
func (g *grader) strays() []Stray {
	var out []Stray
	for _, i := range g.order {
		if !g.used[i] {
			s := g.expected.locate(g.taps[i])
			s.Tap, s.Voice = i, g.take.Taps[i].Voice
			out = append(out, s)
		}
	}
	return out
}

// locate returns where a time of the take falls; times before the first pass
// and after the last are counted from these.
func (e Expected) locate(seconds float64) Stray {
	last := 0
	if n := len(e.Onsets); n > 0 {
		last = e.Onsets[n-1].Pass - 1
	}
	pass := min(max(int(math.Floor(seconds/e.PassSeconds)), 0), last)
	in := seconds - float64(pass)*e.PassSeconds
	bar := 0
	for bar+1 < len(e.Bars) && e.BarSeconds[bar+1] <= in {
		bar++
	}
	return Stray{Pass: pass + 1, Bar: e.Bars[bar], At: e.clock.at(in)}
}
