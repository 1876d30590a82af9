package synth_test

import (
	"fmt"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// A bar of quarter notes at 120 BPM becomes commands for a player, and then
// sound. Frame 0 is the start of the count-in.
func Example() {
	var kick passage.Line
	kick.Voice = passage.Kick
	for beat := range int64(4) {
		kick.Strokes = append(kick.Strokes, passage.Stroke{At: meter.Int(beat), Length: meter.R(1, 4), Kind: passage.Hit})
	}
	plan := synth.Plan{
		Passage: passage.Passage{
			Bars:  []passage.Bar{{Metre: meter.CommonTime, Tempo: meter.Tempo{BPM: meter.Int(120)}}},
			Lines: []passage.Line{kick},
		},
		Rate: 48000, CountIn: 1, Passes: 1, Dry: true,
	}
	seq, err := synth.NewSequence(plan)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range seq.Next(nil, 3*48000) {
		if !c.Stop {
			fmt.Println(c.Frame, c.Key.Voice, c.Key.Kind)
		}
	}
	bank, _ := synth.NewBank(48000, 1)
	pcm, err := synth.Render(plan, bank, synth.AsMixed)
	fmt.Println(len(pcm)/2 > 4*48000, err)
	// Output:
	// 0 click accent
	// 24000 click hit
	// 48000 click hit
	// 72000 click hit
	// 96000 kick hit
	// 120000 kick hit
	// true <nil>
}
