package grade

import (
	"math"
)

// moments are number, sum and sum of squares of errors in seconds.
type moments struct {
	n            int
	sum, squares float64
}

func (m *moments) add(x float64) {
	m.n, m.sum, m.squares = m.n+1, m.sum+x, m.squares+x*x
}

func (m moments) plus(o moments) moments {
	return moments{m.n + o.n, m.sum + o.sum, m.squares + o.squares}
}

func (m moments) minus(o moments) moments {
	return moments{m.n - o.n, m.sum - o.sum, m.squares - o.squares}
}

func (m moments) mean() float64 { return m.sum / float64(m.n) }

// off returns the sum of squares about the mean.
func (m moments) off() float64 {
	return max(0, m.squares-m.sum*m.sum/float64(m.n)) // rounding may leave less than nothing
}

func (m moments) variance() float64 { return m.off() / float64(m.n-1) }

// leaning returns the mean in ms with its interval.
func (m moments) leaning() Figure {
	if m.n < minLeaning {
		return Figure{N: m.n}
	}
	half := tQuantile(confidence, m.n-1) * math.Sqrt(m.variance()/float64(m.n))
	return inMS(m.mean(), m.mean()-half, m.mean()+half, m.n)
}

// A table holds errors by position and by pass.
type table struct {
	byPosition, byPass []moments
	all                moments
}

func (r *report) table(samples []sample) table {
	t := table{byPosition: make([]moments, len(r.Positions)), byPass: make([]moments, r.g.passes())}
	for _, s := range samples {
		o := r.g.expected.Onsets[s.onset]
		t.byPosition[o.Position].add(s.err)
		t.byPass[o.Pass-1].add(s.err)
		t.all.add(s.err)
	}
	return t
}

// of returns the errors of a group and of the rest.
func (t table) of(g group) (in, out moments) {
	if g.pass > 0 {
		in = t.byPass[g.pass-1]
		return in, t.all.minus(in)
	}
	for _, i := range g.of {
		in = in.plus(t.byPosition[i])
	}
	return in, t.all.minus(in)
}

// A comparison tells how certain a difference must be to be said.
type comparison struct {
	p     float64 // of every interval: 95 % for all that is tried together (Bonferroni)
	waver float64 // how much wider the interval of strokes is that follow each other
}

// apart returns how much later the strokes of a group come than the rest, with
// Student's interval. Each side strays as all do or, where that is more, as it
// does itself: few hits that lie close together by chance prove nothing.
func (c comparison) apart(g group, in, out moments) Figure {
	if in.n < minLeaning || out.n < minLeaning {
		return Figure{N: in.n}
	}
	free := in.n + out.n - 2
	pooled := (in.off() + out.off()) / float64(free)
	half := tQuantile(c.p, free) * math.Sqrt(max(pooled, in.variance())/float64(in.n)+max(pooled, out.variance())/float64(out.n))
	if g.block {
		half *= c.waver
	}
	d := in.mean() - out.mean()
	return inMS(d, d-half, d+half, in.n)
}

// between returns by how much the sum of squares shrinks when the rest and
// the group have a mean each.
func between(in, out moments) float64 {
	d := in.mean() - out.mean()
	return d * d * float64(in.n) * float64(out.n) / float64(in.n+out.n)
}

// mostWaver bounds the widening: beyond it the figure itself is unsure. Our
// choice; it is a lag-1 correlation of 0.98.
const mostWaver = 10.0

// wavering returns by how much a wavering tempo widens the interval of the
// mean of neighbouring strokes: sqrt((1+r)/(1-r)) for a lag-1 correlation r, as
// for a first-order autoregressive process (from memory). What strokes differ
// by in every pass is taken off first.
func (r *report) wavering(samples []sample) float64 {
	t := r.table(samples)
	var last, all, next float64
	for i, s := range samples {
		e := s.err - t.all.mean()
		if len(t.byPass) > 1 {
			e = s.err - t.byPosition[r.g.expected.Onsets[s.onset].Position].mean()
		}
		if i > 0 {
			next += last * e
		}
		all, last = all+e*e, e
	}
	if !(next > 0) {
		return 1
	}
	rho := min(next/all, 1-1e-6)
	return min(math.Sqrt((1+rho)/(1-rho)), mostWaver)
}
