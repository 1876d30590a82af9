package draft

import (
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"stampmill/exercises/meter"
)

// diff returns what differs, as -got +want.
func diff(got, want any) string {
	return cmp.Diff(got, want, cmpopts.EquateComparable(meter.Rat{}, meter.Metre{}))
}
