package site

import (
	"bytes"
	"compress/gzip"
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
)

func TestHandlerAnswersLikeAStaticHost(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	files := contents{
		"index.html": []byte("front"), "pit/index.html": []byte("pit"), "404.html": []byte("not here"),
		"app.wasm": []byte("\x00asm"), "start.js": []byte("start"), "icon.svg": []byte("<svg/>"), "manifest.webmanifest": []byte("{}"),
	}
	if err := write(dir, files); err != nil {
		t.Fatal(err)
	}
	handler := Handler(dir, "/deep/")
	const anew, forGood = "no-cache", "public, max-age=31536000, immutable"
	for _, c := range []struct {
		address        string
		status         int
		body, kind     string
		cache, moveTo  string
		withoutHeaders bool
	}{
		{address: "/deep/", status: 200, body: "front", kind: "text/html; charset=utf-8", cache: anew},
		{address: "/deep/index.html", status: 200, body: "front", kind: "text/html; charset=utf-8", cache: anew},
		{address: "/deep/pit/", status: 200, body: "pit", kind: "text/html; charset=utf-8", cache: anew},
		{address: "/deep/app.wasm", status: 200, body: "\x00asm", kind: "application/wasm", cache: anew},
		{address: "/deep/app.wasm?v=" + fullHash(files["app.wasm"])[:16], status: 200, body: "\x00asm", kind: "application/wasm", cache: forGood},
		{address: "/deep/app.wasm?v=0123456789abcdef", status: 200, body: "\x00asm", kind: "application/wasm", cache: anew},
		{address: "/deep/start.js", status: 200, body: "start", kind: "text/javascript; charset=utf-8", cache: anew},
		{address: "/deep/manifest.webmanifest", status: 200, body: "{}", kind: "application/manifest+json", cache: anew},
		{address: "/deep/none", status: 404, body: "not here", kind: "text/html; charset=utf-8", cache: anew},
		{address: "/deep/../../../etc/passwd", status: 404, body: "not here", kind: "text/html; charset=utf-8", cache: anew},
		{address: "/deep", status: 301, moveTo: "/deep/"},
		{address: "/deep/pit", status: 301, moveTo: "/deep/pit/"},
		{address: "/elsewhere", status: 404, withoutHeaders: true},
	} {
		w := httptest.NewRecorder()
		handler.ServeHTTP(w, httptest.NewRequest(http.MethodGet, c.address, nil))
		if w.Code != c.status || w.Header().Get("Location") != c.moveTo {
			t.Errorf("%s: status %d to %q, want %d to %q", c.address, w.Code, w.Header().Get("Location"), c.status, c.moveTo)
		}
		if c.moveTo != "" || c.withoutHeaders {
			continue
		}
		h := w.Header()
		if w.Body.String() != c.body || h.Get("Content-Type") != c.kind || h.Get("Cache-Control") != c.cache || h.Get("Content-Security-Policy") != Policy {
			t.Errorf("%s: %q with %v, want %q as %s, cached %s, under the policy", c.address, w.Body, h, c.body, c.kind, c.cache)
		}
	}
}

func TestHandlerCompressesAndNoticesChanges(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	handler := Handler(dir, "/")
	for _, text := range []string{strings.Repeat("ore ", 1000), strings.Repeat("slag ", 1000)} {
		if err := write(dir, contents{"index.html": []byte(text)}); err != nil {
			t.Fatal(err)
		}
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Header.Set("Accept-Encoding", "gzip, br")
		w := httptest.NewRecorder()
		handler.ServeHTTP(w, r)
		if w.Header().Get("Content-Encoding") != "gzip" || w.Body.Len() > len(text)/10 {
			t.Fatalf("%d bytes as %q", w.Body.Len(), w.Header().Get("Content-Encoding"))
		}
		unzipped, err := gzip.NewReader(w.Body)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := io.ReadAll(unzipped); err != nil || string(got) != text {
			t.Errorf("%d bytes came (%v), want %d of %.4q", len(got), err, len(text), text)
		}
	}
}

func TestServeKeepsToThisMachine(t *testing.T) {
	for _, addr := range []string{"0.0.0.0:0", "192.0.2.1:80", "example.org:80", "[::]:0", "8080"} { // 192.0.2.0/24: for documents, RFC 5737
		if l, err := Listen(addr); err == nil {
			l.Close()
			t.Errorf("%s was taken", addr)
		}
	}
	l, err := Listen("")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if !strings.HasPrefix(l.Addr().String(), "127.0.0.1:") {
		t.Errorf("listens on %s", l.Addr())
	}
}

func TestServeTellsItsAddressAndStops(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	told, tell := io.Pipe()
	ended := make(chan error)
	l, err := Listen("")
	if err != nil {
		t.Fatal(err)
	}
	go func() { ended <- Serve(ctx, l, t.TempDir(), "/deep", tell) }()
	line := make([]byte, 200)
	n, err := told.Read(line)
	if err != nil || !bytes.Contains(line[:n], []byte("http://127.0.0.1:")) || !bytes.Contains(line[:n], []byte("/deep/")) {
		t.Errorf("told %q, %v", line[:n], err)
	}
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
}
