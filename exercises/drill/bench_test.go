package drill

import (
	"fmt"
	"strings"
	"testing"

	"stampmill/exercises/passage"
)

// full is a climb of one step with the given number of bars, in all voices,
// written in sixteenths.
func full(bars int) []byte {
	var b strings.Builder
	b.WriteString("title: Full\ntempo: 120\nmetre: 4/4\n\nstep: All\n")
	for _, v := range passage.Voices() {
		fmt.Fprintf(&b, "%s |%s\n", v, strings.Repeat(" xx.x x..x .X.x x-x. |", bars))
	}
	return []byte(b.String())
}

func BenchmarkParse(b *testing.B) {
	for _, bars := range []int{16, 32, 64} {
		b.Run(fmt.Sprintf("bars=%d", bars), func(b *testing.B) {
			text := full(bars)
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				if _, ps := Parse("full.drill", text, nil); len(ps) > 0 {
					b.Fatal(ps)
				}
			}
		})
	}
}

func BenchmarkPrint(b *testing.B) {
	for _, bars := range []int{16, 32, 64} {
		b.Run(fmt.Sprintf("bars=%d", bars), func(b *testing.B) {
			climb, ps := Parse("full.drill", full(bars), nil)
			if len(ps) > 0 {
				b.Fatal(ps)
			}
			for b.Loop() {
				if _, err := Print(climb); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// hostile are files of the largest size made to be slow.
func hostile() map[string][]byte {
	const head = "title: H\ntempo: 120\nmetre: 4/4\nstep: S\n"
	fill := func(head, unit string) []byte {
		return []byte(head + strings.Repeat(unit, (MaxFile-len(head))/len(unit)))
	}
	return map[string][]byte{
		"brackets":    fill(head+"kick |", "["),
		"closed":      fill(head+"kick |", "]"),
		"repeats":     fill(head+"kick | x x x x |", "%|"),
		"bars":        fill(head+"kick |", "|"),
		"letters":     fill(head+"kick | ", "q"),
		"wide":        fill(head+"kick | ", "é"),
		"words":       fill(head+"kick | ", "q "),
		"cells":       fill(head+"kick | ", "x"),
		"details":     fill(head+"guitar | ", "x(99)"),
		"open":        fill(head+"guitar | ", "x( "),
		"span":        fill(head+"kick | ", "9"),
		"spans":       fill(head+"kick | ", "9:x "),
		"lines":       fill(head, "kick|x|\n"),
		"keys":        fill(head, "titel: x\n"),
		"voices":      fill(head, "snrae | x |\n"),
		"long name":   fill(head, "s"),
		"steps":       fill(head, "step:a\n"),
		"changes":     fill(head, "do:a\n"),
		"from":        fill(head, "step:a\nfrom:b\n"),
		"comments":    fill(head, "#\n"),
		"empty lines": fill(head, "\n"),
		"controls":    fill(head, "\x00\n"),
		"bytes":       fill(head, "\xff"),
		"metre":       fill("title: H\ntempo: 120\nmetre: 4/4 (", "1+"),
		"metres":      fill("title: H\ntempo: 120\nmetre: 4/4", "|4/4"),
		"tempo":       fill("title: H\nmetre: 4/4\ntempo: ", "9"),
		"tuning":      fill(head[:9]+"tuning: ", "A"),
		"deep cells":  fill(head, "step: S\nkick | x[x[x[x[xx]x]x]x]x . . . | % | % |\n"),
		"dense":       fill(head, "step: S\nkick |"+strings.Repeat(" "+strings.Repeat(strings.Repeat("x", 32)+" ", 4)+"|", 30)+"\n"),
	}
}

func BenchmarkHostile(b *testing.B) {
	for name, text := range hostile() {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				Parse("hostile.drill", text, nil)
			}
		})
	}
}

// TestHostile holds that files made to be slow are refused with their reasons
// and places like any other.
func TestHostile(t *testing.T) {
	for name, text := range hostile() {
		t.Run(name, func(t *testing.T) {
			_, ps := Parse("hostile.drill", text, nil)
			if len(ps) == 0 {
				t.Fatal("no problems")
			}
			checkPlaces(t, text, ps)
			for _, p := range ps {
				if len(p.What) > 300 {
					t.Errorf("a problem of %d bytes: %.80s...", len(p.What), p.What)
				}
			}
		})
	}
}
