package site

import (
	"encoding/json"
	"maps"
	"regexp"
	"strings"
	"testing"

	"stampmill/app"
)

// someParts stand for what gather would bring.
func someParts() contents {
	parts := contents{}
	for _, name := range []string{"start.js", "worker.js", "app.wasm", "wasm_exec.js", "stampmill.css", "icon.svg", "icon-192.png", "icon-512.png", "icon-maskable-512.png", "more.js"} {
		parts[name] = []byte("the content of " + name)
	}
	return parts
}

var somePages = []app.Page{{Path: "/", Title: "Front", Description: `Says "hello" & more.`}, {Path: "/pit/", Title: "Pit", Description: "Deep."}}

func assembled(t *testing.T, parts contents, base string) contents {
	t.Helper()
	files, err := assemble(parts, base, somePages)
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func TestAssembleGivesTheSameFilesEachTime(t *testing.T) {
	first := assembled(t, someParts(), "/")
	for range 5 { // maps come in another order each time
		for name, data := range assembled(t, someParts(), "/") {
			if string(first[name]) != string(data) {
				t.Fatalf("%s differs", name)
			}
		}
	}
}

func TestPagesHoldNothingInline(t *testing.T) {
	inline := regexp.MustCompile(`(?i)<style|\sstyle=|\son[a-z]+=|javascript:|<script[^>]*>[^<]`)
	elsewhere := regexp.MustCompile(`(?:src|href)="(https?:)?//`)
	for name, data := range assembled(t, someParts(), "/") {
		if !strings.HasSuffix(name, ".html") {
			continue
		}
		for _, bad := range []*regexp.Regexp{inline, elsewhere} {
			if found := bad.Find(data); found != nil {
				t.Errorf("%s holds %q, which the security policy forbids", name, found)
			}
		}
		if !strings.Contains(string(data), "Content-Security-Policy") {
			t.Errorf("%s has no policy of its own, for hosts that send none", name)
		}
	}
}

func TestEveryAddressOfAPageIsAFileOfTheSite(t *testing.T) {
	address := regexp.MustCompile(`(?:src|href)="([^"#]+)"`)
	for _, base := range []string{"/", "/deep/below/"} {
		files := assembled(t, someParts(), base)
		for name, data := range files {
			if !strings.HasSuffix(name, ".html") {
				continue
			}
			for _, m := range address.FindAllStringSubmatch(string(data), -1) {
				below, ok := strings.CutPrefix(m[1], base)
				file, hash, hasHash := strings.Cut(below, "?v=")
				content, known := files[file]
				if m[1] == base {
					continue
				}
				if !ok || !known || !hasHash || hash != fullHash(content)[:16] {
					t.Errorf("base %s, %s: %s is not a file of the site with its hash", base, name, m[1])
				}
			}
		}
	}
}

func TestEveryChangeMakesAnotherVersion(t *testing.T) {
	was := version(someParts(), "/", somePages)
	for name := range someParts() {
		changed := someParts()
		changed[name] = append(changed[name], '!')
		if version(changed, "/", somePages) == was {
			t.Errorf("a change of %s leaves the version", name)
		}
	}
	if version(someParts(), "/other/", somePages) == was || version(someParts(), "/", somePages[:1]) == was {
		t.Error("another base or other pages leave the version")
	}
}

func TestManifestFollowsTheBase(t *testing.T) {
	var m struct {
		ID, Scope, Name string
		StartURL        string `json:"start_url"`
		Icons           []struct{ Src string }
	}
	if err := json.Unmarshal(assembled(t, someParts(), "/deep/")["manifest.webmanifest"], &m); err != nil {
		t.Fatal(err)
	}
	if m.ID != "/deep/" || m.Scope != "/deep/" || m.StartURL != "/deep/" || m.Name != "Front" || len(m.Icons) != 4 {
		t.Errorf("manifest: %+v", m)
	}
	for _, icon := range m.Icons {
		if !strings.HasPrefix(icon.Src, "/deep/icon") {
			t.Errorf("icon at %s, outside the site", icon.Src)
		}
	}
}

func TestAssembleNamesWhatIsMissing(t *testing.T) {
	for name := range someParts() {
		if name == "more.js" {
			continue
		}
		parts := maps.Clone(someParts())
		delete(parts, name)
		if _, err := assemble(parts, "/", somePages); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("without %s: %v", name, err)
		}
	}
	if _, err := assemble(someParts(), "/", []app.Page{{Path: "/pit"}}); err == nil {
		t.Error("a page's path without a slash at its end was taken")
	}
}
