package change

import (
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stampmill/exercises/drill"
)

// seeds are texts of changes, good and bad.
var seeds = []string{
	"", "half-time", "half-time china", "HALF-TIME  China at 2", "retime guitar kick as 3 at 2.4", "retime kick at 2.4+1/8 as 64",
	"group kick in 3 3 2 of 1/12 at 1-2 3.1-3.2 filled", "displace china by -1/16", "displace china by 1/0", "displace china by 999999/1",
	"cut bar 2 to 7/8 (2+2+3)", "tempo by 3/2 at 3-4", "tempo by 0", "squeeze kick at 1 by 16", "at at at", "group kick in 0", "add kick at 1",
	"add kick at 1.1+", "even kick at 2-1", "even kick at 1.1-2", "even kick at 1.1-1.2+1/8", "noise guitar at 1.1 as hum", "filled", "half-time all all",
	"half-time kick kick", "rotate kick by 1/8 by 1/8", "thin kick to 1/999999", "drop kick at 99999999999999999999.1", "lock kick to", "lock kick to kick guitar",
}

// Whatever the text, Parse either refuses with what to do, or gives a change
// whose text reads back as the same change.
func FuzzParse(f *testing.F) {
	for _, e := range entries() {
		f.Add(e.Example)
	}
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, err := Parse(text)
		if err != nil {
			if !strings.Contains(err.Error(), "; ") || strings.ContainsAny(err.Error(), "\n") {
				t.Fatalf("%q is refused without what to do: %q", text, err)
			}
			return
		}
		printed := c.String()
		again, err := Parse(printed)
		if err != nil || !reflect.DeepEqual(again, c) || again.String() != printed {
			t.Fatalf("%q is %q, which reads back as %+v, %v; want %+v", text, printed, again.Args, err, c.Args)
		}
	})
}

// Any changes one after the other, one a line, on any passage, the voice lines
// of a step in a metre, are made within the limits or refused, and nothing
// panics.
func FuzzSequence(f *testing.F) {
	var all []string
	for _, e := range entries() {
		all = append(all, e.Example)
	}
	f.Add("4/4", "china | x x x x | x x x x |\nsnare | . . X . | . . X . |\nkick | x.x. .x . ..x. | x.x. .x . xxx |\nguitar | x.x. .x . ..x. | o--- x x b(3) |", strings.Join(all, "\n"))
	f.Add("7/8 (2+2+3)", "kick | x . x.x | x x[xx] .xx |\nguitar | o - - | x . x |", "rotate kick by 1/7\ndotted guitar\neven kick\nreverse kick guitar")
	f.Add("6/8", "kick | xxxx x.x |\nhat | o ! |", "group kick in 5 5 6 of 1/24 filled\ndisplace hat by 1/249999\nstretch kick at 1 by 16")
	f.Fuzz(func(t *testing.T, metre, lines, changes string) {
		if len(lines) > 2000 || strings.Count(changes, "\n") > 40 {
			t.Skip("longer than what finds more")
		}
		src := "title: T\ntempo: 100\nmetre: " + metre + "\nstep: S\n" + lines
		climb, problems := drill.Parse("fuzz.drill", []byte(src), nil)
		if len(problems) > 0 {
			t.Skip("no passage: ", problems)
		}
		p := climb.Steps[0].Passage
		for text := range strings.SplitSeq(changes, "\n") {
			c, err := Parse(text)
			if err != nil {
				continue
			}
			(&tally{}).contract(t, c, p)
			p, _ = c.Apply(p)
		}
	})
}

// So are changes drawn to fit, each made on what the one before left.
func TestSequences(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := bands().Draw(t, "passage")
		for range 4 {
			entry, _ := Named(rapid.SampledFrom(names()).Draw(t, "entry"))
			c := Change{entry, arguments(entry, p).Draw(t, "arguments")}
			(&tally{}).contract(t, c, p)
			p, _ = c.Apply(p)
		}
	})
}
