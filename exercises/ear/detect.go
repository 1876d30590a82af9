package ear

import (
	"math"

	"stampmill/exercises/grade"
)

// What is told apart, d', is how far two kinds of trials lie apart in what a
// listener hears of them, in standard deviations of one trial: 0 is guessing,
// 1 is 69 % right without leaning, 3 is 93 %. Unlike the share of right
// answers it does not depend on a leaning to one answer, or on how many there
// are to choose from. The models are those of signal detection: what is heard
// is normal with one spread in all kinds of trials.

// DPrime returns what is told apart with a rate of hits and one of false
// alarms in a yes/no task, z(H) - z(F). Rates are from 0 to 1; those of 0 and
// 1 give infinities, so correct them first (see [YesNo]).
func DPrime(hits, falseAlarms float64) float64 { return z(hits) - z(falseAlarms) }

// Criterion returns how far a listener leans away from yes, -(z(H) + z(F))/2,
// in the unit of d': 0 for not at all, below 0 for yes too often.
func Criterion(hits, falseAlarms float64) float64 { return -(z(hits) + z(falseAlarms)) / 2 }

// A YesNo counts the answers of a yes/no task.
type YesNo struct {
	Hits, Misses            int // trials in which yes was right
	FalseAlarms, Rejections int // trials in which no was right
}

// leastEach is how many trials of each of the two kinds d' wants. Our choice:
// its 95 % interval is then some 2.5 wide, and still holds what is true in 94
// to 99 % of all that can come out, up to a d' of 3 (tested).
const leastEach = 10

// DPrime returns d' with its 95 % interval.
func (y YesNo) DPrime() grade.Figure { return y.figure(DPrime, 1) }

// Criterion returns the leaning with its 95 % interval.
func (y YesNo) Criterion() grade.Figure { return y.figure(Criterion, 0.5) }

// figure returns a sum of the two z, each of which counts by weight. The
// variance of z(p) is p(1-p)/(n φ(z)²) (Gourevitch & Galanter 1967,
// Psychometrika 32 25-33, from memory).
func (y YesNo) figure(of func(h, f float64) float64, weight float64) grade.Figure {
	signals, noises := y.Hits+y.Misses, y.FalseAlarms+y.Rejections
	f := grade.Figure{N: signals + noises}
	if min(y.Hits, y.Misses, y.FalseAlarms, y.Rejections) < 0 || min(signals, noises) < leastEach {
		return f
	}
	h, a := rate(y.Hits, signals), rate(y.FalseAlarms, noises)
	f.Value = of(h, a)
	half := weight * z95 * math.Sqrt(zVariance(h, signals)+zVariance(a, noises))
	f.Low, f.High, f.OK = f.Value-half, f.Value+half, true
	return f
}

func zVariance(p float64, n int) float64 {
	density := phi(z(p))
	return p * (1 - p) / (float64(n) * density * density)
}

// rate returns k of n as a rate; where it would be 0 or 1, whose z is
// infinite, (k+1/2)/(n+1), the log-linear correction (Hautus 1995, Behav. Res.
// Methods Instrum. Comput. 27 46-51, from memory).
func rate(k, n int) float64 {
	if k == 0 || k == n {
		return (float64(k) + 0.5) / (float64(n) + 1)
	}
	return float64(k) / float64(n)
}

// MaxAlternatives is the most answers to choose from that [Correct] knows. Our
// choice: more than any task has.
const MaxAlternatives = 64

// The rule of integration below: the trapezoid on equal steps, which for
// smooth integrands that vanish at both ends is exact up to rounding once the
// step is well under their width. Halving the step, or going further out,
// changes nothing by more than 1e-13 (tested).
const (
	integralReach = 9.0 // standard deviations; the density beyond is under 1e-17
	integralStep  = 1.0 / 8
)

// Correct returns the share of right answers, 0 to 1, among m alternatives of
// which one is right, without leaning:
//
//	∫ φ(x-d') Φ(x)^(m-1) dx
//
// (Green & Dai 1991). It is NaN unless m is 2 to [MaxAlternatives] and d' a
// number. The error is below 1e-12.
func Correct(m int, d float64) float64 {
	if m < 2 || m > MaxAlternatives || math.IsNaN(d) {
		return math.NaN()
	}
	return correct(m, d, integralReach, integralStep)
}

func correct(m int, d, reach, step float64) float64 {
	sum := 0.0
	for i, n := 0, int(2*reach/step); i <= n; i++ {
		x := float64(i)*step - reach
		sum += phi(x) * power(cdf(x+d), m-1)
	}
	return sum * step
}

// power returns x to a whole power, 1 or more.
func power(x float64, n int) float64 {
	p := 1.0
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			p *= x
		}
		x *= x
	}
	return p
}

// OfCorrect returns d' of a share of right answers among m alternatives, the
// inverse of [Correct]: below 0 under chance, infinite at 0 and 1, and NaN
// where there is none. [Correct] of it is the share, to 1e-12.
func OfCorrect(m int, share float64) float64 {
	switch {
	case m < 2 || m > MaxAlternatives || !(share >= 0 && share <= 1):
		return math.NaN()
	case share == 0:
		return math.Inf(-1)
	case share == 1:
		return math.Inf(1)
	}
	return solve(func(d float64) float64 { return Correct(m, d) - share })
}

// farthest is the largest d' that is solved for: at 12, fewer than one answer
// in 10^16 of two alternatives is wrong.
const farthest = 12

// solve returns the zero of a rising function within -farthest to farthest, by
// halving until nothing is left to halve.
func solve(f func(float64) float64) float64 {
	low, high := -float64(farthest), float64(farthest)
	for range 60 {
		mid := (low + high) / 2
		if f(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// Chosen returns d' of so many right answers in n trials with m alternatives,
// with its 95 % interval: that of the share (Wilson 1927, J. Am. Stat. Assoc.
// 22 209-212, from memory), each end as a d'.
func Chosen(m, right, n int) grade.Figure {
	f := grade.Figure{N: n}
	if m < 2 || m > MaxAlternatives || right < 0 || right > n || n < leastEach {
		return f
	}
	p := rate(right, n)
	low, high := wilson(p, float64(n))
	f.Value, f.Low, f.High, f.OK = OfCorrect(m, p), OfCorrect(m, low), OfCorrect(m, high), true
	return f
}

// wilson returns the interval of a rate p in n trials.
func wilson(p, n float64) (low, high float64) {
	z2 := z95 * z95
	middle := (p + z2/(2*n)) / (1 + z2/n)
	half := z95 / (1 + z2/n) * math.Sqrt(p*(1-p)/n+z2/(4*n*n))
	return middle - half, middle + half
}

// SameDifferent returns d' of a rate of hits ("different" where they are) and
// one of false alarms of a listener who compares the two sounds of each trial
// and says different where they are further apart than some distance
// (differencing; Macmillan & Creelman 1991):
//
//	F = 2 Φ(-k/√2),  H = Φ((d'-k)/√2) + Φ((-d'-k)/√2)
//
// It is 0 where hits are not more frequent than false alarms, and NaN unless
// both rates lie between 0 and 1, ends left out.
func SameDifferent(hits, falseAlarms float64) float64 {
	if !(inside(hits) && inside(falseAlarms)) {
		return math.NaN()
	}
	if hits <= falseAlarms {
		return 0
	}
	k := -math.Sqrt2 * z(falseAlarms/2)
	return solve(func(d float64) float64 {
		if d < 0 {
			return -1
		}
		return cdf((d-k)/math.Sqrt2) + cdf((-d-k)/math.Sqrt2) - hits
	})
}

// SameDifferentApart is [SameDifferent] for a listener who judges each of
// the two sounds by itself, and who says different where the judgements are
// (independent observations; Macmillan & Creelman 1991):
//
//	d' = 2 z((1 + √(2P-1))/2),  P = Φ((z(H) - z(F))/2)
func SameDifferentApart(hits, falseAlarms float64) float64 {
	if !(inside(hits) && inside(falseAlarms)) {
		return math.NaN()
	}
	if hits <= falseAlarms {
		return 0
	}
	p := cdf(DPrime(hits, falseAlarms) / 2)
	return 2 * z((1+math.Sqrt(2*p-1))/2)
}

func inside(p float64) bool { return p > 0 && p < 1 }

// z95 leaves 5 % of a normal distribution to both sides together.
var z95 = z(0.975)

// cdf is Φ, phi its density, z its inverse.
func cdf(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
func phi(x float64) float64 { return math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) }
func z(p float64) float64   { return math.Sqrt2 * math.Erfinv(2*p-1) }
