package drill

import (
	"os"
	"path/filepath"
	"testing"
)

func TestRoundTripOfFiles(t *testing.T) {
	files, _ := filepath.Glob("testdata/text/*.drill")
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			climb, ps := Parse(file, text, testChanges{})
			if err := ps.Err(); err != nil {
				t.Fatal(err)
			}
			t.Logf("\n%s", roundTrip(t, climb))
		})
	}
}
