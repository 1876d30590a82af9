//go:build !js

package sitetest

import "testing"

// outside lists what of a take does not lie whole in the window: the areas and
// Stop, and the player's row of the strip.
const outside = `[...document.querySelectorAll(".area, #go, .strip .sm-you")].filter(e => {
  const b = e.getBoundingClientRect();
  return b.width === 0 || b.left < 0 || b.top < 0 || b.right > innerWidth || b.bottom > innerHeight;
}).map(e => (e.id || e.textContent) + " " + JSON.stringify(e.getBoundingClientRect()))`

// In every window that has fingers, all areas, Stop and the player's row can be
// seen and reached, and every area is a hit.
func TestAreasAreInReach(t *testing.T) {
	for _, window := range []struct {
		name          string
		width, height int64
	}{
		{"phone", 390, 844}, {"small phone", 360, 640}, {"phone on its side", 844, 390},
		{"tablet", 820, 1180}, {"tablet on its side", 1180, 820},
	} {
		t.Run(window.name, func(t *testing.T) {
			tab := listener(t)
			tab.stored("settings", map[string]any{
				"v": 1, "climb": "headframe", "step": 3, "part": "snare+kick", "passes": 4, "countin": 0, "areas": 4, "heard": true,
				"delays": map[string]any{"touch": map[string]any{"ms": 0}},
			})
			tab.size(window.width, window.height)
			tab.touchScreen() // the size of a window takes it away
			tab.goTo(serve(t, "/").at("practise/"))
			tab.click("#go")
			tab.waitFor(taking+` && document.querySelector(".place").innerText.includes("pass 1")`, "the take")
			for _, bad := range eval[[]string](tab, outside) {
				t.Errorf("outside of the window: %s", bad)
			}
			for _, area := range []string{"#area-0", "#area-1", "#area-2", "#area-3"} {
				tab.touch(0, 20, tab.middle(area))
				tab.waitFor(`document.querySelector("`+area+`").dataset.lit !== undefined`, area+" to be hit")
			}
			tab.checkAxe()
			tab.click("#go")
			tab.waitFor(`document.querySelector(".page.judged")`, "the verdict")
			if wide := eval[float64](tab, `document.documentElement.scrollWidth - innerWidth`); wide > 0 {
				t.Errorf("the page is %v px wider than the window", wide)
			}
			for _, cut := range eval[[]string](tab, `[...document.querySelectorAll(".foot button")].filter(e => e.getBoundingClientRect().right > innerWidth || e.getBoundingClientRect().bottom > innerHeight).map(e => e.innerText)`) {
				t.Errorf("an action at the foot runs out of the window: %q", cut)
			}
		})
	}
}
