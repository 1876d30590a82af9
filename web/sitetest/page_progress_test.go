//go:build !js

package sitetest

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"stampmill/exercises"
	"stampmill/exercises/grade"
	simulated "stampmill/exercises/player"
)

// practised lets a made-up learner of two climbs practise for some days up to
// now, and puts the takes where the first version of the program kept them.
func (p *tab) practised(days int) (takes int) {
	p.t.Helper()
	c := simulated.Course{Days: days, Until: time.Now(), Seed: 7}
	for _, e := range exercises.Library()[:2] {
		c.Pieces = append(c.Pieces, simulated.Piece{Name: e.Name, Climb: e.Climb})
	}
	all, err := simulated.Practise(c)
	if err != nil {
		p.t.Fatal(err)
	}
	records := map[string]string{}
	for i, one := range all {
		if one.At.After(time.Now()) { // the evening of today
			continue
		}
		take, err := grade.WriteTake(one.Take)
		if err != nil {
			p.t.Fatal(err)
		}
		record, err := json.Marshal(map[string]any{"v": 1, "at": one.At.UTC(), "take": json.RawMessage(take)})
		if err != nil {
			p.t.Fatal(err)
		}
		name := fmt.Sprintf("stampmill.take/%s-%s-%d", one.At.UTC().Format("2006-01-02T15-04-05.000Z"), one.Take.Exercise, i)
		records[name] = string(record)
	}
	data, err := json.Marshal(records)
	if err != nil {
		p.t.Fatal(err)
	}
	eval[bool](p, fmt.Sprintf(`(Object.entries(%s).forEach(([name, value]) => localStorage.setItem(name, value)), true)`, data))
	return len(records)
}

// A player looks at two weeks of practice: the page says what is due and what
// the takes show, every control works by the keyboard, and each picture can be
// taken away.
func TestProgress(t *testing.T) {
	host := serve(t, "/")
	tab := listener(t)
	tab.stored("settings", short(nil))
	tab.size(1280, 800)
	tab.goTo(host.at("setup/"))
	takes := tab.practised(14)
	tab.goTo(host.at("progress/"))
	tab.waitFor(`document.querySelectorAll(".card .ch-plot").length >= 5`, "the charts")
	if got := tab.text(".takes caption"); !strings.HasSuffix(got, fmt.Sprintf("of %d, the newest first", takes)) {
		t.Errorf("%d takes were stored; the table says %q", takes, got)
	}
	look(tab, "progress")
	tab.screens("progress")
	tab.size(1280, 800)
	tab.onPaper(func() { tab.screen("progress-paper") })

	focusOn(tab, "h1")
	order := strings.Join(tabOrder(tab), "\n")
	for _, want := range []string{"4 weeks", "All", "Save: Leaning and spread, ms", "progress-weak", "Older"} {
		if !strings.Contains(order, want) {
			t.Errorf("the Tab key does not come to %q; it comes to %q", want, order)
		}
	}
	focusOn(tab, `[data-act="progress-span"][data-arg="4"]`)
	tab.press(key{Code: "Enter"})
	tab.waitFor(`document.querySelector('[data-act="progress-span"][data-arg="4"]').ariaPressed === "true"`, "another span")
	was := tab.text("#card-weak + span")
	choose(tab, "progress-weak", eval[string](tab, `document.getElementById("progress-weak").options[1].value`))
	tab.waitFor(fmt.Sprintf(`document.querySelector("#card-weak + span").innerText !== %s`, quote(was)), "another step's weak places")

	focusOn(tab, "#older")
	tab.press(key{Code: "Enter"})
	tab.waitFor(`document.querySelector(".takes caption").innerText.startsWith("Takes 26 to 50")`, "older takes")
	focusOn(tab, ".take-open")
	tab.press(key{Code: "Enter"})
	tab.waitFor(`document.querySelector(".take-more")`, "what was said of a take")
	tab.checkAxe()
	focusOn(tab, `[data-act="take-save"]`)
	tab.press(key{Code: "Enter"})
	if file := string(tab.offered()); !strings.Contains(file, `"taps"`) {
		t.Errorf("the saved take: %.200s", file)
	}
	for act, holds := range map[string]string{"chart-svg": "<svg", "chart-csv": "leaning ms"} {
		eval[bool](tab, `(heard.files.length = 0, document.querySelector("#card-leaning").closest(".card").querySelector("details").open = true)`)
		focusOn(tab, `[data-act="`+act+`"][data-arg="leaning"]`)
		tab.press(key{Code: "Enter"})
		if file := string(tab.offered()); !strings.Contains(file, holds) {
			t.Errorf("%s: %.200s", act, file)
		}
	}
	for _, width := range []int64{320, 360, 640, 768, 1024, 1280, 1920} {
		tab.size(width, 800)
		tab.waitFor(fmt.Sprintf(`innerWidth === %d && document.documentElement.scrollWidth <= innerWidth`, width), fmt.Sprintf("the page to fit into %d px", width))
		tab.waitFor(`[...document.querySelectorAll(".ch-plot")].every(e => Math.abs(e.viewBox.baseVal.width - e.getBoundingClientRect().width) < 20)`, fmt.Sprintf("charts drawn for the width they have at %d px", width))
		tab.screen(fmt.Sprintf("size-%d-progress-fortnight", width))
	}
	tab.size(1280, 800)
	focusOn(tab, "#start")
	tab.press(key{Code: "Enter"})
	tab.waitFor(`location.pathname === "/practise/" && document.activeElement.id === "go"`, "Practise, with the keyboard on Start")
}

// onPaper does something while the page is styled for printing.
func (p *tab) onPaper(do func()) {
	p.t.Helper()
	for _, medium := range []string{"print", ""} {
		if _, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: medium}); err != nil {
			p.t.Fatal(err)
		}
		if medium != "" {
			do()
		}
	}
}
