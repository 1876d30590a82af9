package grade

import (
	"cmp"
	"math"
	"math/big"
	"slices"

	"stampmill/exercises/change"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Search looks for the misreading of a take in slices of work. What it finds
// does not depend on the slices.
type Search struct {
	g       *grader
	p       passage.Passage
	options Options
	ev      *evidence
	part    []passage.Voice
	any     bool // the part is all there is, and what comes in
	others  []passage.Voice
	reader  *change.Reader
	clock   quickClock

	once    [32][]float64 // what is written, in one pass, by lane
	written [32]strokeList
	trends  []trend
	tense   []*tension
	base    float64     // the best of the tensions
	known   [][]float64 // what the lanes gain as written, by trend
	gains   map[uint64][]float64
	classes map[uint64]*class
	best    float64 // of the classes, against as written, less what they take to say
	most    float64 // the same, without that

	queue  []scoped
	asked  []change.Change           // readings of the scope at work
	saying map[*change.Entry]float64 // what each of these takes to say, in nats
	stage  int
	finals []*class
	asIs   fitted
	found  *class
	work   int
	done   bool

	align *aligner
	off   []float64
}

// A scoped part of the search.
type scoped struct {
	change.Scope
	lanes []int
	spans [][2]int
	bound float64
	cost  float64
}

// A class is all readings that come to the same strokes.
type class struct {
	lanes  []laneStrokes
	change change.Change
	text   string // where it is no change of the catalogue
	said   string
	also   []string
	cost   float64 // nats that it takes to say
	gain   float64 // in nats against as written, when sifted
	trend  int
	fit    fitted
	odds   float64 // logarithm
}

// laneStrokes are what one lane plays otherwise.
type laneStrokes struct {
	lane int
	strokeList
}

// quickClock turns places into seconds of a pass, to within rounding.
type quickClock struct {
	at, seconds, slope []float64
	from               float64
}

func quickly(c clock) quickClock {
	var q quickClock
	slower, _ := c.slower.Float64()
	for _, s := range c.tempo.Segments() {
		q.at = append(q.at, s.At.Float())
		x := new(big.Rat).Sub(c.tempo.Exact(s.At), c.from)
		f, _ := x.Mul(x, c.slower).Float64()
		q.seconds = append(q.seconds, f)
		q.slope = append(q.slope, slower*60/s.Quarters.Float())
	}
	return q
}

func (q quickClock) of(at meter.Rat) float64 {
	x := at.Float()
	i := len(q.at) - 1
	for i > 0 && x < q.at[i] {
		i--
	}
	return q.seconds[i] + (x-q.at[i])*q.slope[i]
}

// sifted is how many classes are fitted in the end, and siftedDown how many
// nats below the best they may be. Our choice.
const (
	sifted     = 24
	siftedDown = 12.0
	misreadMin = 20 // odds against as written from which a misreading is said
)

// searchBudget is the work that a search spends at most: readings tried. Our
// choice; see the benchmark.
const searchBudget = 60_000

// NewSearch begins to look for the misreading of a take of the passage p. The
// arguments and errors are those of [Grade].
func NewSearch(p passage.Passage, t Take, o Options) (*Search, error) {
	g, err := matched(p, t, o)
	if err != nil {
		return nil, err
	}
	return newSearch(g, p, o), nil
}

func newSearch(g *grader, p passage.Passage, o Options) *Search {
	s := &Search{g: g, p: p, options: o, gains: map[uint64][]float64{}, classes: map[uint64]*class{}}
	if len(g.taps) < leastTaps || len(g.expected.Onsets) == 0 {
		s.done = true
		return s
	}
	s.ev = newEvidence(g)
	s.part, _ = partOf(p, g.take.Part)
	s.part = slices.DeleteFunc(slices.Clone(s.part), func(v passage.Voice) bool { return !hasStrokes(p, v) })
	s.any = len(g.take.Part) == 0
	for _, v := range passage.Voices() {
		if len(g.byLane[v].taps) > 0 && !slices.Contains(s.part, v) && v != passage.Click {
			s.others = append(s.others, v)
		}
	}
	s.clock = quickly(g.expected.clock)
	s.reader = change.NewReader(p, s.part, s.others, g.expected.Bars[0], g.expected.Bars[len(g.expected.Bars)-1])
	s.setWritten()
	s.setTrends()
	s.setQueue()
	return s
}

// leastTaps is the fewest taps of which a misreading can be told. Our choice.
const leastTaps = 4

func hasStrokes(p passage.Passage, v passage.Voice) bool {
	l, _ := p.Line(v)
	return slices.ContainsFunc(l.Strokes, passage.Stroke.Sounds)
}

// setWritten makes the stroke lists of what is written.
func (s *Search) setWritten() {
	for _, pos := range s.g.expected.Positions {
		k := s.g.laneOf(pos.Voices)
		s.once[k] = append(s.once[k], pos.Seconds)
	}
	for k, once := range s.once {
		if len(once) > 0 {
			s.written[k] = repeat(once, s.ev.pass, s.ev.passes, s.ev.end)
		}
	}
}

// setTrends finds the trends that readings are tried under: that of the take
// as written, and none.
func (s *Search) setTrends() {
	s.trends = []trend{{}}
	if t := s.g.playedTrend(); math.Abs(t.lean) > trendApart || math.Abs(t.rate)*s.ev.end > trendApart {
		s.trends = append(s.trends, t)
	}
	beats := s.beatTimes()
	s.base = math.Inf(-1)
	for _, t := range s.trends {
		x := s.ev.tensionOf(&s.written, t, beats)
		s.tense = append(s.tense, x)
		s.base = max(s.base, x.log)
	}
	s.known = make([][]float64, len(s.trends))
	for i, t := range s.trends {
		s.known[i] = make([]float64, 32)
		for k := range s.written {
			s.known[i][k] = s.gain(k, s.written[k].at, t)
		}
	}
}

// trendApart is how far a trend takes strokes from their places to be tried of
// its own. Our choice.
const trendApart = 0.008 // seconds

// playedTrend returns the line through the errors of the taps as they were
// followed.
func (g *grader) playedTrend() trend {
	if g.alongOf == nil {
		g.follow(g.counts())
	}
	all := g.samples(g.alongOf)
	if len(all) < minLeaning {
		return trend{}
	}
	l := fit(times(all), errs(all))
	return trend{mean(errs(all)) - l.slope*l.at, l.slope}
}

// beatTimes returns the seconds of a pass at which each beat begins, and its
// end.
func (s *Search) beatTimes() []float64 {
	var all []float64
	for _, b := range s.p.Beats() {
		if s.plays(b.Bar) {
			all = append(all, s.clock.of(b.At))
		}
	}
	return append(all, s.ev.pass)
}

func (s *Search) plays(bar int) bool {
	bars := s.g.expected.Bars
	return bar >= bars[0] && bar <= bars[len(bars)-1]
}

// gain returns what a lane gains by some strokes under a trend.
func (s *Search) gain(lane int, strokes []float64, t trend) float64 {
	if s.align == nil {
		s.align = newAligner(searchSpread, s.ev.strayRate())
	}
	s.off = t.off(s.off, s.ev.taps[lane])
	return s.align.gain(strokes, s.off)
}

// setQueue makes the list of scopes, those first that could gain most.
func (s *Search) setQueue() {
	all := s.reader.Scopes()
	kinds := map[int]float64{}
	for _, sc := range all {
		kinds[breadth(sc)]++
	}
	beats := s.p.Beats()
	beats = slices.DeleteFunc(beats, func(b passage.Beat) bool { return !s.plays(b.Bar) })
	for _, sc := range all {
		q := scoped{Scope: sc, cost: costFirst + math.Log(kinds[breadth(sc)])}
		q.lanes = s.lanesOf(sc.Voices)
		for _, span := range sc.Span(s.p) {
			q.spans = append(q.spans, beatsIn(beats, span))
		}
		spans := q.spans
		if len(sc.Voices) == 0 && breadth(sc) == 1 { // bars may be cut, and all after them moves
			spans = [][2]int{{spans[0][0], len(beats)}}
		}
		for _, t := range s.tense {
			more := 0.0
			if len(sc.Voices) == 1 { // the strokes may have gone to another voice
				for _, k := range s.lanesOf(nil) {
					if !slices.Contains(q.lanes, k) {
						more = max(more, t.bound([]int{k}, spans))
					}
				}
			}
			q.bound = max(q.bound, t.log+t.bound(q.lanes, spans)+more-s.base)
		}
		if q.bound-q.cost > math.Log(misreadMin) {
			s.queue = append(s.queue, q)
		}
	}
	slices.SortStableFunc(s.queue, func(a, b scoped) int { return cmp.Compare(b.bound-b.cost, a.bound-a.cost) })
}

// costFirst is what it takes, in nats, to say that a take is a misreading at
// all and how broad it is: a chance of one in ten beforehand, four breadths.
// Our choice.
var costFirst = math.Log(9 * 4)

// likelyEntry is the chance beforehand that a misreading is of an entry. Our
// choice: strokes left out, added, or set evenly are the most usual.
func likelyEntry(name string) float64 {
	switch name {
	case "drop", "retime":
		return 0.12
	case "add", "half-time", "shift":
		return 0.08
	}
	return 0.025
}

// breadth is 0 for a reading throughout, 1 in bars, 2 on one beat, 3 on the
// same beat of several bars, 4 in a run of beats.
func breadth(s change.Scope) int {
	switch {
	case s.At == nil:
		return 0
	case len(s.At) > 1:
		return 3
	case s.At[0].From.Beat == 0:
		return 1
	case s.At[0].From != s.At[0].To:
		return 4
	}
	return 2
}

// lanesOf returns the lanes of some voices, all where there are none.
func (s *Search) lanesOf(voices []passage.Voice) []int {
	if s.g.oneKey {
		return []int{int(passage.NoVoice)}
	}
	var all []int
	for k := 1; k < 32; k++ {
		v := passage.Voice(k)
		if (len(voices) == 0 || slices.Contains(voices, v) || slices.Contains(s.others, v)) && (len(s.once[k]) > 0 || len(s.ev.taps[k]) > 0) {
			all = append(all, k)
		}
	}
	return all
}

// beatsIn returns the indices of the beats that a span touches: from, to (not
// included).
func beatsIn(beats []passage.Beat, span [2]meter.Rat) [2]int {
	out := [2]int{len(beats), 0}
	for i, b := range beats {
		if b.At.Less(span[1]) && span[0].Less(b.At.Add(b.Length)) {
			out[0], out[1] = min(out[0], i), max(out[1], i+1)
		}
	}
	if out[1] == 0 {
		return [2]int{}
	}
	return out
}

// Next spends some work more and reports whether the search is over. One unit
// is about one reading tried; it may spend a little more than it is given.
func (s *Search) Next(work int) bool {
	until := s.work + work
	for !s.done && s.work < until {
		if s.work > searchBudget && s.stage == 0 { // the rest is not tried
			s.asked, s.queue = nil, nil
		}
		s.step()
	}
	return s.done
}

// Work returns how much work was spent so far.
func (s *Search) Work() int { return s.work }

// step does one piece of the search.
func (s *Search) step() {
	s.work++
	switch {
	case len(s.asked) > 0:
		c := s.asked[0]
		s.asked = s.asked[1:]
		s.try(c)
	case len(s.queue) > 0:
		q := s.queue[0]
		s.queue = s.queue[1:]
		if q.bound-q.cost < s.best && q.bound < s.most-1 {
			return
		}
		s.asked = s.reader.Readings(q.Scope)
		s.saying = map[*change.Entry]float64{}
		for _, c := range s.asked {
			s.saying[c.Entry]++
		}
		for e, n := range s.saying {
			s.saying[e] = q.cost + math.Log(n/likelyEntry(e.Name))
		}
	case s.stage == 0:
		s.stage++
		s.choose()
	case len(s.finals) > 0:
		c := s.finals[0]
		s.finals = s.finals[1:]
		s.work += 10
		s.judge(c)
	default:
		s.done = true
	}
}

// try sifts one reading.
func (s *Search) try(c change.Change) {
	sketch, ok := c.Sketch(s.p)
	if !ok {
		return
	}
	for _, lanes := range s.strokesOf(c, sketch) {
		s.consider(lanes, c, "", "", s.saying[c.Entry])
	}
}

// consider weighs what lanes would play otherwise.
func (s *Search) consider(lanes []laneStrokes, c change.Change, text, said string, cost float64) {
	hash := uint64(14695981039346656037)
	var differ []laneStrokes
	var marks []uint64
	for _, l := range lanes {
		if sameTimes(l.at, s.written[l.lane].at) {
			continue
		}
		m := markOf(l)
		hash = (hash ^ m) * 1099511628211
		hash ^= hash >> 29
		differ, marks = append(differ, l), append(marks, m)
	}
	if len(differ) == 0 {
		return
	}
	if k, ok := s.classes[hash]; ok {
		k.add(c, text, said, cost)
		s.best = max(s.best, k.gain-k.cost)
		return
	}
	k := &class{change: c, text: text, said: said, cost: cost, gain: math.Inf(-1)}
	s.classes[hash] = k
	var byTrend [8]float64
	for i := range s.trends {
		byTrend[i] = s.tense[i].log - s.base
	}
	for j, l := range differ {
		g := s.laneGains(l, marks[j])
		for i := range s.trends {
			byTrend[i] += g[i] - s.known[i][l.lane]
		}
	}
	for i := range s.trends {
		if byTrend[i] > k.gain {
			k.gain, k.trend = byTrend[i], i
		}
	}
	if k.gain > 0 {
		k.lanes = differ
	}
	s.most = max(s.most, k.gain)
	s.best = max(s.best, k.gain-k.cost)
}

// add puts one more reading into its class; the simplest names it.
func (k *class) add(c change.Change, text, said string, cost float64) {
	name := text
	if c.Entry != nil {
		name = c.String()
	}
	k.cost = min(k.cost, cost)
	old := k.name()
	if name == old || slices.Contains(k.also, name) {
		return
	}
	if k.text == "" && c.Entry != nil && c.Weight() < k.change.Weight() {
		k.change, name = c, old
	}
	if len(k.also) < mostAlso {
		k.also = append(k.also, name)
	}
}

// mostAlso bounds the other names of a misreading. Our choice.
const mostAlso = 16

func (k *class) name() string {
	if k.text != "" {
		return k.text
	}
	return k.change.String()
}

func (s *Search) laneGains(l laneStrokes, mark uint64) []float64 {
	if g, ok := s.gains[mark]; ok {
		return g
	}
	g := make([]float64, len(s.trends))
	for i, t := range s.trends {
		g[i] = s.gain(l.lane, l.at, t)
	}
	s.gains[mark] = g
	return g
}

// markOf returns a number that is the same for the same strokes of a lane, and
// hardly ever for others.
func markOf(l laneStrokes) uint64 {
	h := uint64(14695981039346656037) ^ uint64(l.lane)<<56
	for _, at := range l.at {
		h = (h ^ uint64(int64(math.Round(at*1e6)))) * 1099511628211
		h ^= h >> 29
	}
	return h
}

// choose keeps the classes that may be the one.
func (s *Search) choose() {
	var all []*class
	for _, k := range s.classes {
		if k.lanes != nil {
			all = append(all, k)
		}
	}
	slices.SortFunc(all, func(a, b *class) int {
		return cmp.Or(cmp.Compare(b.gain-b.cost, a.gain-a.cost), cmp.Compare(a.name(), b.name()))
	})
	for i, k := range all {
		if i < sifted && k.gain-k.cost > all[0].gain-all[0].cost-siftedDown && k.gain-k.cost > -siftedDown {
			s.finals = append(s.finals, k)
		}
	}
	if len(s.finals) == 0 {
		return
	}
	s.asIs.log = math.Inf(-1)
	for _, t := range s.trends {
		if f := s.ev.fit(&s.written, t); f.log > s.asIs.log {
			s.asIs = f
		}
	}
}

// judge fits one class, and keeps it where it is the likeliest so far.
func (s *Search) judge(k *class) {
	lanes := s.written
	for _, l := range k.lanes {
		lanes[l.lane] = l.strokeList
	}
	k.fit = s.ev.fit(&lanes, s.trends[k.trend])
	k.odds = k.fit.log - s.asIs.log - k.cost
	if k.odds > math.Log(misreadMin) && (s.found == nil || k.odds > s.found.odds) && s.applies(k) {
		s.found = k
	}
}

// applies reports whether a class has a name that can be made, and gives it the
// simplest.
func (s *Search) applies(k *class) bool {
	if k.text != "" {
		return true
	}
	names := []change.Change{k.change}
	for _, text := range k.also {
		if c, err := change.Parse(text); err == nil {
			names = append(names, c)
		}
	}
	slices.SortStableFunc(names, func(a, b change.Change) int { return a.Weight() - b.Weight() })
	var able []change.Change
	for _, c := range names {
		if _, err := c.Apply(s.p); err == nil {
			able = append(able, c)
		}
	}
	if len(able) == 0 {
		return false
	}
	k.change, k.also = able[0], nil
	for _, c := range able[1:] {
		k.also = append(k.also, c.String())
	}
	return true
}

// Misreading returns what was found once the search is over; nil where there is
// nothing, or not yet.
func (s *Search) Misreading() *Misreading {
	if !s.done || s.found == nil {
		return nil
	}
	k := s.found
	return &Misreading{Change: k.name(), Sentence: s.sentence(k), Odds: math.Exp(min(k.odds, 300)), Also: k.also}
}

func (s *Search) sentence(k *class) string {
	if k.said != "" {
		return k.said
	}
	return k.change.Sentence(s.p)
}

// allWork is enough for any search.
const allWork = 1 << 30

// searched says whether Grade looks for misreadings.
const searched = false
