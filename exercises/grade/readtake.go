package grade

import (
	"fmt"

	"stampmill/exercises/passage"
)

// take reads the object of a take.
func (r *reader) take() Take {
	var t Take
	r.object("", []field{
		{"stampmill", "write \"stampmill\": 1 to say that this is a take", func(path string) {
			r.whole(path, Version, Version, fmt.Sprintf("this program reads version %d", Version))
		}},
		{"exercise", "name the exercise that was played", func(path string) {
			t.Exercise = r.text(path, "name the exercise that was played")
		}},
		{"step", "give the number of the step, from 1", func(path string) {
			t.Step = r.whole(path, 1, MaxStep, "give the number of the step, from 1")
		}},
		{"tempo", "give the beats a minute that were played", func(path string) {
			t.Tempo = r.number(path, MinBPM, MaxBPM, "give the beats a minute that were played")
		}},
		{"passes", "give how often the bars were played", func(path string) {
			t.Passes = r.whole(path, 1, MaxPasses, "give how often the bars were played")
		}},
		{"part", "list the voices that were played, such as [\"kick\"]", func(path string) { t.Part = r.part(path) }},
		{"input", "name the input, such as \"keyboard\"", func(path string) {
			t.Input = r.text(path, "name the input, such as \"keyboard\"")
		}},
		{"latency_ms", "give the measured delay, or 0", func(path string) {
			t.LatencyMS = r.number(path, -MaxLatencyMS, MaxLatencyMS, "measure the delay again")
		}},
		{"bars", "", func(path string) { t.Bars = r.bars(path) }},
		{"stopped", "", func(path string) {
			t.Stopped = Some(r.number(path, -MaxSeconds, MaxSeconds, "give the seconds at which the player stopped"))
		}},
		{"taps", "list the taps; [] for none", func(path string) {
			r.list(path, MaxTaps, func(path string) { t.Taps = append(t.Taps, r.tap(path)) })
		}},
	})
	return t
}

// part reads the list of voices, each once.
func (r *reader) part(path string) []passage.Voice {
	var part []passage.Voice
	var seen VoiceSet
	r.list(path, len(passage.Voices()), func(path string) {
		at := r.begin()
		v := r.voice(path)
		if seen.Has(v) && v.Valid() {
			r.fault(at, path, fmt.Sprintf("%s stands twice", v), "leave one out")
		}
		seen |= SetOf(v)
		part = append(part, v)
	})
	return part
}

// bars reads the first and last bar.
func (r *reader) bars(path string) [2]int {
	var bars [2]int
	n := 0
	at := r.begin()
	before := len(r.faults)
	r.list(path, len(bars), func(path string) {
		bars[n] = r.whole(path, 1, passage.MaxBars, "give the first and the last bar, such as [2, 3]")
		n++
	})
	if len(r.faults) == before && (n != len(bars) || bars[1] < bars[0]) {
		r.fault(at, path, "this is not a first and a last bar", "write it like [2, 3], or leave it out for all")
	}
	return bars
}

// tap reads one tap.
func (r *reader) tap(path string) Tap {
	var t Tap
	at := r.begin()
	before := len(r.faults)
	r.object(path, []field{
		{"voice", "", func(path string) { t.Voice = r.voice(path) }},
		{"seconds", "give the seconds from the first written downbeat", func(path string) {
			t.Seconds = r.number(path, -MaxSeconds, MaxSeconds, "count seconds from the first written downbeat")
		}},
		{"strength", "", func(path string) {
			t.Strength = Some(r.number(path, 0, 1, "give 0 (soft) to 1 (hard), or leave it out"))
		}},
		{"release", "", func(path string) {
			t.Release = Some(r.number(path, -MaxSeconds, 2*MaxSeconds, "count seconds from the first written downbeat"))
		}},
	})
	if len(r.faults) == before && t.Release.OK && t.Release.Value < t.Seconds {
		r.fault(at, path+".release", "the release is before the tap", "count both from the first written downbeat")
	}
	return t
}
