//go:build !js

package sitetest

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"
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

// What starting the program on Progress costs with ten takes or ten thousand,
// which themselves are not read: by the clock from the page being there to its
// charts (ms-open), the work of the page's thread from the start of the program
// (ms-work), and its longest task, which may be the start itself. What ten
// thousand cost is the difference.
func BenchmarkOpeningTakes(b *testing.B) {
	for _, n := range []int{10, 10_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) { openingTakes(b, n) })
	}
}

func openingTakes(b *testing.B, n int) {
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
	tab.waitFor(`indexedDB.databases().then(all => all.some(d => d.name === "stampmill"))`, "the archive")
	tab.archived(n)
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
