//go:build !js

package sitetest

import (
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/storage"
	"github.com/google/go-cmp/cmp"

	"stampmill/app/port"
	"stampmill/app/port/porttest"
)

// noRoom lets a transaction end as it does where the device is full, from the
// second record on: the browser's own limit cannot be set low enough in a test.
const noRoom = `(window.putAsBefore = IDBObjectStore.prototype.put, IDBObjectStore.prototype.put = function(value, name) {
	const request = putAsBefore.call(this, value, name), tx = this.transaction;
	if (value.length > 1000) request.onsuccess = () => {
		Object.defineProperty(tx, "error", { value: new DOMException("full", "QuotaExceededError") });
		tx.abort();
	};
	return request;
}, true)`

// The archive of the browser keeps the same promises as the one in memory, and
// comes through what a browser does to it: no call is left without an answer, a
// failed one changes nothing, and the next one works.
func TestArchiveKeepsItsPromises(t *testing.T) {
	handler, err := engineSite()
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(handler)
	t.Cleanup(server.Close)
	p := &player{tab: newTab(t)}
	p.allow("favicon")
	p.do("opening the archive", navigate(server.URL+"/archive"))
	p.said("^end$")
	lines := strings.Split(strings.TrimSuffix(p.text("#out"), "\nend\n"), "\n")
	if diff := cmp.Diff(porttest.Wanted(), lines); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	says := func(what, code, want string) {
		t.Helper()
		before := eval[int](p.tab, `document.getElementById("out").textContent.length`)
		p.press(key{Code: code})
		p.waitFor(`document.getElementById("out").textContent.length > `+strconv.Itoa(before), what)
		if got := eval[string](p.tab, `document.getElementById("out").textContent`)[before:]; strings.TrimSpace(got) != want {
			t.Errorf("%s: %q, want %q", what, got, want)
		}
	}
	eval[bool](p.tab, noRoom)
	says("without room", "KeyP", "put "+port.ErrNoRoom.Error())
	says("nothing was written", "KeyL", "names [] <nil>")
	eval[bool](p.tab, `(IDBObjectStore.prototype.put = putAsBefore, true)`)
	says("with room again", "KeyP", "put <nil>")
	eval[bool](p.tab, `new Promise(yes => indexedDB.deleteDatabase("stampmill").onsuccess = () => yes(true))`)
	says("deleted by another window", "KeyL", "names [] <nil>")
	says("after that", "KeyP", "put <nil>")
	call(p, storage.ClearDataForOrigin, storage.ClearDataForOriginParams{Origin: server.URL, StorageTypes: "indexeddb"})
	says("cleared by the browser", "KeyL", "names [] <nil>")
	eval[bool](p.tab, `new Promise(yes => { const r = indexedDB.open("stampmill", 9); r.onsuccess = () => { r.result.close(); yes(true); } })`)
	says("a newer version", "KeyL", "names [] "+port.ErrNewer.Error())
	eval[bool](p.tab, `Object.defineProperty(window, "indexedDB", { get() { throw new DOMException("denied", "SecurityError") } }), true`)
	says("denied", "KeyP", "put "+port.ErrDenied.Error())
}
