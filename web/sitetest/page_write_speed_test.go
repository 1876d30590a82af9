//go:build !js

package sitetest

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"

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

// longTasks notes the tasks that keep the page from answering for over 50 ms.
const longTasks = `
window.work = { long: [], since: performance.now(), answers: [] };
{ const c = new MessageChannel(); // a message comes when the task of the event is over
  let from = 0;
  c.port1.onmessage = () => work.answers.push(performance.now() - from);
  addEventListener("keydown", () => { from = performance.now(); c.port2.postMessage(0) }, true);
}
new PerformanceObserver(all => { for (const e of all.getEntries()) { work.long.push(e.duration); work.since = performance.now() } }).observe({ type: "longtask" });
`

// large is a tab with the largest exercise in hand, where nothing runs any more.
func large(t testing.TB) *tab {
	t.Helper()
	tab := listener(t)
	tab.onEveryPage(longTasks)
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
	p.waitFor(`performance.now() - work.since > 1500 && !document.querySelector(".change-list").innerText.includes("Trying")`, "a pause")
}

// spent returns for how many ms the page's one thread has worked so far, all in
// all and on scripts, whatever else the machine did meanwhile.
func (p *tab) spent() (task, script float64) {
	p.t.Helper()
	got, err := chromedp.Call(p.ctx, performance.GetMetrics, cdp.Empty{})
	if err != nil {
		p.t.Fatal(err)
	}
	for _, m := range got.Metrics {
		switch m.Name {
		case "TaskDuration":
			task = m.Value * 1000
		case "ScriptDuration":
			script = m.Value * 1000
		}
	}
	return task, script
}

// keyPresses presses keys one after the other as a quick writer does, and
// returns the work after each, in ms: of the program and of the browser's
// layout and painting together, and of the program alone.
func (p *tab) keyPresses(n int, codes ...string) (task, script []float64) {
	p.t.Helper()
	if _, err := chromedp.Call(p.ctx, performance.Enable, performance.EnableParams{TimeDomain: "threadTicks"}); err != nil {
		p.t.Fatal(err)
	}
	for i := range n {
		t0, s0 := p.spent()
		p.press(key{Code: codes[i%len(codes)]})
		time.Sleep(typing)
		t1, s1 := p.spent()
		task, script = append(task, t1-t0), append(script, s1-s0)
	}
	slices.Sort(task)
	slices.Sort(script)
	return task, script
}

// typing is the time from key to key of a quick writer: our choice, some twelve a
// second, so that what waits for a pause of writing does not come between.
const typing = 60 * time.Millisecond

// intoText puts the caret into the middle of the kick's line.
func (p *tab) intoText() {
	p.t.Helper()
	focusOn(p, "#text")
	eval[bool](p, `(() => { const t = document.getElementById("text"), at = t.value.indexOf("kick |") + 700; t.setSelectionRange(at, at); return true })()`)
}

// What a key press costs on the real page, in the largest exercise: after how
// many ms the page answers again (by the clock, ms-answer), and for how many ms
// it works in all until the strip has followed, layout and painting included;
// and the longest task that held the page up while keys were pressed and in the
// pause after them.
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
			eval[bool](tab, `(work.long.length = 0, true)`)
			b.ResetTimer()
			task, script := tab.keyPresses(max(b.N, 60), c.codes...)
			b.ReportMetric(task[len(task)/2], "ms-median")
			b.ReportMetric(task[len(task)*95/100], "ms-p95")
			b.ReportMetric(script[len(script)/2], "ms-program")
			answers := eval[[]float64](tab, `work.answers.sort((a, b) => a - b)`)
			b.ReportMetric(answers[len(answers)/2], "ms-answer")
			b.ReportMetric(answers[len(answers)*95/100], "ms-answer-p95")
			tab.settled() // what waits for a pause is work, too
			longest := eval[float64](tab, `Math.max(0, ...work.long)`)
			b.ReportMetric(longest, "ms-longest-task") // 0: none over 50
			b.ReportMetric(0, "ns/op")
		})
	}
}
