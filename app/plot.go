package app

import (
	"fmt"
	"strings"

	"stampmill/app/delay"
)

// The plot of a delay measurement, in user units of its picture.
const (
	plotWidth  = 392.0
	plotHeight = 214.0
	plotLeft   = 38.0
	plotRight  = plotWidth - 76
	plotTop    = 16.0
	plotBottom = plotHeight - 32
	plotLine   = 16.0 // from one line of words to the next
	dotRadius  = 3.6
)

// A plot is a picture in the making. Its scale goes from low to high ms,
// downwards: later is lower, as in the strip.
type plot struct {
	strings.Builder
	low, high float64
}

func (p *plot) y(ms float64) float64 {
	return plotTop + (ms-p.low)/(p.high-p.low)*(plotBottom-plotTop)
}

func (p *plot) x(tap int) float64 {
	return plotLeft + 8 + float64(tap)*(plotRight-plotLeft-16)/float64(delay.Taps-1)
}

func (p *plot) line(class string, ms float64) {
	fmt.Fprintf(p, `<path class="%s" d="M%g %.1fH%g"/>`, class, plotLeft, p.y(ms), plotRight)
}

func (p *plot) text(class string, x, y float64, anchor, words string) {
	fmt.Fprintf(p, `<text class="%s" x="%g" y="%.1f" text-anchor="%s">%s</text>`, class, x, y, anchor, words)
}

// delayPlot draws every tap of the measurement, left-out ones hollow, with the
// mean and the spread.
func delayPlot(s State) string {
	input := s.Setup.Input
	if input == "" {
		input = "keyboard"
	}
	d, known := s.Settings.delay(input)
	p := &plot{}
	p.low, p.high = delayScale(s.Setup.Offsets, d, known)
	fmt.Fprintf(p, `<svg class="plot" viewBox="0 0 %g %g" width="100%%" role="img" aria-label="%s">`, plotWidth, plotHeight, delayDescription(s, d, known))
	p.axes()
	if known && !s.Setup.Measuring {
		p.result(d)
	}
	p.taps(s.Setup.Offsets)
	p.WriteString(`</svg>`)
	return p.String()
}

func (p *plot) axes() {
	p.line("plot-line", 0)
	p.text("plot-word", plotRight+6, p.y(0)+4, "start", "the click")
	p.line("plot-line", p.high)
	numbers := []float64{0, p.high / 2, p.high}
	if p.low < 0 {
		numbers = append(numbers, p.low)
	}
	for _, ms := range numbers {
		p.text("plot-number", plotLeft-6, p.y(ms)+4, "end", number(ms))
	}
	p.text("plot-word", plotLeft, plotHeight-10, "start", "tap 1")
	p.text("plot-word", plotRight, plotHeight-10, "end", fmt.Sprintf("tap %d", delay.Taps))
}

func (p *plot) result(d Delay) {
	top := p.y(d.MS - d.Spread)
	fmt.Fprintf(p, `<rect class="plot-band" x="%g" y="%.1f" width="%g" height="%.1f"/>`, plotLeft, top, plotRight-plotLeft, max(p.y(d.MS+d.Spread)-top, 1))
	p.line("plot-mean", d.MS)
	y := p.y(d.MS)
	switch click := p.y(0); { // clear of the words at the click
	case d.MS >= 0:
		y = max(y, click+plotLine)
	default:
		y = min(y, click-plotLine)
	}
	p.text("plot-result", plotRight+6, y+4, "start", delayResult(d))
}

func (p *plot) taps(offsets []float64) {
	r, _ := delay.Measure(offsets) // of what there is so far: which taps count
	for i, ms := range offsets {
		class := "plot-tap"
		if !r.Used[i] {
			class = "plot-left-out"
		}
		fmt.Fprintf(p, `<circle class="%s" cx="%.1f" cy="%.1f" r="%g"/>`, class, p.x(i), p.y(min(max(ms, p.low), p.high)), dotRadius)
	}
}

func delayResult(d Delay) string {
	if d.N == 0 {
		return number(d.MS)
	}
	return number(d.MS) + " ±" + number(d.Spread)
}

func delayDescription(s State, d Delay, known bool) string {
	taps := countWord(len(s.Setup.Offsets), "tap")
	if !known {
		return taps + ", no delay known"
	}
	return fmt.Sprintf("%s, delay %s ms", taps, delayResult(d))
}

// delayScale returns the range of the plot: from 0, or below where taps came
// before the click, to a round number over the taps.
func delayScale(offsets []float64, d Delay, known bool) (low, high float64) {
	const step, lowest, highest = 40.0, -200.0, 480.0
	if known {
		offsets = append([]float64{d.MS - d.Spread, d.MS + d.Spread}, offsets...)
	}
	high = 2 * step
	for _, ms := range offsets {
		for ms > high && high < highest {
			high += step
		}
		for ms < low && low > lowest {
			low -= step
		}
	}
	return low, high
}
