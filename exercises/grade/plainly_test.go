package grade

import (
	"testing"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// TestOneStrokeIsSaidAsOne: what comes to one stroke more or less is said so,
// though "half-time", "fill" or "group" would come to the same.
func TestOneStrokeIsSaidAsOne(t *testing.T) {
	for _, tt := range []struct {
		play       func(at meter.Rat) []meter.Rat // a stroke, and what is put after it
		want, said string
	}{
		{func(at meter.Rat) []meter.Rat {
			if at == meter.Int(4) {
				return []meter.Rat{at, meter.Int(5)}
			}
			return []meter.Rat{at}
		}, "add kick at 2.2", "You added a stroke to the kick on beat 2 of bar 2."},
		{func(at meter.Rat) []meter.Rat {
			if at == meter.Int(6) {
				return nil
			}
			return []meter.Rat{at}
		}, "drop kick at 2.3", "You left out the kick stroke on beat 3 of bar 2."},
	} {
		p := step(t, "title: X\ntempo: 120\nmetre: 4/4\n\nstep: One\nsays: x\nkick | x. xx x. xx | x. .. x. xx |\n")
		take := Take{Exercise: "x", Step: 1, Tempo: 120, Passes: 4, Part: []passage.Voice{passage.Kick}, LatencyMS: 20}
		l, _ := p.Line(passage.Kick)
		for pass := range 4 {
			for i, s := range l.Strokes {
				if !s.Sounds() {
					continue
				}
				for _, at := range tt.play(s.At) {
					wobble := float64((i*7+pass*5)%11-5) / 1000
					take.Taps = append(take.Taps, Tap{Voice: passage.Kick, Seconds: at.Float()/2 + 4*float64(pass) + .020 + wobble})
				}
			}
		}
		v, err := Grade(p, take, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if v.Misreading == nil || v.Misreading.Change != tt.want || v.Misreading.Sentence != tt.said {
			t.Errorf("%+v, want %s: %s", v.Misreading, tt.want, tt.said)
		}
	}
}
