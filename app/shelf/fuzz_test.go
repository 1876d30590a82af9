package shelf

import (
	"strings"
	"testing"

	"stampmill/app/port/memory"
)

// Whatever stands in a record, it is read as it will be read again, or left
// alone to the byte.
func FuzzRecord(f *testing.F) {
	f.Add(record{Text: text("Winze", 1), Changed: day}.write())
	f.Fuzz(func(t *testing.T, stored string) {
		store := &memory.Store{Kept: map[string]string{"own/a": stored}}
		s := New(store)
		text, err := s.Read("a")
		if err != nil {
			if _, err := s.Write("a", "", "ours", day, counter()); err != nil || store.Kept["own/a"] != stored {
				t.Fatalf("%q became %q (%v)", stored, store.Kept["own/a"], err)
			}
			return
		}
		if err := s.Delete("a", day); err != nil {
			t.Fatal(err)
		}
		if err := s.Restore("a"); err != nil {
			t.Fatal(err)
		}
		if again, err := s.Read("a"); again != text || err != nil {
			t.Fatalf("%q came back as %q, %v", text, again, err)
		}
	})
}

// Whatever the text and the title, the text then has that title and as many
// steps, or the title is refused.
func FuzzRetitle(f *testing.F) {
	f.Add(text("Winze", 1), "Ore pass")
	f.Fuzz(func(t *testing.T, text, title string) {
		got, err := Retitle(text, title)
		if err != nil {
			if got != "" || !strings.Contains(err.Error(), "; ") {
				t.Fatalf("%q with %v", got, err)
			}
			return
		}
		_, steps := Summary(text)
		if newTitle, newSteps := Summary(got); newTitle != strings.TrimSpace(title) || newSteps != steps {
			t.Fatalf("%q with %d steps became %q: %q with %d", text, steps, got, newTitle, newSteps)
		}
	})
}
