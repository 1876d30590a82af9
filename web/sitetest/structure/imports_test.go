package structure

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

const root = "../../.." // the folder of go.mod

// A listed package is what the go command tells of one.
type listed struct {
	ImportPath, Name, Dir string
	GoFiles               []string
	Imports               []string
	TestImports           []string
	XTestImports          []string
	Deps                  []string
}

// list gives the module's packages as compiled for a system.
func list(t *testing.T, goos, goarch string, patterns ...string) []listed {
	t.Helper()
	cmd := exec.Command("go", append([]string{"list", "-json"}, patterns...)...)
	cmd.Dir = root
	if goos != "" {
		cmd.Env = append(os.Environ(), "GOOS="+goos, "GOARCH="+goarch)
	}
	var problems bytes.Buffer
	cmd.Stderr = &problems
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, problems.String())
	}
	var packages []listed
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			return packages
		} else if err != nil {
			t.Fatal(err)
		}
		packages = append(packages, p)
	}
}

// everyPackage lists the packages as compiled natively and for the browser.
func everyPackage(t *testing.T) []listed {
	t.Helper()
	return append(list(t, "", "", "./..."), list(t, "js", "wasm", "./...")...)
}

// within tells whether a package lies in one of the folders of the module.
func within(path string, folders ...string) bool {
	return slices.ContainsFunc(folders, func(f string) bool {
		return path == "stampmill/"+f || strings.HasPrefix(path, "stampmill/"+f+"/")
	})
}

func ours(path string) bool { return strings.HasPrefix(path, "stampmill/") }

// Who may import which packages of ours. Tests may reach further, for instance
// to write a passage as text.
var mayImport = []struct {
	folder  string
	allowed []string
	reason  string
}{
	{"exercises", []string{"exercises"},
		"exercises is the music and what is said of it, for use without sound, pages or a browser"},
	{"synth", []string{"synth", "exercises/meter", "exercises/passage"},
		"synth turns a passage into sound and needs to know only time and passages"},
	{"app", []string{"app", "exercises", "synth"},
		"app decides what happens and reaches the browser only through its ports, so that it runs in a test without one"},
	{"web", []string{"web", "app", "exercises", "synth"},
		"web serves the program to a browser; commands stand above it"},
}

func TestImportsGoDownward(t *testing.T) {
	for _, p := range everyPackage(t) {
		for _, rule := range mayImport {
			if !within(p.ImportPath, rule.folder) {
				continue
			}
			for _, imported := range p.Imports {
				if ours(imported) && !within(imported, rule.allowed...) {
					t.Errorf("%s imports %s, but %s: %s may import only %s of this module",
						p.ImportPath, imported, rule.reason, rule.folder, strings.Join(rule.allowed, ", "))
				}
			}
		}
	}
}

func TestOnlyBrowserTalksJavaScript(t *testing.T) {
	for _, p := range everyPackage(t) {
		for _, imported := range slices.Concat(p.Imports, p.TestImports, p.XTestImports) {
			if imported == "syscall/js" && !within(p.ImportPath, "web/browser") {
				t.Errorf("%s imports syscall/js; only web/browser does, which translates and decides nothing, so that everything else runs in a plain test", p.ImportPath)
			}
		}
	}
}

func TestOnlySpeakerKnowsTheSoundLibrary(t *testing.T) {
	const oto = "github.com/ebitengine/oto/"
	for _, p := range list(t, "darwin", "arm64", "./...") { // there it is always built in
		for _, imported := range p.Imports {
			if strings.HasPrefix(imported, oto) && !within(p.ImportPath, "cmd/stampmill/speaker") {
				t.Errorf("%s imports %s; only cmd/stampmill/speaker does, so that everything else is built and tested without a sound device and its headers", p.ImportPath, imported)
			}
		}
	}
}

// What must not come in even through another package; "web" is the program
// that a browser loads.
var farImports = []struct {
	folders []string
	path    string
	reason  string
}{
	{[]string{"exercises", "synth"}, "github.com/maxence-charriere/go-app/",
		"music and sound are used by the command line and by tests, without pages"},
	{[]string{"web"}, "github.com/andybalholm/brotli",
		"the browser has its own decompression, and every kilobyte is loaded by every visitor"},
	{[]string{"web"}, "github.com/chromedp/",
		"test tools do not belong in the program a visitor loads"},
	{[]string{"web"}, "github.com/ebitengine/oto/",
		"in the browser sound goes through web/browser, which has the one clock"},
	{[]string{"web"}, "stampmill/web/site",
		"the program does not build itself"},
}

func TestWhatMustNotComeInByTheBackDoor(t *testing.T) {
	packages := list(t, "js", "wasm", "./exercises/...", "./synth/...", "./web")
	for _, p := range packages {
		for _, rule := range farImports {
			if !within(p.ImportPath, rule.folders...) {
				continue
			}
			for _, dep := range p.Deps {
				if dep == rule.path || strings.HasPrefix(dep, rule.path) && strings.HasSuffix(rule.path, "/") {
					t.Errorf("%s depends on %s: %s", p.ImportPath, dep, rule.reason)
				}
			}
		}
	}
}
