package grade

import (
	"errors"

	"stampmill/exercises/passage"
)

func Grade(p passage.Passage, t Take, o Options) (Verdict, error) {
	return Verdict{}, errors.New("not yet")
}
func (e Expected) Nearest(seconds float64, v passage.Voice) (int, float64, bool) { return 0, 0, false }
