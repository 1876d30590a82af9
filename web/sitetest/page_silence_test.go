//go:build !js

package sitetest

import "testing"

// With one bar heard and one silent, nothing starts in the second bar of a
// take, click included, and the page says so; the take goes on.
func TestSilentBarsAreSilent(t *testing.T) {
	host := serve(t, "/")
	tab := listener(t)
	tab.stored("settings", map[string]any{
		"v": 1, "climb": "headframe", "step": 1, "part": "kick", "passes": 2, "countin": 1, "heard": true,
		"click": "offbeats", "silence": "1+1",
	})
	tab.goTo(host.at("practise/"))
	choose(tab, "tempo", "240")
	tab.press(key{Code: "Space"})
	tab.waitFor(`document.querySelector(".page.taking .place")?.innerText.includes("Silent: play on")`, "a silent bar")
	tab.waitFor(`document.querySelector(".page:not(.taking)")`, "the end of the take")
	first := eval[float64](tab, `Math.min(...heard.starts)`)
	bars := map[int]int{} // starts in each bar of a second, the count-in first
	for _, at := range eval[[]float64](tab, `heard.starts`) {
		bars[int(at-first+.01)]++
	}
	if bars[0] != 4 || bars[1] == 0 || bars[2] != 0 || bars[3] == 0 || bars[4] != 0 {
		t.Errorf("starts in the count-in and the bars: %v; want some in bars 1 and 3 only", bars)
	}
}
