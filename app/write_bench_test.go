package app

import (
	"strings"
	"testing"

	goapp "github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/exercises/passage"
)

// adit is an exercise as large as can be: every voice in 64 bars.
func adit() string {
	var b strings.Builder
	b.WriteString("title: Adit\ntempo: 120\nmetre: 4/4\nmachine: yes\n\nstep: Timber\n")
	for _, v := range passage.Voices() {
		b.WriteString(v.String() + " |" + strings.Repeat(" x.x. .xx. x..x .x.x |", passage.MaxBars) + "\n")
	}
	return b.String()
}

// BenchmarkKeyOnWrite is what a key press costs in the largest exercise, from
// the port to the new page, without the browser.
func BenchmarkKeyOnWrite(b *testing.B) {
	text := adit()
	at := strings.Index(text, "kick |") + 700
	other := text[:at] + "x" + text[at:]
	for _, c := range []struct {
		name  string
		press func(st stage, i int)
	}{
		{"text", func(st stage, i int) {
			st.desk.Type(textField, []string{other, text}[i%2], at+1-i%2, at+1-i%2)
		}},
		{"strip", func(st stage, i int) {
			st.desk.Press(Press{Code: "KeyX", Label: []string{"x", "g", "."}[i%3], On: "strip", Down: true})
		}},
		{"move", func(st stage, i int) {
			st.desk.Press(Press{Code: []string{"ArrowRight", "ArrowDown"}[i%2], Label: "Arrow", On: "strip", Down: true})
		}},
	} {
		b.Run(c.name, func(b *testing.B) {
			st := newStage(map[string]string{})
			st.Dispatch(Went{writePath})
			st.Dispatch(Arrived{Name: "adit", Text: text})
			st.clock.Run(60_000)
			b.ReportAllocs()
			b.ResetTimer()
			for i := range b.N {
				c.press(st, i)
				_ = goapp.HTMLString(view(st.state, st.picture))
			}
		})
	}
}
