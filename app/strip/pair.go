package strip

import (
	"slices"

	"stampmill/exercises/passage"
)

// Limits of a pair. Our choice: what can be compared at a glance.
const (
	pairBars = 2
	pairRows = 4
)

// A Pair is a few bars before and after a change, for two small pictures to one
// scale. The zero value of an optional field leaves the choice to the pair.
type Pair struct {
	ID            string // prefix of the ids in the pictures; "" means "pair"
	Before, After passage.Passage
	First, Last   int             // bars shown, from 1; 0: from the first that differs, at most two
	Voices        []passage.Voice // rows shown if there is room; those that differ come after them
	Rows          int             // most rows; 0 means 4
	Width         float64         // of each picture
	Labels        Labels          // LabelsPlain: names in a narrow column
}

// A PairPicture is a pair as it is drawn.
type PairPicture struct {
	Before, After string  // svg elements; what differs is hatched in After
	Height        float64 // of both, in user units
	First, Last   int     // bars shown
	Voices        []passage.Voice
	LeftOut       []passage.Voice // differ too, but had no room
}

// Draw returns the two pictures.
func (p Pair) Draw() PairPicture {
	p = p.bars()
	diff := p.diff()
	shown, leftOut := p.rows(diff)
	id := p.ID
	if id == "" {
		id = "pair"
	}
	before, after := p.sheet(p.Before, shown), p.sheet(p.After, shown)
	before.ID, after.ID, after.New = id+"-before", id+"-after", diff
	before.seconds = max(seconds(before), seconds(after))
	after.seconds = before.seconds
	return PairPicture{before.SVG(), after.SVG(), before.Layout().Height, p.First, p.Last, shown, leftOut}
}

// bars chooses the bars shown.
func (p Pair) bars() Pair {
	if p.First < 1 {
		p.First, p.Last = 1, 1
		if diff := passage.Diff(p.Before, p.After); len(diff) > 0 {
			p.First = p.After.Place(diff[0].From).Bar
			p.Last = p.First
			if end := diff[len(diff)-1].To; p.First < len(p.After.Bars) && p.After.Starts()[p.First].Less(end) {
				p.Last++
			}
		}
	}
	p.Last = min(max(p.Last, p.First), p.First+pairBars-1)
	return p
}

// diff returns what differs in the bars shown, at its place in After. The other
// bars are not looked at.
func (p Pair) diff() []passage.Span {
	after, err := p.After.Section(p.First, min(p.Last, len(p.After.Bars)))
	if err != nil {
		return nil // the bars are gone
	}
	before, _ := p.Before.Section(p.First, min(p.Last, len(p.Before.Bars)))
	spans := passage.Diff(before, after)
	at := p.After.Starts()[p.First-1]
	for i := range spans {
		spans[i].From, spans[i].To = spans[i].From.Add(at), spans[i].To.Add(at)
	}
	return spans
}

// rows chooses the voices shown, in the order of the lines.
func (p Pair) rows(diff []passage.Span) (shown, leftOut []passage.Voice) {
	all := p.Before.Voices()
	for _, v := range p.After.Voices() {
		if !slices.Contains(all, v) {
			all = append(all, v)
		}
	}
	var differ []passage.Voice
	for _, v := range all {
		if slices.ContainsFunc(diff, func(n passage.Span) bool { return slices.Contains(n.Voices, v) }) {
			differ = append(differ, v)
		}
	}
	most := p.Rows
	if most < 1 {
		most = pairRows
	}
	chosen := map[passage.Voice]bool{}
	wanted := [][]passage.Voice{p.Voices, differ}
	if len(p.Voices)+len(differ) == 0 {
		wanted[0] = all
	}
	for _, voices := range wanted {
		for _, v := range voices {
			if slices.Contains(all, v) && len(chosen) < most {
				chosen[v] = true
			}
		}
	}
	for _, v := range all {
		if chosen[v] {
			shown = append(shown, v)
		} else if slices.Contains(differ, v) {
			leftOut = append(leftOut, v)
		}
	}
	return shown, leftOut
}

// sheet returns the small sheet of one passage, with a row for each voice.
func (p Pair) sheet(of passage.Passage, voices []passage.Voice) Sheet {
	lines := of.Lines
	of.Lines = nil
	for _, v := range voices {
		line := passage.Line{Voice: v}
		for _, l := range lines {
			if l.Voice == v {
				line = l
			}
		}
		of.Lines = append(of.Lines, line)
	}
	return Sheet{Passage: of, First: p.First, Last: p.Last, Width: p.Width, Small: true, Labels: p.Labels}
}

// seconds returns how long the bars of a sheet last.
func seconds(s Sheet) float64 {
	l := s.Layout()
	return l.scale.seconds(l.To.Float()) - l.scale.from
}
