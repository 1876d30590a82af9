package strip

import (
	"slices"

	"stampmill/app/svg"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// The widths that are laid out; outside them the picture is scaled. Our
// choice: the narrowest page is 360 wide.
const (
	MinWidth = 200
	MaxWidth = 10_000
)

// measures are the lengths of the two forms of the strip, in user units. All
// are our choice, drawn for a 15 px text.
type measures struct {
	left, right     float64 // first downbeat from the left edge, end from the right edge
	lines, linesEnd float64 // the same for the lines of rows
	name, loop      float64 // baseline of bar names; y of the loop's bracket
	number, grid    float64 // baseline of beat numbers; top of upright lines
	first, row      float64 // y of the first row; height of a row
	count           float64 // from the last row to the baseline of counts
	you             float64 // from the counts to the player's row
	lane            float64 // from the player's row to the middle of the tight band
	ms              float64 // user units a millisecond, upwards
	foot            float64 // from the end of the timing scale to the lower edge
	signs           float64 // what each row holds for signs under its strokes; else 0
	under           float64 // from the last row to the lower edge where nothing follows
	marks           float64 // what the sizes of marks are multiplied by; 0: as the rows have it
}

var (
	wide    = measures{129, 13, 113, 5, 23, 32, 48, 52, 74, 36, 31, 26, 67, 1, 13, 0, 33, 0}
	compact = measures{88, 10, 70, 0, 18, 23, 39, 43, 63, 32, 27, 22, 59, 0.875, 12, 0, 33, 0}
	small   = measures{18, 10, 4, 4, 0, 0, 0, 4, 28, 28, 27, 22, 59, 0.875, 12, 0, 20, 0}
)

const (
	crowdedRows = 8    // above this many rows, a row is lowRow high
	lowRow      = 28   // the ring of an accent and a bracket still fit
	tagRoom     = 14   // what the ruler gives to a tag over the first row
	underCounts = 14   // from the counts to the lower edge, the same
	leanAcross  = 0.45 // user units a millisecond, sideways: about three times the scale of two bars at 96
)

// A Row is one voice's place on the page.
type Row struct {
	Voice passage.Voice
	Label string
	Y     float64 // its middle
	Muted bool
}

// A Layout is the geometry of a sheet, in user units of its picture.
type Layout struct {
	Width, Height float64
	LabelWidth    float64 // the column of names, from the left edge
	RowHeight     float64
	Rows          []Row
	First, Last   int       // bars shown, from 1
	From, To      meter.Rat // what is shown, in quarter notes
	CountY        float64   // baseline of the counting words; 0 without them
	YouY          float64   // middle of the player's row; 0 without the lane
	TightY        float64   // middle of the tight band; 0 without the lane

	scale scale
	m     measures
	extra float64 // what the ruler is higher
}

// Layout returns the geometry of the sheet. It does not depend on hits,
// message or playhead, so the picture keeps its size through a take.
func (s Sheet) Layout() Layout {
	m := s.measures()
	l := Layout{Width: inside(s.Width, MinWidth, MaxWidth), LabelWidth: m.lines, RowHeight: m.row, m: m}
	l.show(s)
	if s.TagRoom || s.firstRowIsTagged() {
		l.extra = tagRoom
	}
	last := l.rows(s)
	l.below(s, last)
	return l
}

// measures returns the lengths of the sheet's form.
func (s Sheet) measures() measures {
	m := wide
	switch {
	case s.Small && s.Labels == LabelsNone:
		m = small
	case s.Small:
		m = small
		m.left, m.lines = compact.left, compact.lines
	case s.Compact:
		m = compact
	}
	if len(s.Passage.Lines) > crowdedRows {
		m.row = lowRow
	}
	if len(s.Sticking) > 0 {
		m.row, m.signs, m.count, m.under = m.row+signRoom, signRoom, m.count+signRoom/2, m.under+signRoom/2
	}
	if s.Row > 0 {
		m.row = inside(s.Row, lowRow, 4*lowRow)
	}
	return m
}

// narrowNames reports whether names stand in the narrow column.
func (s Sheet) narrowNames() bool { return s.Compact || s.Small }

// show sets the bars shown and the scale.
func (l *Layout) show(s Sheet) {
	n := len(s.Passage.Bars)
	l.First = min(max(s.First, 1), max(n, 1))
	l.Last = s.Last
	if l.Last < 1 || l.Last > n {
		l.Last = n
	}
	l.Last = max(l.Last, l.First)
	if n > 0 {
		starts := s.Passage.Starts()
		l.From, l.To = starts[l.First-1], starts[l.Last]
	}
	l.scale = newScale(s.Passage, l.From, l.To, l.m.left, l.Width-l.m.right, s.seconds)
}

// rows places the rows and returns the y of the last.
func (l *Layout) rows(s Sheet) float64 {
	y := l.m.first + l.extra + max(0, (l.m.row-wide.row)/2)
	for _, line := range s.Passage.Lines {
		l.Rows = append(l.Rows, Row{line.Voice, line.Voice.Label(), y, has(s.Muted, line.Voice)})
		y += l.m.row
	}
	return y - l.m.row
}

// below places what stands under the last row.
func (l *Layout) below(s Sheet, y float64) {
	l.Height = y + l.m.under
	if s.Heard != nil && !s.bare() {
		l.Height = y + l.m.row/2 + heardDown + heardRoom
	}
	if s.Counts {
		y += l.m.count
		l.CountY = y
		l.Height = y + underCounts
	}
	if s.Lane {
		l.YouY = y + l.m.you
		l.TightY = l.YouY + l.m.lane
		l.Height = l.TightY + ScaleMS*l.m.ms + l.m.foot
	}
}

// firstRowIsTagged reports whether a tag stands over the first row. It looks at
// the whole passage, so that the strip is the same for all its bars.
func (s Sheet) firstRowIsTagged() bool {
	if len(s.Passage.Lines) == 0 || s.Small {
		return false
	}
	first := func(n passage.Span) bool { return has(n.Voices, s.Passage.Lines[0].Voice) }
	return slices.ContainsFunc(s.New, first) || slices.ContainsFunc(s.Selected, first)
}

// X returns where a place stands, in quarter notes from the first downbeat of
// the passage. Places outside the shown bars fall outside the strip.
func (l Layout) X(quarters float64) float64 { return l.scale.x(quarters) }

// XAtSeconds returns where a moment stands, in seconds from the first downbeat
// of the passage at its own tempo.
func (l Layout) XAtSeconds(seconds float64) float64 { return l.scale.at(seconds) }

// HitAt returns the middle of the upright mark of a hit at a place, in quarter
// notes.
func (l Layout) HitAt(quarters float64) (x, y float64) { return l.X(quarters), l.YouY }

// LeanAt returns the middle of the mark of a stroke written at a place, in
// quarter notes, and played with an error in ms. Errors beyond the scale are
// pinned to its end; the lean across is exaggerated.
func (l Layout) LeanAt(written, ms float64) (x, y float64) {
	ms = inside(ms, -ScaleMS, ScaleMS)
	return l.X(written) + ms*leanAcross, l.TightY + ms*l.m.ms
}

// HeadTransform returns the value of the playhead's transform attribute that
// puts it at a place, in quarter notes, kept inside the shown bars.
func (l Layout) HeadTransform(quarters float64) string {
	q := inside(quarters, l.From.Float(), l.To.Float())
	return "translate(" + string(svg.AppendNumber(nil, l.X(q))) + " 0)"
}

// rat is X of an exact place.
func (l Layout) rat(at meter.Rat) float64 { return l.scale.x(at.Float()) }

// shows reports whether a place lies in the shown bars.
func (l Layout) shows(at meter.Rat) bool { return !at.Less(l.From) && at.Less(l.To) }

// inside returns x kept between two bounds, the lower one for what is no number.
func inside(x, low, high float64) float64 {
	if x > low {
		return min(x, high)
	}
	return low
}

func has(voices []passage.Voice, v passage.Voice) bool {
	for _, w := range voices {
		if w == v {
			return true
		}
	}
	return false
}
