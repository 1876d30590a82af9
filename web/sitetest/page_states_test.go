//go:build !js

package sitetest

import (
	"fmt"
	"testing"

	"stampmill/app"
)

// fullFor lets the browser's records refuse takes, as a full device does.
const fullFor = `
{ const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (value, name) {
    const request = put.call(this, value, name), tx = this.transaction;
    if (name.startsWith("take/")) request.onsuccess = () => {
      Object.defineProperty(tx, "error", { value: new DOMException("full", "QuotaExceededError") });
      tx.abort();
    };
    return request;
  } }`

// short is a player of short takes whose keys have no delay.
func short(more map[string]any) map[string]any {
	s := map[string]any{"v": 1, "climb": "headframe", "step": 6, "part": "kick", "passes": 1, "countin": 0, "heard": true,
		"delays": map[string]any{"keyboard": map[string]any{"ms": 0}, "touch": map[string]any{"ms": 0}}}
	for k, v := range more {
		s[k] = v
	}
	return s
}

// look checks a state with axe in both themes and leaves pictures of it.
func look(p *tab, name string) {
	p.t.Helper()
	for _, scheme := range []string{"dark", "light"} {
		p.theme(scheme)
		p.checkAxe()
		p.screen(name + "-" + scheme)
	}
}

func TestStatesInWords(t *testing.T) {
	host := serve(t, "/")
	begin := func(p *tab) {
		choose(p, "tempo", "300")
		p.press(key{Code: "Space"})
		p.waitFor(`document.querySelector(".place")?.innerText.includes("pass 1")`, "the take")
	}
	for _, c := range []struct {
		name   string
		stored map[string]any
		script string
		do     func(*tab)
		wait   string // text of the page
	}{
		{"state-store-full", short(nil), fullFor, func(p *tab) {
			begin(p)
			p.press(key{Code: "KeyF"})
		}, "This device has no room for the take."},
		{"state-out-of-sight", short(nil), `window.away = false; Object.defineProperty(document, "hidden", { get: () => away }); Object.defineProperty(document, "visibilityState", { get: () => away ? "hidden" : "visible" });`, func(p *tab) {
			begin(p)
			eval[bool](p, `(away = true, document.dispatchEvent(new Event("visibilitychange")), away = false, document.dispatchEvent(new Event("visibilitychange")), true)`)
		}, "The page went out of sight, so this take was dropped."},
		{"state-no-hit", short(map[string]any{"part": "snare+kick"}), "", begin, "No hit was heard in this take. It listened to the keys H to L and A to G."},
		{"state-delay-unknown", short(map[string]any{"delays": map[string]any{}}), "", func(p *tab) {
			begin(p)
			p.press(key{Code: "KeyF"}, key{Code: "KeyG"})
		}, "How early or late you are is not known yet"},
		{"state-settings-unread", map[string]any{"v": 1, "areas": "many", "heard": true}, "", func(*tab) {}, "Some settings could not be read: the touch areas."},
		{"state-offline", short(nil), `Object.defineProperty(Navigator.prototype, "onLine", { get: () => false });`, func(p *tab) {
			eval[bool](p, `dispatchEvent(new Event("offline"))`)
		}, "You are offline. Everything here works without the network."},
	} {
		t.Run(c.name, func(t *testing.T) {
			tab := listener(t)
			tab.stored("settings", c.stored)
			if c.script != "" {
				tab.onEveryPage(c.script)
			}
			tab.size(1280, 800)
			tab.goTo(host.at("practise/"))
			c.do(tab)
			tab.waitFor(fmt.Sprintf(`document.body.innerText.replaceAll("\n", " ").includes(%s)`, quote(c.wait)), c.wait)
			look(tab, c.name)
		})
	}
}

// A page is read at 360 px, and at 200 % zoom, which halves the pixels of the
// style; nothing is cut off and nothing scrolls sideways. 320 is what WCAG 2.2
// asks for (success criterion 1.4.10).
func TestNarrowAndEnlarged(t *testing.T) {
	host := serve(t, "/")
	tab := listener(t)
	for _, page := range app.Pages() {
		name := pageName(page)
		tab.goTo(host.at(page.Path[1:]))
		for _, w := range []struct{ width, height int64 }{{320, 640}, {360, 740}, {640, 400}, {768, 1024}, {1024, 600}, {1280, 720}, {1920, 1080}} {
			tab.size(w.width, w.height)
			tab.waitFor(fmt.Sprintf(`innerWidth === %d`, w.width), "the size")
			tab.waitFor(`document.documentElement.scrollWidth <= innerWidth`, fmt.Sprintf("%s to fit into %d px", name, w.width))
			if page.Path == "/practise/" {
				aligned(tab, w.width)
			}
			cut := eval[[]string](tab, `[...document.querySelectorAll("button, select, input, h1, h2, p, dt, dd, label")].filter(e => e.checkVisibility({visibilityProperty: true})).filter(e => { const b = e.getBoundingClientRect(); return b.width > 2 && !e.closest(".unseen, .tabs") && (b.left < -1 || b.right > innerWidth + 1) }).map(e => e.innerText || e.id)`)
			for _, words := range cut {
				t.Errorf("%s at %d px: %q is cut off", name, w.width, words)
			}
			tab.screen(fmt.Sprintf("size-%d-%s", w.width, name))
		}
	}
}

// With the colours of the page taken away, the controls can still be told.
func TestMotionAndColoursOfTheReader(t *testing.T) {
	tab := listener(t)
	tab.stored("settings", short(nil))
	tab.size(1280, 800)
	tab.media(feature("prefers-reduced-motion", "reduce"), feature("forced-colors", "active"))
	tab.goTo(serve(t, "/").at("practise/"))
	tab.screen("forced-colours")
	// With reduced motion the playhead stands only on beats: over a bar it
	// takes as many places as there are beats.
	eval[bool](tab, `(() => {
		window.places = new Set();
		new MutationObserver(all => { for (const m of all) if (m.target.id === "strip-playhead") places.add(m.target.getAttribute("transform")) })
			.observe(document.body, { subtree: true, attributes: true, attributeFilter: ["transform"] });
		return true })()`)
	tab.press(key{Code: "Space"})
	tab.waitFor(`document.querySelector(".place")?.innerText.includes("pass 1")`, "the take")
	tab.press(key{Code: "KeyF"})
	tab.waitFor(`document.querySelector(".page.judged")`, "the verdict")
	if n := eval[int](tab, `places.size`); n < 6 || n > 8 {
		t.Errorf("the playhead stood at %d places in two bars of 4/4, want the 8 beats", n)
	}
}

// aligned checks that the strip is drawn for the width it has, so that its
// pixels are those of the style, and that the buttons that mute lie over the
// names of their voices.
func aligned(p *tab, width int64) {
	p.t.Helper()
	p.waitFor(`(() => { const s = document.querySelector(".strip .sm-strip"); return Math.abs(s.viewBox.baseVal.width - s.getBoundingClientRect().width) < 18 })()`, fmt.Sprintf("the strip as wide as its place at %d px", width))
	off := eval[[]float64](p, `(() => {
		const middle = e => { const b = e.getBoundingClientRect(); return b.y + b.height / 2 };
		const names = [...document.querySelectorAll(".strip .sm-label")].map(middle);
		return [...document.querySelectorAll(".mute")].map((e, i) => middle(e) - names[i]);
	})()`)
	for i, by := range off {
		if by < -6 || by > 6 {
			p.t.Errorf("at %d px the button of row %d lies %.0f px off its name", width, i+1, by)
		}
	}
}
