//go:build !js

package sitetest

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"stampmill/app/logbook"
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
	tab.waitFor(fmt.Sprintf(`document.querySelector(".takes caption").innerText.endsWith("of %d, the newest first")`, takes), "every take")
	look(tab, "progress")
	tab.screens("progress")
	tab.size(1280, 800)
	tab.waitFor(`document.querySelector(".cards").classList.contains("columns-4")`, "the wide page")
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

// archived puts a book of n takes on the device: those of the learner, played
// again and again over two years. The takes themselves are not read there.
func (p *tab) archived(n int) {
	p.t.Helper()
	c := simulated.Course{Days: 28, Until: time.Now(), Seed: 7}
	for _, e := range exercises.Library() {
		c.Pieces = append(c.Pieces, simulated.Piece{Name: e.Name, Climb: e.Climb})
	}
	all, err := simulated.Practise(c)
	if err != nil {
		p.t.Fatal(err)
	}
	var made []logbook.Entry
	for _, one := range all {
		step := c.Pieces[one.Piece].Climb.Steps[one.Take.Step-1]
		v, err := grade.Grade(step.Passage, one.Take, grade.Options{NoSearch: true})
		if err != nil {
			p.t.Fatal(err)
		}
		made = append(made, logbook.EntryOf("", logbook.Record{At: one.At, Title: step.Title, Known: true, Take: one.Take}, step, v))
	}
	months := map[string][]logbook.Entry{}
	var names []string
	for i := range n {
		e := made[i*len(made)/n]
		e.At = time.Now().Add(-time.Duration(n-i) * (730 * 24 * time.Hour / time.Duration(n))).UTC().Truncate(time.Millisecond)
		e.Name = logbook.NameOf(e.At, nil)
		months[e.Month()], names = append(months[e.Month()], e), append(names, e.Name)
	}
	packed := map[string][]byte{}
	for month, entries := range months {
		packed[month] = logbook.Pack(grade.Grader, entries)
	}
	data, err := json.Marshal(map[string]any{"months": packed, "names": names}) // bytes in base64
	if err != nil {
		p.t.Fatal(err)
	}
	eval[bool](p, fmt.Sprintf(`new Promise((done, failed) => {
		const all = %s, open = indexedDB.open("stampmill");
		open.onerror = failed;
		open.onsuccess = () => {
			const change = open.result.transaction("records", "readwrite"), records = change.objectStore("records");
			for (const [name, bytes] of Object.entries(all.months)) records.put(Uint8Array.from(atob(bytes), c => c.charCodeAt(0)), name);
			for (const name of all.names) records.put(new Uint8Array(2), name);
			change.oncomplete = () => { open.result.close(); done(true) };
			change.onerror = failed;
		};
	})`, data))
}

// What it costs to look at 10,000 takes: how long the page takes to open, from
// the press on its link to its picture, the first time and again; how long
// another span and another page of takes take; and the longest time between two pictures while all of the page
// is scrolled through.
func BenchmarkOpenProgress(b *testing.B) {
	const takes = 10_000
	host := serve(b, "/")
	tab := listener(b)
	tab.stored("settings", short(nil))
	tab.size(1280, 800)
	tab.goTo(host.at("setup/"))
	tab.waitFor(`indexedDB.databases().then(all => all.some(d => d.name === "stampmill"))`, "the archive")
	tab.archived(takes)
	tab.goTo(host.at("progress/"))
	tab.waitFor(`document.querySelector(".takes caption")?.innerText.endsWith("of 10,000, the newest first")`, "the book")

	// timed is how many ms pass from a press until a picture shows what it is for.
	timed := func(press, shows string) float64 {
		return eval[float64](tab, fmt.Sprintf(`new Promise(done => {
			const since = performance.now();
			document.querySelector(%s).click();
			const look = () => %s ? requestAnimationFrame(() => setTimeout(() => done(performance.now() - since))) : setTimeout(look);
			look();
		})`, quote(press), shows))
	}
	open := func() float64 {
		return timed(`a.page-link[href$="/progress/"]`, `document.querySelector(".takes caption")`)
	}
	measure := func(name string, f func() float64) {
		var all []float64
		for range max(b.N, 10) {
			all = append(all, f())
		}
		slices.Sort(all)
		b.ReportMetric(all[len(all)/2], "ms-"+name)
		b.ReportMetric(all[len(all)-1], "ms-"+name+"-most")
	}
	b.ResetTimer()
	measure("open", func() float64 {
		tab.goTo(host.at("setup/"))
		tab.waitFor(`document.querySelector("main").innerText.includes("10000 takes")`, "the book, on a page that shows none of it")
		return open()
	})
	measure("open-again", func() float64 {
		timed(`a.page-link[href$="/setup/"]`, `document.querySelector(".page.setup")`)
		return open()
	})
	spans, turn := 0, 0
	measure("span", func() float64 {
		spans++
		arg := []string{"4", "12", "all"}[spans%3]
		return timed(`[data-act="progress-span"][data-arg="`+arg+`"]`, `document.querySelector('[data-act="progress-span"][data-arg="`+arg+`"]').ariaPressed === "true"`)
	})
	measure("older", func() float64 {
		turn++
		return timed("#older", fmt.Sprintf(`document.querySelector(".takes caption").innerText.startsWith("Takes %d to")`, 25*turn+1))
	})
	measure("scroll", func() float64 {
		return eval[float64](tab, `new Promise(done => {
			scrollTo(0, 0);
			let last = performance.now(), longest = 0, first = true;
			const on = now => {
				if (!first) longest = Math.max(longest, now - last);
				first = false; last = now;
				if (scrollY + innerHeight >= document.documentElement.scrollHeight - 1) return done(longest);
				scrollBy(0, 60); requestAnimationFrame(on);
			};
			requestAnimationFrame(on);
		})`)
	})
	b.ReportMetric(0, "ns/op")
}

// Without takes, and where they cannot be read, the page says so and what to do.
func TestProgressWithoutTakes(t *testing.T) {
	host := serve(t, "/")
	for _, c := range []struct{ name, script, says string }{
		{"progress-empty", "", "No take has been recorded yet."},
		{"progress-unread", `indexedDB.open = () => { throw new DOMException("refused", "SecurityError") };`, "What is due is not known"},
	} {
		tab := listener(t)
		tab.stored("settings", short(nil))
		if c.script != "" {
			tab.onEveryPage(c.script)
		}
		tab.size(1280, 800)
		tab.goTo(host.at("progress/"))
		tab.waitFor(fmt.Sprintf(`document.querySelector("main").innerText.includes(%s)`, quote(c.says)), c.says)
		look(tab, c.name)
		if n := eval[int](tab, `document.querySelectorAll("button.primary").length`); n > 1 {
			t.Errorf("%s: %d copper buttons", c.name, n)
		}
	}
}
