package grade

import (
	"fmt"
	"math"
)

// When a spread is said to be wider in one place. Our choice.
const (
	leastWide  = 6   // strokes there, and elsewhere
	timesWider = 1.5 // at least so many times the spread of the rest
)

// unsteady says that the spread is too wide to pass, and where most, or that
// it is not known.
func (r *report) unsteady() (finding, bool) {
	if !r.Spread.OK {
		text := fmt.Sprintf("The spread is not known: %s, and it takes %d.", count(r.Spread.N, "stroke"), minSpread)
		return finding{weight: 1, text: text, anyDelay: text}, r.linesUp()
	}
	f := finding{weight: r.Spread.Value / r.pass.SpreadMS}
	where := ""
	if w, ok := r.widest(); ok {
		where = fmt.Sprintf(", %s by ±%.0f", w.where, w.in)
		f.bar, f.voice, f.once = w.bar, w.voice, w.pass > 0
		if !r.pass.wide(r.Spread) && w.in > r.pass.SpreadMS {
			f.text = fmt.Sprintf("%s your hits spread by ±%.0f ms, elsewhere by ±%.0f.", capital(w.where), w.in, w.out)
			f.anyDelay = f.text
			return f, true
		}
	}
	if !r.pass.wide(r.Spread) {
		return finding{}, false
	}
	f.text = fmt.Sprintf("Your hits spread by %s%s; passing takes ±%g.", over(r.Spread.Value, r.pass.SpreadMS), where, r.pass.SpreadMS)
	f.anyDelay = f.text
	return f, true
}

// A wide is a group with its spread and that of the rest, in ms.
type wide struct {
	group
	in, out float64
}

// widest returns the bar, pass, voice or limb whose strokes spread most, where
// they surely do more than the rest.
func (r *report) widest() (best wide, ok bool) {
	steady := r.drift.off(r.whole)
	t := r.table(steady)
	fewer := asMany(r.wavering(steady))
	var groups []group
	for _, g := range r.groups() {
		if g.large() {
			groups = append(groups, g)
		}
	}
	z := zQuantile(1 - (1-confidence)/float64(max(len(groups), 1)))
	most := 0.0
	for _, g := range groups {
		in, out := t.of(g)
		if in.n < leastWide || out.n < leastWide || in.off() == 0 {
			continue
		}
		a, b := in.deviation(), out.deviation()
		// the logarithm of a standard deviation strays by sqrt(1/2(n-1)), for normal errors (from memory)
		strays := math.Sqrt(1/float64(2*(in.n-1)) + 1/float64(2*(out.n-1)))
		if g.block {
			strays /= math.Sqrt(fewer)
		}
		surely := math.Log(a/b) - z*strays
		if a >= timesWider*b && surely > most {
			best, most, ok = wide{g, 1000 * a, 1000 * b}, surely, true
		}
	}
	return best, ok
}

// asMany returns as how many independent strokes one counts in a standard
// deviation, where the interval of a mean is so much wider: (1-r²)/(1+r²) for
// errors of which each carries the share r of the one before (Bayley and
// Hammersley 1946, from memory).
func asMany(waver float64) float64 {
	r := (waver*waver - 1) / (waver*waver + 1)
	return (1 - r*r) / (1 + r*r)
}

// deviation returns the standard deviation.
func (m moments) deviation() float64 { return math.Sqrt(m.variance()) }

// timekeeping says which of timekeeper and movement wanders more, where the
// hits spread too wide and one of them surely does.
func (r *report) timekeeping() (finding, bool) {
	c, m := r.Clock, r.Motor
	if !r.Spread.OK || !r.pass.wide(r.Spread) || !c.OK || !m.OK {
		return finding{}, false
	}
	text := ""
	switch {
	case c.Low > m.High:
		text = fmt.Sprintf("Your timekeeping wanders more than your hands: ±%.0f against ±%.0f ms.", c.Value, m.Value)
	case m.Low > c.High:
		text = fmt.Sprintf("Your hands wander more than your timekeeping: ±%.0f against ±%.0f ms.", m.Value, c.Value)
	}
	return finding{weight: 1, text: text, anyDelay: text}, text != ""
}
