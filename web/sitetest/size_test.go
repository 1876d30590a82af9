//go:build !js

package sitetest

import (
	"context"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"stampmill/web/site"
)

// sizeLimit is how many times the compressed site may outweigh an empty program
// made with the same library and the usual flags: our choice, so that a first
// visit over a phone's connection stays near what the library itself costs. The
// three pages without writing were held to 1.35; the catalogue of changes, the
// limbs, and the editor with its page brought 0.3 more; the full grader with its
// search for misreadings, the book of takes, charts, plan and the Progress page
// another 0.25; ten listening tasks with their marking, thresholds, answers and
// page, and the room, 0.2. A page to come should bring less than a tenth.
const sizeLimit = 2.2

func TestSiteIsNotMuchLargerThanAnEmptyProgram(t *testing.T) {
	ours := siteSize(t, built(t, "/"))
	wasm, err := site.Compile(context.Background(), moduleDir, "./web/sitetest/testdata/empty")
	if err != nil {
		t.Fatal(err)
	}
	empty, err := site.Measure(wasm)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name        string
		ours, empty int
	}{{"gzip -9", ours.Gzip, empty.Gzip}, {"brotli -9", ours.Brotli, empty.Brotli}} {
		ratio := float64(c.ours) / float64(c.empty)
		t.Logf("%s: the site %d bytes, an empty program %d: %.3f times", c.name, c.ours, c.empty, ratio)
		if ratio > sizeLimit {
			t.Errorf("%s: the site is %.3f times an empty program, limit %.2f", c.name, ratio, sizeLimit)
		}
	}
}

// siteSize adds up every file of a built site.
func siteSize(t *testing.T, dir string) site.Size {
	var total site.Size
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		size, err := site.Measure(data)
		total = total.Plus(size)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return total
}

func TestBuildingTwiceGivesTheSameBytes(t *testing.T) {
	first, second := os.DirFS(built(t, "/")), os.DirFS(builtFrom(t, "/", copySource(t)))
	for _, pair := range [][2]fs.FS{{first, second}, {second, first}} {
		err := fs.WalkDir(pair[0], ".", func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			a, err := fs.ReadFile(pair[0], path)
			if err != nil {
				return err
			}
			if b, err := fs.ReadFile(pair[1], path); err != nil || string(a) != string(b) {
				t.Errorf("%s differs between two builds of one source in two folders (%v)", path, err)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}
