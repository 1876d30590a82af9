package change

import (
	"fmt"
	"strings"
)

// Manual returns the catalogue as a page of text: the groups, and in each the
// form of every change, what it does, and an example.
func Manual() string {
	var b strings.Builder
	group := ""
	for _, e := range entries() {
		if e.Group != group {
			group = e.Group
			fmt.Fprintf(&b, "%s\n\n", group)
		}
		fmt.Fprintf(&b, "  %s\n      %s\n      For example: %s\n\n", e.Form, e.About, e.Example)
	}
	return strings.TrimSuffix(b.String(), "\n")
}
