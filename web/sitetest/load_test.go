//go:build !js

package sitetest

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"stampmill/app"
	"stampmill/web/site"
)

var bases = []string{"/", "/stampmill/"}

func TestEveryPageOpensDirectly(t *testing.T) {
	for _, base := range bases {
		host := serve(t, base)
		tab := newTab(t)
		for _, page := range app.Pages() {
			tab.goTo(host.at(page.Path[1:]))
			if got := eval[string](tab, `location.pathname`); got != base+page.Path[1:] {
				t.Errorf("%s%s: the page moved to %s", base, page.Path[1:], got)
			}
			if text := tab.text("body"); strings.TrimSpace(text) == "" || strings.Contains(text, "Not Found") {
				t.Errorf("%s%s: shows %q", base, page.Path[1:], text)
			}
		}
	}
}

func TestLinksStayInsideTheSite(t *testing.T) {
	for _, base := range bases {
		host := serve(t, base)
		tab := open(t, host.at(""))
		for _, link := range eval[[]string](tab, `Array.from(document.querySelectorAll("a[href]"), a => a.href)`) {
			if below, ok := strings.CutPrefix(link, host.at("")); !ok || !isPage("/"+below) {
				t.Errorf("base %s: link to %s, which is no page of the site", base, link)
			}
		}
	}
}

func isPage(path string) bool {
	path, _, _ = strings.Cut(path, "#")
	for _, p := range app.Pages() {
		if p.Path == path {
			return true
		}
	}
	return false
}

func TestEveryPageIsUsableWithAssistiveTechnology(t *testing.T) {
	host := serve(t, "/")
	for _, page := range app.Pages() {
		t.Run("page"+page.Path, func(t *testing.T) {
			tab := open(t, host.at(page.Path[1:]))
			for _, scheme := range []string{"dark", "light"} {
				tab.theme(scheme)
				tab.checkAxe()
			}
			name := strings.Trim(page.Path, "/")
			if name == "" {
				name = "front"
			}
			tab.screens("page-" + name)
		})
	}
}

func TestProgramRunsWhateverTypeTheHostGivesIt(t *testing.T) {
	host := serve(t, "/")
	good := site.Handler(built(t, "/"), "/")
	host.answer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/app.wasm" {
			http.ServeFile(forcedType{w}, r, built(t, "/")+"/app.wasm")
			return
		}
		good.ServeHTTP(w, r)
	}))
	open(t, host.at(""))
}

// forcedType sends everything as text, as a host that does not know a type may.
type forcedType struct{ http.ResponseWriter }

func (w forcedType) WriteHeader(status int) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.ResponseWriter.WriteHeader(status)
}

func TestFailureIsSaidAndCanBeMended(t *testing.T) {
	host := serve(t, "/")
	good := site.Handler(built(t, "/"), "/")
	host.answer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/app.wasm" {
			http.Error(w, "away", http.StatusServiceUnavailable)
			return
		}
		good.ServeHTTP(w, r)
	}))
	tab := newTab(t)
	tab.allow("503")
	tab.do("opening", navigate(host.at("")))
	tab.waitFor(`document.getElementById("failure")`, "the notice of failure")
	const want = "The program did not arrive. Check the connection, then try again."
	if got := tab.text("#failure p"); got != want {
		t.Errorf("notice: %q, want %q", got, want)
	}
	tab.checkAxe()
	tab.screens("failed")
	host.answer(good)
	tab.click("#failure button")
	tab.waitFor(mounted, "the program's page after trying again")
}

func TestLoadingIsSaidInWords(t *testing.T) {
	host := serve(t, "/")
	good := site.Handler(built(t, "/"), "/")
	arrive := make(chan struct{})
	host.answer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/app.wasm" {
			sendSlowly(w, built(t, "/")+"/app.wasm", arrive)
			return
		}
		good.ServeHTTP(w, r)
	}))
	tab := newTab(t)
	tab.do("opening", navigate(host.at("")))
	tab.waitFor(`/^Loading the program, 1\.0 of \d+\.\d MB\.$/.test(document.getElementById("loading-words")?.textContent)`, "the words for one megabyte")
	tab.waitFor(`document.getElementById("loading-bar").value > 0.05`, "the bar to move")
	tab.checkAxe()
	tab.screens("loading")
	close(arrive)
	tab.waitFor(mounted, "the program's page")
}

// sendSlowly sends a million bytes of a file, and the rest after the signal.
func sendSlowly(w http.ResponseWriter, file string, rest <-chan struct{}) {
	data, err := os.ReadFile(file)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Write(data[:1_000_000])
	w.(http.Flusher).Flush()
	<-rest
	w.Write(data[1_000_000:])
}

func TestStoppedProgramIsSaid(t *testing.T) {
	source := copySource(t)
	change(t, filepath.Join(source, "web", "main.go"), func(text string) string {
		return strings.Replace(text, "import (", "import (\n\t\"time\"", 1) +
			"\nfunc init() { time.AfterFunc(time.Second, func() { panic(\"by the test\") }) }\n"
	})
	host := serve(t, "/")
	host.deploy(builtFrom(t, "/", source))
	tab := open(t, host.at(""))
	tab.allow("by the test", "goroutine", "main.go", "exit code", "Go program has already exited")
	tab.waitFor(`document.getElementById("failure")`, "the notice")
	const want = "The program stopped. What was stored is safe. Load the page again to go on."
	if got := tab.text("#failure p"); got != want {
		t.Errorf("notice: %q, want %q", got, want)
	}
	tab.checkAxe()
	tab.screens("stopped")
}

// A browser that denies the page its store runs the program all the same, and
// it says that nothing is kept.
func TestWithoutAStore(t *testing.T) {
	host := serve(t, "/")
	for _, denial := range []string{
		`get() { throw new DOMException("denied", "SecurityError") }`, // data of sites blocked
		`value: null`, // a view inside another program
	} {
		tab := newTab(t)
		for _, store := range []string{"localStorage", "sessionStorage"} {
			tab.onEveryPage(`Object.defineProperty(window, "` + store + `", { configurable: true, ` + denial + ` })`)
		}
		tab.size(1280, 800)
		tab.goTo(host.at("practise/"))
		tab.click(`[data-act="bar"][data-arg="2"]`)
		tab.waitFor(`document.querySelector('[data-act="bar"][data-arg="2"]').ariaPressed === "true"`, "the loop")
		choose(tab, "countin", "2")
		tab.waitFor(`document.querySelector(".foot .quiet").innerText.includes("no room for the settings")`, "the notice that nothing is kept")
	}
}
