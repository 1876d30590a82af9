package ear

// A Published threshold is what others have measured that is like a task. It
// is information beside the player's own, not a mark to reach.
type Published struct {
	Task   string  // name of the task it is shown beside
	Value  float64 // in the unit of the task's scale
	Where  string  // what was heard when
	Source string
}

// published thresholds. Each says how large a difference was just heard, in
// another task than ours: ours are passages, and another rate of right answers.
var published = []Published{
	{"ahead", 6, "one tone of an even run out of place, tones less than 240 ms apart; 2.5 % of the distance where they are further apart; musicians were no better", fribergSundberg},
	{"tempo", 6, "one interval", drakeBotte},
	{"tempo", 4, "two intervals", drakeBotte},
	{"tempo", 3.2, "four intervals", drakeBotte},
	{"tempo", 3, "six intervals", drakeBotte},
	{"tempo", 1.5, "the best of all, intervals of 300 to 800 ms; musicians were better", drakeBotte},
}

// Where they stand.
const (
	fribergSundberg = `Friberg & Sundberg 1995, "Time discrimination in a monotonic, isochronous sequence", JASA 98(5) 2524-2531`
	drakeBotte      = `Drake & Botte 1993, "Tempo sensitivity in auditory sequences: evidence for a multiple-look model", Percept. Psychophys. 54 277-286`
)

// HowToCompare says how published thresholds may be read beside one's own.
const HowToCompare = "Measured with even runs of plain tones, by other methods and with other people: an order of size, not a mark to reach."

// Published returns the thresholds that were published for tasks like this one,
// largest first; most tasks have none.
func (t Task) Published() []Published {
	var all []Published
	for _, p := range published {
		if p.Task == t.Name {
			all = append(all, p)
		}
	}
	return all
}

// JustHeard returns how far, in ms, one tone of an even run must be out of
// place to be heard, for tones so many ms apart: 6 ms up to 240 ms, 2.5 % of
// the distance above (Friberg & Sundberg 1995, measured from 100 to 1000 ms;
// musical training made no difference). False outside.
func JustHeard(apartMS float64) (ms float64, ok bool) {
	if !(apartMS >= 100 && apartMS <= 1000) {
		return 0, false
	}
	return max(6, 0.025*apartMS), true
}
