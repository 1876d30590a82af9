// Package meter is musical time: exact rational numbers of quarter notes,
// metres made of beats, tempo maps, and the one rounding to seconds, samples
// or MIDI ticks at the very end.
//
// A position or a length is a [Rat] counted in quarter notes: an eighth is
// 1/2, a triplet eighth 1/3. Denominators go up to [MaxDen] and values up to
// [MaxAbs]; a result outside these bounds is [Invalid], which every later
// operation hands on, so an overflow is never silent and nothing panics.
// Call [ParseMetre] and [ParseTempo] for what a musician writes, then
// [NewTempoMap] to turn places into seconds and samples.
package meter

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"math/bits"
	"strconv"
	"strings"
)

// Bounds of a valid [Rat]. MaxDen holds the product of all subdivisions that
// can be written (32 cells, nested); both together keep every sum of two
// products inside an int64 (10^6 * 10^6 * 10^6 = 10^18 < 2^63).
const (
	MaxDen = 1_000_000 // largest denominator
	MaxAbs = 1_000_000 // largest absolute value, in quarter notes
)

// A Rat is an exact rational number, normalised: equal values are equal with
// ==, and a Rat can be a map key. The zero value is 0.
//
// The denominator is stored less one so that the zero value is 0/1.
type Rat struct {
	num  int64
	den1 int64
}

// Invalid is what comes out of an operation whose result does not fit the
// bounds of the package, of a division by zero, and of any operation on
// Invalid. It sorts after every valid value.
var Invalid = Rat{0, -1}

// R returns n/d in lowest terms, or [Invalid] when d is zero or the result is
// out of bounds.
func R(n, d int64) Rat {
	if d == 0 || n == math.MinInt64 || d == math.MinInt64 {
		return Invalid
	}
	if d < 0 {
		n, d = -n, -d
	}
	g := gcd(abs(n), d)
	n, d = n/g, d/g
	if d > MaxDen || abs(n)/d > MaxAbs || (abs(n)/d == MaxAbs && abs(n)%d != 0) {
		return Invalid
	}
	return Rat{n, d - 1}
}

// Int returns n as a Rat.
func Int(n int64) Rat { return R(n, 1) }

// Num returns the numerator, in lowest terms.
func (a Rat) Num() int64 { return a.num }

// Den returns the denominator, at least 1; it is 0 for [Invalid].
func (a Rat) Den() int64 { return a.den1 + 1 }

// Valid reports whether a is a number, not [Invalid].
func (a Rat) Valid() bool { return a.den1 >= 0 }

// Add returns a + b.
func (a Rat) Add(b Rat) Rat {
	if !a.Valid() || !b.Valid() {
		return Invalid
	}
	// Both products are at most MaxAbs * MaxDen * MaxDen = 10^18.
	return R(a.num*b.Den()+b.num*a.Den(), a.Den()*b.Den())
}

// Neg returns -a.
func (a Rat) Neg() Rat {
	if !a.Valid() {
		return Invalid
	}
	return Rat{-a.num, a.den1}
}

// Sub returns a - b.
func (a Rat) Sub(b Rat) Rat { return a.Add(b.Neg()) }

// Mul returns a * b.
func (a Rat) Mul(b Rat) Rat {
	if !a.Valid() || !b.Valid() {
		return Invalid
	}
	g, h := gcd(abs(a.num), b.Den()), gcd(abs(b.num), a.Den())
	n, ok := mul(a.num/g, b.num/h)
	if !ok {
		return Invalid
	}
	return R(n, (a.Den()/h)*(b.Den()/g))
}

// Inv returns 1/a, or [Invalid] for zero.
func (a Rat) Inv() Rat {
	if !a.Valid() {
		return Invalid
	}
	return R(a.Den(), a.num)
}

// Div returns a / b. Unlike a product with [Rat.Inv], it is valid whenever
// the quotient is, even where 1/b is not.
func (a Rat) Div(b Rat) Rat {
	if !a.Valid() || !b.Valid() || b.num == 0 {
		return Invalid
	}
	g, h := gcd(abs(a.num), abs(b.num)), gcd(a.Den(), b.Den())
	n, ok1 := mul(a.num/g, b.Den()/h)
	d, ok2 := mul(a.Den()/h, b.num/g)
	if !ok1 || !ok2 {
		return Invalid
	}
	return R(n, d)
}

// Cmp returns -1, 0 or +1 as a is less than, equal to or greater than b.
// [Invalid] is greater than every number and equal to itself.
func (a Rat) Cmp(b Rat) int {
	if !a.Valid() || !b.Valid() {
		return cmpValid(a.Valid(), b.Valid())
	}
	l, r := a.num*b.Den(), b.num*a.Den()
	switch {
	case l < r:
		return -1
	case l > r:
		return 1
	}
	return 0
}

func cmpValid(a, b bool) int {
	switch {
	case a && !b:
		return -1
	case !a && b:
		return 1
	}
	return 0
}

// Less reports whether a < b.
func (a Rat) Less(b Rat) bool { return a.Cmp(b) < 0 }

// Sign returns -1, 0 or +1; 0 for [Invalid].
func (a Rat) Sign() int {
	switch {
	case a.num < 0:
		return -1
	case a.num > 0:
		return 1
	}
	return 0
}

// Floor returns the largest integer not greater than a; 0 for [Invalid].
func (a Rat) Floor() int64 {
	if !a.Valid() {
		return 0
	}
	q := a.num / a.Den()
	if a.num%a.Den() < 0 {
		q--
	}
	return q
}

// Divides reports whether b is a whole multiple of a.
func (a Rat) Divides(b Rat) bool {
	q := b.Div(a)
	return q.Valid() && q.Den() == 1
}

// Float returns the nearest float64; NaN for [Invalid].
func (a Rat) Float() float64 {
	if !a.Valid() {
		return math.NaN()
	}
	return float64(a.num) / float64(a.Den())
}

// Big returns a as a big.Rat, for sums that leave the bounds of this package;
// nil for [Invalid].
func (a Rat) Big() *big.Rat {
	if !a.Valid() {
		return nil
	}
	return big.NewRat(a.num, a.Den())
}

// String returns "7/3", or "2" for a whole number.
func (a Rat) String() string {
	switch {
	case !a.Valid():
		return "invalid"
	case a.Den() == 1:
		return strconv.FormatInt(a.num, 10)
	}
	return strconv.FormatInt(a.num, 10) + "/" + strconv.FormatInt(a.Den(), 10)
}

// Decimal returns "104.5" for what has a plain decimal of at most six digits
// behind the point, else what [Rat.String] returns. [ParseRat] reads both.
func (a Rat) Decimal() string {
	if !a.Valid() || a.Den() == 1 || MaxDen%a.Den() != 0 {
		return a.String()
	}
	n := abs(a.num)
	frac := fmt.Sprintf("%06d", n%a.Den()*(MaxDen/a.Den()))
	s := fmt.Sprintf("%d.%s", n/a.Den(), strings.TrimRight(frac, "0"))
	if a.num < 0 {
		return "-" + s
	}
	return s
}

// ErrRat says that a text is no rational number within the bounds.
var ErrRat = errors.New("not a number like 2, 7/3 or 104.5 within the limits")

// ParseRat reads "2", "-7/3" or a plain decimal such as "104.5".
func ParseRat(s string) (Rat, error) {
	if n, d, ok := strings.Cut(s, "/"); ok {
		return parseFraction(n, d)
	}
	whole, frac, ok := strings.Cut(s, ".")
	if !ok {
		return parseFraction(whole, "1")
	}
	if frac == "" || len(frac) > 6 || !digits(frac) {
		return Invalid, ErrRat
	}
	return parseFraction(whole+frac, "1"+strings.Repeat("0", len(frac)))
}

func parseFraction(n, d string) (Rat, error) {
	if !digits(strings.TrimPrefix(n, "-")) || !digits(d) {
		return Invalid, ErrRat
	}
	num, err1 := strconv.ParseInt(n, 10, 64)
	den, err2 := strconv.ParseInt(d, 10, 64)
	if r := R(num, den); err1 == nil && err2 == nil && r.Valid() {
		return r, nil
	}
	return Invalid, ErrRat
}

func digits(s string) bool {
	for _, c := range s {
		if c < '0' || c > '9' {
			return false
		}
	}
	return s != ""
}

// MarshalText writes what [Rat.String] writes; [Invalid] is an error.
func (a Rat) MarshalText() ([]byte, error) {
	if !a.Valid() {
		return nil, ErrRat
	}
	return []byte(a.String()), nil
}

// UnmarshalText reads what [ParseRat] reads.
func (a *Rat) UnmarshalText(text []byte) error {
	r, err := ParseRat(string(text))
	if err == nil {
		*a = r
	}
	return err
}

// mul returns a*b and whether it fits an int64.
func mul(a, b int64) (int64, bool) {
	hi, lo := bits.Mul64(uint64(abs(a)), uint64(abs(b)))
	if hi != 0 || lo > math.MaxInt64 {
		return 0, false
	}
	if (a < 0) != (b < 0) {
		return -int64(lo), true
	}
	return int64(lo), true
}

func abs(n int64) int64 {
	if n < 0 {
		return -n
	}
	return n
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return max(a, 1)
}
