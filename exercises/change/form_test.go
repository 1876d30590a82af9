package change

import (
	"slices"
	"testing"
)

// The manual tells how everything in braces is written that the form of an
// entry does not spell out, and nothing else.
func TestEveryParameterIsTold(t *testing.T) {
	var used []string
	for _, e := range entries() {
		told := e.Parameters()
		for _, c := range e.clauses {
			if c.param == paramWord || c.param == paramChoice {
				continue
			}
			used = append(used, c.name)
			if !slices.ContainsFunc(told, func(p Parameter) bool { return p.Name == c.name }) {
				t.Errorf("%s: how {%s} is written is not told", e.Name, c.name)
			}
		}
	}
	for _, p := range Parameters() {
		if !slices.Contains(used, p.Name) {
			t.Errorf("{%s} stands in no form", p.Name)
		}
	}
}
