package draft

import (
	"strings"
	"testing"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// arranged is a line as somebody arranged it by hand; bar two repeats bar one.
const arranged = "title: Adit\ntempo: 96\nmetre: 4/4\nstep: Timber\n\tKick |x.x.   .x . ..x.|%|  x . x[xx] . | # mind beat three\nguitar | x . o(3)--- . | . . . b(5) | x - - . |\n"

func TestSignsKeepTheArrangement(t *testing.T) {
	for _, c := range []struct {
		name     string
		voice    passage.Voice
		at       meter.Rat
		sign     rune
		from, to string
	}{
		{"in a bar of its own", passage.Kick, meter.Int(8), 'f', "|  x .", "|  f ."},
		{"in a bracket", passage.Kick, meter.R(43, 4), 'g', "x[xx]", "x[xg]"},
		{"a letter, and its details stay", passage.Guitar, meter.Int(2), 't', "o(3)---", "t(3)---"},
		{"the end of a hold", passage.Guitar, meter.R(11, 4), '.', "o(3)---", "o(3)--."},
		{"a hold over a beat", passage.Guitar, meter.Int(10), '-', "x - - .", "x - - ."},
		{"the beginning of a hold", passage.Guitar, meter.Int(8), '.', "x - - .", ". . . ."},
	} {
		d, err := New("adit", arranged, nil).Put(c.voice, c.at, false).Type(c.sign)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if want := strings.Replace(arranged, c.from, c.to, 1); d.Text() != want {
			t.Errorf("%s: %s", c.name, diff(d.Text(), want))
		}
	}
}

// What does not fit the cells as they are written is written anew, and sounds
// as it should: a bar that was repeated stays what it was.
func TestSignsThatNeedOtherCells(t *testing.T) {
	for _, c := range []struct {
		name string
		at   meter.Rat
		sign rune
		want string
	}{
		{"in a bar that is repeated", meter.R(1, 4), 'x', "| xxx. .x .       ..x. | x.x. .x . ..x. |"},
		{"in the repeat", meter.Int(4), 'X', "| x.x. .x .       ..x. | X.x. .x . ..x. |"},
	} {
		d, err := New("adit", arranged, nil).Put(passage.Kick, c.at, false).Type(c.sign)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
		} else if !strings.Contains(d.Text(), c.want) || !strings.Contains(d.Text(), "# mind beat three") {
			t.Errorf("%s: %s\nwant %s", c.name, d.Text(), c.want)
		}
	}
}
