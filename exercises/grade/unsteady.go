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
	if !r.pass.wide(r.Spread) {
		return finding{}, false
	}
	f := finding{weight: r.Spread.Value / r.pass.SpreadMS}
	where := ""
	if g, sd, ok := r.widest(); ok {
		where = fmt.Sprintf(", %s by ±%.0f", g.where, sd)
		f.bar, f.voice = g.bar, g.voice
	}
	f.text = fmt.Sprintf("Your hits spread by %s%s; passing takes ±%g.", over(r.Spread.Value, r.pass.SpreadMS), where, r.pass.SpreadMS)
	f.anyDelay = f.text
	return f, true
}

// widest returns the bar, pass, voice or limb whose strokes spread most, in ms,
// where they do more than the rest.
func (r *report) widest() (best group, sd float64, ok bool) {
	t := r.table(r.drift.off(r.whole))
	groups := r.groups()
	tries := 0
	for _, g := range groups {
		if g.plain && !g.single {
			tries++
		}
	}
	z := zQuantile(1 - (1-confidence)/float64(max(tries, 1)))
	most := 0.0
	for _, g := range groups {
		in, out := t.of(g)
		if !g.plain || g.single || in.n < leastWide || out.n < leastWide || in.off() == 0 {
			continue
		}
		a, b := in.deviation(), out.deviation()
		// the logarithm of a standard deviation strays by sqrt(1/2(n-1)), for normal errors (from memory)
		surely := math.Log(a/b) - z*math.Sqrt(1/float64(2*(in.n-1))+1/float64(2*(out.n-1)))
		if a >= timesWider*b && surely > most {
			best, sd, most, ok = g, 1000*a, surely, true
		}
	}
	return best, sd, ok
}

// deviation returns the standard deviation.
func (m moments) deviation() float64 { return math.Sqrt(m.off() / float64(m.n-1)) }

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
