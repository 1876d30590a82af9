//go:build !js

package sitetest

import (
	"fmt"
	"strings"
	"testing"

	catalogue "stampmill/exercises/change"
	"stampmill/exercises/drill"
)

// onShelf puts an exercise on the shelf before the program first looks there.
func (p *tab) onShelf(id, text string) {
	p.t.Helper()
	p.stored("own/"+id, map[string]any{"v": 1, "text": text, "changed": "2026-11-24T12:00:00Z"})
}

func inField(text string) string {
	return `document.getElementById("text")?.value === ` + quote(text)
}

const gangue = `title: Gangue
tempo: 88
metre: 4/4

step: Haul
china  | x x x x         | x x x x          |
snare  | . . X .         | . . X .          |
kick   | x.xx .x.x .xx. x.x. | x.xx .x.x .xx. x.x. |
guitar | x.xx .x.x .xx. x.x. | x.xx .x.x o--- ---! |
`

// A new exercise from nothing, a few strokes typed on the strip, a change made.
func TestWriting(t *testing.T) {
	tab := listener(t)
	tab.size(1280, 800)
	tab.goTo(serve(t, "/").at("write/"))
	look(tab, "write-empty")
	tab.click(`[data-act="write-new"]`)
	tab.waitFor(`document.getElementById("text") && document.getElementById("text").value.includes("title:")`, "the text of the new exercise")
	tab.waitFor(`document.querySelectorAll(".change").length > 5`, "changes that fit")
	look(tab, "write-new")
	tab.click(`.change-choose`)
	tab.waitFor(`document.querySelector("section.pair")`, "the bar before and after")
	look(tab, "write-chosen")
	tab.size(390, 844)
	look(tab, "write-chosen-phone")
	tab.click(`[data-act="write-leave"]`)
	tab.waitFor(`!document.querySelector("section.pair")`, "the change put away")
	look(tab, "write-new-phone")
	eval[bool](tab, `(scrollTo(0, 9999), true)`)
	tab.screen("write-end-phone")
	tab.size(1280, 800)
	tab.waitFor(`document.querySelector(".measures").innerText.includes("Syncopation")`, "the measures")
}

// fullForOwn lets the browser's store refuse exercises, as a full device does,
// once told to.
const fullForOwn = `
{ const put = Storage.prototype.setItem;
  Storage.prototype.setItem = function (name, value) {
    if (window.full && name.startsWith("stampmill.own/")) throw new DOMException("full", "QuotaExceededError");
    return put.call(this, name, value);
  } }`

// types puts text into the field at a place of it, as a paste does.
func (p *tab) types(after, text string) {
	p.t.Helper()
	eval[bool](p, `(() => { const t = document.getElementById("text"); t.focus(); const at = t.value.indexOf(`+quote(after)+`) + `+quote(after)+`.length; t.setSelectionRange(at, at); return document.execCommand("insertText", false, `+quote(text)+`) })()`)
}

// pushes works a control once it is there; pictures of the page make it anew
// now and then, and a press at a place would miss it.
func (p *tab) pushes(selector string) {
	p.t.Helper()
	p.waitFor(`document.querySelector(`+quote(selector)+`) && (document.querySelector(`+quote(selector)+`).click(), true)`, selector)
}

func TestStatesOfWriting(t *testing.T) {
	tab := listener(t)
	tab.onEveryPage(fullForOwn)
	tab.onShelf("0000000000000001", gangue)
	tab.size(1280, 800)
	tab.goTo(serve(t, "/").at("write/"))
	tab.waitFor(inField(gangue)+` && document.querySelectorAll(".change").length > 5`, "the exercise")
	both := func(name string) {
		t.Helper()
		for _, w := range windows {
			tab.size(w.width, w.height)
			tab.waitFor(`document.getElementById("text")?.value.length > 20`, "the text field to be filled")
			look(tab, name+w.name)
			if wide := eval[float64](tab, `document.documentElement.scrollWidth - innerWidth`); wide > 0 {
				t.Errorf("%s%s: the page is %v px wider than the window", name, w.name, wide)
			}
		}
		tab.size(1280, 800)
		tab.waitFor(`document.getElementById("text")?.value.length > 20`, "the text field to be filled")
	}
	tab.pushes(`[data-act="sticking"]`)
	both("write-in-hand")
	tab.pushes(`[data-act="sticking"]`)
	tab.pushes(`[data-act="write-menu"]`)
	both("write-menu")
	for _, w := range []struct{ width, height int64 }{{320, 640}, {360, 740}, {640, 400}, {768, 1024}, {1024, 600}, {1920, 1080}} {
		tab.size(w.width, w.height)
		tab.waitFor(fmt.Sprintf(`innerWidth === %d && document.documentElement.scrollWidth <= innerWidth`, w.width), fmt.Sprintf("the page to fit into %d px", w.width))
		for _, words := range eval[[]string](tab, `[...document.querySelectorAll("button, select, input, h1, h2, p, label")].filter(e => e.checkVisibility({visibilityProperty: true})).filter(e => { const b = e.getBoundingClientRect(); return b.width > 2 && !e.closest(".unseen, .tabs, .bench-steps, .signs") && (b.left < -1 || b.right > innerWidth + 1) }).map(e => e.innerText || e.id)`) {
			t.Errorf("at %d px: %q is cut off", w.width, words)
		}
		for _, words := range eval[[]string](tab, `matchMedia("(max-width: 900px)").matches ? [...document.querySelectorAll("button, select, input, summary")].filter(e => e.checkVisibility() && e.getBoundingClientRect().height < 43.5).map(e => e.innerText || e.id) : []`) {
			t.Errorf("at %d px a finger hardly hits %q", w.width, words)
		}
		tab.screen(fmt.Sprintf("size-%d-write-menu", w.width))
	}
	tab.size(1280, 800)
	tab.media(feature("forced-colors", "active"))
	tab.screen("write-forced-colours")
	tab.media(feature("forced-colors", "none"))
	tab.pushes(`[data-act="write-menu"]`)
	tab.pushes(`[data-act="write-all"]`)
	tab.waitFor(`document.querySelector(".unfit")`, "what does not fit")
	both("write-all-changes")
	tab.pushes(`[data-act="write-all"]`)

	tab.types("x.xx .x.x .xx. x.x. | ", "?")
	tab.waitFor(`document.querySelector(".text-fault") && document.querySelector(".sm-problem")`, "the problem in text and strip")
	if n := eval[int](tab, `document.querySelectorAll(".edit-strip .sm-label").length`); n != 4 {
		t.Errorf("the last good strip has %d rows, want 4", n)
	}
	both("write-problem")
	tab.marksAligned()
	tab.pushes(`[data-act="write-undo"]`)
	tab.waitFor(inField(gangue), "the text as it was")

	focusOn(tab, "#write-strip")
	tab.press(key{Code: "KeyB"})
	tab.waitFor(`document.querySelector(".refused").innerText !== ""`, "the refusal")
	both("write-refused")
	eval[bool](tab, `(window.full = true)`)
	focusOn(tab, "#write-strip")
	tab.press(key{Code: "KeyG"})
	tab.waitFor(`document.querySelector('[data-act="write-save"]#notice-act')`, "the offer of a file")
	both("write-unkept")
	eval[bool](tab, `(window.full = false, true)`)
	tab.press(key{Code: "KeyG"})
	tab.waitFor(`!document.querySelector("#notice-act")`, "the text to be kept")
	tab.pushes(`#go`)
	tab.waitFor(`document.querySelector(".page.hearing") && heard.starts.length > 3`, "the sound")
	tab.pushes(`#go`)
	tab.waitFor(`document.querySelector(".page.ready")`, "the stop")
	tab.pushes(`[data-act="write-menu"]`)
	tab.pushes(`[data-act="write-delete"]`)
	tab.waitFor(`document.querySelector('[data-act="write-putback"]')`, "a way back")
	look(tab, "write-deleted")
	tab.pushes(`[data-act="write-putback"]`)
	tab.waitFor(`document.getElementById("text")?.value.includes("Gangue")`, "the exercise")
}

// marksAligned checks that each mark of a problem lies under its own letter:
// where the text field itself would draw it, by the advance of its face, also
// enlarged and scrolled sideways.
func (p *tab) marksAligned() {
	p.t.Helper()
	for _, scheme := range []string{"dark", "light"} {
		p.theme(scheme)
		for _, zoom := range []string{"1", "2"} {
			off := eval[[]float64](p, `(() => {
				document.documentElement.style.zoom = `+zoom+`;
				const t = document.getElementById("text"), box = document.getElementById("text-scroll");
				box.scrollLeft = 40;
				const s = getComputedStyle(t), mark = document.querySelector(".text-fault");
				const pen = document.createElement("canvas").getContext("2d");
				pen.font = s.fontWeight + " " + s.fontSize + " " + s.fontFamily;
				const lines = t.value.split("\n"), n = lines.findIndex(l => l.includes("?")), z = `+zoom+`;
				const f = t.getBoundingClientRect(), m = mark.getBoundingClientRect();
				const x = f.x + z * (parseFloat(s.paddingLeft) + pen.measureText(lines[n].slice(0, lines[n].indexOf("?"))).width);
				const y = f.y + z * (parseFloat(s.paddingTop) + (n + .5) * parseFloat(s.lineHeight));
				box.scrollLeft = 0; document.documentElement.style.zoom = 1;
				return [m.x - x, m.y + m.height / 2 - y];
			})()`)
			if off[0] < -1 || off[0] > 1 || off[1] < -2 || off[1] > 2 {
				p.t.Errorf("%s, enlarged %s times: the mark lies %.1f px across and %.1f px down from its letter", scheme, zoom, off[0], off[1])
			}
		}
	}
}

// A climb of six steps from nothing, by the keyboard alone, and it is there
// after a crash: nothing is told when the page goes away.
func TestAClimbByKeyboardAlone(t *testing.T) {
	tab := listener(t)
	tab.size(1280, 800)
	tab.goTo(serve(t, "/").at("write/"))
	focusOn(tab, "#go")
	tab.press(key{Code: "Enter"})
	tab.waitFor(`document.activeElement?.id === "write-strip"`, "the keyboard on the strip of the new exercise")
	tab.press(key{Code: "Digit4"}, key{Code: "KeyX"}, key{Code: "Period"}, key{Code: "KeyG"}, key{Code: "ArrowDown"})
	for step := 2; step <= 6; step++ {
		tab.press(key{Code: "ArrowRight"})
		tab.waitFor(`document.querySelector(".change-choose") && !document.querySelector(".change-list").innerText.includes("Trying")`, "changes")
		tab.press(key{Code: "Enter"}) // to the search
		tab.waitFor(`document.activeElement?.id === "write-search"`, "the search")
		tab.press(key{Code: "Tab"}, key{Code: "Enter"})
		tab.waitFor(`document.querySelector("section.pair")`, "the change beside the bar")
		focusOn(tab, `[data-act="write-as-step"]`)
		tab.press(key{Code: "Enter"})
		tab.waitFor(fmt.Sprintf(`document.querySelectorAll(".bench-step").length === %d && document.activeElement?.id === "write-strip"`, step), fmt.Sprintf("step %d", step))
	}
	text := eval[string](tab, `document.getElementById("text").value`)
	if _, problems := drill.Parse("climb.drill", []byte(text), catalogue.Catalogue()); len(problems) > 0 {
		t.Errorf("the climb has %v\n%s", problems, text)
	}
	tab.screens("write-climb")
	tab.size(1280, 800)
	eval[bool](tab, `(addEventListener("pagehide", e => e.stopImmediatePropagation(), true), true)`)
	tab.reload()
	tab.waitFor(inField(text), "the climb after the page was loaded again")
	order := tabOrder(tab)
	if n := strings.Count(strings.Join(order, "\n"), "Strip"); n != 1 {
		t.Errorf("the strip is %d stops of the Tab key: %q", n, order)
	}
	tab.click(`[data-act="write-practise"]`)
	tab.waitFor(`location.pathname === "/practise/" && document.querySelector("h1").innerText === "New exercise"`, "the exercise to practise")
	tab.reload()
	tab.waitFor(`document.querySelector("h1").innerText === "New exercise"`, "it after a reload")
	tab.screens("practise-own")
}
