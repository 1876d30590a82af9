//go:build !js

package sitetest

import "testing"

// A new exercise from nothing, a few strokes typed on the strip, a change made.
func TestWriting(t *testing.T) {
	tab := listener(t)
	tab.size(1280, 900)
	tab.goTo(serve(t, "/").at("write/"))
	tab.screen("write-empty")
	tab.click(`[data-act="write-new"]`)
	tab.waitFor(`document.getElementById("text") && document.getElementById("text").value.includes("title:")`, "the text of the new exercise")
	tab.waitFor(`document.querySelectorAll(".change").length > 5`, "changes that fit")
	tab.screen("write-new")
	tab.click(`.change-choose`)
	tab.waitFor(`document.querySelector(".pair")`, "the bar before and after")
	tab.screen("write-chosen")
	tab.size(390, 844)
	tab.screen("write-phone")
}
