package grade

import (
	"fmt"
	"math"

	"stampmill/exercises/passage"
)

// voiceDifference says which voice stands apart from the others.
func (r report) voiceDifference() (finding, bool) {
	var worst, lean Figure
	var voice passage.Voice
	than := "the rest"
	for i, f := range r.ByVoice {
		d := r.apart(len(r.ByVoice), func(pos Position) bool { return pos.Voices.Has(f.Voice) })
		if !d.sure() || !further(d, f.Leaning, worst, lean) {
			continue
		}
		worst, lean, voice = d, f.Leaning, f.Voice
		if len(r.ByVoice) == 2 {
			than = "the " + r.ByVoice[1-i].Voice.String()
		}
	}
	return finding{
		weight: math.Abs(worst.Value) / weighMS,
		text:   fmt.Sprintf("The %s comes %s than %s.", voice, earlier(worst.Value), than),
	}, worst.OK
}

// barDifference says which bar stands apart from the others.
func (r report) barDifference() (finding, bool) {
	var worst, lean Figure
	var bar int
	than := "the rest"
	for i, f := range r.ByBar {
		d := r.apart(len(r.ByBar), func(pos Position) bool { return pos.Place.Bar == f.Bar })
		if !d.sure() || !further(d, f.Leaning, worst, lean) {
			continue
		}
		worst, lean, bar = d, f.Leaning, f.Bar
		if len(r.ByBar) == 2 {
			than = fmt.Sprintf("bar %d", r.ByBar[1-i].Bar)
		}
	}
	return finding{
		weight: math.Abs(worst.Value) / weighMS,
		text:   fmt.Sprintf("Bar %d comes %s than %s.", bar, earlier(worst.Value), than),
		bar:    bar,
	}, worst.OK
}

// further reports whether a difference d stands out more than another: it is
// larger or, of two that are each other's rest, the leaning itself is.
func further(d, lean, than, thanLean Figure) bool {
	a, b := math.Abs(d.Value), math.Abs(than.Value)
	if math.Abs(a-b) < 1e-6 { // ms; rounding decides nothing
		return math.Abs(lean.Value) > math.Abs(thanLean.Value)
	}
	return a > b
}

// apart returns how much later the hits whose position is in come than the
// others, with an interval for so many tries (Bonferroni). It is the wider of
// two: Student's, for one spread of all hits, and Welch's, for a spread of each.
// Welch's alone finds too much where a few hits lie close together by chance.
func (r report) apart(tries int, in func(Position) bool) Figure {
	var a, b []float64
	for _, s := range r.samples {
		if in(r.g.expected.Positions[r.g.expected.Onsets[s.onset].Position]) {
			a = append(a, s.err)
		} else {
			b = append(b, s.err)
		}
	}
	if len(a) < minLeaning || len(b) < minLeaning {
		return Figure{N: len(a)}
	}
	p := 1 - (1-confidence)/float64(tries)
	half := max(student(a, b, p), welch(a, b, p))
	d := mean(a) - mean(b)
	return inMS(d, d-half, d+half, len(a))
}

// student returns half the length of the interval that holds the difference of
// two means with probability p, where both samples stray alike.
func student(a, b []float64, p float64) float64 {
	na, nb := float64(len(a)), float64(len(b))
	pooled := (ofMean(a)*na*(na-1) + ofMean(b)*nb*(nb-1)) / (na + nb - 2)
	return tQuantile(p, len(a)+len(b)-2) * math.Sqrt(pooled*(1/na+1/nb))
}

// welch is student for samples that need not stray alike, with the degrees of
// freedom of Welch and Satterthwaite (from memory).
func welch(a, b []float64, p float64) float64 {
	va, vb := ofMean(a), ofMean(b)
	free := 2
	if va+vb > 0 {
		free = max(free, int(square(va+vb)/(va*va/float64(len(a)-1)+vb*vb/float64(len(b)-1))))
	}
	return tQuantile(p, free) * math.Sqrt(va+vb)
}

// ofMean returns the variance of the mean of xs.
func ofMean(xs []float64) float64 {
	sd := deviation(xs, mean(xs), len(xs)-1)
	return sd * sd / float64(len(xs))
}
