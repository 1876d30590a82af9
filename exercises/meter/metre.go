package meter

import (
	"fmt"
	"strconv"
	"strings"
)

// MaxBeats is the largest number of beats in a bar. Our choice: the longest
// bars of the style have fewer than half of it.
const MaxBeats = 32

// maxUnits is the largest upper number of a metre. Our choice.
const maxUnits = 64

// A Metre says how long a bar is and how it falls into beats. It is immutable
// and comparable with ==. The zero value is no metre; use [ParseMetre] or
// [CommonTime].
//
// A beat is a rational number of quarter notes: 4/4 has four of 1, 6/8 two of
// 3/2, 7/8 (2+2+3) has beats of 1, 1 and 3/2.
type Metre struct {
	upper, lower uint8
	groups       string // one byte a beat: its length in units of 1/lower; "" where the metre speaks for itself
}

// CommonTime is 4/4.
var CommonTime = Metre{upper: 4, lower: 4}

// ParseMetre reads "4/4", "6/8" or "7/8 (2+2+3)". The numbers in brackets are
// the lengths of the beats in units of the lower number.
//
// Without brackets, metres over 1, 2 and 4 have one beat for each unit, and
// metres over 8, 16 and 32 whose upper number is 6, 9, 12, ... have beats of
// three units (compound time, common practice); up to 4 units each is a beat
// of its own; any other needs brackets, because only its writer knows how it
// is counted.
func ParseMetre(s string) (Metre, error) {
	head, tail, grouped := strings.Cut(s, "(")
	up, low, ok := strings.Cut(strings.TrimSpace(head), "/")
	upper, err1 := strconv.Atoi(up)
	lower, err2 := strconv.Atoi(low)
	if !ok || err1 != nil || err2 != nil || !digits(up) || !digits(low) {
		return Metre{}, fmt.Errorf("%.40q is not a metre; write it like 4/4 or 7/8 (2+2+3)", s)
	}
	if upper < 1 {
		return Metre{}, fmt.Errorf("a metre has 1 to %d units, not %d; write it like 4/4", maxUnits, upper)
	}
	if upper > maxUnits {
		return Metre{}, fmt.Errorf("a metre has 1 to %d units, not %d; shorten the bar", maxUnits, upper)
	}
	if lower < 1 || lower > 32 || lower&(lower-1) != 0 {
		return Metre{}, fmt.Errorf("the lower number of a metre is 1, 2, 4, 8, 16 or 32, not %d; choose one of them", lower)
	}
	m := Metre{upper: uint8(upper), lower: uint8(lower)}
	if grouped {
		return m.group(tail)
	}
	if m.unclear() {
		return Metre{}, fmt.Errorf("%d/%d does not say how it is counted; write its beats in brackets, for example %s", upper, lower, suggestGroups(upper, lower))
	}
	return m, m.check()
}

// unclear reports that the two numbers alone do not say how m is counted.
func (m Metre) unclear() bool { return m.lower >= 8 && m.upper > 4 && m.upper%3 != 0 }

// suggestGroups makes an example grouping for a hint: twos with a three last.
func suggestGroups(upper, lower int) string {
	parts := make([]string, upper/2)
	for i := range parts {
		parts[i] = "2"
	}
	if upper%2 == 1 {
		parts[len(parts)-1] = "3"
	}
	return fmt.Sprintf("%d/%d (%s)", upper, lower, strings.Join(parts, "+"))
}

func (m Metre) group(tail string) (Metre, error) {
	inner, rest, ok := strings.Cut(tail, ")")
	if !ok || strings.TrimSpace(rest) != "" {
		return Metre{}, fmt.Errorf("the bracket of the metre is not closed at its end; write it like 7/8 (2+2+3)")
	}
	var groups []byte
	sum := 0
	for _, part := range strings.Split(inner, "+") {
		part = strings.TrimSpace(part)
		n, err := strconv.Atoi(part)
		if err != nil || !digits(part) || n < 1 || n > maxUnits {
			return Metre{}, fmt.Errorf("%.20q is not the length of a beat; write whole numbers joined by +", part)
		}
		sum += n
		groups = append(groups, byte(n))
	}
	if sum != int(m.upper) {
		return Metre{}, fmt.Errorf("the beats in brackets add up to %d, but the bar has %d; make them equal", sum, m.upper)
	}
	plain := m
	m.groups = string(groups)
	if m.groups == plain.units() && !plain.unclear() {
		m = plain // 4/4 (1+1+1+1) is 4/4: one value for one metre
	}
	return m, m.check()
}

func (m Metre) check() error {
	if n := len(m.units()); n > MaxBeats {
		return fmt.Errorf("a bar has at most %d beats, not %d; write two bars", MaxBeats, n)
	}
	return nil
}

// units returns one byte a beat: its length in units of 1/lower.
func (m Metre) units() string {
	if m.groups != "" {
		return m.groups
	}
	size := 1
	if m.lower >= 8 && m.upper > 3 && m.upper%3 == 0 {
		size = 3
	}
	return strings.Repeat(string(rune(size)), int(m.upper)/size)
}

// IsZero reports whether m is no metre at all.
func (m Metre) IsZero() bool { return m.lower == 0 }

// Beats returns the length of each beat in quarter notes. The slice is new.
func (m Metre) Beats() []Rat {
	if m.IsZero() {
		return nil
	}
	units := m.units()
	beats := make([]Rat, len(units))
	for i := range beats {
		beats[i] = R(4*int64(units[i]), int64(m.lower))
	}
	return beats
}

// Starts returns the place of each beat from the start of the bar, in quarter
// notes. The slice is new.
func (m Metre) Starts() []Rat {
	starts := m.Beats()
	var at Rat
	for i, b := range starts {
		starts[i] = at
		at = at.Add(b)
	}
	return starts
}

// Length returns the length of a bar in quarter notes; 0 for the zero Metre.
func (m Metre) Length() Rat {
	if m.IsZero() {
		return Rat{}
	}
	return R(4*int64(m.upper), int64(m.lower))
}

// CountedBeat returns the beat that a tempo without a note value counts: the
// shortest beat of the bar, in quarter notes.
func (m Metre) CountedBeat() Rat {
	shortest := m.Length()
	for _, b := range m.Beats() {
		if b.Less(shortest) {
			shortest = b
		}
	}
	return shortest
}

// Signature returns the two numbers as they stand on a staff, such as 7 and 8.
func (m Metre) Signature() (upper, lower int) { return int(m.upper), int(m.lower) }

// String returns the canonical form that [ParseMetre] reads.
func (m Metre) String() string {
	if m.IsZero() {
		return "none"
	}
	s := fmt.Sprintf("%d/%d", m.upper, m.lower)
	if m.groups == "" {
		return s
	}
	parts := make([]string, len(m.groups))
	for i := range parts {
		parts[i] = strconv.Itoa(int(m.groups[i]))
	}
	return s + " (" + strings.Join(parts, "+") + ")"
}
