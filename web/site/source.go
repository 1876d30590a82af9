package site

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// modulePath is what go.mod calls Stampmill.
const modulePath = "stampmill"

// findSource gives the folder with Stampmill's go.mod, looking from dir or, if
// dir is empty, from the current folder.
func findSource(ctx context.Context, dir string) (string, error) {
	out, err := goCommand(ctx, dir, nil, "list", "-m", "-json", modulePath)
	if errors.Is(err, errNoGo) {
		return "", err
	}
	var module struct{ Dir string }
	if err == nil {
		err = json.Unmarshal(out, &module)
	}
	if err != nil || module.Dir == "" {
		return "", fmt.Errorf("%s: not Stampmill's source, from which the site is compiled; run this in the folder that holds Stampmill's go.mod", folderName(dir))
	}
	return module.Dir, nil
}

func folderName(dir string) string {
	if dir != "" {
		return dir
	}
	if wd, err := os.Getwd(); err == nil {
		return wd
	}
	return "this folder"
}

// gather reads and compiles everything the site is made of: the program as
// app.wasm, the go command's own wasm_exec.js, and the files of web/static.
func gather(ctx context.Context, source string) (contents, error) {
	parts, err := readStatic(filepath.Join(source, "web", "static"))
	if err != nil {
		return nil, err
	}
	if parts["app.wasm"], err = Compile(ctx, source, "./web", lean...); err != nil {
		return nil, err
	}
	root, err := goCommand(ctx, source, nil, "env", "GOROOT")
	if err != nil {
		return nil, err
	}
	parts["wasm_exec.js"], err = os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return nil, fmt.Errorf("the Go installation lacks a file the browser needs: %w; install Go 1.24 or newer", err)
	}
	return parts, nil
}

func readStatic(dir string) (contents, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, fmt.Errorf("reading the site's own files: %w", err)
	}
	parts := contents{}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".") {
			continue
		}
		if e.IsDir() {
			return nil, fmt.Errorf("%s: a folder; the site's files lie flat in web/static", filepath.Join(dir, e.Name()))
		}
		if parts[e.Name()], err = os.ReadFile(filepath.Join(dir, e.Name())); err != nil {
			return nil, fmt.Errorf("reading the site's own files: %w", err)
		}
	}
	return parts, nil
}

// lean are compiler flags that make the program smaller to load. Calls inside
// one another cost room and are worth it only where numbers are crunched: they
// stay on for sound, exact time, and what both stand on. Measured under node,
// the pages' work is no slower without them; the program loses a tenth of its
// compressed size.
var lean = []string{
	"-gcflags=all=-l",
	"-gcflags=runtime=", "-gcflags=math=",
	"-gcflags=stampmill/exercises/meter=",
	"-gcflags=stampmill/synth=", "-gcflags=stampmill/synth/...=",
}

// Compile gives the program of a package as WebAssembly, without what differs
// from machine to machine (paths, version control) or helps only a debugger. dir
// is a folder of the module, pkg the package as the go command names it there;
// flags go to the go command as well.
func Compile(ctx context.Context, dir, pkg string, flags ...string) ([]byte, error) {
	temp, err := os.MkdirTemp("", "stampmill-site")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(temp)
	to := filepath.Join(temp, "app.wasm")
	env := []string{"GOOS=js", "GOARCH=wasm", "GOWASM="}
	args := append([]string{"build", "-trimpath", "-buildvcs=false", "-ldflags", "-s -w"}, flags...)
	_, err = goCommand(ctx, dir, env, append(args, "-o", to, pkg)...)
	if err != nil {
		return nil, fmt.Errorf("compiling the program for the browser: %w", err)
	}
	return os.ReadFile(to)
}

var errNoGo = errors.New("no go command was found, and the site is compiled with it; install Go 1.26 or newer (https://go.dev/dl/) so that `go version` works here")

// goCommand runs the go command in dir and gives what it prints.
func goCommand(ctx context.Context, dir string, env []string, args ...string) ([]byte, error) {
	name, err := exec.LookPath("go")
	if err != nil {
		return nil, errNoGo
	}
	cmd := exec.CommandContext(ctx, name, args...)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), env...)
	var problems bytes.Buffer
	cmd.Stderr = &problems
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("go %s: %w\n%s", args[0], err, strings.TrimSpace(problems.String()))
	}
	return out, nil
}
