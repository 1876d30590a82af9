package synth

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Click says when the metronome sounds. A passage's own click line is
// played as written, whatever the mode. A count-in has its clicks on every
// beat, but for ClickNone.
type Click uint8

// The modes of the metronome.
const (
	ClickCountIn  Click = iota // in the count-in only
	ClickBeats                 // in the count-in and on every beat
	ClickNone                  // never; a count-in is silence
	ClickOffbeats              // in the count-in and between the beats: in the middle of each, on the second and last third of one in three
	ClickPlaces                // in the count-in and at the plan's Places
)

// Places are cells of a bar at which the metronome sounds. A cell is one of
// equal parts of a beat. The zero value is every beat.
type Places struct {
	Beats []int // of the bar, from 1; beats that a bar does not have are passed over; none means every beat
	Of    int   // cells in each beat, 1 to 32; 0 counts as 1
	Cells []int // of them, from 1; none means the first
}

// maxClickBeats is the highest beat that can be named: no bar of the limits of
// passages has more beats in use. Our choice.
const maxClickBeats = 64

func (p Places) check() error {
	if p.Of < 0 || p.Of > passage.MaxCells {
		return fmt.Errorf("a click on cells of %d in a beat; use 1 to %d", p.Of, passage.MaxCells)
	}
	for _, b := range p.Beats {
		if b < 1 || b > maxClickBeats {
			return fmt.Errorf("a click on beat %d; use 1 to %d", b, maxClickBeats)
		}
	}
	for _, c := range p.Cells {
		if c < 1 || c > max(p.Of, 1) {
			return fmt.Errorf("a click on cell %d of %d; use 1 to %[2]d", c, max(p.Of, 1))
		}
	}
	return nil
}

// String returns the places as [ParseClick] reads them: "3 of 4 on 2,4".
func (p Places) String() string {
	var words []string
	if p.Of > 1 || len(p.Cells) > 1 {
		cells := p.Cells
		if len(cells) == 0 {
			cells = []int{1}
		}
		words = append(words, listed(cells)+" of "+strconv.Itoa(max(p.Of, 1)))
	}
	if len(p.Beats) > 0 {
		words = append(words, "on "+listed(p.Beats))
	}
	if len(words) == 0 {
		return "1 of 1"
	}
	return strings.Join(words, " ")
}

func listed(numbers []int) string {
	var words []string
	for _, n := range numbers {
		words = append(words, strconv.Itoa(n))
	}
	return strings.Join(words, ",")
}

// clickNames are the modes that have a name of their own.
var clickNames = map[string]Click{"count-in": ClickCountIn, "beats": ClickBeats, "none": ClickNone, "offbeats": ClickOffbeats}

// ParseClick reads a click in words: "beats", "offbeats", "count-in", "none", or
// places, as cells of each beat and beats of the bar: "on 2,4", "3 of 4",
// "1,3 of 3 on 2".
func ParseClick(s string) (Click, Places, error) {
	if c, ok := clickNames[strings.TrimSpace(s)]; ok {
		return c, Places{}, nil
	}
	wrong := fmt.Errorf(`click %q is not understood; use beats, offbeats, count-in, none, or places such as "on 2,4" or "3 of 4 on 2"`, s)
	var p Places
	words := strings.Fields(s)
	if len(words) >= 3 && words[1] == "of" {
		var ok [2]bool
		p.Cells, ok[0] = numbersIn(words[0])
		p.Of, ok[1] = numberIn(words[2])
		if !ok[0] || !ok[1] || p.Of < 1 {
			return 0, Places{}, wrong
		}
		words = words[3:]
	} else if len(words) != 2 {
		return 0, Places{}, wrong
	}
	if len(words) > 0 {
		var ok bool
		if p.Beats, ok = numbersIn(words[len(words)-1]); !ok || len(words) != 2 || words[0] != "on" {
			return 0, Places{}, wrong
		}
	}
	if err := p.check(); err != nil {
		return 0, Places{}, err
	}
	return ClickPlaces, p, nil
}

// numbersIn reads numbers joined by commas, and returns them in order, each
// once.
func numbersIn(s string) ([]int, bool) {
	var all []int
	for _, word := range strings.Split(s, ",") {
		n, ok := numberIn(word)
		if !ok {
			return nil, false
		}
		if !slices.Contains(all, n) {
			all = append(all, n)
		}
	}
	for i := 1; i < len(all); i++ { // few numbers: put in order by hand
		for j := i; j > 0 && all[j] < all[j-1]; j-- {
			all[j], all[j-1] = all[j-1], all[j]
		}
	}
	return all, true
}

// numberIn reads a number of one or two digits.
func numberIn(s string) (int, bool) {
	n, err := strconv.ParseUint(s, 10, 8)
	return int(n), err == nil && len(s) <= 2 && n > 0
}

// A clicked is one sound of the metronome.
type clicked struct {
	at    meter.Rat // quarter notes
	first bool      // on the first beat of a bar
}

// clicksOf returns where the metronome sounds in a passage.
func (p Plan) clicksOf(beats []passage.Beat) []clicked {
	var all []clicked
	for _, b := range beats {
		switch p.Click {
		case ClickBeats:
			all = append(all, clicked{b.At, b.Number == 1})
		case ClickOffbeats:
			of := int64(2)
			if b.Length.Num()%3 == 0 {
				of = 3
			}
			for cell := int64(1); cell < of; cell++ {
				all = append(all, clicked{b.At.Add(b.Length.Mul(meter.R(cell, of))), false})
			}
		case ClickPlaces:
			all = append(all, p.Places.of(b)...)
		}
	}
	return all
}

// of returns where the metronome sounds in a beat.
func (p Places) of(b passage.Beat) []clicked {
	if len(p.Beats) > 0 && !slices.Contains(p.Beats, b.Number) {
		return nil
	}
	cells := p.Cells
	if len(cells) == 0 {
		cells = []int{1}
	}
	var all []clicked
	for _, cell := range cells {
		into := b.Length.Mul(meter.R(int64(cell-1), int64(max(p.Of, 1))))
		all = append(all, clicked{b.At.Add(into), b.Number == 1 && cell == 1})
	}
	return all
}

// everyBeat is the click of a count-in.
func everyBeat(beats []passage.Beat) []clicked { return Plan{Click: ClickBeats}.clicksOf(beats) }

// clicks lists the metronome's events.
func clicks(places []clicked, tempo meter.TempoMap) []event {
	var out []event
	for _, place := range places {
		kind := passage.Hit
		if place.first {
			kind = passage.Accent
		}
		c := Command{Voice: passage.Click, Key: Key{Voice: passage.Click, Kind: kind}, Gain: gains[passage.Click], Pan: desk[passage.Click].pan}
		out = append(out, event{at: tempo.Exact(place.at), command: c})
	}
	return out
}
