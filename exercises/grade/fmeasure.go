package grade

import "errors"

// edgeSlack makes the edge of an F-measure window inclusive in spite of
// rounding: 1.05 - 1 is a little more than 0.05 in float64. Our choice, far
// above the rounding of an hour (1e-12 s) and far below what can be measured.
const edgeSlack = 1e-9 // seconds

// maxFMeasureSeconds is the latest onset that mir_eval takes: later ones are
// samples or milliseconds by mistake.
const maxFMeasureSeconds = 30000.0

// FMeasure returns the F-measure, precision and recall of played against
// written onsets, in seconds and in order, as mir_eval.onset.f_measure defines
// them (Raffel, McFee, Humphrey, Salamon, Nieto, Liang and Ellis 2014,
// "mir_eval: a transparent implementation of common MIR metrics", ISMIR):
// hits are a maximum matching of pairs at most window apart, the edge
// included; precision is hits per played, recall hits per written onset, F
// their harmonic mean. Where either list is empty all three are 0. Lists out
// of order, not finite or beyond 30000 s are an error.
func FMeasure(written, played []float64, window float64) (f, precision, recall float64, err error) {
	if !sorted(written) || !sorted(played) {
		return 0, 0, 0, errors.New("the onsets are not in order of time; sort them")
	}
	if len(written) == 0 || len(played) == 0 {
		return 0, 0, 0, nil
	}
	if max(written[len(written)-1], played[len(played)-1]) > maxFMeasureSeconds {
		return 0, 0, 0, errors.New("an onset after 30000 s; give seconds")
	}
	hits := float64(within(written, played, window))
	w, p := float64(len(written)), float64(len(played))
	return 2 * hits / (w + p), hits / p, hits / w, nil
}

// within returns the size of a maximum matching of pairs at most window apart.
// For sorted lists and one window for all, pairing the earliest that can be
// paired is maximum: exchanging a later partner for an earlier one never
// blocks more.
func within(written, played []float64, window float64) int {
	hits, j := 0, 0
	for _, w := range written {
		for j < len(played) && played[j] < w-window-edgeSlack {
			j++
		}
		if j < len(played) && played[j] <= w+window+edgeSlack {
			hits++
			j++
		}
	}
	return hits
}
