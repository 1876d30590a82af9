package chart

import (
	"math"
	"strconv"
)

// A Scale is an axis with round numbers, from Low to High in steps of Step.
type Scale struct{ Low, High, Step float64 }

// IsZero reports whether there is no scale.
func (s Scale) IsZero() bool { return s == Scale{} }

// Numbers returns what is written at the axis, from low to high.
func (s Scale) Numbers() []float64 {
	if !(s.Step > 0) {
		return nil
	}
	var all []float64
	for i := range int(math.Round((s.High-s.Low)/s.Step)) + 1 {
		all = append(all, s.Low+float64(i)*s.Step)
	}
	return all
}

// at returns where x stands between bottom and top, kept inside the axis.
func (s Scale) at(x, bottom, top float64) float64 {
	if !(s.High > s.Low) {
		return bottom
	}
	return bottom + (inside(x, s.Low, s.High)-s.Low)/(s.High-s.Low)*(top-bottom)
}

// roundest is where scales end: more than any tempo, length or count of
// minutes, and small enough that whole numbers stay exact. Our choice.
const roundest = 1e12

// steps between the numbers of a scale are 1, 2 or 5 times a power of ten (P.
// Heckbert, "Nice Numbers for Graph Labels", Graphics Gems, 1990, from memory),
// and quarters of a hundred, a thousand and so on. Those, that there are three
// or four numbers, and that they are whole, are our choice.
var steps = [...]float64{1, 2, 2.5, 5}

// Round returns the finest scale of three or four round numbers that holds low
// and high, with no step below least, and whole. Bounds that are no number are taken as 0.
func Round(low, high, least float64) Scale {
	low, high = number(low), number(high)
	if high < low {
		low, high = high, low
	}
	for power := 1.0; ; power *= 10 {
		for _, m := range steps {
			step := m * power
			if (step < least || step != math.Floor(step)) && step < roundest {
				continue
			}
			if s := around(low, high, step); s.High-s.Low <= 3*step {
				return s
			}
		}
	}
}

// around returns the scale of a step that holds low and high and has at least
// three numbers: a short one grows on the side where the room is less.
func around(low, high, step float64) Scale {
	s := Scale{math.Floor(low/step) * step, math.Ceil(high/step) * step, step}
	for s.High-s.Low < 2*step {
		if low-s.Low < s.High-high && s.Low != 0 {
			s.Low -= step
		} else {
			s.High += step
		}
	}
	return s
}

// number keeps what comes in within bounds, 0 for what is no number.
func number(x float64) float64 {
	if x != x {
		return 0
	}
	return inside(x, -roundest, roundest)
}

// inside returns x kept between two bounds, the lower one for what is no number.
func inside(x, low, high float64) float64 {
	if x > low {
		return min(x, high)
	}
	return low
}

// finite reports whether x is a number.
func finite(x float64) bool { return x-x == 0 }

// whole writes a number rounded to a whole one.
func whole(x float64) string { return strconv.Itoa(int(math.Round(number(x)))) }

// exact writes a number with one decimal where it needs one.
func exact(x float64) string {
	return strconv.FormatFloat(math.Round(number(x)*10)/10, 'f', -1, 64)
}
