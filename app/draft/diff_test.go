package draft

import "github.com/google/go-cmp/cmp"

// diff returns what differs, as -got +want.
func diff(got, want any) string { return cmp.Diff(got, want) }
