package grade

import (
	"fmt"
	"math"
)

// When missed and extra strokes have a place. Our choice.
const (
	mostlyInOne = 0.6  // share of the faults that makes one place stand out
	apartShare  = 0.25 // of its strokes missed makes a pass fall apart, ...
	apartLeast  = 4    // at least so many, ...
	elseShare   = 0.10 // while the other passes miss no more than this
	bounceMS    = 60.0 // a hit so soon after another of the same voice was not meant; nobody plays 16 a second with one limb
)

// linesUp reports whether the taps are those of this part at all.
func (r *report) linesUp() bool {
	return r.Extra == 0 || float64(r.Matched) >= elsewhere*float64(r.Expected)
}

// astray says that the taps do not line up with what is written.
func (r *report) astray() (finding, bool) {
	text := fmt.Sprintf("%s hit; %s fell elsewhere.", onlyOf(r.Matched, r.Expected), count(r.Extra, "hit"))
	return finding{weight: share(r.Missed+r.Extra, r.Expected) / weighShare, text: text, anyDelay: text}, !r.linesUp()
}

func share(n, of int) float64 { return float64(n) / float64(of) }

// missed says how many strokes were left out, and where most of them.
func (r *report) missed() (finding, bool) {
	if r.Missed == 0 || !r.linesUp() {
		return finding{}, false
	}
	f := finding{weight: share(r.Missed, r.Expected) / weighShare}
	f.text = fmt.Sprintf("You missed %d of %s", r.Missed, count(r.Expected, "stroke"))
	if n, where, ok := r.brokeOff(); ok {
		f.once, f.text = true, f.text+ofThem(n, r.Missed)+where
	} else if g, c, ok := r.missedMost(); ok {
		f.bar, f.voice, f.once = g.bar, g.voice, g.kind == ofPass
		if r.fellApart(g, c) {
			f.text = fmt.Sprintf("%s fell apart: %d of %s hit, %d of %d in the others", g.name, c.Matched, count(c.Expected, "stroke"), r.Matched-c.Matched, r.Expected-c.Expected)
		} else {
			f.text += ofThem(c.Missed, r.Missed) + g.where
		}
	}
	f.text += "."
	f.anyDelay = f.text
	return f, true
}

// brokeOff reports whether the player stopped early: no stroke is hit after some
// bar of some pass, which is most of what was missed and more than any one pass.
func (r *report) brokeOff() (n int, where string, ok bool) {
	onsets := r.g.expected.Onsets
	first := len(onsets)
	for i := len(onsets) - 1; i >= 0 && (r.g.open[i] || r.g.tapOf[i] < 0); i-- {
		if !r.g.open[i] {
			n, first = n+1, i
		}
	}
	if n <= len(r.Positions) || first == 0 || !mostly(n, r.Missed) {
		return 0, "", false
	}
	o := onsets[first]
	bar, begins := r.Positions[o.Position].Place.Bar, r.ByBar[0].Bar
	if bar > begins {
		return n, fmt.Sprintf("from bar %d of pass %d on", bar, o.Pass), true
	}
	return n, fmt.Sprintf("from pass %d on", o.Pass), o.Pass > 1 // else hardly anything was played
}

// missedMost returns the group that tells best where strokes were missed, with
// its counts: that which, with a share of its own, makes the misses likeliest.
func (r *report) missedMost() (best group, of Counts, ok bool) {
	groups, tries := r.groups(), len(r.groups())
	if cell, c, cells := r.worstCell(); cells > 0 {
		tries += cells
		if r.standsOut(cell, c, tries) {
			best, of, ok = cell, c, true
		}
	}
	most := of.likelier(r.Counts)
	for _, g := range groups {
		c := r.countsOf(g)
		if !r.standsOut(g, c, tries) {
			continue
		}
		// rounding decides nothing, and a whole group is told before a cell
		if x := c.likelier(r.Counts); !ok || x > most+1e-9 || best.kind == ofCell && x > most-1e-9 {
			best, of, most, ok = g, c, x, true
		}
	}
	return best, of, ok
}

// standsOut reports whether a group may be named as the place of the misses:
// the one stroke that was missed; a plain place with all of them; or one with
// most of them, that chance would rarely put there.
func (r *report) standsOut(g group, c Counts, tries int) bool {
	switch {
	case r.Missed == 1:
		return c.Missed == 1 && g.kind == ofStroke
	case c.Missed == r.Missed && g.kind != byWords && share(c.Expected, r.Expected) <= mostlyInOne:
		return true
	}
	return mostly(c.Missed, r.Missed) && float64(tries)*c.byChance(r.Counts) < 1-confidence
}

// mostly reports whether n of all makes one place stand out.
func mostly(n, all int) bool { return n >= 2 && float64(n) >= mostlyInOne*float64(all) }

// countsOf returns the counts of a group.
func (r *report) countsOf(g group) Counts {
	if g.kind == ofPass {
		return r.ByPass[g.pass-1].Counts
	}
	var c Counts
	for _, i := range g.of {
		pos := r.Positions[i]
		c.Expected, c.Matched = c.Expected+pos.Passes, c.Matched+len(pos.Hits)
	}
	c.Missed = c.Expected - c.Matched
	return c
}

// worstCell returns the bar of a single pass in which most strokes were missed,
// with its counts, and among how many that is.
func (r *report) worstCell() (worst group, of Counts, cells int) {
	bars := len(r.ByBar)
	if bars < 2 || r.g.passes() < 2 {
		return group{}, Counts{}, 0
	}
	counts := make([]Counts, bars*r.g.passes())
	most := 0
	for i, o := range r.g.expected.Onsets {
		k := (o.Pass-1)*bars + r.Positions[o.Position].Place.Bar - r.ByBar[0].Bar
		if r.g.open[i] {
			continue
		}
		if counts[k].count(r.g.tapOf[i]); counts[k].Missed > counts[most].Missed {
			most = k
		}
	}
	bar, pass := r.ByBar[most%bars].Bar, most/bars+1
	return group{where: fmt.Sprintf("in bar %d of pass %d", bar, pass), bar: bar, pass: pass, kind: ofCell}, counts[most], len(counts)
}

// likelier returns the logarithm of how much likelier the misses are with a
// share of their own in the group and outside than with one for all.
func (c Counts) likelier(all Counts) float64 {
	rest := Counts{Expected: all.Expected - c.Expected, Missed: all.Missed - c.Missed}
	return c.logLikelihood() + rest.logLikelihood() - all.logLikelihood()
}

func (c Counts) logLikelihood() float64 {
	sum := 0.0
	for _, k := range []int{c.Missed, c.Expected - c.Missed} {
		if k > 0 {
			sum += float64(k) * math.Log(share(k, c.Expected))
		}
	}
	return sum
}

// byChance returns the probability that as many of all misses or more fall into
// the group if each stroke is as likely missed as any other (hypergeometric).
func (c Counts) byChance(all Counts) float64 {
	sum := 0.0
	for k := c.Missed; k <= min(all.Missed, c.Expected); k++ {
		sum += math.Exp(logChoose(c.Expected, k) + logChoose(all.Expected-c.Expected, all.Missed-k) - logChoose(all.Expected, all.Missed))
	}
	return sum
}

// logChoose returns the logarithm of the number of ways to choose k of n.
func logChoose(n, k int) float64 {
	if k < 0 || k > n {
		return math.Inf(-1)
	}
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return a - b - c
}

// fellApart reports whether a group is a pass that went much worse than the
// others.
func (r *report) fellApart(g group, c Counts) bool {
	return g.kind == ofPass && c.Missed >= apartLeast && share(c.Missed, c.Expected) >= apartShare &&
		share(r.Missed-c.Missed, r.Expected-c.Expected) <= elseShare
}

// extra says how many taps were too many, and where most of them.
func (r *report) extra() (finding, bool) {
	f := finding{weight: share(r.Extra, r.Expected) / weighShare}
	if r.Extra == 0 || !r.linesUp() {
		return f, false
	}
	where := ""
	if n := r.bounces(); mostly(n, r.Extra) {
		where = ofThem(n, r.Extra) + "straight after another hit, as from a bounce"
	} else if n, g, ok := r.extraMost(); ok {
		where, f.bar, f.voice = ofThem(n, r.Extra)+g.where, g.bar, g.voice
	}
	f.text = count(r.Extra, "hit") + " too many" + where + "."
	f.anyDelay = f.text
	return f, true
}

// bounces returns how many of the extra taps came straight after another of
// the same voice.
func (r *report) bounces() int {
	n := 0
	for i, tap := range r.g.order {
		if r.g.used[tap] {
			continue
		}
		for k := i - 1; k >= 0 && r.g.taps[tap]-r.g.taps[r.g.order[k]] <= bounceMS/1000; k-- {
			if r.g.take.Taps[r.g.order[k]].Voice == r.g.take.Taps[tap].Voice {
				n++
				break
			}
		}
	}
	return n
}

// extraMost returns the bar, pass or voice that most of the extra taps are in:
// all of them, or more than chance would put there.
func (r *report) extraMost() (most int, best group, ok bool) {
	for _, g := range r.groups() {
		if !g.large() || g.kind == ofLimb { // no limb is known of what was not written
			continue
		}
		n := 0
		for _, s := range r.Strays {
			if g.took(s) {
				n++
			}
		}
		here := r.countsOf(g)
		stands := n == r.Extra && (n > 1 || g.kind == ofBar) ||
			mostly(n, r.Extra) && float64(len(r.groups()))*binomialTail(n, r.Extra, share(here.Expected, r.Expected)) < 1-confidence
		if stands && n > most {
			most, best, ok = n, g, true
		}
	}
	return most, best, ok
}

// took reports whether an extra tap is in the voice, pass or bar that a group
// is.
func (g group) took(s Stray) bool {
	switch g.kind {
	case ofVoice:
		return s.Voice == g.voice
	case ofPass:
		return s.Pass == g.pass
	}
	return s.Bar == g.bar
}

// binomialTail returns the probability of k or more of n, each with
// probability p.
func binomialTail(k, n int, p float64) float64 {
	sum := 0.0
	for ; k <= n; k++ {
		sum += math.Exp(logChoose(n, k) + float64(k)*math.Log(p) + float64(n-k)*math.Log1p(-p))
	}
	return sum
}
