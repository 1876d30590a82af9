package change

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Spot is a place as it is written: bar and beat from 1, and how far into
// the beat, in quarter notes.
type Spot = passage.Place

// A Range is a stretch of time as it is written: from the start of one bar or
// beat to the end of another, both included. Beat 0 in both means whole bars.
// From may lie inside its beat; To does not.
type Range struct{ From, To Spot }

// String returns "2", "1-3", "2.4", "1.3-2.2" or "2.4+1/8".
func (r Range) String() string {
	from, to := edge(r.From), edge(Spot{Bar: r.To.Bar, Beat: r.To.Beat})
	if r.From.Bar == r.To.Bar && r.From.Beat == r.To.Beat {
		return from
	}
	return from + "-" + to
}

func edge(s Spot) string {
	if s.Beat == 0 {
		return strconv.Itoa(s.Bar)
	}
	return s.String()
}

// parseRange reads what [Range.String] writes.
func parseRange(s string) (Range, error) {
	first, last, two := strings.Cut(s, "-")
	from, err := parseEdge(first)
	if err != nil {
		return Range{}, err
	}
	to := Spot{Bar: from.Bar, Beat: from.Beat}
	if two {
		if to, err = parseEdge(last); err != nil {
			return Range{}, err
		}
	}
	switch {
	case (from.Beat == 0) != (to.Beat == 0):
		return Range{}, refuse("write bars on both sides, as 1-3, or beats, as 1.3-2.2", "%.40q goes from a bar to a beat", s)
	case to.Into.Sign() != 0:
		return Range{}, refuse("leave the + out after the -", "the range %.40q ends inside a beat", s)
	case to.Bar < from.Bar || to.Bar == from.Bar && to.Beat < from.Beat:
		return Range{}, refuse("write the earlier place first", "the range %.40q ends before it begins", s)
	}
	return Range{from, to}, nil
}

// parseSpot reads "2.4" or "2.4+1/8".
func parseSpot(s string) (Spot, error) {
	spot, err := parseEdge(s)
	if err == nil && spot.Beat == 0 {
		return spot, refuse("write bar and beat, as 2.4", "%.40q names no beat", s)
	}
	return spot, err
}

func parseEdge(s string) (Spot, error) {
	place, into, inside := strings.Cut(s, "+")
	bar, beat, beats := strings.Cut(place, ".")
	var spot Spot
	var err error
	if spot.Bar, err = parseNumber(bar, "bar", passage.MaxBars); err != nil {
		return spot, notPlace(s, bar, err)
	}
	if beats {
		if spot.Beat, err = parseNumber(beat, "beat", meter.MaxBeats); err != nil {
			return spot, notPlace(s, beat, err)
		}
	}
	if inside {
		if spot.Into, err = meter.ParseLength(into); err != nil {
			return spot, err
		}
		if !beats {
			return spot, refuse("write bar and beat before it, as 2.4+1/8", "the + of %.40q stands after a bar", s)
		}
	}
	return spot, nil
}

// notPlace keeps the error of a number out of bounds, and says of anything
// else that it is no place.
func notPlace(s, number string, err error) error {
	if _, bad := strconv.Atoi(number); bad == nil {
		return err
	}
	return refuse("write a bar, as 2, or bar and beat, as 2.4", "%.40q is not a place", s)
}

// parseNumber reads a whole number from 1 to most.
func parseNumber(s, what string, most int) (int, error) {
	n, err := strconv.Atoi(s)
	if errors.Is(err, strconv.ErrRange) {
		return 0, refuse(fmt.Sprintf("choose one from 1 to %d", most), "%s %.40s is out of bounds", what, s)
	}
	if err != nil || s[0] < '0' || s[0] > '9' {
		return 0, refuse("write a whole number such as 3", "%.40q is not a %s", s, what)
	}
	if n < 1 || n > most {
		return 0, refuse(fmt.Sprintf("choose one from 1 to %d", most), "%s %d is out of bounds", what, n)
	}
	return n, nil
}

// A stretch is a span of time of a passage: from a place up to, not including,
// another, in quarter notes from the first downbeat.
type stretch struct{ from, to meter.Rat }

func (s stretch) length() meter.Rat { return s.to.Sub(s.from) }

// holds reports whether a place lies within the stretch.
func (s stretch) holds(at meter.Rat) bool { return !at.Less(s.from) && at.Less(s.to) }

// stretches returns where the ranges lie in p, in order of time and apart; the
// whole passage when there are none.
func (a Args) stretches(p passage.Passage) ([]stretch, error) {
	if len(a.At) == 0 {
		return []stretch{{meter.Rat{}, p.Length()}}, nil
	}
	all := make([]stretch, len(a.At))
	for i, r := range a.At {
		var err error
		if all[i], err = r.in(p); err != nil {
			return nil, err
		}
	}
	slices.SortFunc(all, func(a, b stretch) int { return a.from.Cmp(b.from) })
	for i := 1; i < len(all); i++ {
		if all[i].from.Less(all[i-1].to) {
			return nil, refuse("name each part once", "the ranges overlap at %s", p.Place(all[i].from))
		}
	}
	return all, nil
}

// in returns where the range lies in p.
func (r Range) in(p passage.Passage) (stretch, error) {
	from, _, err := spotIn(p, r.From)
	if err != nil {
		return stretch{}, err
	}
	at, length, err := spotIn(p, Spot{Bar: r.To.Bar, Beat: r.To.Beat})
	return stretch{from, at.Add(length)}, err
}

// places returns where the places lie in p, in order of time, each once.
func (a Args) places(p passage.Passage) ([]meter.Rat, error) {
	all := make([]meter.Rat, len(a.Places))
	for i, s := range a.Places {
		var err error
		if all[i], _, err = spotIn(p, s); err != nil {
			return nil, err
		}
	}
	slices.SortFunc(all, meter.Rat.Cmp)
	for i := 1; i < len(all); i++ {
		if all[i] == all[i-1] {
			return nil, refuse("name each place once", "%s stands there twice", p.Place(all[i]))
		}
	}
	return all, nil
}

// spotIn returns the place of a spot in p, and the length of the beat or, for
// beat 0, of the bar that it names.
func spotIn(p passage.Passage, s Spot) (at, length meter.Rat, err error) {
	if s.Bar < 1 || s.Bar > len(p.Bars) {
		return at, length, refuse(upTo("bar", len(p.Bars)), "there is no bar %d", s.Bar)
	}
	at = p.Starts()[s.Bar-1]
	metre := p.Bars[s.Bar-1].Metre
	beats := metre.Beats()
	switch {
	case s.Beat == 0:
		return at, metre.Length(), nil
	case s.Beat < 0 || s.Beat > len(beats):
		return at, length, refuse(upTo("beat", len(beats)), "bar %d, in %s, has no beat %d", s.Bar, metre, s.Beat)
	}
	length = beats[s.Beat-1]
	if s.Into.Sign() < 0 || !s.Into.Less(length) {
		return at, length, refuse(fmt.Sprintf("name a place less than %s after it, or count from a later beat", lengthWords(length)),
			"beat %d of bar %d ends before %s", s.Beat, s.Bar, s)
	}
	return at.Add(metre.Starts()[s.Beat-1]).Add(s.Into), length, nil
}

// upTo tells which numbers there are to choose from.
func upTo(noun string, n int) string {
	if n == 1 {
		return "choose " + noun + " 1"
	}
	return fmt.Sprintf("choose %ss 1 to %d", noun, n)
}
