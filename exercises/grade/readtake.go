package grade

import (
	"fmt"

	"stampmill/exercises/passage"
)

// take reads the object of a take.
func (r *reader) take() Take {
	var t Take
	r.object([]field{
		{"stampmill", "write \"stampmill\": 1 to say that this is a take", func() {
			r.whole(Version, Version, fmt.Sprintf("update the program, which reads version %d", Version))
		}},
		{"exercise", "name the exercise that was played", func() {
			t.Exercise = r.text("name the exercise that was played")
		}},
		{"step", "give the number of the step, from 1", func() {
			t.Step = r.whole(1, MaxStep, "give the number of the step, from 1")
		}},
		{"tempo", "give the beats a minute that were played", func() {
			t.Tempo = r.number(MinBPM, MaxBPM, "give the beats a minute that were played")
		}},
		{"passes", "give how often the bars were played", func() {
			t.Passes = r.whole(1, MaxPasses, "give how often the bars were played")
		}},
		{"part", "list the voices that were played, such as [\"kick\"]", func() { t.Part = r.part() }},
		{"input", "name the input, such as \"keyboard\"", func() {
			t.Input = r.text("name the input, such as \"keyboard\"")
		}},
		{"latency_ms", "give the measured delay, or 0", func() {
			t.LatencyMS = r.number(-MaxLatencyMS, MaxLatencyMS, "measure the delay again")
		}},
		{"bars", "", func() { t.Bars = r.bars() }},
		{"stopped", "", func() {
			t.Stopped = Some(r.number(-MaxSeconds, MaxSeconds, "give the seconds at which the player stopped"))
		}},
		{"taps", "list the taps; [] for none", func() { t.Taps = r.taps() }},
	})
	return t
}

// part reads the list of voices, each once.
func (r *reader) part() []passage.Voice {
	var part []passage.Voice
	var seen VoiceSet
	r.list(len(passage.Voices()), func() {
		at := r.begin()
		v := r.voice()
		if seen.Has(v) && v.Valid() {
			r.fault(at, fmt.Sprintf("%s stands twice", v), "leave one out")
		}
		seen |= SetOf(v)
		part = append(part, v)
	})
	return part
}

// bars reads the first and last bar.
func (r *reader) bars() [2]int {
	var bars [2]int
	n := 0
	at := r.begin()
	before := len(r.faults)
	r.list(len(bars), func() {
		bars[n] = r.whole(1, passage.MaxBars, "give the first and the last bar, such as [2, 3]")
		n++
	})
	if len(r.faults) == before && (n != len(bars) || bars[1] < bars[0]) {
		r.fault(at, "this is not a first and a last bar", "write it like [2, 3], or leave it out for all")
	}
	return bars
}

// taps reads the list of taps.
func (r *reader) taps() []Tap {
	var all []Tap
	var tap Tap // the one being read
	fields := []field{
		{"voice", "", func() { tap.Voice = r.voice() }},
		{"seconds", "give the seconds from the first written downbeat", func() {
			tap.Seconds = r.number(-MaxSeconds, MaxSeconds, "count seconds from the first written downbeat")
		}},
		{"strength", "", func() { tap.Strength = Some(r.number(0, 1, "give 0 (soft) to 1 (hard), or leave it out")) }},
		{"release", "", func() {
			tap.Release = Some(r.number(-MaxSeconds, 2*MaxSeconds, "count seconds from the first written downbeat"))
		}},
	}
	r.list(MaxTaps, func() {
		at, before := r.begin(), len(r.faults)
		tap = Tap{}
		r.object(fields)
		if len(r.faults) == before && tap.Release.OK && tap.Release.Value < tap.Seconds {
			r.faultOf("release", at, "the release is before the tap", "count both from the first written downbeat")
		}
		all = append(all, tap)
	})
	return all
}

// voice reads the name of a voice.
func (r *reader) voice() passage.Voice {
	at := r.begin()
	before := len(r.faults)
	name := r.text("write the name of a voice, such as \"kick\"")
	v, ok := passage.VoiceNamed(name)
	if !ok && len(r.faults) == before {
		r.fault(at, fmt.Sprintf("no voice is named %q", clip(name)), "use one of "+names(passage.Voices()))
	}
	return v
}
