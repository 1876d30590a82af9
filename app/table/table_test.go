package table

import (
	"slices"
	"testing"
)

func TestRow(t *testing.T) {
	got := Row([]string{"", "Stamp", "-12.5", "=1+1", "+1", "-1+1", "-x", "@a", "\t=1", "\n=1", "3=3"})
	want := []string{"", "Stamp", "-12.5", "'=1+1", "'+1", "'-1+1", "'-x", "'@a", "'\t=1", "'\n=1", "3=3"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
