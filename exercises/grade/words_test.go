package grade

import "testing"

// A sentence never says that ±20 ms is more than ±20 ms.
func TestOver(t *testing.T) {
	for _, c := range []struct {
		ms, limit float64
		want      string
	}{
		{20.013, 20, "a little over ±20 ms"},
		{20.5001, 20, "±21 ms"},
		{29.2, 20, "±29 ms"},
		{12.4, 12.4, "±12 ms"},
		{12.6, 12.5, "±13 ms"},
	} {
		if got := over(c.ms, c.limit); got != c.want {
			t.Errorf("%g over %g is %q, want %q", c.ms, c.limit, got, c.want)
		}
	}
}
