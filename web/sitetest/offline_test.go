//go:build !js

package sitetest

import (
	"net/http"
	"path/filepath"
	"strings"
	"testing"

	"stampmill/app"
	"stampmill/web/site"
)

// kept is true once the site is stored whole and its worker in charge.
const kept = `navigator.serviceWorker.controller?.state === "activated"`

func TestEveryPageOpensOfflineAfterTheFirstVisit(t *testing.T) {
	for _, base := range bases {
		t.Run("base"+base, func(t *testing.T) {
			host := serve(t, base)
			tab := open(t, host.at(""))
			tab.waitFor(kept, "the site to be kept")
			host.unplug()
			tab.allow("ERR_EMPTY_RESPONSE", "Failed to update a ServiceWorker")
			for i, page := range app.Pages() {
				path := page.Path[1:]
				forms := []string{path}
				if i < 2 { // the front page and one below it: the others are found alike
					forms = append(forms, path+"?from=a-link", path+"#exercise", path+"index.html", strings.TrimSuffix(path, "/"))
				}
				for _, address := range forms {
					tab.do("emptying the tab", navigate("about:blank"))
					tab.goTo(host.at(address))
					if got := eval[string](tab, `location.pathname`); got != base+path {
						t.Errorf("%s offline: the page moved to %s", address, got)
					}
				}
			}
			tab.do("opening", navigate(host.at("not/a/page")))
			tab.waitFor(`document.querySelector("h1")?.textContent === "This page is not here"`, "the notice for an address without a page")
		})
	}
}

// version gives the version of the program that runs in the tab.
func (p *tab) version() string {
	p.t.Helper()
	return eval[string](p, `goappGetenv("STAMPMILL_VERSION")`)
}

// update looks for a new version and waits until its worker is in charge
// ("activated") or thrown away ("redundant"); "" means nothing was new.
func (p *tab) update() string {
	p.t.Helper()
	return eval[string](p, `navigator.serviceWorker.getRegistration().then(r => r.update()).then(r => {
		const worker = r.installing ?? r.waiting;
		const over = () => worker.state === "activated" || worker.state === "redundant";
		if (!worker || over()) return worker?.state ?? "";
		return new Promise(end => worker.addEventListener("statechange", () => over() && end(worker.state)));
	})`)
}

// changedSite builds a version of the site with one more line of style.
func changedSite(t *testing.T, base string) string {
	t.Helper()
	source := copySource(t)
	change(t, filepath.Join(source, "web", "static", "stampmill.css"), func(text string) string {
		return text + "\nhtml { --version-of-the-test: 2; }\n"
	})
	return builtFrom(t, base, source)
}

// hasChangedStyle tells whether the style of changedSite is in force.
const hasChangedStyle = `getComputedStyle(document.documentElement).getPropertyValue("--version-of-the-test") === "2"`

func TestNewVersionIsTakenOnTheNextVisit(t *testing.T) {
	host := serve(t, "/")
	tab := open(t, host.at(""))
	tab.waitFor(kept, "the site to be kept")
	first := tab.version()

	next := changedSite(t, "/")
	host.deploy(next)
	tab.reload() // shows what is stored, and fetches the new version meanwhile
	if got := tab.version(); got != first || eval[bool](tab, hasChangedStyle) {
		t.Fatalf("first visit after the change: version %s with changed style %v; want all of %s", got, eval[bool](tab, hasChangedStyle), first)
	}
	if state := tab.update(); state == "redundant" {
		t.Fatal("the worker of the new version was thrown away")
	}
	tab.reload()
	if got := tab.version(); got == first || !eval[bool](tab, hasChangedStyle) {
		t.Errorf("next visit: version %s with changed style %v; want all of the new version", got, eval[bool](tab, hasChangedStyle))
	}
	host.unplug()
	tab.allow("ERR_EMPTY_RESPONSE", "Failed to update a ServiceWorker")
	tab.reload()
	if !eval[bool](tab, hasChangedStyle) {
		t.Error("offline after the change: the old style is back")
	}
}

func TestHalfDeployedVersionIsNotTaken(t *testing.T) {
	host := serve(t, "/")
	tab := open(t, host.at(""))
	tab.waitFor(kept, "the site to be kept")
	first := tab.version()

	// The host already has the new worker and pages, but still the old style.
	oldFiles, newFiles := site.Handler(built(t, "/"), "/"), site.Handler(changedSite(t, "/"), "/")
	host.answer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/stampmill.css" {
			oldFiles.ServeHTTP(w, r)
			return
		}
		newFiles.ServeHTTP(w, r)
	}))
	tab.allow("is not the file of version", "ServiceWorker")
	for range 2 {
		tab.reload()
		if state := tab.update(); state != "redundant" {
			t.Fatalf("the worker of the half-deployed version became %q; want it thrown away", state)
		}
		if got := tab.version(); got != first || eval[bool](tab, hasChangedStyle) {
			t.Fatalf("half-deployed: version %s with changed style %v; want all of %s", got, eval[bool](tab, hasChangedStyle), first)
		}
	}
}
