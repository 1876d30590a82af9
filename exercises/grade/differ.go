package grade

import (
	"fmt"
	"math"
	"slices"
)

// A cause is a group or a run that may come apart from the rest.
type cause struct {
	group *group
	run   *run
}

// differences says which strokes come apart from the others: the group or run
// that explains most of the errors first, then what explains most of what is
// left. What it said is taken off the samples.
func (r *report) differences() []finding {
	groups, runs := r.groups(), r.runs()
	c := comparison{p: 1 - (1-confidence)/float64(max(len(groups)+len(runs), 1)), waver: r.wavering(r.samples)}
	whole := r.table(r.samples)
	var all []finding
	for range maxSentences {
		best, ok := r.strongest(c, groups, runs)
		if !ok {
			break
		}
		f, ok := r.tell(c, best, whole)
		if !ok {
			break
		}
		all = append(all, f)
		r.samples = r.without(best)
	}
	return all
}

// wordiness is by how many nats a group must explain the errors better than a
// voice, bar or pass does to be named instead. Our choice: they are what players
// think of first.
var wordiness = map[groupKind]float64{ofLimb: 1, byWords: 0.5, ofStroke: 1}

// strongest returns the cause that explains most of the samples.
func (r *report) strongest(c comparison, groups []group, runs []run) (best cause, ok bool) {
	t := r.table(r.samples)
	most, lean := 0.0, 0.0
	for i := range groups {
		in, out := t.of(groups[i])
		if !c.apart(groups[i], in, out).sure() {
			continue
		}
		x := between(in, out) - 2*t.all.variance()*wordiness[groups[i].kind]
		further := math.Abs(x-most) <= 1e-9*most && math.Abs(in.mean()) > lean+1e-9 // of two that are each other's rest; rounding decides nothing
		if x > most*(1+1e-9) || further {
			best, most, lean, ok = cause{group: &groups[i]}, x, math.Abs(in.mean()), true
		}
	}
	for i := range runs {
		d, x := c.gained(runs[i], t)
		if d.OK && math.Abs(d.Value) >= leastRunMS && d.sure() && x > most*(1+1e-9) {
			best, most, ok = cause{run: &runs[i]}, x, true
		}
	}
	return best, ok
}

// tell says what a cause does to the whole take; false where, with all the
// others, it cannot be seen there.
func (r *report) tell(c comparison, best cause, whole table) (finding, bool) {
	now := r.table(r.samples)
	if best.run != nil {
		left, _ := c.gained(*best.run, now)
		d, _ := c.gained(*best.run, whole)
		return best.run.finding(d), d.sure() && d.Value*left.Value > 0 && math.Abs(d.Value) >= leastRunMS
	}
	g := *best.group
	left, rest := now.of(g)
	in, out := whole.of(g)
	d := c.apart(g, in, out)
	return r.comes(g, in.leaning(), out.leaning(), d), d.sure() && d.Value*(left.mean()-rest.mean()) > 0
}

// without returns the samples with the effect of a cause taken off.
func (r *report) without(best cause) []sample {
	t := r.table(r.samples)
	out := make([]sample, len(r.samples))
	var shift func(Onset) float64
	if best.run != nil {
		d, _ := comparison{p: confidence}.gained(*best.run, t)
		shift = func(o Onset) float64 { return best.run.through[o.Position] * d.Value / 1000 }
	} else {
		in, rest := t.of(*best.group)
		d := in.mean() - rest.mean()
		shift = func(o Onset) float64 {
			if best.group.has(o) {
				return d
			}
			return 0
		}
	}
	for i, s := range r.samples {
		s.err -= shift(r.g.expected.Onsets[s.onset])
		out[i] = s
	}
	return out
}

// has reports whether an onset is in the group.
func (g group) has(o Onset) bool {
	_, in := slices.BinarySearch(g.of, o.Position)
	return in && (g.pass == 0 || g.pass == o.Pass)
}

// comes says how a group comes, given its leaning, that of the rest and the
// difference: by itself where the rest is on time, both where they lean apart,
// else against the rest.
func (r *report) comes(g group, in, out, d Figure) finding {
	verb := "comes"
	if g.many {
		verb = "come"
	}
	than := g.rest
	if than == "" {
		than = "the rest"
	}
	f := finding{weight: math.Abs(d.Value) / weighMS, bar: g.bar, voice: g.voice, once: g.pass > 0, rests: true}
	f.anyDelay = fmt.Sprintf("%s %s %s than %s.", g.name, verb, earlier(d.Value), than)
	switch apart := in.Value*out.Value < 0; {
	case !in.sure() || in.Value*d.Value < 0, out.sure() && (!apart || g.rest == ""):
		f.text = f.anyDelay
	case out.sure():
		f.text, r.leanSaid = fmt.Sprintf("%s %s %s, %s %s.", g.name, verb, EarlyOrLate(in.Value), g.rest, EarlyOrLate(out.Value)), true
	default:
		f.text = fmt.Sprintf("%s %s %s.", g.name, verb, EarlyOrLate(in.Value))
	}
	return f
}
