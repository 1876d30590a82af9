// Package site makes the static site: a folder that any web host can serve as
// it is, from the root of a host or from a folder below it. Build compiles the
// program from its source and puts the pages, the styles and the service worker
// round it; Serve shows a built folder on this machine.
//
// Building twice from one source gives the same bytes. Every file but the pages
// is asked for by an address that holds the start of its SHA-256, so files of
// two versions never meet in one page. Sizes are in bytes; paths inside the
// site use slashes and have no leading slash.
package site

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"strings"

	"stampmill/app"
)

// Policy is the Content-Security-Policy of every page: nothing from another
// host, nothing inline, and WebAssembly may be compiled.
const Policy = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self'; base-uri 'self'; form-action 'self'"

// Options say what Build makes and where.
type Options struct {
	Out       string    // folder to fill: absent, empty, or filled by an earlier Build
	Base      string    // path the site is served under, as "/" or "/stampmill/"; "" means "/"
	ModuleDir string    // Stampmill's source; "" means the module of the current folder
	Log       io.Writer // what is done and the sizes, line by line; nil means nothing is told
}

// Build fills o.Out with the whole site. It needs the go command and
// Stampmill's source, and says what to do where one is missing.
func Build(ctx context.Context, o Options) error {
	base, err := cleanBase(o.Base)
	if err != nil {
		return err
	}
	if o.Log == nil {
		o.Log = io.Discard
	}
	if err := mayFill(o.Out); err != nil {
		return err
	}
	source, err := findSource(ctx, o.ModuleDir)
	if err != nil {
		return err
	}
	fmt.Fprintf(o.Log, "Compiling the program from %s.\n", source)
	parts, err := gather(ctx, source)
	if err != nil {
		return err
	}
	files, err := assemble(parts, base, app.Pages())
	if err != nil {
		return err
	}
	if err := write(o.Out, files); err != nil {
		return err
	}
	fmt.Fprintf(o.Log, "The site is in %s, to be served under %s.\n", o.Out, base)
	return files.report(o.Log)
}

// cleanBase gives base with a slash at both ends.
func cleanBase(base string) (string, error) {
	if strings.ContainsAny(base, "?#\"'<>&\\ ") || strings.Contains(base, "..") {
		return "", fmt.Errorf("base path %q: not a plain path; write it like /stampmill/", base)
	}
	clean := path.Clean("/" + base)
	if clean == "/" {
		return "/", nil
	}
	return clean + "/", nil
}

// firstLine begins every worker.js that Build has written.
const firstLine = "const site = "

// mayFill protects a folder with other work in it.
func mayFill(out string) error {
	if out == "" {
		return errors.New("no folder named for the site; name one, for example -o site")
	}
	entries, err := os.ReadDir(out)
	if errors.Is(err, os.ErrNotExist) || err == nil && len(entries) == 0 {
		return nil
	}
	if err != nil {
		return fmt.Errorf("%s: cannot be used for the site: %w; name a folder", out, err)
	}
	worker, err := os.ReadFile(filepath.Join(out, "worker.js"))
	if err != nil || !strings.HasPrefix(string(worker), firstLine) {
		return fmt.Errorf("%s: not empty and not made by an earlier build; name an empty or a new folder", out)
	}
	return nil
}

// write puts the files into out, in place of whatever an earlier build left.
func write(out string, files contents) error {
	if err := os.MkdirAll(out, 0o777); err != nil {
		return fmt.Errorf("making the folder for the site: %w", err)
	}
	entries, err := os.ReadDir(out)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if err := os.RemoveAll(filepath.Join(out, e.Name())); err != nil {
			return fmt.Errorf("removing the earlier build: %w", err)
		}
	}
	for _, name := range files.names() {
		to := filepath.Join(out, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
			return err
		}
		if err := os.WriteFile(to, files[name], 0o666); err != nil {
			return fmt.Errorf("writing the site: %w", err)
		}
	}
	return nil
}
