package limbs_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/drill"
	"stampmill/exercises/limbs"
)

var update = flag.Bool("update", false, "write the golden files of sticking")

// Each exercise of testdata with the letters of its first step under every
// voice, to be read by a drummer and a guitarist.
func TestGoldenSticking(t *testing.T) {
	files, err := filepath.Glob("testdata/*.drill")
	if err != nil || len(files) == 0 {
		t.Fatal("no exercises in testdata", err)
	}
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		climb, ps := drill.Parse(file, src, nil)
		if err := ps.Err(); err != nil {
			t.Fatal(err)
		}
		p := climb.Steps[0].Passage
		got := relettered(string(src), p, limbs.Rows(p, limbs.Two), func(voice, cells, letters string) string {
			under := strings.NewReplacer(".", " ", "-", " ").Replace(letters)
			return voice + "|" + cells + "\n" + strings.Repeat(" ", len(voice)) + "|" + under + "\n"
		})
		golden := strings.TrimSuffix(file, ".drill") + ".txt"
		if *update {
			if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(golden)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(want), got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", file, diff)
		}
	}
}
