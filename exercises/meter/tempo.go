package meter

import (
	"fmt"
	"math/big"
	"sort"
	"strings"
)

// Bounds of a written tempo, in beats a minute. Our choice; the style lives
// between 60 and 240.
const (
	MinBPM = 20
	MaxBPM = 400
)

// A Tempo is a speed as a musician writes it: beats a minute of a note value.
// It is comparable with ==. The zero value is no tempo.
type Tempo struct {
	BPM  Rat // beats a minute, MinBPM to MaxBPM
	Unit Rat // the beat in quarter notes; 0 means the counted beat of the metre
}

// ParseTempo reads "120", "104.5", "400/3" (beats of the metre) or "3/8=80"
// (a pinned note value, see [ParseLength]).
func ParseTempo(s string) (Tempo, error) {
	unit, bpm, pinned := strings.Cut(s, "=")
	var t Tempo
	if pinned {
		u, err := ParseLength(strings.TrimSpace(unit))
		if err != nil {
			return Tempo{}, fmt.Errorf("%.20q before the = is not a note value; write it like 3/8=80", strings.TrimSpace(unit))
		}
		t.Unit = u
	} else {
		bpm = s
	}
	r, err := ParseRat(strings.TrimSpace(bpm))
	if err != nil {
		return Tempo{}, fmt.Errorf("%.20q is not a tempo; write beats a minute like 120 or 3/8=80", strings.TrimSpace(bpm))
	}
	t.BPM = r
	return t, t.Check()
}

// Check returns an error when the tempo is outside [MinBPM] to [MaxBPM].
func (t Tempo) Check() error {
	if !t.BPM.Valid() {
		return fmt.Errorf("the tempo leaves the range of exact numbers; use a simpler number")
	}
	if t.BPM.Less(Int(MinBPM)) || Int(MaxBPM).Less(t.BPM) {
		return fmt.Errorf("a tempo of %s is outside %d to %d beats a minute; choose one inside", t.BPM.Decimal(), MinBPM, MaxBPM)
	}
	if !t.Unit.Div(Int(4)).Valid() || t.Unit.Sign() < 0 {
		return fmt.Errorf("the note value of the tempo is not a length; write it like 3/8=80")
	}
	return nil
}

// IsZero reports whether t is no tempo at all.
func (t Tempo) IsZero() bool { return t == Tempo{} }

// Quarters returns the speed in quarter notes a minute under metre m.
func (t Tempo) Quarters(m Metre) Rat {
	if t.Unit.Sign() > 0 {
		return t.BPM.Mul(t.Unit)
	}
	return t.BPM.Mul(m.CountedBeat())
}

// By returns the tempo times a factor; the note value stays.
func (t Tempo) By(factor Rat) Tempo { return Tempo{t.BPM.Mul(factor), t.Unit} }

// Modulate returns the new tempo of a metric modulation: a pivot note that
// lasts oldBeats of the old beat lasts newBeats of the new one and keeps its
// duration. 120 with triplet eighths (1/3) becoming eighths (1/2) gives 180.
func Modulate(bpm, oldBeats, newBeats Rat) Rat { return bpm.Mul(newBeats.Div(oldBeats)) }

// String returns the canonical form that [ParseTempo] reads.
func (t Tempo) String() string {
	if t.Unit.Sign() > 0 {
		return FormatLength(t.Unit) + "=" + t.BPM.Decimal()
	}
	return t.BPM.Decimal()
}

// A Segment of a tempo map: from At on, Quarters quarter notes a minute.
type Segment struct {
	At       Rat // quarter notes from the start
	Quarters Rat // quarter notes a minute
}

// A TempoMap turns places in quarter notes into seconds and samples. It is
// piecewise constant and exact: places, tempi and the sums between them are
// rational until the one rounding of the method called.
type TempoMap struct {
	segs  []Segment
	start []*big.Rat // seconds at which each segment begins
}

// NewTempoMap makes a map from segments: the first at 0, places rising, speeds
// above zero.
func NewTempoMap(segs []Segment) (TempoMap, error) {
	if len(segs) == 0 || segs[0].At != (Rat{}) {
		return TempoMap{}, fmt.Errorf("a tempo map begins at 0; give the first segment At 0")
	}
	m := TempoMap{segs: append([]Segment(nil), segs...), start: make([]*big.Rat, len(segs))}
	m.start[0] = new(big.Rat)
	for i, s := range segs {
		if !s.At.Valid() || !s.Quarters.Valid() || s.Quarters.Sign() <= 0 {
			return TempoMap{}, fmt.Errorf("tempo segment %d has no valid place and speed; speeds are above zero", i+1)
		}
		if i == 0 {
			continue
		}
		if !segs[i-1].At.Less(s.At) {
			return TempoMap{}, fmt.Errorf("tempo segment %d is not after the one before; sort them by place", i+1)
		}
		m.start[i] = m.within(i-1, s.At)
	}
	return m, nil
}

// within returns the seconds of a place by the speed of segment i.
func (m TempoMap) within(i int, at Rat) *big.Rat {
	d := new(big.Rat).Sub(at.Big(), m.segs[i].At.Big())
	d.Mul(d, big.NewRat(60*m.segs[i].Quarters.Den(), m.segs[i].Quarters.Num()))
	return d.Add(d, m.start[i])
}

// Exact returns the seconds of a place as an exact rational. Places before 0
// go by the first speed. The place must be valid.
func (m TempoMap) Exact(at Rat) *big.Rat {
	if !at.Valid() || len(m.segs) == 0 {
		return new(big.Rat)
	}
	i := sort.Search(len(m.segs), func(i int) bool { return at.Less(m.segs[i].At) }) - 1
	return m.within(max(i, 0), at)
}

// Seconds returns the seconds of a place, rounded once to the nearest float64.
func (m TempoMap) Seconds(at Rat) float64 {
	s, _ := m.Exact(at).Float64()
	return s
}

// Sample returns the sample number of a place at rate samples a second,
// rounded once, half away from zero.
func (m TempoMap) Sample(at Rat, rate int) int64 { return RoundSample(m.Exact(at), rate) }

// RoundSample rounds exact seconds to a sample number at rate samples a
// second, half away from zero. Use it for sums of exact times, such as the
// start of a pass plus a place in it.
func RoundSample(seconds *big.Rat, rate int) int64 {
	return roundHalfAway(new(big.Int).Mul(seconds.Num(), big.NewInt(int64(rate))), seconds.Denom())
}

func roundHalfAway(num, den *big.Int) int64 {
	// floor((2|n| + d) / 2d), with the sign put back
	n := new(big.Int).Abs(num)
	n.Lsh(n, 1).Add(n, den)
	n.Quo(n, new(big.Int).Lsh(den, 1))
	if num.Sign() < 0 {
		n.Neg(n)
	}
	return n.Int64()
}

// Segments returns a copy of the segments.
func (m TempoMap) Segments() []Segment { return append([]Segment(nil), m.segs...) }

// By returns the map with every speed times a factor above zero.
func (m TempoMap) By(factor Rat) (TempoMap, error) {
	segs := m.Segments()
	for i := range segs {
		segs[i].Quarters = segs[i].Quarters.Mul(factor)
	}
	return NewTempoMap(segs)
}

// At returns the place, in quarter notes, that sounds at the given seconds:
// the inverse of [TempoMap.Seconds], for drawing only.
func (m TempoMap) At(seconds float64) float64 {
	at := 0.0
	for i, s := range m.segs {
		begin, _ := m.start[i].Float64()
		if i > 0 && seconds < begin {
			break
		}
		at = s.At.Float() + (seconds-begin)*s.Quarters.Float()/60
	}
	return at
}

// Ticks returns a place as MIDI ticks at ppq ticks a quarter note, rounded
// half away from zero; 0 for [Invalid].
func Ticks(at Rat, ppq int) int64 {
	if !at.Valid() {
		return 0
	}
	n := new(big.Int).Mul(big.NewInt(at.Num()), big.NewInt(int64(ppq)))
	return roundHalfAway(n, big.NewInt(at.Den()))
}
