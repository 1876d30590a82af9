package meter

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// anyInt draws integers with the edges of their range.
func anyInt() *rapid.Generator[int64] {
	return rapid.OneOf(
		rapid.Int64(), rapid.Int64Range(-50, 50), rapid.Int64Range(-2*MaxAbs, 2*MaxAbs),
		rapid.SampledFrom([]int64{math.MinInt64, math.MinInt64 + 1, math.MaxInt64, MaxAbs, MaxDen, -MaxAbs, MaxAbs * MaxDen, 0}))
}

// anyRat draws valid numbers, with the edges of the bounds, and Invalid.
func anyRat() *rapid.Generator[Rat] {
	return rapid.OneOf(
		rapid.Custom(func(t *rapid.T) Rat { return R(anyInt().Draw(t, "n"), anyInt().Draw(t, "d")) }),
		rapid.Custom(func(t *rapid.T) Rat {
			return R(rapid.Int64Range(-100, 100).Draw(t, "n"), rapid.Int64Range(1, 64).Draw(t, "d"))
		}),
		rapid.SampledFrom([]Rat{{}, Int(MaxAbs), Int(-MaxAbs), R(1, MaxDen), R(-1, MaxDen), R(MaxAbs*MaxDen-1, MaxDen), Invalid}))
}

// fits says whether an exact result is within the bounds of the package.
func fits(x *big.Rat) bool {
	return x.Denom().Cmp(big.NewInt(MaxDen)) <= 0 && new(big.Rat).Abs(x).Cmp(big.NewRat(MaxAbs, 1)) <= 0
}

// checkSame holds that got is want where that fits the bounds, else Invalid.
// want is nil where there is no result.
func checkSame(t *rapid.T, what string, got Rat, want *big.Rat) {
	t.Helper()
	switch {
	case want == nil || !fits(want):
		if got != Invalid {
			t.Fatalf("%s = %s, want invalid", what, got)
		}
	case !got.Valid() || got.Big().Cmp(want) != 0:
		t.Fatalf("%s = %s, want %s", what, got, want)
	case got.Den() != want.Denom().Int64(): // lowest terms, so that == works
		t.Fatalf("%s = %d/%d, not in lowest terms", what, got.Num(), got.Den())
	}
}

func TestRatAgainstBig(t *testing.T) {
	type op = func(x, y *big.Rat) *big.Rat
	quo := func(x, y *big.Rat) *big.Rat {
		if y.Sign() == 0 {
			return nil
		}
		return new(big.Rat).Quo(x, y)
	}
	ops := []struct {
		name string
		ours func(a, b Rat) Rat
		big  op
	}{
		{"Add", Rat.Add, func(x, y *big.Rat) *big.Rat { return new(big.Rat).Add(x, y) }},
		{"Sub", Rat.Sub, func(x, y *big.Rat) *big.Rat { return new(big.Rat).Sub(x, y) }},
		{"Mul", Rat.Mul, func(x, y *big.Rat) *big.Rat { return new(big.Rat).Mul(x, y) }},
		{"Div", Rat.Div, quo},
		{"Neg", func(a, _ Rat) Rat { return a.Neg() }, func(x, _ *big.Rat) *big.Rat { return new(big.Rat).Neg(x) }},
		{"Inv", func(a, _ Rat) Rat { return a.Inv() }, func(x, _ *big.Rat) *big.Rat { return quo(big.NewRat(1, 1), x) }},
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyRat().Draw(t, "a"), anyRat().Draw(t, "b")
		for _, op := range ops {
			var want *big.Rat
			if one := op.name == "Neg" || op.name == "Inv"; a.Valid() && (b.Valid() || one) {
				y := b
				if one {
					y = Rat{}
				}
				want = op.big(a.Big(), y.Big())
			}
			checkSame(t, op.name+" of "+a.String()+" and "+b.String(), op.ours(a, b), want)
		}
	})
}

func TestRatOfIntegers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, d := anyInt().Draw(t, "n"), anyInt().Draw(t, "d")
		var want *big.Rat
		if d != 0 && n != math.MinInt64 && d != math.MinInt64 {
			want = big.NewRat(n, d)
		}
		checkSame(t, "R", R(n, d), want)
	})
}

// The bounds themselves are within, one step further is not.
func TestRatBounds(t *testing.T) {
	for _, a := range []Rat{R(1, MaxDen), R(MaxAbs, 1), R(-MaxAbs, 1), R(MaxAbs*MaxDen-1, MaxDen), R(2*MaxDen, 2*MaxDen)} {
		if !a.Valid() {
			t.Error("a number on the bounds is invalid")
		}
	}
	for _, a := range []Rat{R(1, MaxDen+1), R(MaxAbs+1, 1), R(-MaxAbs-1, 1), R(MaxAbs*MaxDen+1, MaxDen), R(1, 0), R(math.MinInt64, 1), R(1, math.MinInt64)} {
		if a != Invalid {
			t.Errorf("%s is valid", a)
		}
	}
}

func TestRatOrderAgainstBig(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyRat().Draw(t, "a"), anyRat().Draw(t, "b")
		if a.Valid() && b.Valid() {
			if got, want := a.Cmp(b), a.Big().Cmp(b.Big()); got != want {
				t.Fatalf("%s.Cmp(%s) = %d, want %d", a, b, got, want)
			}
			if (a == b) != (a.Cmp(b) == 0) {
				t.Fatalf("%s == %s disagrees with Cmp", a, b)
			}
			floor := new(big.Int).Div(a.Big().Num(), a.Big().Denom()) // Euclidean; the same for a denominator above 0
			if a.Floor() != floor.Int64() {
				t.Fatalf("floor of %s = %d, want %d", a, a.Floor(), floor)
			}
		}
		if b.Valid() && !a.Valid() && (a.Cmp(b) != 1 || b.Cmp(a) != -1) {
			t.Fatalf("invalid does not sort after %s", b)
		}
	})
}

// What is written is read back, as a fraction, as a decimal, and as JSON text.
func TestRatText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := anyRat().Filter(Rat.Valid).Draw(t, "a")
		for _, s := range []string{a.String(), a.Decimal()} {
			if got, err := ParseRat(s); err != nil || got != a {
				t.Fatalf("ParseRat(%q) = %s, %v, want %s", s, got, err, a)
			}
		}
		text, err := a.MarshalText()
		var back Rat
		if err != nil || back.UnmarshalText(text) != nil || back != a {
			t.Fatalf("%s came back as %s (%v)", a, back, err)
		}
	})
}

func TestRatDecimal(t *testing.T) {
	for a, want := range map[Rat]string{
		R(209, 2): "104.5", R(1, 3): "1/3", Int(-7): "-7", R(-1, 4): "-0.25", R(1, MaxDen): "0.000001", R(1, 128): "1/128", R(1, 64): "0.015625",
	} {
		if got := a.Decimal(); got != want {
			t.Errorf("%s.Decimal() = %s, want %s", a, got, want)
		}
	}
}

func TestInvalidIsHandedOn(t *testing.T) {
	if _, err := Invalid.MarshalText(); err == nil {
		t.Error("invalid can be written")
	}
	if !math.IsNaN(Invalid.Float()) || Invalid.Floor() != 0 || Invalid.Big() != nil || Invalid.Sign() != 0 || Ticks(Invalid, 480) != 0 {
		t.Error("invalid has a value")
	}
}

func FuzzParseRat(f *testing.F) {
	for _, s := range []string{"2", "-7/3", "104.5", "1/0", "-", "", "1e9", "9223372036854775808", "-9223372036854775808/1", "1/-2", "0.0000001", ".5", "1.", "٣", "+1", "--1", "1/2/3"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		a, err := ParseRat(s)
		if (err == nil) != a.Valid() {
			t.Fatalf("ParseRat(%q) = %s, %v", s, a, err)
		}
		if b, _ := ParseRat(a.String()); err == nil && b != a {
			t.Fatalf("%q is %s, read again %s", s, a, b)
		}
	})
}

func BenchmarkRatAdd(b *testing.B) {
	x, y := R(7, 12), R(5, 28)
	for b.Loop() {
		x.Add(y)
	}
}
