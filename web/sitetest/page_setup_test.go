//go:build !js

package sitetest

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"stampmill/app/delay"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
)

// The delay that the taps were sent with is measured, stored, and taken off.
func TestDelayIsMeasured(t *testing.T) {
	tab := listener(t)
	tab.size(1280, 800)
	tab.goTo(serve(t, "/").at("setup/"))
	tab.click("#measure")
	tab.waitFor(`document.activeElement.id === "measure"`, "the keyboard to stay on the button")
	tab.waitFor(`document.getElementById("taps")?.innerText.startsWith("Tap with every click")`, "the click")
	first := tab.downbeat(0)
	var taps []key
	for i := range delay.Taps {
		taps = append(taps, key{Code: "KeyK", At: first + float64(i)*delay.Period + 44 + 5*float64(i%3-1), Held: 20})
	}
	tab.press(taps[:10]...)
	tab.waitFor(`document.getElementById("taps").innerText.includes("10 of 28")`, "ten taps")
	tab.screen("setup-measuring")
	tab.checkAxe()
	tab.press(taps[10:]...)
	tab.waitFor(`!document.getElementById("taps")`, "the end of the measurement")
	if said := tab.text("#said"); !strings.Contains(said, "ms is taken off every key hit") {
		t.Errorf("announced %q", said)
	}
	tab.screens("setup-measured")
	tab.checkAxe()
	var settings struct {
		Delays map[string]struct {
			MS, Spread float64
			N          int
		}
	}
	if err := json.Unmarshal([]byte(eval[string](tab, `localStorage.getItem("stampmill.settings")`)), &settings); err != nil {
		t.Fatal(err)
	}
	d := settings.Delays["keyboard"]
	closeTo(t, "the delay", d.MS, 44, tapPrecision)
	closeTo(t, "its spread", d.Spread, 4.2, 0.5) // a third each at -5, 0 and 5: the root of 50/3, less what is left out
	if d.N < delay.Least {
		t.Errorf("%d taps used", d.N)
	}
}

// Keys that were assigned play their voice; with several voices each has its
// own errors.
func TestAssignedKeysPlayTheirVoice(t *testing.T) {
	tab := listener(t)
	tab.stored("settings", map[string]any{
		"v": 1, "climb": "headframe", "step": 2, "part": "snare+kick", "passes": 1, "countin": 1, "heard": true,
		"delays": map[string]any{"keyboard": map[string]any{"ms": 0}},
	})
	tab.size(1280, 800)
	tab.goTo(serve(t, "/").at("setup/"))
	tab.click("#assign-snare")
	tab.press(key{Code: "KeyP"})
	tab.waitFor(`document.querySelector(".said").innerText === "P plays the snare."`, "P for the snare")
	tab.press(key{Code: "KeyA"})
	tab.waitFor(`document.querySelector(".said").innerText.startsWith("A plays the kick already")`, "the conflict in words")
	tab.press(key{Code: "Escape"})
	tab.click(`a[href$="practise/"]`)
	tab.waitFor(`document.querySelector("#part")?.value === "snare+kick"`, "the part")
	choose(tab, "tempo", "200")
	focusOn(tab, "h1")
	pl := plan{
		step: climbStep(t, "headframe", 2),
		take: grade.Take{Tempo: 200, Passes: 1, Part: []passage.Voice{passage.Snare, passage.Kick}},
		code: func(v grade.VoiceSet) string {
			if v.Has(passage.Snare) {
				return "KeyP"
			}
			return "KeyA"
		},
		errors: func(i int) float64 { return 6 * float64(i%3-1) },
	}
	tab.press(key{Code: "Space"})
	tab.waitFor(taking, "the take")
	tab.play(pl, tab.downbeat(4*60.0/200))
	tab.waitFor(`document.querySelector(".page.judged")`, "the verdict")
	tab.click(`[data-act="save"]`)
	take, err := grade.ReadTake(tab.offered())
	if err != nil {
		t.Fatal(err)
	}
	verdict, err := grade.Grade(pl.step, take, grade.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range verdict.ByVoice {
		if v.Missed != 0 || v.Extra != 0 || v.Matched == 0 {
			t.Errorf("%v: %+v", v.Voice, v.Counts)
		}
	}
	for _, p := range verdict.Positions {
		for _, h := range p.Hits {
			if math.Abs(h.ErrorMS) > 6+tapPrecision {
				t.Errorf("%v at %v: %v ms", p.Voices.Voices(), p.Place, h.ErrorMS)
			}
		}
	}
}

// Two fingers on two areas are two hits, and each lights its own edge only.
func TestTouchAreas(t *testing.T) {
	tab := listener(t)
	tab.touchScreen()
	tab.stored("settings", map[string]any{
		"v": 1, "climb": "headframe", "step": 1, "part": "kick", "passes": 1, "countin": 0, "areas": 2, "heard": true,
		"delays": map[string]any{"touch": map[string]any{"ms": 0}},
	})
	tab.size(390, 844)
	tab.goTo(serve(t, "/").at("practise/"))
	tab.checkAxe()
	for _, small := range eval[[]string](tab, `[...document.querySelectorAll("button, select, summary, a")].filter(e => e.checkVisibility({visibilityProperty: true})).filter(e => { const b = e.getBoundingClientRect(); return b.height < 43.5 || b.width < 24 }).map(e => (e.innerText || e.id) + " " + e.getBoundingClientRect().height)`) {
		t.Errorf("too small for a finger: %s", small)
	}
	tab.click("#go")
	tab.waitFor(`document.getElementById("area-1")`, "the areas")
	downbeat := tab.downbeat(0)
	left, right := tab.middle("#area-0"), tab.middle("#area-1")
	beat := 60_000.0 / 92
	tab.touch(downbeat+beat+10, 40, left, right)
	tab.touch(downbeat+2*beat-10, 40, right)
	if wide := eval[float64](tab, `document.documentElement.scrollWidth - innerWidth`); wide > 0 {
		t.Errorf("the page is %v px wider than the phone", wide)
	}
	tab.screen("practise-playing-phone")
	tab.waitFor(`document.querySelector(".page.judged")`, "the verdict")
	tab.screens("practise-verdict-touch")
	tab.size(390, 844)
	tab.click(`[data-act="more"]`)
	tab.waitFor(`document.querySelector(".more")`, "More")
	tab.screen("practise-more-phone")
	tab.checkAxe()
	tab.click(`[data-act="save"]`)
	take, err := grade.ReadTake(tab.offered())
	if err != nil {
		t.Fatal(err)
	}
	if take.Input != "touch" || len(take.Taps) != 3 {
		t.Fatalf("a take of %s with %d taps, want 3 by touch", take.Input, len(take.Taps))
	}
	for i, want := range []float64{beat + 10, beat + 10, 2*beat - 10} {
		closeTo(t, "finger", take.Taps[i].Seconds*1000, want, tapPrecision)
	}
}
