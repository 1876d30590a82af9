package site

import (
	"bytes"
	"crypto/sha256"
	_ "embed" // for page.html
	"encoding/hex"
	"encoding/json"
	"fmt"
	"html/template"
	"maps"
	"slices"
	"strings"

	"stampmill/app"
)

// contents maps a file's path in the site to its bytes.
type contents map[string][]byte

func (c contents) names() []string { return slices.Sorted(maps.Keys(c)) }

// Files of web/static that are not served as they are.
const (
	startFile    = "start.js"
	workerFile   = "worker.js"
	manifestFile = "manifest.webmanifest"
	notFoundFile = "404.html"
)

//go:embed page.html
var pageSource string

var pageTemplate = template.Must(template.New("page.html").Parse(pageSource))

// assemble makes the files of the site from its parts: it names each file by its
// hash, and writes the pages, the manifest, the start file and the worker that
// use those names.
func assemble(parts contents, base string, pages []app.Page) (contents, error) {
	for _, need := range []string{startFile, workerFile, "app.wasm", "wasm_exec.js", "stampmill.css", "icon.svg", "icon-192.png", "icon-512.png", "icon-maskable-512.png"} {
		if len(parts[need]) == 0 {
			return nil, fmt.Errorf("web/static/%s: missing or empty; the site cannot be made without it", need)
		}
	}
	b := builder{base: base, pages: pages, version: version(parts, base, pages), out: contents{}, address: map[string]string{}}
	for _, name := range parts.names() {
		if name != startFile && name != workerFile {
			b.add(name, parts[name])
		}
	}
	steps := []func(contents) error{b.addManifest, b.addStart, b.addPages, b.addWorker}
	for _, step := range steps {
		if err := step(parts); err != nil {
			return nil, err
		}
	}
	return b.out, nil
}

// version names a state of the whole site: 16 hexadecimal digits of a hash over
// everything the site is made of.
func version(parts contents, base string, pages []app.Page) string {
	h := sha256.New()
	fmt.Fprintf(h, "%q %q %q\n", base, pages, pageSource)
	for _, name := range parts.names() {
		fmt.Fprintf(h, "%q %x\n", name, sha256.Sum256(parts[name]))
	}
	return hex.EncodeToString(h.Sum(nil))[:16]
}

type builder struct {
	base    string
	pages   []app.Page
	version string
	out     contents
	address map[string]string // name → name?v=hash
}

func (b *builder) add(name string, data []byte) {
	b.out[name] = data
	b.address[name] = name + "?v=" + fullHash(data)[:16]
}

func fullHash(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// addManifest writes what an installed site is called and where it starts.
func (b *builder) addManifest(contents) error {
	icon := func(name, kind, sizes, purpose string) map[string]string {
		return map[string]string{"src": b.base + b.address[name], "type": kind, "sizes": sizes, "purpose": purpose}
	}
	data, err := json.MarshalIndent(map[string]any{
		"id":               b.base,
		"name":             b.pages[0].Title,
		"short_name":       b.pages[0].Title,
		"description":      b.pages[0].Description,
		"lang":             "en",
		"scope":            b.base,
		"start_url":        b.base,
		"display":          "standalone",
		"background_color": "#14161a", // --ground of stampmill.css
		"theme_color":      "#14161a",
		"icons": []map[string]string{
			icon("icon.svg", "image/svg+xml", "any", "any"),
			icon("icon-192.png", "image/png", "192x192", "any"),
			icon("icon-512.png", "image/png", "512x512", "any"),
			icon("icon-maskable-512.png", "image/png", "512x512", "maskable"),
		},
	}, "", "  ")
	b.add(manifestFile, data)
	return err
}

// addStart writes the script that brings the program to the page.
func (b *builder) addStart(parts contents) error {
	data, err := withSite(parts[startFile], struct {
		Version   string            `json:"version"`
		Base      string            `json:"base"`
		Files     map[string]string `json:"files"`
		WasmBytes int               `json:"wasmBytes"`
	}{b.version, b.base, b.address, len(parts["app.wasm"])})
	b.add(startFile, data)
	return err
}

// addPages writes one page for each address, and the one shown for all others.
func (b *builder) addPages(contents) error {
	for _, p := range b.pages {
		if !strings.HasPrefix(p.Path, "/") || !strings.HasSuffix(p.Path, "/") {
			return fmt.Errorf("page %q: a page's path starts and ends in a slash", p.Path)
		}
		if err := b.addPage(p.Path[1:]+"index.html", p, b.address[startFile]); err != nil {
			return err
		}
	}
	return b.addPage(notFoundFile, app.Page{Title: "Not here · " + b.pages[0].Title}, "")
}

func (b *builder) addPage(name string, p app.Page, start string) error {
	var text bytes.Buffer
	err := pageTemplate.Execute(&text, struct {
		app.Page
		Policy, Base, Start string
		Files               map[string]string
	}{p, Policy, b.base, start, b.address})
	b.out[name] = text.Bytes()
	return err
}

// addWorker writes the service worker, which knows every file and its hash.
func (b *builder) addWorker(parts contents) error {
	hashes := map[string]string{}
	for name, address := range b.address {
		hashes[address] = fullHash(b.out[name])
	}
	paths := make([]string, len(b.pages))
	for i, p := range b.pages {
		paths[i] = p.Path[1:]
	}
	data, err := withSite(parts[workerFile], struct {
		Version string            `json:"version"`
		Pages   []string          `json:"pages"`
		Start   string            `json:"start"`
		Files   map[string]string `json:"files"`
	}{b.version, paths, b.address[startFile], hashes})
	b.out[workerFile] = data
	return err
}

// withSite puts what a script knows of the site on a line before it.
func withSite(script []byte, site any) ([]byte, error) {
	known, err := json.Marshal(site)
	if err != nil {
		return nil, err
	}
	return slices.Concat([]byte(firstLine), known, []byte(";\n"), script), nil
}
