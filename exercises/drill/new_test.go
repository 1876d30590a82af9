package drill

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/meter"
)

func ExampleNew() {
	text, err := New("Sluice", meter.CommonTime, meter.Tempo{BPM: meter.Int(96)})
	fmt.Print(string(text), err)
	// Output:
	// title: Sluice
	// tempo: 96
	// metre: 4/4
	// tuning: A1
	//
	// step: The floor
	// says: The snare takes beat 3; kick and guitar strike together on the others, and the china counts along.
	// china  | x  x  x  x  | x  x  x  x  |
	// snare  | .  .  X  .  | .  .  X  .  |
	// kick   | x. x. .. x. | x. x. .. x. |
	// guitar | x. x. .. x. | x. x. .. x. |
	// <nil>
}

// A new exercise is whole in every metre: its first bar as written.
func TestNew(t *testing.T) {
	for metre, want := range map[string]string{
		"3/4":         "china  | x  x  x  | snare  | .  X  .  | kick   | x. .. x. | guitar | x. .. x. |",
		"6/8":         "china  | x   x   | snare  | .   X   | kick   | x.. ... | guitar | x.. ... |",
		"7/8 (2+2+3)": "china  | x  x  x   | snare  | .  X  .   | kick   | x. .. x.. | guitar | x. .. x.. |",
		"1/4":         "china  | x  | snare  | .  | kick   | x. | guitar | x. |",
	} {
		m, err := meter.ParseMetre(metre)
		if err != nil {
			t.Fatal(err)
		}
		text, err := New("T", m, meter.Tempo{BPM: meter.Int(96)})
		if err != nil {
			t.Fatal(err)
		}
		read(t, text)
		var got []string
		for _, line := range strings.Split(string(text), "\n")[7:11] { // the voices
			cut := strings.Index(line, "|")
			got = append(got, line[:cut+1+strings.Index(line[cut+1:], "|")+1])
		}
		if diff := cmp.Diff(want, strings.Join(got, " ")); diff != "" {
			t.Errorf("%s (-want +got):\n%s", metre, diff)
		}
	}
	for _, c := range []struct {
		title string
		metre meter.Metre
		bpm   int64
	}{{"", meter.CommonTime, 96}, {"a # b", meter.CommonTime, 96}, {"T", meter.Metre{}, 96}, {"T", meter.CommonTime, 9}} {
		if text, err := New(c.title, c.metre, meter.Tempo{BPM: meter.Int(c.bpm)}); err == nil {
			t.Errorf("%+v is written:\n%s", c, text)
		}
	}
}
