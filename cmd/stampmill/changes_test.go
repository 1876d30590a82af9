package main

import (
	"testing"

	"stampmill/exercises/change"
)

// Every change of the catalogue has an example that fits a passage of the
// manual.
func TestEveryExampleIsShown(t *testing.T) {
	for _, e := range change.Entries() {
		if _, err := exampleOf(e); err != nil {
			t.Errorf("%s: %v", e.Example, err)
		}
	}
}
