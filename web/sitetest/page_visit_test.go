//go:build !js

package sitetest

import (
	"strings"
	"testing"
)

const taking = `document.querySelector(".page.taking")`

// One click from the front page to hearing step 1, one to tapping along.
func TestFirstVisit(t *testing.T) {
	tab := listener(t)
	tab.goTo(serve(t, "/stampmill/").at(""))
	tab.size(1280, 800)
	tab.checkAxe()
	if n := eval[int](tab, `document.querySelectorAll("main button, main a, main input, main select").length`); n != 2 {
		t.Errorf("the front page has %d controls, want two buttons and nothing else", n)
	}
	if n := eval[int](tab, `heard.starts.length`); n != 0 {
		t.Error("sound started by itself")
	}
	tab.click(`[data-act="hear"]`)
	tab.waitFor(`heard.starts.length > 3`, "the sounds of step 1")
	tab.waitFor(`document.getElementById("hear").innerText.startsWith("Stop")`, "a way to stop it")
	tab.screen("first-visit-hearing")
	tab.click(`[data-act="hear"]`)
	tab.waitFor(`document.querySelector(".page.front.ready")`, "the sound to stop")
	tab.click(`[data-act="along"]`)
	tab.waitFor(taking+` && location.pathname === "/stampmill/practise/"`, "the first take")
	tab.waitFor(`document.activeElement.id === "go" && document.title === "Practise · Stampmill"`, "the keyboard on Stop")
	tab.press(key{Code: "Escape"})
	tab.waitFor(`document.querySelector(".page.ready")`, "the stop")
	tab.reload()
	if got := tab.text("h1"); got != "Headframe" {
		t.Errorf("after a reload the page shows %q", got)
	}
}

// Everything by keyboard alone: the climb, the step, the tempo, a loop, the
// part, a take, its verdict and the next act.
func TestByKeyboardAlone(t *testing.T) {
	tab := listener(t)
	tab.stored("settings", map[string]any{"v": 1, "passes": 1, "countin": 0, "heard": true, "delays": map[string]any{"keyboard": map[string]any{"ms": 0}}})
	tab.size(1280, 800)
	tab.goTo(serve(t, "/").at("practise/"))
	order := tabOrder(tab)
	for _, want := range []string{"Practise", "Setup", "Start", "Slower by one", "Tempo in beats a minute", "Faster by one", "Tap tempo", "countin", "whole", "click", "climb", "Stamp", "part", "passes", "bar 1", "bar 2", "Mute china", "Hear it first"} {
		if !strings.Contains(strings.Join(order, "\n"), want) {
			t.Errorf("the Tab key does not come to %q; it comes to %q", want, order)
		}
	}
	focusOn(tab, `[data-act="step"][data-arg="2"]`)
	tab.press(key{Code: "Enter"})
	tab.waitFor(`document.querySelector(".meta").innerText.startsWith("Step 2")`, "step 2")
	focusOn(tab, "#tempo")
	eval[bool](tab, `(document.activeElement.select(), true)`)
	tab.press(key{Code: "Digit2"}, key{Code: "Digit4"}, key{Code: "Digit0"}, key{Code: "Enter"})
	tab.waitFor(`document.getElementById("tempo").value === "240"`, "the tempo typed")
	if tab.text(".page.practise .meta") == "" || eval[int](tab, `heard.starts.length`) != 0 {
		t.Error("typing a tempo did something else")
	}
	focusOn(tab, "h1")
	tab.press(key{Code: "Digit2"})
	tab.waitFor(`document.querySelector('[data-act="bar"][data-arg="2"]').ariaPressed === "true"`, "bar 2 looped")
	tab.press(key{Code: "KeyH"})
	tab.waitFor(`heard.starts.length > 3 && document.querySelector(".page.hearing")`, "the step to be heard")
	tab.press(key{Code: "KeyH"})
	tab.waitFor(`document.querySelector(".page.ready")`, "the sound to stop")
	tab.press(key{Code: "Space"})
	tab.waitFor(taking, "a take")
	hidden := eval[[]string](tab, `[...document.querySelectorAll("a, button, select, input")].filter(e => e.checkVisibility({visibilityProperty: true}) && !e.disabled && e.tabIndex >= 0 && !e.readOnly).map(e => e.innerText || e.id)`)
	if got := strings.Join(hidden, "|"); strings.Contains(got, "Setup") || strings.Contains(got, "Tap tempo") || !strings.Contains(got, "Stop") {
		t.Errorf("in a take these can be reached: %q", got)
	}
	tab.waitFor(`document.querySelector(".place").innerText.startsWith("Bar 2, pass 1 of 1")`, "the quiet line")
	tab.press(key{Code: "KeyF"}, key{Code: "KeyJ"})
	tab.waitFor(`document.querySelector(".page.judged")`, "the verdict")
	tab.waitFor(`document.activeElement.id === "next"`, "the keyboard on the next act")
	if said := tab.text("#said"); said == "" {
		t.Error("the verdict was not announced")
	}
	tab.press(key{Code: "KeyN"})
	tab.waitFor(`document.querySelector(".meta").innerText.startsWith("Step 3")`, "the next step")
}

// tabOrder presses Tab round the page and returns what it comes to.
func tabOrder(tab *tab) []string {
	tab.t.Helper()
	var order []string
	for range 60 {
		tab.press(key{Code: "Tab"})
		at := eval[string](tab, `(() => { const e = document.activeElement; const s = getComputedStyle(e); return e === document.body ? "" : (e.ariaLabel || e.innerText.split("\n")[0] || e.id) + (s.outlineStyle === "none" ? " NO RING" : "") })()`)
		if at == "" {
			break
		}
		if strings.Contains(at, "NO RING") {
			tab.t.Errorf("the focus cannot be seen on %q", at)
		}
		order = append(order, at)
	}
	// Selects say their options; their ids are what the test looks for.
	ids := eval[[]string](tab, `[...document.querySelectorAll("select")].map(e => e.id)`)
	return append(order, ids...)
}

func focusOn(tab *tab, selector string) {
	tab.t.Helper()
	eval[bool](tab, `(document.querySelector(`+quote(selector)+`).focus(), true)`)
}

// Space starts a take whatever was pressed with the mouse before.
func TestSpaceStartsAfterTheMouse(t *testing.T) {
	tab := listener(t)
	tab.stored("settings", map[string]any{"v": 1, "climb": "headframe", "step": 1, "heard": true})
	tab.size(1280, 800)
	tab.goTo(serve(t, "/").at("practise/"))
	for _, pressed := range []string{`[data-act="bar"][data-arg="2"]`, `[data-act="tempo-up"]`, `[data-act="mute"][data-arg="china"]`, `[data-act="step"][data-arg="2"]`} {
		tab.click(pressed)
		tab.press(key{Code: "Space"})
		tab.waitFor(taking, "a take after "+pressed)
		tab.press(key{Code: "Escape"})
		tab.waitFor(`document.querySelector(".page.ready")`, "the stop")
	}
	eval[bool](tab, `(document.getElementById("passes").focus({ focusVisible: false }), true)`) // as a click does; the list it opens is not of the page
	choose(tab, "passes", "2")
	tab.press(key{Code: "Space"})
	tab.waitFor(taking, "a take after a choice")
}
