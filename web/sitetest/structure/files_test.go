package structure

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// tracked lists the files under version control, or in a plain copy of the
// source all files.
func tracked(t *testing.T) []string {
	t.Helper()
	cmd := exec.Command("git", "ls-files", "-z")
	cmd.Dir = root
	if out, err := cmd.Output(); err == nil && len(out) > 0 {
		names := strings.Split(strings.TrimSuffix(string(out), "\x00"), "\x00")
		return slices.DeleteFunc(names, func(name string) bool {
			_, err := os.Lstat(filepath.Join(root, name))
			return err != nil // removed, not yet committed
		})
	}
	var names []string
	err := filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == ".git" || d.Name() == ".build") {
			return filepath.SkipDir
		}
		if !d.IsDir() {
			name, err := filepath.Rel(root, path)
			names = append(names, filepath.ToSlash(name))
			return err
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

func TestTopLevelStaysSmall(t *testing.T) {
	want := []string{".ci", ".gitignore", "DEVELOPERS.md", "LICENSE", "Makefile", "README.md",
		"app", "cmd", "exercises", "go.mod", "go.sum", "synth", "testdata", "web"}
	var got []string
	for _, name := range tracked(t) {
		top, _, _ := strings.Cut(name, "/")
		got = append(got, top)
	}
	slices.Sort(got)
	got = slices.Compact(got)
	for _, name := range got {
		if !slices.Contains(want, name) {
			t.Errorf("%s: not a place of the top level, which shows a newcomer the parts at one glance; put it into one of %v", name, want)
		}
	}
	for _, name := range want {
		if !slices.Contains(got, name) {
			t.Errorf("%s: missing from the top level; DEVELOPERS.md explains each part", name)
		}
	}
}

// What no tracked file may hold, written so that this file does not hold it.
var forbidden = []struct {
	what   *regexp.Regexp
	reason string
}{
	{regexp.MustCompile(`(^|[^\w.~/-])/(wo[r]k|ro[o]t|ho[m]e/\w+|U[s]ers/\w+|tm[p]/\w+)(/|\b)`),
		"a path of one machine means nothing on another"},
	{regexp.MustCompile(`https?://[\w.-]*(regist[r]y|prox[y]|mirro[r]|artifactor[y]|nexu[s])[\w.-]*\.[a-z]+`),
		"where packages come from is each machine's own setting"},
	{regexp.MustCompile(`(?i)see[d] document`),
		"the source must stand by itself"},
}

func TestNoTraceOfOneMachine(t *testing.T) {
	for _, name := range tracked(t) {
		data, err := os.ReadFile(filepath.Join(root, name))
		if err != nil {
			t.Fatal(err)
		}
		if slices.Contains(data, 0) { // pictures and sounds
			continue
		}
		for i, line := range strings.Split(string(data), "\n") {
			for _, rule := range forbidden {
				if found := rule.what.FindString(line); found != "" {
					t.Errorf("%s:%d: holds %q: %s", name, i+1, strings.TrimSpace(found), rule.reason)
				}
			}
		}
	}
}
