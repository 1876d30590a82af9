package grade

import "math"

// A fitted hypothesis: how likely the take is if this is what was played.
type fitted struct {
	log    float64 // logarithm of the likelihood, priors of the player's own numbers included
	trend  trend
	spread float64

	hits, missed, strays int
	inLane               [32]int // hits
}

// fits is how often lean, rate and spread are fitted and taps matched anew.
const fits = 4

// fit returns how likely the take is if the lanes are played as given, for the
// likeliest lean, rate and spread, beginning the search at a trend.
func (ev *evidence) fit(lanes *[32]strokeList, from trend) fitted {
	f := fitter{ev: ev, lanes: lanes, fitted: fitted{trend: from, spread: searchSpread}}
	for range fits {
		f.pair()
		f.adjust()
	}
	f.pair()
	f.log = f.likelihood()
	return f.fitted
}

// A fitter is at work on one hypothesis.
type fitter struct {
	ev    *evidence
	lanes *[32]strokeList
	fitted
	align   aligner
	off     []float64
	at, err []float64 // of the hits: written seconds, and seconds off
	place   []int32   // of the hits: lane and place
	misses  float64   // logarithm of the chance of the misses
}

// pair matches all taps under the trend and spread of now.
func (f *fitter) pair() {
	f.align.set(f.spread, f.ev.strayRate())
	f.at, f.err, f.place, f.missed, f.strays, f.misses = f.at[:0], f.err[:0], f.place[:0], 0, 0, 0
	base := int32(0)
	f.inLane = [32]int{}
	for k := range f.lanes {
		l, taps := &f.lanes[k], f.ev.taps[k]
		if len(l.at) == 0 {
			f.strays += len(taps)
			continue
		}
		f.off = f.trend.off(f.off, taps)
		hits := 0
		top := int32(0)
		for i, tap := range f.align.pairs(l.at, f.off) {
			top = max(top, l.place[i])
			if tap < 0 {
				f.missed++
				continue
			}
			hits++
			f.at = append(f.at, l.at[i])
			f.err = append(f.err, taps[tap]-l.at[i])
			f.place = append(f.place, base+l.place[i])
		}
		base += top + 1
		f.inLane[k] = hits
		f.strays += len(taps) - hits
		f.misses += missing(len(l.at)-hits, hits)
	}
	f.hits = len(f.at)
}

// adjust sets lean, rate and spread to the likeliest for the matches of now.
func (f *fitter) adjust() {
	n := float64(len(f.at))
	if n == 0 {
		return
	}
	v := f.spread * f.spread
	// normal equations of err = lean + rate*at, with a weak pull to 0
	pull := leanFar * leanFar
	if f.ev.measure {
		pull = 4 * leanSpread * leanSpread
	}
	s0, s1, s2, e0, e1 := v/pull+n, 0.0, v/square(rateSpread), 0.0, 0.0
	for i, at := range f.at {
		s1 += at
		s2 += at * at
		e0 += f.err[i]
		e1 += at * f.err[i]
	}
	d := s0*s2 - s1*s1
	if d > 0 {
		f.trend = trend{(e0*s2 - e1*s1) / d, (e1*s0 - e0*s1) / d}
	}
	sum := spreadWeight * spreadGuess * spreadGuess
	for i, at := range f.at {
		sum += square(f.err[i] - f.trend.lean - f.trend.rate*at)
	}
	f.spread = min(max(math.Sqrt(sum/(spreadWeight+n)), leastSpread), mostSpread)
}

// likelihood returns the logarithm of the likelihood of the matches: normal
// errors of which a part is the same at a place in every pass, a beta prior of
// the misses, a gamma prior of the strays, and what is known of players.
func (f *fitter) likelihood() float64 {
	v := f.spread * f.spread
	log := -float64(len(f.at)) * math.Log(f.spread*math.Sqrt(2*math.Pi))
	top := int32(-1)
	for _, p := range f.place {
		top = max(top, p)
	}
	n, sum := make([]float64, top+1), make([]float64, top+1)
	for i, at := range f.at {
		e := f.err[i] - f.trend.lean - f.trend.rate*at
		log -= e * e / (2 * v)
		n[f.place[i]]++
		sum[f.place[i]] += e
	}
	t := placeSpread * placeSpread
	for i, k := range n {
		if k > 0 {
			log += t*sum[i]*sum[i]/(2*v*(v+k*t)) - math.Log(1+k*t/v)/2
		}
	}
	log -= spreadWeight * (math.Log(f.spread) + square(spreadGuess/f.spread)/2)
	log += f.ev.leanPrior(f.trend.lean) + ratePrior(f.trend.rate)
	return log + f.misses + f.straying()
}

// missing returns the logarithm of the chance of so many misses and hits of
// one lane, in one order, when the chance of a miss is itself uncertain
// (beta-binomial).
func missing(missed, hits int) float64 {
	a, b := missChance*missStrokes, (1-missChance)*missStrokes
	return logBeta(a+float64(missed), b+float64(hits)) - logBeta(a, b)
}

// straying returns the logarithm of the density of so many strays at their
// times, when their rate is itself uncertain (gamma-Poisson).
func (f *fitter) straying() float64 {
	const shape = 1.0
	k, long := float64(f.strays), max(f.ev.end, 1)*max(f.ev.lanes, 1)
	rate := shape / f.ev.strayRate() // seconds
	return lgamma(shape+k) - lgamma(shape) + shape*math.Log(rate) - (shape+k)*math.Log(rate+long)
}

func logBeta(a, b float64) float64 { return lgamma(a) + lgamma(b) - lgamma(a+b) }

func lgamma(x float64) float64 {
	g, _ := math.Lgamma(x)
	return g
}
