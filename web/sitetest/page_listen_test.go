//go:build !js

package sitetest

import (
	"strings"
	"testing"
)

// told waits until the live region says some words.
func (p *tab) told(words string) {
	p.t.Helper()
	p.waitFor(`document.getElementById("said").innerText.includes(`+quote(words)+`)`, "to be told "+quote(words))
}

// sounds waits until a sound of the question is told and its playhead moves.
func (p *tab) sounds(label, i string) {
	p.t.Helper()
	p.told(label + " plays.")
	p.waitFor(`(() => { const at = document.getElementById("listen-`+i+`-playhead").getAttribute("transform"); window.heads ??= {}; const was = heads["`+label+`"] ??= at; return at !== was; })()`, "the playhead of "+label+" to move")
}

// A session by keys alone, with what a screen reader is told: what changed is
// heard, answered, explained, heard again slowly; the session ends; Progress has
// the answer.
func TestListenByKeys(t *testing.T) {
	host := serve(t, "/")
	tab := listener(t)
	tab.stored("settings", short(map[string]any{"listen_tasks": []string{"what"}}))
	tab.size(1280, 800)
	tab.goTo(host.at("listen/"))
	look(tab, "listen-ready")
	tab.press(key{Code: "Space"})
	tab.waitFor(`document.querySelectorAll(".choice-card").length >= 4`, "the question")
	tab.told("What changed from A to B?")
	if seen := eval[int](tab, `document.querySelectorAll(".sound .sm-ink, .sound .sm-mark, .sound .sm-hollow").length`); seen > 0 {
		t.Errorf("%d strokes are seen before the answer", seen)
	}
	tab.press(key{Code: "Enter"})
	tab.told("A was not heard yet")
	tab.press(key{Code: "KeyA"})
	tab.sounds("A", "0")
	tab.press(key{Code: "KeyB"})
	tab.sounds("B", "1")
	look(tab, "listen-question")
	tab.press(key{Code: "Digit2"}, key{Code: "ArrowRight"}, key{Code: "ArrowRight"})
	tab.waitFor(`document.querySelectorAll('.choice-card[aria-pressed="true"]').length === 1 && document.querySelector('.place-button[aria-pressed="true"]')?.ariaLabel === "Bar 1, beat 2"`, "an answer and a place")
	tab.press(key{Code: "Escape"}, key{Code: "Enter"})
	tab.waitFor(`document.activeElement.id === "listen-next" && document.querySelector(".card-tag")`, "what was to be heard, with the keyboard on the next question")
	look(tab, "listen-answered")
	tab.press(key{Code: "KeyS"})
	tab.told("plays slowly.")
	tab.press(key{Code: "Escape"})
	tab.press(key{Code: "KeyN"})
	tab.waitFor(`document.querySelector(".head .meta")?.innerText.includes("question 2") && document.querySelectorAll(".choice-card").length >= 4`, "the next question")
	order := strings.Join(tabOrder(tab), "\n")
	for _, want := range []string{"End session", "Play A", "Play B", "Bar 1, beat 1", "Answer"} {
		if !strings.Contains(order, want) {
			t.Errorf("the Tab key does not come to %q; it comes to %q", want, order)
		}
	}
	focusOn(tab, "#listen-end")
	tab.press(key{Code: "Enter"})
	tab.waitFor(`document.getElementById("title").innerText === "One question answered"`, "the summary")
	tab.checkAxe()
	tab.screen("listen-ended")
	tab.goTo(host.at("progress/"))
	tab.waitFor(`document.getElementById("card-heard-what")?.parentElement.innerText.includes("1 answer")`, "the answer on Progress")
	tab.checkAxe()
	tab.screen("listen-progress")
}

// A phone by touch: what is pressed is in reach of a finger, nothing is wider
// than the screen, and a beat that is named is an answer.
func TestListenByTouch(t *testing.T) {
	tab := listener(t)
	tab.touchScreen()
	tab.stored("settings", short(map[string]any{"listen_tasks": []string{"where"}}))
	tab.size(390, 844)
	tab.goTo(serve(t, "/").at("listen/"))
	press := func(selector string) {
		t.Helper()
		tab.painted()
		tab.touch(0, 40, tab.middle(selector))
	}
	inReach := func(state string) {
		t.Helper()
		for _, small := range eval[[]string](tab, `[...document.querySelectorAll("button, select, summary, a")].filter(e => e.checkVisibility({visibilityProperty: true})).filter(e => { const b = e.getBoundingClientRect(); return b.height < 43.5 || b.width < 43.5 }).map(e => (e.innerText || e.id) + " " + e.getBoundingClientRect().height)`) {
			t.Errorf("%s: too small for a finger: %s", state, small)
		}
		if wide := eval[float64](tab, `document.documentElement.scrollWidth - innerWidth`); wide > 0 {
			t.Errorf("%s: the page is %v px wider than the phone", state, wide)
		}
	}
	tab.waitFor(`document.getElementById("listen-start")`, "the page")
	inReach("ready")
	look(tab, "listen-ready-phone")
	press("#listen-start")
	tab.waitFor(`document.querySelectorAll(".place-button").length > 0`, "the question")
	press("#listen-play-0")
	tab.sounds("A", "0")
	press("#listen-play-1")
	tab.sounds("B", "1")
	press(`.place-button[aria-label="Bar 2, beat 1"]`)
	tab.waitFor(`document.querySelector('.place-button[aria-pressed="true"]')`, "a beat")
	inReach("asking")
	look(tab, "listen-question-phone")
	press("#listen-play-1")
	press("#listen-answer")
	tab.waitFor(`document.querySelector(".heard-facts")`, "what was to be heard")
	inReach("answered")
	look(tab, "listen-answered-phone")
	tab.size(320, 640)
	tab.waitFor(`innerWidth === 320 && document.documentElement.scrollWidth <= innerWidth`, "the page to fit into 320 px")
}
