//go:build !js

package sitetest

import (
	"strings"
	"testing"

	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
)

// What it takes to move on is set in words, refused in words, and said on
// Practise; after a take in which one voice stood in the way, one key plays
// that voice alone.
func TestWhatComesNext(t *testing.T) {
	tab := listener(t)
	tab.stored("settings", map[string]any{
		"v": 1, "climb": "headframe", "step": 2, "part": "snare+kick", "passes": 1, "countin": 1, "heard": true, "follow": false,
		"delays": map[string]any{"keyboard": map[string]any{"ms": 0}},
	})
	tab.size(1280, 800)
	tab.goTo(serve(t, "/").at("setup/"))
	choose(tab, "mark-spread", "70")
	tab.waitFor(`document.body.innerText.includes("The spread goes from 1 to 50; 20 holds.")`, "the bounds in words")
	choose(tab, "mark-spread", "12")
	choose(tab, "mark-hits", "100")
	tab.waitFor(`document.querySelector('[data-act="marks-usual"]')`, "the way back")
	look(tab, "setup-marks")
	tab.size(390, 844)
	eval[bool](tab, `document.getElementById("marks").scrollIntoView(), true`)
	look(tab, "setup-marks-phone")
	tab.size(1280, 800)
	tab.click(`a[href$="practise/"]`)
	tab.waitFor(`document.body.innerText.includes("spread within ±12 ms")`, "the marks on Practise")
	choose(tab, "tempo", "200")
	focusOn(tab, "h1")
	step := climbStep(t, "headframe", 2)
	pl := plan{
		step:   step,
		take:   grade.Take{Tempo: 200, Passes: 1, Part: []passage.Voice{passage.Snare, passage.Kick}},
		errors: func(i int) float64 { return 4 * float64(i%3-1) },
		code: func(v grade.VoiceSet) string {
			if v.Has(passage.Snare) {
				return "KeyQ" // plays nothing
			}
			return "KeyA"
		},
	}
	tab.press(key{Code: "Space"})
	tab.waitFor(taking, "the take")
	tab.play(pl, tab.downbeat(4*60.0/200))
	tab.waitFor(`document.querySelector(".page.judged")`, "the verdict")
	if first := tab.text("#next"); !strings.HasPrefix(first, "Only the snare") {
		t.Errorf("the first action is %q", first)
	}
	look(tab, "practise-alone")
	tab.size(390, 844)
	look(tab, "practise-alone-phone")
	tab.size(1280, 800)
	tab.press(key{Code: "KeyV"})
	tab.waitFor(taking, "the take of the snare alone")
	tab.waitFor(`document.querySelector("#part").value === "snare"`, "the snare as the part")
	tab.press(key{Code: "Escape"})
}
