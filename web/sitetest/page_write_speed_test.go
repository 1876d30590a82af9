//go:build !js

package sitetest

import (
	"slices"
	"strings"
	"testing"
	"time"

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

// busy notes for how long the page is busy after each key press: a message to
// itself goes round as long as nothing else runs, and what holds it up by more
// than half a millisecond is work, be it of the program or of the browser's
// layout and painting. Frames are not waited for. Long tasks are noted, too.
const busy = `
window.work = { keys: [], last: 0, open: null, long: [] };
addEventListener("keydown", () => { work.open = { from: performance.now(), busy: 0, handler: 0 }; work.keys.push(work.open); }, true);
addEventListener("keyup", () => { if (work.open && !work.open.handler) work.open.handler = performance.now() - work.open.from; }, true);
{ const c = new MessageChannel();
  c.port1.onmessage = () => {
    const now = performance.now(), gap = now - work.last;
    if (work.open && now - work.open.from < 100 && gap > 0.5) work.open.busy += Math.min(gap, now - work.open.from);
    work.last = now;
    if (work.on) c.port2.postMessage(0);
  };
  work.run = on => { work.on = on; work.last = performance.now(); c.port2.postMessage(0); };
}
new PerformanceObserver(all => { for (const e of all.getEntries()) work.long.push([e.startTime, e.duration]); }).observe({ type: "longtask" });
`

// large is a tab with the largest exercise in hand, where nothing runs any more.
func large(t testing.TB) *tab {
	t.Helper()
	tab := listener(t)
	tab.onEveryPage(busy)
	tab.onShelf("0000000000000001", adit())
	tab.size(1280, 800)
	tab.goTo(serve(t, "/").at("write/"))
	tab.waitFor(inField(adit()), "the text")
	tab.settled()
	return tab
}

// settled waits until the list of changes and the measures are there.
func (p *tab) settled() {
	p.t.Helper()
	p.waitFor(`document.querySelector(".measures")?.innerText.includes("Syncopation")`, "the measures")
	p.waitFor(`(() => { const n = work.long.length, now = performance.now(); if (work.n !== n) { work.n = n; work.since = now } return now - work.since > 1500 })()`, "a pause")
}

// keyPresses presses keys one after the other as a quick writer does, and
// returns for how many ms the page was busy after each.
func (p *tab) keyPresses(n int, codes ...string) []float64 {
	p.t.Helper()
	eval[bool](p, `(work.keys.length = 0, work.run(true), true)`)
	next := time.NewTicker(140 * time.Millisecond)
	defer next.Stop()
	for i := range n {
		<-next.C
		p.press(key{Code: codes[i%len(codes)]})
	}
	<-next.C
	return eval[[]float64](p, `(work.run(false), work.keys.map(k => k.busy))`)
}

// intoText puts the caret into the middle of the kick's line.
func (p *tab) intoText() {
	p.t.Helper()
	focusOn(p, "#text")
	eval[bool](p, `(() => { const t = document.getElementById("text"), at = t.value.indexOf("kick |") + 700; t.setSelectionRange(at, at); return true })()`)
}

// What a key press costs on the real page, in the largest exercise: for how
// many ms the page is busy with it, layout and painting included.
func BenchmarkKeyPress(b *testing.B) {
	for _, c := range []struct {
		name  string
		place func(*tab)
		codes []string
	}{
		{"text", (*tab).intoText, []string{"KeyX", "Backspace"}},
		{"strip", func(p *tab) { focusOn(p, "#write-strip") }, []string{"KeyX", "KeyG", "Period"}},
		{"move", func(p *tab) { focusOn(p, "#write-strip") }, []string{"ArrowRight", "ArrowDown"}},
	} {
		b.Run(c.name, func(b *testing.B) {
			tab := large(b)
			c.place(tab)
			b.ResetTimer()
			ms := tab.keyPresses(max(b.N, 60), c.codes...)
			slices.Sort(ms)
			b.ReportMetric(ms[len(ms)/2], "ms-median")
			b.ReportMetric(ms[len(ms)*95/100], "ms-p95")
			b.ReportMetric(0, "ns/op")
		})
	}
}
