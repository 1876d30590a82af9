package site

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestCleanBase(t *testing.T) {
	for _, c := range []struct{ base, want string }{
		{"", "/"}, {"/", "/"}, {"stampmill", "/stampmill/"}, {"/a/b", "/a/b/"}, {"//a//", "/a/"},
	} {
		if got, err := cleanBase(c.base); err != nil || got != c.want {
			t.Errorf("cleanBase(%q) = %q, %v; want %q", c.base, got, err, c.want)
		}
	}
	for _, base := range []string{"/../up/", "/a b/", `/a"b/`, "/a?b", "/a#b", "/<a>/", `\a`} {
		if got, err := cleanBase(base); err == nil {
			t.Errorf("cleanBase(%q) = %q; want it refused", base, got)
		}
	}
}

// Scripts may come from the site and compile WebAssembly; all else may only come
// from the site.
func TestPolicyLetsNothingElseIn(t *testing.T) {
	for _, rule := range strings.Split(Policy, "; ") {
		name, sources, _ := strings.Cut(rule, " ")
		want := "'self'"
		if name == "script-src" {
			want = "'self' 'wasm-unsafe-eval'"
		}
		if sources != want {
			t.Errorf("%s lets in %s, want %s", name, sources, want)
		}
	}
	if !strings.HasPrefix(Policy, "default-src ") {
		t.Error("the policy says nothing of what it does not name")
	}
}

func TestBuildKeepsAwayFromOtherWork(t *testing.T) {
	dir := t.TempDir()
	mine := filepath.Join(dir, "letter.txt")
	if err := os.WriteFile(mine, []byte("mine"), 0o666); err != nil {
		t.Fatal(err)
	}
	for _, out := range []string{dir, mine, ""} {
		if err := Build(context.Background(), Options{Out: out}); err == nil {
			t.Errorf("Build into %q: no error", out)
		}
	}
	if _, err := os.Stat(mine); err != nil {
		t.Error(err)
	}
}

func TestBuildSaysWhatIsMissing(t *testing.T) {
	elsewhere := t.TempDir()
	err := Build(context.Background(), Options{Out: filepath.Join(elsewhere, "site"), ModuleDir: elsewhere})
	if err == nil || !strings.Contains(err.Error(), "run this in the folder that holds Stampmill's go.mod") {
		t.Errorf("without the source: %v", err)
	}
	t.Setenv("PATH", elsewhere)
	err = Build(context.Background(), Options{Out: filepath.Join(elsewhere, "site")})
	if err == nil || !strings.Contains(err.Error(), "install Go") {
		t.Errorf("without Go: %v", err)
	}
}

func TestWriteReplacesAnEarlierBuild(t *testing.T) {
	out := filepath.Join(t.TempDir(), "site")
	worker := []byte(firstLine + "{};")
	for _, files := range []contents{
		{"worker.js": worker, "old/index.html": []byte("old")},
		{"worker.js": worker, "new/index.html": []byte("new")},
	} {
		if err := mayFill(out); err != nil {
			t.Fatal(err)
		}
		if err := write(out, files); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := os.Stat(filepath.Join(out, "old")); !os.IsNotExist(err) {
		t.Error("a page of the earlier build is still there")
	}
	if got, err := os.ReadFile(filepath.Join(out, "new", "index.html")); err != nil || string(got) != "new" {
		t.Errorf("new page: %q, %v", got, err)
	}
}
