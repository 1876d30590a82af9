package synth

import (
	"fmt"
	"math/big"
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Plan says what is played, and how.
type Plan struct {
	Passage passage.Passage // within its limits, see passage.Check
	Rate    int             // frames a second, one of Rates
	CountIn int             // bars before the first pass, 0 to MaxCountIn, in the metre and tempo of bar 1
	Passes  int             // how often the passage is played; 0 means until stopped
	Click   Click
	Places  Places  // of ClickPlaces
	Silence Silence // bars in which nothing sounds
	Seed    uint64  // order of the round robin
	View    View    // from where the drums are heard
	Dry     bool    // without the room

	// Makeup is the linear gain on all strokes: 0 for the one that brings the
	// passage to Loudness. Plans that are to be compared get the same one.
	Makeup float32
}

// MaxCountIn is the longest count-in, in bars; our choice.
const MaxCountIn = 8

func (p Plan) check() error {
	if err := checkRate(p.Rate); err != nil {
		return err
	}
	if p.CountIn < 0 || p.CountIn > MaxCountIn {
		return fmt.Errorf("a count-in of %d bars; use 0 to %d", p.CountIn, MaxCountIn)
	}
	if p.Passes < 0 {
		return fmt.Errorf("%d passes; use 1 or more, or 0 for an endless loop", p.Passes)
	}
	if p.Click > ClickPlaces {
		return fmt.Errorf("click mode %d is unknown; use one of the constants", p.Click)
	}
	if err := p.Places.check(); err != nil {
		return err
	}
	if err := p.Silence.check(); err != nil {
		return err
	}
	if p.View > Drummer {
		return fmt.Errorf("view %d is unknown; use one of the constants", p.View)
	}
	if !(p.Makeup >= 0 && p.Makeup <= mostMakeup) {
		return fmt.Errorf("a make-up gain of %g; use 0 to %g", p.Makeup, mostMakeup)
	}
	if t := p.Passage.Tuning; t != 0 && (t < passage.LowestTuning || t > passage.HighestTuning) {
		return fmt.Errorf("the lowest string is tuned to %s; use %s to %s", t, passage.LowestTuning, passage.HighestTuning)
	}
	if problems := passage.Check(p.Passage); problems != nil {
		return problems
	}
	return nil
}

// A Sequence turns a plan into commands, pass by pass. It is not safe for use
// from several goroutines.
type Sequence struct {
	plan    Plan
	tempo   meter.TempoMap // set now
	length  *big.Rat       // seconds of a pass, at the tempo set now
	events  []event        // of a pass, at the tempo set now
	bars    []*big.Rat     // seconds at which the bars of a pass start
	countIn []event
	lead    *big.Rat // seconds of the count-in

	begun   bool        // commands were asked for: the count-in is fixed
	given   []givenPass // passes whose commands were made
	pending []Command
	robins  map[Key]robin
}

// A givenPass is a pass whose commands were made, with the tempo it has.
type givenPass struct {
	start  *big.Rat // seconds from frame 0
	frame  int64
	tempo  meter.TempoMap
	length *big.Rat
}

// NewSequence checks the plan and stands at frame 0, the start of the
// count-in. It returns an error when the passage is outside its limits, the
// rate is unknown, or the counts of the plan are out of range. A passage
// without a tuning gets passage.DefaultTuning.
func NewSequence(plan Plan) (*Sequence, error) {
	if err := plan.check(); err != nil {
		return nil, err
	}
	if plan.Passage.Tuning == 0 {
		plan.Passage.Tuning = passage.DefaultTuning
	}
	plan.Passage = plan.Passage.Clone()
	s := &Sequence{plan: plan, robins: map[Key]robin{}}
	if err := s.reckon(); err != nil {
		return nil, err
	}
	if s.plan.Makeup == 0 {
		s.plan.Makeup = makeup(s.events)
	}
	return s, nil
}

// Makeup returns the gain on all strokes: the plan's, or the one that brings the
// whole passage to [Loudness]. It stays as it is when the tempo changes.
func (s *Sequence) Makeup() float32 { return s.plan.Makeup }

// reckon works out what depends on the tempo.
func (s *Sequence) reckon() (err error) {
	p := s.plan.Passage
	if s.tempo, err = p.TempoMap(); err != nil {
		return err
	}
	if s.events, err = score(p, s.plan.Rate, s.plan.Dry); err != nil {
		return err
	}
	s.events = append(s.events, clicks(s.plan.clicksOf(p.Beats()), s.tempo)...)
	s.bars = nil
	for _, at := range p.Starts()[:len(p.Bars)] {
		s.bars = append(s.bars, s.tempo.Exact(at))
	}
	s.length = s.tempo.Exact(p.Length())
	if !s.begun {
		return s.reckonCountIn()
	}
	return nil
}

func (s *Sequence) reckonCountIn() error {
	bar := s.plan.Passage.Bars[0]
	count := passage.Passage{Bars: slices.Repeat([]passage.Bar{bar}, s.plan.CountIn)}
	s.lead, s.countIn = new(big.Rat), nil
	if s.plan.CountIn == 0 {
		return nil
	}
	tempo, err := count.TempoMap()
	if err != nil {
		return err
	}
	s.lead = tempo.Exact(count.Length())
	if s.plan.Click != ClickNone {
		s.countIn = clicks(everyBeat(count.Beats()), tempo)
	}
	return nil
}

// SetTempo sets the tempo of the passage's first bar, in its own note value;
// later bars keep their ratio to it. It holds from the next pass that no
// command was given of; before the first call of Next, from the count-in on.
// The keys may change: ask Keys again.
func (s *Sequence) SetTempo(bpm meter.Rat) error {
	p, err := s.plan.Passage.AtTempo(bpm)
	if err != nil {
		return err
	}
	if problems := passage.Check(p); problems != nil {
		return problems
	}
	s.plan.Passage = p
	return s.reckon()
}

// Next appends to dst all commands with Frame < until that were not given
// before, in order, and returns dst.
func (s *Sequence) Next(dst []Command, until int64) []Command {
	s.begin()
	for !s.allGiven() && s.nextFrame()-s.graceFrames() < until {
		s.give()
	}
	n := 0
	for n < len(s.pending) && s.pending[n].Frame < until {
		n++
	}
	dst = append(dst, s.pending[:n]...)
	s.pending = slices.Delete(s.pending, 0, n)
	return dst
}

func (s *Sequence) begin() {
	if s.begun {
		return
	}
	s.begun = true
	s.place(s.countIn, new(big.Rat))
	s.order()
}

// give makes the commands of the next pass.
func (s *Sequence) give() {
	start := s.nextStart()
	s.given = append(s.given, givenPass{start, s.frame(start), s.tempo, s.length})
	s.place(s.hushed(len(s.given)-1), start)
	s.order()
}

// place turns events into pending commands, in the order of the score, so that
// the round robin does not depend on how Next is called.
func (s *Sequence) place(events []event, start *big.Rat) {
	for _, e := range events {
		c := e.command
		c.Frame = s.frame(new(big.Rat).Add(start, e.at)) - s.millis(e.early)
		if c.Frame < 0 {
			continue // a grace note before the beginning
		}
		if !c.Stop {
			c.Gain *= s.plan.Makeup
			c.Pan = s.plan.View.place(c.Voice, c.Pan)
		}
		if e.takes {
			c.Key.Take = s.take(c.Key)
		}
		s.pending = append(s.pending, c)
	}
}

// order sorts what is pending by frame, stops first, and drops doubled stops.
func (s *Sequence) order() {
	slices.SortStableFunc(s.pending, func(a, b Command) int {
		switch {
		case a.Frame != b.Frame:
			return int(min(max(a.Frame-b.Frame, -1), 1))
		case a.Stop && !b.Stop:
			return -1
		case b.Stop && !a.Stop:
			return 1
		case a.Stop:
			return int(a.Voice) - int(b.Voice)
		}
		return 0
	})
	s.pending = slices.CompactFunc(s.pending, func(a, b Command) bool {
		return a.Stop && b.Stop && a.Frame == b.Frame && a.Voice == b.Voice
	})
}

// FirstDownbeat returns the frame at which the first pass starts: the end of
// the count-in.
func (s *Sequence) FirstDownbeat() int64 { return s.frame(s.lead) }

// PassStart returns when pass k (from 0) starts: its frame and its exact
// seconds from frame 0. Passes not yet given are reckoned with the tempo set
// now. The end of a finite sequence is PassStart(Passes).
func (s *Sequence) PassStart(k int) (frame int64, seconds *big.Rat) {
	if k < 0 {
		return 0, new(big.Rat)
	}
	if k < len(s.given) {
		return s.given[k].frame, new(big.Rat).Set(s.given[k].start)
	}
	more := new(big.Rat).SetInt64(int64(k - len(s.given)))
	at := more.Add(s.nextStart(), more.Mul(more, s.length))
	return s.frame(at), at
}

// Where returns where a frame falls, for drawing: the pass from 0 and the
// place in it in quarter notes. In the count-in the pass is -1 and the place
// is negative; after the end the pass is Passes.
func (s *Sequence) Where(frame int64) (pass int, quarters float64) {
	at := float64(frame) / float64(s.plan.Rate)
	half := at + .5/float64(s.plan.Rate) // a pass may start half a frame after the frame it is rounded to
	if half < float(s.lead) {
		return -1, s.tempoOf(0).At(at - float(s.lead))
	}
	pass = s.passAt(half)
	if s.plan.Passes > 0 && pass >= s.plan.Passes {
		return s.plan.Passes, 0
	}
	_, start := s.PassStart(pass)
	return pass, max(0, s.tempoOf(pass).At(at-float(start)))
}

// passAt returns the pass that sounds at the given seconds from frame 0, which
// are not before the first pass.
func (s *Sequence) passAt(seconds float64) int {
	if next := float(s.nextStart()); seconds >= next {
		return len(s.given) + int((seconds-next)/float(s.length))
	}
	n, _ := slices.BinarySearchFunc(s.given, seconds, func(p givenPass, t float64) int {
		if float(p.start) <= t {
			return -1
		}
		return 1
	})
	return n - 1
}

func (s *Sequence) tempoOf(k int) meter.TempoMap {
	if k < len(s.given) {
		return s.given[k].tempo
	}
	return s.tempo
}

// Done reports whether every command was given; never for endless plans.
func (s *Sequence) Done() bool { return s.begun && s.allGiven() && len(s.pending) == 0 }

func (s *Sequence) allGiven() bool {
	return s.plan.Passes > 0 && len(s.given) >= s.plan.Passes
}

func (s *Sequence) nextStart() *big.Rat {
	if len(s.given) == 0 {
		return s.lead
	}
	last := s.given[len(s.given)-1]
	return new(big.Rat).Add(last.start, last.length)
}

func (s *Sequence) nextFrame() int64             { return s.frame(s.nextStart()) }
func (s *Sequence) graceFrames() int64           { return s.millis(maxGrace) + 1 }
func (s *Sequence) frame(seconds *big.Rat) int64 { return meter.RoundSample(seconds, s.plan.Rate) }
func (s *Sequence) millis(ms float64) int64      { return int64(ms*float64(s.plan.Rate)/1000 + .5) }

func float(r *big.Rat) float64 {
	f, _ := r.Float64()
	return f
}

// Keys returns every one-shot that the sequence may need at the tempo set
// now, each once: first those of [Sequence.FirstKeys], then takes whose turn
// comes in a later pass.
func (s *Sequence) Keys() []Key {
	all := s.first()
	all.add(s.onePass(s.unsilenced()), true)
	return all.keys
}

// FirstKeys returns the one-shots of the count-in and of the first pass, in
// order of first use, and then those of bars that are silent in it: when the
// first n are made, playing can begin up to the first use of the next. Every
// stroke of a later pass is among them, maybe in another take.
func (s *Sequence) FirstKeys() []Key { return s.first().keys }

func (s *Sequence) first() *keyList {
	var l keyList
	l.add(s.onePass(s.plan), false)
	if s.plan.Silence != (Silence{}) {
		l.add(s.onePass(s.unsilenced()), false)
	}
	return &l
}

// unsilenced returns the plan with every bar heard.
func (s *Sequence) unsilenced() Plan {
	p := s.plan
	p.Silence = Silence{}
	return p
}

// A keyList is keys in order, each once.
type keyList struct {
	keys []Key
	seen map[Key]bool
}

// add appends the sounds of commands, in every take if asked.
func (l *keyList) add(commands []Command, everyTake bool) {
	for _, c := range commands {
		if c.Stop {
			continue
		}
		l.put(c.Key)
		if !everyTake {
			continue
		}
		for t := range takes(c.Key) {
			c.Key.Take = t
			l.put(c.Key)
		}
	}
}

func (l *keyList) put(k Key) {
	if l.seen == nil {
		l.seen = map[Key]bool{}
	}
	if !l.seen[k] {
		l.seen[k] = true
		l.keys = append(l.keys, k)
	}
}

// onePass returns the commands of the count-in and the first pass of a plan, at
// the tempo set now, in order, from a fresh start.
func (s *Sequence) onePass(plan Plan) []Command {
	fresh := &Sequence{plan: plan, tempo: s.tempo, length: s.length, events: s.events, bars: s.bars,
		countIn: s.countIn, lead: s.lead, robins: map[Key]robin{}}
	fresh.begin()
	fresh.give()
	return fresh.pending
}
