//go:build !js

package sitetest

import (
	"encoding/base64"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"

	"stampmill/app/logbook"
	"stampmill/exercises"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
	simulated "stampmill/exercises/player"
)

// inArchive is what an expression over all names and values of the archive
// gives.
const inArchive = `new Promise(yes => { const open = indexedDB.open("stampmill"); open.onsuccess = () => {
	const store = open.result.transaction("records").objectStore("records"), names = store.getAllKeys();
	names.onsuccess = () => { open.result.close(); yes((names => %s)(names.result)); };
} })`

// Some days of takes of the first version come over, go out as a backup and as a
// table, are deleted, and come in again with the backup dropped on the page.
func TestTakesGoOutAndIn(t *testing.T) {
	host := serve(t, "/")
	tab := listener(t)
	tab.stored("settings", short(nil))
	tab.goTo(host.at("setup/"))
	takes := tab.practised(4)
	tab.goTo(host.at("setup/"))
	kept := fmt.Sprintf("%d takes, only in this browser.", takes)
	tab.waitFor(`document.querySelector("main").innerText.includes(`+quote(kept)+`)`, kept)
	tab.waitFor(fmt.Sprintf(inArchive, `names.filter(n => n.startsWith("take/")).length`)+fmt.Sprintf(`.then(n => n == %d)`, takes), "the takes in the archive")
	if left := eval[int](tab, `Object.keys(localStorage).filter(n => n.startsWith("stampmill.take/")).length`); left != 0 {
		t.Errorf("%d takes are still where they were", left)
	}
	tab.click(`[data-act="hits"]`)
	if table := string(tab.offered()); !strings.HasPrefix(table, "take,ended,exercise") || strings.Count(table, "\n") < 20*takes {
		t.Errorf("a table of %d takes:\n%.300s", takes, table)
	}
	eval[bool](tab, `(heard.files.length = 0, true)`)
	tab.click(`[data-act="backup"]`)
	backup := tab.offered()
	var file struct{ Records map[string]json.RawMessage }
	if err := json.Unmarshal(backup, &file); err != nil || len(file.Records) < takes || len(file.Records["settings"]) == 0 {
		t.Errorf("a backup of %d takes has %d records, %v", takes, len(file.Records), err)
	}
	look(tab, "setup-data")
	tab.click(`[data-act="delete"]`)
	tab.click(`[data-act="delete-yes"]`)
	tab.waitFor(`document.querySelector("main").innerText.includes("Everything was deleted.")`, "the deleting")
	if left := eval[int](tab, fmt.Sprintf(inArchive, `names.length`)+`.then(n => n + Object.keys(localStorage).filter(n => n.startsWith("stampmill.")).length)`); left != 0 {
		t.Errorf("%d records are left", left)
	}
	eval[bool](tab, `(() => {
		const all = new DataTransfer();
		all.items.add(new File([`+quote(string(backup))+`], "backup.json"));
		return dispatchEvent(new DragEvent("drop", { dataTransfer: all, cancelable: true })) || true;
	})()`)
	came := fmt.Sprintf("The backup was read. %d takes came in, none were here already.", takes)
	tab.waitFor(`document.querySelector("main").innerText.includes(`+quote(came)+`)`, came)
	tab.waitFor(`document.querySelector("main").innerText.includes(`+quote(kept)+`)`, kept)
	tab.checkAxe()
}

// year are packed entries of n takes of a year, by name, and the names of the
// takes.
func year(t testing.TB, n int) (packs map[string]string, names []string) {
	t.Helper()
	climb, err := exercises.Open("headframe")
	if err != nil {
		t.Fatal(err)
	}
	var kinds []logbook.Entry
	for i, st := range climb.Steps {
		take := grade.Take{Exercise: "headframe", Step: i + 1, Tempo: 100, Passes: 4, Part: []passage.Voice{passage.Kick}, Input: "keyboard"}
		e, err := grade.Expect(st.Passage, take, false)
		if err != nil {
			t.Fatal(err)
		}
		take.Taps = simulated.Simulate(e, simulated.Options{SpreadMS: 9}, rand.New(rand.NewPCG(1, 2)))
		kinds = append(kinds, logbook.Judge("", logbook.Record{At: time.Now(), Title: st.Title, Known: true, Take: take}, climb.Steps))
	}
	months := map[string][]logbook.Entry{}
	begin := time.Now().AddDate(-1, 0, 0)
	for i := range n {
		e := kinds[i%len(kinds)]
		e.At = begin.Add(time.Duration(i) * (364 * 24 * time.Hour / time.Duration(n))).UTC()
		e.Name = fmt.Sprintf("%s%s-%08x", logbook.TakePrefix, logbook.Stamp(e.At), i)
		months[e.Month()] = append(months[e.Month()], e)
		names = append(names, e.Name)
	}
	packs = map[string]string{}
	for m, entries := range months {
		packs[m] = base64.StdEncoding.EncodeToString(logbook.Pack(grade.Grader, entries))
	}
	return packs, names
}

// What opening Progress costs with takes of a year, ten or ten thousand, which
// themselves are not read: by the clock from the page being there to its
// charts (ms-open), the work of the page's thread from the start of the program
// (ms-work), and its longest task, which may be the start itself.
func BenchmarkOpeningTakes(b *testing.B) {
	for _, n := range []int{10, 10_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) { openingTakes(b, n) })
	}
}

func openingTakes(b *testing.B, n int) {
	packs, names := year(b, n)
	host := serve(b, "/")
	tab := listener(b)
	tab.onEveryPage(longTasks + `
window.opened = {};
new MutationObserver(() => {
	if (!opened.page && document.querySelector("main")) opened.page = performance.now();
	if (!opened.charts && document.querySelector(".takes caption")) opened.charts = performance.now();
}).observe(document, { childList: true, subtree: true, characterData: true });`)
	tab.stored("settings", short(nil))
	tab.goTo(host.at("setup/"))
	data, err := json.Marshal(map[string]any{"packs": packs, "names": names})
	if err != nil {
		b.Fatal(err)
	}
	eval[bool](tab, `new Promise(yes => { const data = `+string(data)+`, open = indexedDB.open("stampmill", 1);
		open.onupgradeneeded = () => open.result.createObjectStore("records"); // where the program has not come to it yet
		open.onsuccess = () => {
		const tx = open.result.transaction("records", "readwrite"), store = tx.objectStore("records");
		for (const name in data.packs) store.put(Uint8Array.from(atob(data.packs[name]), c => c.charCodeAt(0)), name);
		for (const name of data.names) store.put(new Uint8Array(4000), name);
		tx.oncomplete = () => { open.result.close(); yes(true); };
	} })`)
	if _, err := chromedp.Call(tab.ctx, performance.Enable, performance.EnableParams{TimeDomain: "threadTicks"}); err != nil {
		b.Fatal(err)
	}
	var open, work, longest float64
	for b.Loop() {
		before, _ := tab.spent()
		tab.goTo(host.at("progress/"))
		tab.waitFor(`opened.charts`, "the charts")
		after, _ := tab.spent()
		if after < before { // another renderer: its own count
			before = 0
		}
		work += after - before
		open += eval[float64](tab, `opened.charts - opened.page`)
		longest = max(longest, eval[float64](tab, `Math.max(0, ...work.long)`))
	}
	b.ReportMetric(open/float64(b.N), "ms-open")
	b.ReportMetric(work/float64(b.N), "ms-work")
	b.ReportMetric(longest, "ms-longest-task")
	b.ReportMetric(0, "ns/op")
}
