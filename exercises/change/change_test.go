package change

import "testing"

// Every example of the table is read, and printed as it stands.
func TestExamplesReadBack(t *testing.T) {
	for _, e := range Entries() {
		c, err := Parse(e.Example)
		if err != nil || c.Entry.Name != e.Name || c.String() != e.Example {
			t.Errorf("%s: Parse(%q) is %q, %v", e.Name, e.Example, c, err)
		}
	}
}
