//go:build !js

package sitetest

import (
	"testing"
)

// writer is a tab on the Write page with an exercise in hand.
func writer(t testing.TB, text string) *tab {
	t.Helper()
	tab := listener(t)
	tab.onShelf("0000000000000001", text)
	tab.size(1280, 800)
	tab.goTo(serve(t, "/").at("write/"))
	tab.waitFor(inField(text), "the text of the exercise")
	return tab
}

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
