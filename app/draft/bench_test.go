package draft

import (
	"strings"
	"testing"

	"stampmill/exercises/change"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// largest is a step as large as can be: every voice in 64 bars.
func largest() string {
	var b strings.Builder
	b.WriteString("title: Adit\ntempo: 120\nmetre: 4/4\n\nstep: Timber\n")
	for _, v := range passage.Voices() {
		b.WriteString(v.String() + " |" + strings.Repeat(" x.x. .xx. x..x .x.x |", passage.MaxBars) + "\n")
	}
	return b.String()
}

// BenchmarkKeyInText types and deletes a sign in a line of the largest step.
func BenchmarkKeyInText(b *testing.B) { benchmarkKey(b, largest()) }

// BenchmarkKeyUnderMade does so where another step is made from that one.
func BenchmarkKeyUnderMade(b *testing.B) {
	benchmarkKey(b, largest()+"\nstep: Lagging\ndo: half-time china\n")
}

func benchmarkKey(b *testing.B, text string) {
	other := strings.Replace(text, "x.x. .xx. x..x .x.x", "x.x. .xx. x..x .x..", 1)
	d := New("adit", text, change.Catalogue())
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		d = d.SetText([]string{other, text}[i%2], Caret{7, 30}, pause)
	}
}

// BenchmarkKeyOnStrip types a sign into a cell of the largest step.
func BenchmarkKeyOnStrip(b *testing.B) {
	d := New("adit", largest(), change.Catalogue()).GoTo(0).Put(passage.Guitar, meter.Int(5), false)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		var err error
		if d, err = d.Put(passage.Guitar, meter.Int(5), false).Type(rune("xX"[i%2])); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkMove moves the cursor through the largest step.
func BenchmarkMove(b *testing.B) {
	d := New("adit", largest(), change.Catalogue()).GoTo(0)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		d = d.Move([]Direction{Right, Down, Left, Up, BarRight}[i%5], i%2 == 0)
	}
}
