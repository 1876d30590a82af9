//go:build !js

package sitetest

import (
	"context"
	"fmt"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"stampmill/web/site"
)

// moduleDir is the folder of go.mod, seen from this package.
const moduleDir = "../.."

// sites holds what this run has built, in one temporary folder.
var sites struct {
	mu    sync.Mutex
	dir   string
	built map[string]string // what was built → folder
}

// built makes the site once for each base path and gives its folder.
func built(t testing.TB, base string) string {
	t.Helper()
	return builtFrom(t, base, moduleDir)
}

// builtFrom is built from the source in another folder.
func builtFrom(t testing.TB, base, source string) string {
	t.Helper()
	sites.mu.Lock()
	defer sites.mu.Unlock()
	key := base + " of " + source
	if dir, ok := sites.built[key]; ok {
		return dir
	}
	if sites.built == nil {
		dir, err := os.MkdirTemp("", "stampmill-sitetest")
		if err != nil {
			t.Fatal(err)
		}
		sites.dir, sites.built = dir, map[string]string{}
	}
	out := filepath.Join(sites.dir, fmt.Sprint(len(sites.built)))
	if err := site.Build(context.Background(), site.Options{Out: out, Base: base, ModuleDir: source}); err != nil {
		t.Fatal(err)
	}
	sites.built[key] = out
	return out
}

// copySource copies Stampmill's source, for a version that differs.
func copySource(t testing.TB) string {
	t.Helper()
	to := t.TempDir()
	err := filepath.WalkDir(moduleDir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(moduleDir, path)
		if err != nil {
			return err
		}
		if d.IsDir() {
			if rel != "." && strings.HasPrefix(d.Name(), ".") {
				return fs.SkipDir
			}
			return os.MkdirAll(filepath.Join(to, rel), 0o777)
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(to, rel), data, 0o666)
	})
	if err != nil {
		t.Fatal(err)
	}
	return to
}

// change gives a file another content, made from the one it has.
func change(t testing.TB, file string, to func(string) string) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	changed := to(string(data))
	if changed == string(data) {
		t.Fatalf("%s: the change the test wants to make finds no place", file)
	}
	if err := os.WriteFile(file, []byte(changed), 0o666); err != nil {
		t.Fatal(err)
	}
}

// A host serves a built site on a loopback address for the length of a test.
type host struct {
	base    string
	server  *httptest.Server
	handler atomic.Pointer[http.Handler]
}

// serve builds the site for base and serves it.
func serve(t testing.TB, base string) *host {
	t.Helper()
	h := &host{base: base}
	h.deploy(built(t, base))
	h.server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		(*h.handler.Load()).ServeHTTP(w, r)
	}))
	t.Cleanup(h.server.Close)
	return h
}

// at gives the address of a page, named from the site's base: "" is the front page.
func (h *host) at(page string) string { return h.server.URL + h.base + page }

// deploy puts another build in the place of the one served.
func (h *host) deploy(dir string) { h.answer(site.Handler(dir, h.base)) }

// unplug cuts every connection from now on, as if the network were gone.
func (h *host) unplug() {
	h.answer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic(http.ErrAbortHandler) }))
}

// answer lets handler speak for the host.
func (h *host) answer(handler http.Handler) { h.handler.Store(&handler) }
