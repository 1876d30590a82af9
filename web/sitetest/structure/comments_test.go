package structure

import (
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"path/filepath"
	"strings"
	"testing"
)

func TestEveryPackageExplainsItself(t *testing.T) {
	const reason = "a reader learns there what the package is for, its units and bounds, and what to call first"
	seen := map[string]bool{}
	for _, p := range everyPackage(t) {
		if seen[p.ImportPath] {
			continue
		}
		seen[p.ImportPath] = true
		text := packageComment(t, p)
		begin := "Package " + p.Name + " "
		if p.Name == "main" {
			begin = "Command " + filepath.Base(p.ImportPath) + " "
		}
		if !strings.HasPrefix(text, begin) {
			t.Errorf("%s: its comment begins %q; it has to begin %q: %s", p.ImportPath, firstWords(text), begin, reason)
			continue
		}
		var d doc.Package
		first := d.Synopsis(text)
		if rest := strings.TrimSpace(strings.Join(strings.Fields(text), " ")[min(len(first), len(text)):]); rest == "" {
			t.Errorf("%s: its comment has one sentence; say more: %s", p.ImportPath, reason)
		}
	}
}

func packageComment(t *testing.T, p listed) string {
	t.Helper()
	var texts []string
	for _, name := range p.GoFiles {
		f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(p.Dir, name), nil, parser.ParseComments|parser.PackageClauseOnly)
		if err != nil {
			t.Fatal(err)
		}
		if f.Doc != nil {
			texts = append(texts, commentText(f.Doc))
		}
	}
	if len(texts) > 1 {
		t.Errorf("%s: %d files have a package comment; one is enough, so that it is found", p.ImportPath, len(texts))
	}
	return strings.Join(texts, "\n")
}

// commentText leaves out directives such as //go:build.
func commentText(c *ast.CommentGroup) string { return strings.TrimSpace(c.Text()) }

func firstWords(s string) string {
	return strings.Join(strings.Fields(s)[:min(4, len(strings.Fields(s)))], " ")
}
