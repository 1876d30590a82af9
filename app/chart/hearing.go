package chart

import (
	"math"
	"strconv"
	"time"
)

// A Heard is one answered question of the ear: how large the difference was and
// whether the answer was right.
type Heard struct {
	At    time.Time
	Size  float64 // in the chart's unit, above 0
	Right bool
}

// A Hearing chart shows the last answers to one kind of question in their order,
// on a scale on which equal ratios are as far apart, with the threshold they
// tell and what was published for questions like it.
type Hearing struct {
	Heading
	Unit      string  // of the sizes: "ms"
	Answers   []Heard // in order of time
	Threshold float64 // 0: not known
	Low, High float64 // its interval
	Published []float64
}

// Sizes of the chart of answers in user units. Our choice.
const (
	hearingLeft  = 38
	hearingRight = 38 // the threshold's number
	hearingTop   = 12
	hearingHigh  = 96
	hearingUnder = 22
	lastAnswers  = 40 // shown at most
	hearingCross = 3.4
	hearingDot   = 3.2
	leastSize    = 1e-6
)

// last returns the answers that are shown.
func (c Hearing) last() []Heard {
	var all []Heard
	for _, a := range c.Answers {
		if shows(a.Size) {
			all = append(all, a)
		}
	}
	return all[max(0, len(all)-lastAnswers):]
}

// known reports whether there is a threshold to draw.
func (c Hearing) known() bool {
	return shows(c.Threshold) && shows(c.Low) && shows(c.High) && c.Low <= c.High
}

// shows reports whether a size has a place on an axis of ratios.
func shows(size float64) bool { return size >= leastSize && size <= roundest }

// ticks returns the numbers of the axis: three or four round ones that hold
// all that is shown, from low to high.
func (c Hearing) ticks() []float64 {
	low, high := math.Inf(1), 0.0
	hold := func(x float64) {
		if shows(x) {
			low, high = min(low, x), max(high, x)
		}
	}
	for _, a := range c.last() {
		hold(a.Size)
	}
	if c.known() {
		hold(c.Threshold)
		hold(c.Low)
		hold(c.High)
	}
	for _, x := range c.Published {
		hold(x)
	}
	if high == 0 {
		return nil
	}
	return ratioTicks(low, high)
}

// ratioTick returns the round numbers of an axis of ratios, one after the other:
// 1, 2, 5, 10, 20, ... from number 0 on, and 0.5, 0.2, ... before.
func ratioTick(n int) float64 {
	power := int(math.Floor(float64(n) / 3))
	return [...]float64{1, 2, 5}[n-3*power] * math.Pow(10, float64(power))
}

// ratioTicks returns three or four round numbers, as far apart in ratio as they
// can be, of which the first is not above low and the last not below high.
func ratioTicks(low, high float64) []float64 {
	first := 3 * int(math.Floor(math.Log10(low)))
	for ratioTick(first+1) <= low {
		first++
	}
	last := first
	for ratioTick(last) < high {
		last++
	}
	step := max(1, (last-first+2)/3)
	var all []float64
	for n := first; n < last+step; n += step {
		all = append(all, ratioTick(n))
	}
	for len(all) < 3 {
		first--
		all = append([]float64{ratioTick(first)}, all...)
	}
	return all
}

// SVG draws the chart.
func (c Hearing) SVG(width float64) string { return c.picture(width).element(c.Heading, c.Words()) }

func (c Hearing) picture(width float64) *picture {
	p := newPicture(width)
	p.height = hearingTop + hearingHigh + hearingUnder
	shown, ticks := c.last(), c.ticks()
	if len(shown) == 0 || len(ticks) < 2 {
		p.wrapped("ch-message", "middle", p.width/2, hearingTop+hearingHigh/2, p.width-20, "Not answered yet.")
		return p
	}
	h := hearingPlot{p, math.Log(ticks[0]), math.Log(ticks[len(ticks)-1]), hearingLeft, p.width - hearingRight}
	if c.known() {
		p.Rect("ch-band", h.left, h.y(c.High), h.right-h.left, max(h.y(c.Low)-h.y(c.High), 1))
	}
	for _, x := range ticks {
		p.Line("ch-grid", h.left, h.y(x), h.right, h.y(x))
		p.Text("ch-number", "end", h.left-6, h.y(x)+middle, exact(x))
	}
	for _, x := range c.Published {
		if shows(x) {
			p.Line("ch-goal", h.left, h.y(x), h.right, h.y(x))
		}
	}
	if c.known() {
		p.Path("ch-line", "M# #H#", h.left, h.y(c.Threshold), h.right)
		p.Text("ch-value", "", h.right+5, h.y(c.Threshold)+middle, size(c.Threshold))
	}
	h.marks(shown)
	p.Text("ch-number", "", h.left, p.height-6, c.oldest(len(shown)))
	p.Text("ch-number", "end", h.right, p.height-6, "now")
	return p
}

func (c Hearing) oldest(n int) string {
	if n == 1 {
		return "1 answer"
	}
	return strconv.Itoa(n) + " answers"
}

// A hearingPlot is the picture with its axes: logarithms upwards.
type hearingPlot struct {
	*picture
	low, high, left, right float64
}

func (h hearingPlot) y(x float64) float64 {
	return hearingTop + hearingHigh*(1-(inside(math.Log(x), h.low, h.high)-h.low)/(h.high-h.low))
}

// marks draws a dot for a right answer and a cross for another one.
func (h hearingPlot) marks(shown []Heard) {
	step := (h.right - h.left - 12) / float64(max(len(shown)-1, 1))
	for i, a := range shown {
		x, y := h.right-6-step*float64(len(shown)-1-i), h.y(a.Size)
		if a.Right {
			h.Circle("ch-dot", x, y, hearingDot)
			continue
		}
		const r = hearingCross
		h.Path("ch-wrong", "M# #l# #m# 0l# #", x-r, y-r, 2*r, 2*r, -2*r, 2*r, -2*r)
	}
}

// size writes a size as short as it stays true: whole from ten on.
func size(x float64) string {
	if x >= 10 {
		return whole(x)
	}
	return exact(x)
}

// Words says how many of the last answers were right, and the threshold.
func (c Hearing) Words() string {
	shown := c.last()
	if len(shown) == 0 {
		return "Not answered yet."
	}
	right := 0
	for _, a := range shown {
		if a.Right {
			right++
		}
	}
	words := "Of the last " + c.oldest(len(shown)) + " " + strconv.Itoa(right) + " right, from " + size(shown[0].Size) + " to " + size(shown[len(shown)-1].Size) + " " + c.Unit + "."
	if c.known() {
		words += " Threshold " + size(c.Threshold) + " " + c.Unit + ", between " + size(c.Low) + " and " + size(c.High) + "."
	}
	return words
}

// Rows returns every answer.
func (c Hearing) Rows() [][]string {
	rows := [][]string{{"answered", "size, " + c.Unit, "right"}}
	for _, a := range c.Answers {
		if finite(a.Size) {
			rows = append(rows, []string{a.At.Format(time.RFC3339), strconv.FormatFloat(a.Size, 'g', 6, 64), strconv.FormatBool(a.Right)})
		}
	}
	return rows
}
