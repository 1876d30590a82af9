package player

import "math/rand/v2"

// settle is how many strokes a synchronising player plays before the first
// that counts, so that its errors have their lasting spread. Our choice; what
// is left of the start shrinks by |1-alpha| a stroke.
const settle = 64

// Phase says how a player keeps together with what is heard: linear phase
// correction with a timekeeper and a motor delay that vary (Vorberg and Wing
// 1996; Vorberg and Schulze 2002). In the long run the error A has
//
//	Var(A) = (clock^2 + 2 alpha motor^2) / (1 - (1-alpha)^2)
//	Cov(A, next A) = (1-alpha) Var(A) - motor^2
type Phase struct {
	Alpha            float64 // share of an error that is corrected at the next stroke, above 0 and below 2
	ClockMS, MotorMS float64 // standard deviations
	LeanMS           float64 // mean error, early negative
}

// Synchronise returns when a player strokes who follows the onsets, all in
// seconds: A' = (1-alpha) A + timekeeper error + motor' - motor.
func Synchronise(onsets []float64, ph Phase, rng *rand.Rand) []float64 {
	out := make([]float64, len(onsets))
	errMS, motor := 0.0, ph.MotorMS*rng.NormFloat64()
	for i := -settle; i < len(onsets); i++ {
		next := ph.MotorMS * rng.NormFloat64()
		errMS = (1-ph.Alpha)*errMS + ph.ClockMS*rng.NormFloat64() + next - motor
		motor = next
		if i >= 0 {
			out[i] = onsets[i] + (ph.LeanMS+errMS)/1000
		}
	}
	return out
}

// Continue returns n strokes of a player who goes on alone at one interval, in
// seconds: each interval is a timekeeper's plus the difference of two motor
// delays (Wing and Kristofferson 1973, Percept. Psychophys. 14, 5-12), all of
// them independent and normal. The intervals I have
//
//	Var(I) = clock^2 + 2 motor^2
//	Cov(I, next I) = -motor^2
//	lag-1 correlation = -1 / (2 + clock^2/motor^2)
func Continue(n int, interval, clockMS, motorMS float64, rng *rand.Rand) []float64 {
	out := make([]float64, n)
	clock := 0.0
	for i := range out {
		out[i] = clock + motorMS*rng.NormFloat64()/1000
		clock += interval + clockMS*rng.NormFloat64()/1000
	}
	return out
}
