package grade

import (
	"math"
	"math/big"
	"slices"
	"sort"

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

	places int               // of a pass at which something is written
	lanes  []int             // in which something is written or played
	sets   [][]passage.Voice // voices that go together
	queue  []scoped
	scope  scoped                    // at work
	asked  []change.Change           // readings of the scope at work
	saying map[*change.Entry]float64 // what each of these takes to say, in nats
	stage  int

	slips     []slip
	slipCost  float64
	steps     []int // indices in Options.Steps
	exchanges [][2]passage.Voice
	habits    []change.Change
	finals    []*class
	asIs      fitted
	found     *class
	work      int
	done      bool

	align *aligner
	off   []float64
}

// A scoped part of the search.
type scoped struct {
	change.Scope
	spans [][2]int
	bound float64
	cost  float64
	bars  bool // changes of bars are tried whatever the bound
}

// asking is how many readings can be listed in the time that one is tried.
// About what was measured.
const asking = 8

// A class is all readings that come to the same strokes.
type class struct {
	lanes []laneStrokes
	names []named
	cost  float64 // nats that it takes to say
	gain  float64 // in nats against as written, when sifted
	trend int
	order int // in which it was found
	fit   fitted
	odds  float64 // logarithm
}

// laneStrokes are what one lane plays otherwise.
type laneStrokes struct {
	lane int
	strokeList
}

// quickClock turns places into seconds of a pass, to within rounding.
type quickClock struct {
	at, seconds, slope []float64
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
const searchBudget = 40_000

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
	if s.ev.end <= 0 { // the player stopped before the first stroke
		s.done = true
		return s
	}
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
	s.setLanes()
	s.setTrends()
	s.setQueue()
	s.setSlips()
	if len(s.queue) > 0 {
		s.setSteps()
		s.setExchanges()
		s.setHabits()
	}
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
	for i, pos := range s.g.expected.Positions {
		if i == 0 || s.g.expected.Positions[i-1].At != pos.At {
			s.places++
		}
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

// setQueue makes the list of scopes, those first that could gain most. Taps
// that name voices tell of each voice by itself, so a scope is about all of
// them; on a single key, sets of voices are scopes of their own.
func (s *Search) setQueue() {
	s.sets = s.reader.Together()
	sets := s.sets
	if !s.g.oneKey {
		sets = [][]passage.Voice{s.part}
	}
	beats := slices.DeleteFunc(s.p.Beats(), func(b passage.Beat) bool { return !s.plays(b.Bar) })
	all := s.reader.Scopes(sets)
	kinds := map[int]float64{}
	for _, sc := range all {
		if len(sc.Voices) > 0 {
			kinds[breadth(sc)] += 1 / float64(len(sets))
		}
	}
	for _, sc := range all {
		q := scoped{Scope: sc, cost: costFirst + math.Log(max(kinds[breadth(sc)], 1))}
		for _, span := range sc.Span(s.p) {
			q.spans = append(q.spans, beatsIn(beats, span))
		}
		q.bound = s.bound(s.lanes, q.spans)
		if sc.At == nil {
			q.bound = max(q.bound, s.inPlaceOfLean(q.spans))
		}
		if len(sc.Voices) == 0 && breadth(sc) < 2 && s.bound(s.lanes, [][2]int{{0, len(beats)}}) > leastForm {
			q.bars = true // bars may be cut, and all that follows moves
		}
		if q.bars || q.bound-q.cost > math.Log(misreadMin) {
			s.queue = append(s.queue, q)
		}
	}
	sort.SliceStable(s.queue, func(i, j int) bool { return s.queue[i].bound-s.queue[i].cost > s.queue[j].bound-s.queue[j].cost })
}

// leastForm is the least that a reading must be able to gain, in nats, for other
// bars to be tried. Our choice: as little as any is said for.
const leastForm = 10.0

// inPlaceOfLean returns about the most nats that a reading throughout can gain
// where it explains what was taken for a lean: the strokes of a part that is
// played a cell late are all there, but nobody is so late.
func (s *Search) inPlaceOfLean(spans [][2]int) float64 {
	most := math.Inf(-1)
	for i, t := range s.tense {
		spared := s.ev.leanPrior(0) - s.ev.leanPrior(s.trends[i].lean)
		most = max(most, t.log-s.base+spared+t.bound(s.lanes, spans))
	}
	return most
}

// bound returns about the most nats that a reading of some lanes can gain.
func (s *Search) bound(lanes []int, spans [][2]int) float64 {
	most := math.Inf(-1)
	for _, t := range s.tense {
		most = max(most, t.log-s.base+t.bound(lanes, spans))
	}
	return most
}

// costFirst is what it takes, in nats, to say that a take is a misreading at
// all and how broad it is: a chance of one in ten beforehand, four breadths.
// Our choice.
var costFirst = math.Log(9 * 4)

// likelyEntry is the chance beforehand that a misreading is of an entry. Our
// choice: strokes left out, added, or set evenly are the most usual.
func likelyEntry(name string) float64 {
	switch name {
	case "drop":
		return 0.25
	case "retime":
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

// setLanes lists the lanes in which something is written or played.
func (s *Search) setLanes() {
	for k := range s.once {
		if len(s.once[k]) > 0 || len(s.ev.taps[k]) > 0 && (k > 0 || s.g.oneKey) {
			s.lanes = append(s.lanes, k)
		}
	}
}

// beatsIn returns the indices of the beats that a span touches: from, to (not
// included).
func beatsIn(beats []passage.Beat, span [2]meter.Rat) [2]int {
	from := sort.Search(len(beats), func(i int) bool { return span[0].Less(beats[i].At.Add(beats[i].Length)) })
	to := sort.Search(len(beats), func(i int) bool { return !beats[i].At.Less(span[1]) })
	return [2]int{from, max(from, to)}
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
	case len(s.steps) > 0:
		s.tryStep(s.steps[0])
		s.steps = s.steps[1:]
	case len(s.habits) > 0:
		s.tryHabit(s.habits[0])
		s.habits = s.habits[1:]
	case len(s.exchanges) > 0:
		s.tryExchange(s.exchanges[0])
		s.exchanges = s.exchanges[1:]
	case len(s.slips) > 0:
		s.trySlip(s.slips[0])
		s.slips = s.slips[1:]
	case len(s.asked) > 0:
		c := s.asked[0]
		s.asked = s.asked[1:]
		s.try(c)
	case len(s.queue) > 0:
		q := s.queue[0]
		s.queue = s.queue[1:]
		off := q.bound-q.cost < max(s.best, math.Log(misreadMin)) && q.bound < s.most-1
		if off && !q.bars {
			return
		}
		s.scope, s.asked = q, s.reader.Readings(q.Scope)
		s.work += len(s.asked) / asking
		if off {
			s.asked = slices.DeleteFunc(s.asked, func(c change.Change) bool { return !c.OfBars() })
		}
		s.saying = map[*change.Entry]float64{}
		for _, c := range s.asked {
			s.saying[c.Entry]++
		}
		for e, n := range s.saying {
			s.saying[e] = q.cost + math.Log(n/likelyEntry(e.Name))
		}
		s.sayPlaces()
	case s.stage == 0:
		s.stage++
		s.choosing()
	case len(s.finals) > 0:
		c := s.finals[0]
		s.finals = s.finals[1:]
		s.work += 10
		s.judge(c)
	default:
		s.done = true
	}
}

// sayPlaces sets what it takes to say a change of places, which are as many as
// there are strokes, or cells where something comes in.
func (s *Search) sayPlaces() {
	amounts := map[*change.Entry]map[string]bool{}
	for _, c := range s.asked {
		if len(c.Args.Places) > 0 {
			if amounts[c.Entry] == nil {
				amounts[c.Entry] = map[string]bool{}
			}
			amounts[c.Entry][c.Args.By.String()+c.Args.As] = true
		}
	}
	for e, all := range amounts {
		places := float64(s.places)
		if e.Name != "drop" && e.Name != "ring" {
			places = float64(len(s.g.expected.Bars) * cellsInBar)
		}
		s.saying[e] = math.Log(9 * places * float64(len(all)) / likelyEntry(e.Name))
		if breadth(s.scope.Scope) == 3 {
			s.saying[e] += math.Log(2)
		}
	}
}

// cellsInBar is how many places of a bar something may come in at, before
// anything is known: sixteenths. Our choice.
const cellsInBar = 16

// try sifts one reading.
func (s *Search) try(c change.Change) {
	if !s.g.oneKey && len(c.Args.Voices) > 1 && !c.Entry.Single() {
		s.tryEach(c)
		return
	}
	s.tryAs(c)
}

// tryAs sifts one reading of just the voices that it names.
func (s *Search) tryAs(c change.Change) {
	sketch, ok := c.Sketch(s.p)
	if !ok {
		return
	}
	cost := s.saying[c.Entry]
	if c.Entry.Single() {
		cost += math.Log(float64(len(s.part)))
	}
	if s.g.oneKey && len(c.Args.Voices) > 0 {
		cost += math.Log(float64(len(s.sets)))
	}
	for _, lanes := range s.strokesOf(c, sketch) {
		s.consider(s.marked(lanes), named{rank: 1, change: c}, cost+amountCost(c))
	}
}

// amountCost is what odd amounts take to say, in nats: straight note values are
// what players fall into, triplets next. Our choice.
func amountCost(c change.Change) float64 {
	cost := 0.0
	for d, nats := range oddAmounts {
		if c.Args.By.Den()%d == 0 || c.Args.Factor.Den()%d == 0 || c.Args.Factor.Num() > 0 && c.Args.Factor.Num()%d == 0 {
			cost += nats
		}
	}
	return cost
}

var oddAmounts = map[int64]float64{3: 0.7, 5: 2, 7: 2, 16: 0.7}

// leastTension is the least that a reading of a voice must be able to gain, in
// nats, for the voice to be tried. Our choice.
const leastTension = 1.5

// tenseIn reports whether a lane is worth a try in the scope at work.
func (s *Search) tenseIn(lane int) bool {
	return slices.ContainsFunc(s.tense, func(t *tension) bool { return t.bound([]int{lane}, s.scope.spans) >= leastTension })
}

// tryEach sifts one reading of each voice that it names, and of the voices that
// gain by it, together.
func (s *Search) tryEach(c change.Change) {
	var lanes []markedLane
	for _, v := range c.Args.Voices {
		k := int(v)
		if !s.tenseIn(k) {
			continue
		}
		s.work++
		one := c
		one.Args.Voices = []passage.Voice{v}
		sketch, ok := one.Sketch(s.p)
		if !ok {
			continue
		}
		for _, l := range s.strokesOf(one, sketch) {
			lanes = append(lanes, s.marked(l)...)
		}
	}
	if !c.Each() { // together it is something else
		for _, set := range append(s.tensePairs(c.Args.Voices), s.sets...) {
			if c.Args.Voices = set; len(set) > 1 && slices.ContainsFunc(set, func(v passage.Voice) bool { return s.tenseIn(int(v)) }) {
				s.tryAs(c)
			}
		}
		for i := range lanes {
			s.considerSet(c, lanes[i:i+1])
		}
		return
	}
	if len(lanes) == 0 {
		return
	}
	s.considerSet(c, lanes)
	for i := range s.trends {
		s.considerSet(c, those(lanes, func(l markedLane) bool { return l.gains[i] > s.known[i][l.lane] }))
	}
	if len(lanes) > 2 {
		for _, set := range s.sets {
			s.considerSet(c, those(lanes, func(l markedLane) bool { return slices.Contains(set, passage.Voice(l.lane)) }))
		}
	}
}

// tensePairs returns every two of some voices of which there is something to
// explain.
func (s *Search) tensePairs(voices []passage.Voice) [][]passage.Voice {
	var all [][]passage.Voice
	for i, v := range voices {
		for _, w := range voices[i+1:] {
			if s.tenseIn(int(v)) && s.tenseIn(int(w)) {
				all = append(all, []passage.Voice{v, w})
			}
		}
	}
	return all
}

func those(lanes []markedLane, keep func(markedLane) bool) []markedLane {
	var all []markedLane
	for _, l := range lanes {
		if keep(l) {
			all = append(all, l)
		}
	}
	return all
}

// considerSet weighs a reading of some voices.
func (s *Search) considerSet(c change.Change, lanes []markedLane) {
	if len(lanes) == 0 || s.gainOf(lanes) <= 0 {
		return
	}
	c.Args.Voices = nil
	for _, l := range lanes {
		c.Args.Voices = append(c.Args.Voices, passage.Voice(l.lane))
	}
	n := len(s.part)
	if c.Entry.Name == "drop" || c.Entry.Name == "ring" {
		n = max(s.striking(c.Args.Places), len(lanes))
	}
	s.consider(lanes, named{rank: 1, change: c}, s.saying[c.Entry]+amountCost(c)+voicesCost(len(lanes), n))
}

// striking returns how many voices of the part strike at all of some places.
func (s *Search) striking(places []passage.Place) int {
	n := 0
	for _, v := range s.part {
		l, _ := s.p.Line(v)
		all := true
		for _, place := range places {
			all = all && slices.ContainsFunc(l.Strokes, func(st passage.Stroke) bool { return st.Sounds() && s.p.Place(st.At) == place })
		}
		if all {
			n++
		}
	}
	return n
}

// voicesCost is what it takes to say which k voices of n are meant.
func voicesCost(k, of int) float64 {
	switch of {
	case 1:
		return 0
	case k:
		return math.Log(3)
	}
	return math.Log(3) + choose(k, of)
}

// choose returns the logarithm of the ways to choose k of n.
func choose(k, of int) float64 {
	n, m := float64(of), float64(k)
	return lgamma(n+1) - lgamma(m+1) - lgamma(n-m+1)
}

// A markedLane is what one lane plays otherwise, with what it gains under each
// trend, as written nothing.
type markedLane struct {
	laneStrokes
	mark  uint64
	gains []float64
}

// marked returns those of some lanes that do not play as written.
func (s *Search) marked(lanes []laneStrokes) []markedLane {
	var all []markedLane
	for _, l := range lanes {
		if !sameTimes(l.at, s.written[l.lane].at) {
			mark := markOf(l)
			all = append(all, markedLane{l, mark, s.laneGains(l, mark)})
		}
	}
	return all
}

// gainOf returns what lanes gain under the trend that suits them best.
func (s *Search) gainOf(lanes []markedLane) float64 {
	gain, _ := s.bestTrend(lanes)
	return gain
}

func (s *Search) bestTrend(lanes []markedLane) (gain float64, trend int) {
	gain = math.Inf(-1)
	for i := range s.trends {
		sum := s.tense[i].log - s.base
		for _, l := range lanes {
			sum += l.gains[i] - s.known[i][l.lane]
		}
		if sum > gain {
			gain, trend = sum, i
		}
	}
	return gain, trend
}

// consider weighs what lanes play otherwise.
func (s *Search) consider(lanes []markedLane, name named, cost float64) {
	if len(lanes) == 0 {
		return
	}
	hash := uint64(0) // the order of lanes does not matter
	for _, l := range lanes {
		hash += l.mark * 0x9e3779b97f4a7c15
	}
	if k, ok := s.classes[hash]; ok {
		k.add(name, cost)
		s.best = max(s.best, k.gain-k.cost)
		return
	}
	k := &class{names: []named{name}, cost: cost, order: len(s.classes)}
	s.classes[hash] = k
	if k.gain, k.trend = s.bestTrend(lanes); k.gain > 0 {
		for _, l := range lanes {
			k.lanes = append(k.lanes, l.laneStrokes)
		}
	}
	s.most = max(s.most, k.gain)
	s.best = max(s.best, k.gain-k.cost)
}

// A named reading is one way to say what a class comes to.
type named struct {
	rank   int // steps of the climb before changes, changes before slips
	change change.Change
	text   string // where it is no change
	said   string
	weight int // of the change
}

func (n named) String() string {
	if n.text != "" {
		return n.text
	}
	return n.change.String()
}

// before reports whether a name is the simpler one.
func (n named) before(o named) bool {
	switch {
	case n.rank != o.rank:
		return n.rank < o.rank
	case n.text != "" || o.text != "":
		return false
	}
	return n.weight < o.weight
}

// weigh says how much there is to read in a change that names a class: less
// for a few strokes by their places and for a shift, which players do more often
// than play backwards, more for groups that do not fill their place a whole
// number of times. Our choice.
func (s *Search) weigh(c change.Change) int {
	w := c.Weight()
	switch c.Entry.Name {
	case "drop", "add":
		w -= 3 << 8
	case "shift":
		w -= 5 << 8
	case "group":
		n := 0
		for _, g := range c.Args.Groups {
			n += g
		}
		cell := c.Args.By
		if cell.Sign() == 0 {
			cell = meter.R(1, 4)
		}
		for _, span := range (change.Scope{At: c.Args.At}).Span(s.p) {
			if !cell.Mul(meter.Int(int64(n))).Divides(span[1].Sub(span[0])) {
				w += 4 << 8
			}
		}
	}
	return w
}

// add puts one more name into a class.
func (k *class) add(n named, cost float64) {
	k.cost = min(k.cost, cost)
	if len(k.names) < mostNames {
		k.names = append(k.names, n)
	}
}

// mostNames bounds the names of a class that are looked at. Our choice.
const mostNames = 64

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

// choosing keeps the classes that may be the one.
func (s *Search) choosing() {
	var all []*class
	for _, k := range s.classes {
		if k.lanes != nil {
			all = append(all, k)
		}
	}
	sort.Slice(all, func(i, j int) bool {
		a, b := all[i], all[j]
		if x, y := a.gain-a.cost, b.gain-b.cost; x != y {
			return x > y
		}
		return a.order < b.order
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

// believable reports whether what a class comes to is what was played on the
// whole, and in each lane in which it differs.
func (s *Search) believable(k *class, lanes *[32]strokeList) bool {
	if float64(k.fit.hits) < explains*float64(k.fit.hits+max(k.fit.missed, k.fit.strays)) {
		return false
	}
	for _, l := range k.lanes {
		most := max(len(lanes[l.lane].at), len(s.ev.taps[l.lane]))
		if float64(k.fit.inLane[l.lane]) < explains*float64(most) {
			return false
		}
	}
	return true
}

// explains is the least share of its own strokes, and of the taps, that a
// misreading must have as hits. Our choice: with fewer, something else happened.
const explains = 0.6

// judge fits one class, and keeps it where it is the likeliest so far.
func (s *Search) judge(k *class) {
	lanes := s.written
	for _, l := range k.lanes {
		lanes[l.lane] = l.strokeList
	}
	k.fit = s.ev.fit(&lanes, s.trends[k.trend])
	k.odds = k.fit.log - s.asIs.log - k.cost
	if !s.believable(k, &lanes) {
		return
	}
	if k.odds > math.Log(misreadMin) && (s.found == nil || k.odds > s.found.odds) && s.applies(k) {
		s.found = k
	}
}

// applies reports whether a class has a name that can be made, and puts the
// simplest first.
func (s *Search) applies(k *class) bool {
	for i, n := range k.names {
		if n.text == "" {
			k.names[i].weight = s.weigh(n.change)
		}
	}
	for _, c := range s.plainly(k) {
		k.names = append(k.names, named{rank: 1, change: c, weight: plainest})
	}
	sort.SliceStable(k.names, func(i, j int) bool { return k.names[i].before(k.names[j]) })
	able := k.names[:0:0]
	for _, n := range k.names {
		if n.text == "" {
			if _, err := n.change.Apply(s.p); err != nil {
				continue
			}
		}
		able = append(able, n)
	}
	k.names = able
	return len(able) > 0
}

// mostAlso bounds the other names of a misreading. Our choice.
const mostAlso = 8

// Misreading returns what was found once the search is over; nil where there is
// nothing, or not yet.
func (s *Search) Misreading() *Misreading {
	if !s.done || s.found == nil {
		return nil
	}
	k := s.found
	m := &Misreading{Change: k.names[0].String(), Sentence: s.sentence(k.names[0]), Odds: math.Exp(min(k.odds, mostOdds))}
	for _, n := range k.names[1:] {
		if text := n.String(); len(m.Also) < mostAlso && text != m.Change && !slices.Contains(m.Also, text) {
			m.Also = append(m.Also, text)
		}
	}
	return m
}

// mostOdds bounds the logarithm of odds that are told. Our choice.
const mostOdds = 300

// allWork is enough for any search.
const allWork = 1 << 30

// searched says whether Grade looks for misreadings.
const searched = true
