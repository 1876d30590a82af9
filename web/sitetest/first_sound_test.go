//go:build !js

package sitetest

import (
	"testing"
	"time"

	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"

	"stampmill/exercises"
	"stampmill/synth"
)

// firstStart notes when Space was pressed and when the first sound was handed to
// the device after it, in ms of the clock of events.
const firstStart = `
window.first = { press: 0, start: 0 };
addEventListener("keydown", e => { if (e.code === "Space") first.press ||= e.timeStamp }, true);
{ const start = AudioBufferSourceNode.prototype.start;
  AudioBufferSourceNode.prototype.start = function (...a) { if (first.press) first.start ||= performance.now(); return start.apply(this, a) };
}
`

// dearest returns the step of the library whose first pass needs the most sound
// made, and how long a native core takes to make it, in ms.
func dearest(t testing.TB) (climb string, step int, native float64) {
	t.Helper()
	most := 0
	for _, e := range exercises.Library() {
		for i, s := range e.Climb.Steps {
			seq, err := synth.NewSequence(synth.Plan{Passage: s.Passage, Rate: 48000, CountIn: 1, Click: synth.ClickBeats})
			if err != nil {
				t.Fatal(err)
			}
			bank, err := synth.NewBank(48000, 1)
			if err != nil {
				t.Fatal(err)
			}
			begun := time.Now()
			bank.Make(seq.FirstKeys()...)
			if took := time.Since(begun); bank.Bytes() > most {
				climb, step, most, native = e.Name, i+1, bank.Bytes(), float64(took.Microseconds())/1000
			}
		}
	}
	return climb, step, native
}

// How long the step of the library that needs the most sound takes until it
// plays in the real page: pressed as soon as the page is there (page, from the
// start of the page), and pressed right after it was chosen while another was
// at hand (press): by the clock, and as work of the page's thread, whatever else
// the machine does. Beside them the longest task over 50 ms from when the page is
// there until all sounds are made, and how long a native core takes for those of the first pass. On a
// laptop at most 1500 ms are wanted.
func BenchmarkFirstSound(b *testing.B) {
	climb, step, native := dearest(b)
	host := serve(b, "/")
	at := func(climb string) *tab {
		tab := newTab(b)
		tab.onEveryPage(firstStart + longTasks)
		tab.stored("settings", map[string]any{"v": 1, "climb": climb, "step": step, "passes": 2, "countin": 1, "heard": true})
		tab.size(1280, 800)
		if _, err := chromedp.Call(tab.ctx, performance.Enable, performance.EnableParams{TimeDomain: "threadTicks"}); err != nil {
			b.Fatal(err)
		}
		tab.goTo(host.at("practise/"))
		eval[bool](tab, `(work.long.length = 0, true)`)
		return tab
	}
	var page, press, pageWork, pressWork, longest float64
	for range b.N {
		tab := at(climb)
		_, started, work := playsAfterSpace(tab)
		page, pageWork = page+started, pageWork+work
		longest = max(longest, eval[float64](tab, `Math.max(0, ...work.long)`))

		tab = at("headframe")
		tab.waitFor(`performance.now() - work.since > 3000`, "a pause")
		before, _ := tab.spent()
		eval[bool](tab, `(() => { work.long.length = 0; const e = document.querySelector("select[data-act=climb]"); e.value = `+quote(climb)+`; e.dispatchEvent(new Event("change", { bubbles: true })); return true })()`)
		pressed, started, work := playsAfterSpace(tab)
		press, pressWork = press+started-pressed, pressWork+work-before
		longest = max(longest, eval[float64](tab, `Math.max(0, ...work.long)`))
	}
	n := float64(b.N)
	b.ReportMetric(page/n, "ms-page")
	b.ReportMetric(pageWork/n, "ms-page-work")
	b.ReportMetric(press/n, "ms-press")
	b.ReportMetric(pressWork/n, "ms-press-work")
	b.ReportMetric(longest, "ms-longest-task") // 0: none over 50
	b.ReportMetric(native, "ms-native")
	b.ReportMetric(0, "ns/op")
}

// playsAfterSpace presses Space and returns when, when the first sound was
// handed to the device, and how much the page's thread had worked by then; it
// waits for some seconds of the take.
func playsAfterSpace(p *tab) (pressed, started, work float64) {
	p.t.Helper()
	p.press(key{Code: "Space"})
	p.waitFor(`first.start`, "the first sound")
	work, _ = p.spent()
	p.waitFor(`performance.now() - first.start > 3000`, "some seconds of sound")
	times := eval[[]float64](p, `[first.press, first.start]`)
	return times[0], times[1], work
}
