package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/tools/txtar"
)

var update = flag.Bool("update", false, "write the golden files anew")

// TestSessions plays the sessions of testdata/cli. A session reads like what
// stands in a terminal: "$ stampmill ..." with what it prints, lines of
// standard error behind "! ", and the exit code in brackets where it is not 0.
// "< FILE" is standard input, "$ cat FILE" shows a file. The files of the
// session stand at its end.
func TestSessions(t *testing.T) {
	files, err := filepath.Glob("../../testdata/cli/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatal("no sessions found", err)
	}
	for _, file := range files {
		path, err := filepath.Abs(file)
		if err != nil {
			t.Fatal(err)
		}
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) { playSession(t, path) })
	}
}

func playSession(t *testing.T, path string) {
	archive, err := txtar.ParseFile(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	for _, f := range archive.Files {
		if err := os.WriteFile(f.Name, f.Data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want := string(archive.Comment)
	got := replay(t, want)
	if *update {
		archive.Comment = []byte(got)
		if err := os.WriteFile(path, txtar.Format(archive), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if diff := cmp.Diff(strings.Split(want, "\n"), strings.Split(got, "\n")); diff != "" {
		t.Errorf("%s (-want +got; run go test ./cmd/stampmill -update where the change is meant):\n%s", path, diff)
	}
}

// replay carries out the commands of a session and writes it anew.
func replay(t *testing.T, session string) string {
	var out strings.Builder
	for _, line := range strings.Split(session, "\n") {
		switch {
		case strings.HasPrefix(line, "# "):
			fmt.Fprintln(&out, line)
		case strings.HasPrefix(line, "$ "):
			fmt.Fprintln(&out, line)
			out.WriteString(answer(t, line[2:]))
			fmt.Fprintln(&out)
		}
	}
	return out.String()
}

// answer carries out one command line.
func answer(t *testing.T, line string) string {
	words := splitWords(line)
	if words[0] == "cat" {
		data, err := os.ReadFile(words[1])
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	var stdin bytes.Buffer
	if n := len(words); n > 2 && words[n-2] == "<" {
		data, err := os.ReadFile(words[n-1])
		if err != nil {
			t.Fatal(err)
		}
		stdin.Write(data)
		words = words[:n-2]
	}
	var stdout, stderr bytes.Buffer
	code := run(context.Background(), words[1:], &stdin, &stdout, &stderr)
	var out strings.Builder
	out.Write(stdout.Bytes())
	for _, l := range strings.SplitAfter(stderr.String(), "\n") {
		if l != "" {
			out.WriteString("! " + l)
		}
	}
	if code != exitDone {
		fmt.Fprintf(&out, "[%d]\n", code)
	}
	return out.String()
}

// splitWords splits a command line as a shell does, as far as single quotes.
func splitWords(line string) []string {
	var words []string
	for i, part := range strings.Split(line, "'") {
		if i%2 == 1 {
			words = append(words, part)
			continue
		}
		words = append(words, strings.Fields(part)...)
	}
	return words
}
