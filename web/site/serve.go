package site

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"
	"mime"
	"net"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"strings"
	"sync"
	"time"
)

// Serve shows the site in dir, built for base, to those who call the listener
// (see [Listen]) until ctx ends, and writes its address to log.
func Serve(ctx context.Context, listener net.Listener, dir, base string, log io.Writer) error {
	defer listener.Close()
	base, err := cleanBase(base)
	if err != nil {
		return err
	}
	server := &http.Server{Handler: Handler(dir, base), ReadHeaderTimeout: 10 * time.Second}
	stopped := context.AfterFunc(ctx, func() { server.Close() })
	defer stopped()
	fmt.Fprintf(log, "Stampmill is at http://%s%s (stop with Ctrl+C)\n", listener.Addr(), base)
	if err := server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
		return fmt.Errorf("serving the site: %w", err)
	}
	return nil
}

// Listen takes an address of this machine, and of this machine only: addr is ""
// or ":0" for any free port, ":8080" for a given one; another host than
// 127.0.0.1, ::1 or localhost is refused.
func Listen(addr string) (net.Listener, error) {
	if addr == "" {
		addr = ":0"
	}
	host, port, err := net.SplitHostPort(addr)
	if err != nil {
		return nil, fmt.Errorf("address %q: %w; write it like :8080", addr, err)
	}
	if host == "" {
		host = "127.0.0.1"
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return nil, fmt.Errorf("address %q: reaches beyond this machine; use 127.0.0.1, or put the built folder on a web host", addr)
	}
	listener, err := net.Listen("tcp", net.JoinHostPort(host, port))
	if err != nil {
		return nil, fmt.Errorf("address %q cannot be used: %w; leave the port out to take a free one", addr, err)
	}
	return listener, nil
}

// Handler serves the site in dir, built for base, as a good static host would:
// compressed, with the security policy as a header, with files kept for good
// under the addresses that hold their hash, and asked for anew otherwise.
func Handler(dir, base string) http.Handler {
	host := &folder{dir: dir, base: base, zipped: map[string][]byte{}}
	return http.HandlerFunc(host.serve)
}

type folder struct {
	dir, base string
	mu        sync.Mutex
	zipped    map[string][]byte // hash → compressed
}

func (f *folder) serve(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		http.Error(w, "only GET and HEAD are answered here", http.StatusMethodNotAllowed)
		return
	}
	if r.URL.Path+"/" == f.base {
		http.Redirect(w, r, f.base, http.StatusMovedPermanently)
		return
	}
	name, below := strings.CutPrefix(r.URL.Path, f.base)
	if !below {
		http.NotFound(w, r)
		return
	}
	f.serveName(w, r, name)
}

// serveName answers for a path below the base: a file, a folder's page, a
// folder without its slash, or the page for what is not here.
func (f *folder) serveName(w http.ResponseWriter, r *http.Request, name string) {
	if name == "" || strings.HasSuffix(name, "/") {
		name += "index.html"
	}
	info, err := os.Stat(f.file(name))
	switch {
	case err == nil && info.IsDir():
		http.Redirect(w, r, f.base+name+"/", http.StatusMovedPermanently)
	case err == nil:
		f.send(w, r, name, http.StatusOK)
	default:
		f.sendNotFound(w, r)
	}
}

func (f *folder) file(name string) string {
	return filepath.Join(f.dir, filepath.FromSlash(path.Clean("/"+name)))
}

func (f *folder) sendNotFound(w http.ResponseWriter, r *http.Request) {
	if _, err := os.Stat(f.file(notFoundFile)); err != nil {
		http.NotFound(w, r)
		return
	}
	f.send(w, r, notFoundFile, http.StatusNotFound)
}

func (f *folder) send(w http.ResponseWriter, r *http.Request, name string, status int) {
	data, err := os.ReadFile(f.file(name))
	if err != nil {
		http.Error(w, "the file cannot be read", http.StatusInternalServerError)
		return
	}
	hash := fullHash(data)
	h := w.Header()
	h.Set("Content-Type", contentType(name))
	h.Set("Content-Security-Policy", Policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Cache-Control", "no-cache")
	if r.URL.Query().Get("v") == hash[:16] {
		h.Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	if compressible(name) && acceptsGzip(r) {
		h.Set("Content-Encoding", "gzip")
		h.Set("Vary", "Accept-Encoding")
		data = f.zip(hash, data)
	}
	h.Set("Content-Length", fmt.Sprint(len(data)))
	w.WriteHeader(status)
	if r.Method == http.MethodGet {
		w.Write(data)
	}
}

// contentType does not ask the machine's own table, which may lack or bend types.
func contentType(name string) string {
	switch path.Ext(name) {
	case ".wasm":
		return "application/wasm"
	case ".webmanifest":
		return "application/manifest+json"
	case ".js":
		return "text/javascript; charset=utf-8"
	}
	if t := mime.TypeByExtension(path.Ext(name)); t != "" {
		return t
	}
	return "application/octet-stream"
}

func compressible(name string) bool { return path.Ext(name) != ".png" }

func acceptsGzip(r *http.Request) bool {
	return strings.Contains(r.Header.Get("Accept-Encoding"), "gzip")
}

// zip compresses each content once.
func (f *folder) zip(hash string, data []byte) []byte {
	f.mu.Lock()
	defer f.mu.Unlock()
	if had, ok := f.zipped[hash]; ok {
		return had
	}
	var b bytes.Buffer
	g := gzip.NewWriter(&b)
	g.Write(data) // a bytes.Buffer takes everything
	g.Close()
	f.zipped[hash] = b.Bytes()
	return b.Bytes()
}
