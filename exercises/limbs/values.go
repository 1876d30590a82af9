package limbs

import (
	"math"

	"stampmill/exercises/passage"
)

// This file is the one table of values. None is measured: each is marked as a
// habit of the trade (common practice) or as a round number of ours that
// leaves the habits of the style playable (our choice). Times are nanoseconds
// inside the package; costs are "milliseconds of haste", see [haste].

const ms = int64(1_000_000) // nanoseconds

// tolerance is how much shorter than a limit a gap may be, so that what is
// exactly at a limit on paper is within it after times are rounded to a
// nanosecond. Our choice, a thousandth of what can be heard.
const tolerance = ms / 1000

// Least times of a hand.
const (
	handAgain = 100 * ms // strokes on one drum, on and on: 10 a second; common practice gives 8-10
	handTwice = 55 * ms  // the second stroke of a double, which rebounds; 32nds at 136; our choice
	handMove  = 60 * ms  // from one drum to another, besides the way: out of a run on the floor tom to china and snare, sixteenths at 130; our choice
	perCm     = ms       // for each centimetre of the way of the stick's tip; our choice
	grab      = 50 * ms  // more for a hand that takes hold of a cymbal, before and after; our choice
)

// Least times of a foot.
const (
	footAgain = 110 * ms // on and on: sixteenths at 136 on one pedal, 272 on two; our choice
	footTwice = 70 * ms  // the second of two quick kicks by one foot: sixteenths at 214; our choice
	footMove  = 170 * ms // between the pedal of the hat and that of the kick; our choice
)

// Under these gaps a limb is in haste, and rather leaves the stroke to the
// other one.
const (
	easyCymbal = 135 * ms // one hand on a cymbal up to sixteenths at 111; common practice has 110-120
	easyDrum   = 250 * ms // hands alternate from eighths at 120 on; our choice
	easyKick   = 180 * ms // feet alternate from eighths at 167 on; our choice
	easyMove   = 170 * ms // besides the least time between two drums; our choice
)

// Grace notes come this long before their stroke, the first one named, and in
// any case in the second half of the gap after the stroke before of the same
// drum: what common practice calls one thick stroke.
const (
	flamLead  = 26 * ms // our choice, within common practice
	dragLead  = 76 * ms
	dragAgain = dragLead / 2 // the second of the two
)

// leads are how long before a stroke its first grace note comes.
var leads = [math.MaxUint8 + 1]int64{passage.Flam: flamLead, passage.Drag: dragLead}

// A spot is where an instrument stands, in centimetres from the snare of a
// right-handed drummer: x to the right, y away from the stool. Common practice
// of the style in kind (crash and hat to the left, china behind the ride to
// the right), our choice in centimetres.
type spot struct{ x, y float64 }

// An instrument is how the limbs reach it: what each prefers, in
// milliseconds of haste that it costs to use the right and the left limb.
type instrument struct {
	spot
	alone    [2]int32 // a stroke by itself
	rebounds bool     // plays doubles
}

// kit is the table of what hands strike. The leading hand keeps to the cymbals
// and a lone snare is the left's (both common practice); the left rather does
// not reach across to the right side. In runs these costs count half, and the
// snare is either hand's.
var kit = [...]instrument{
	passage.China:      {spot{90, 20}, [2]int32{0, 40}, false},
	passage.CrashLeft:  {spot{-35, 60}, [2]int32{0, 10}, false},
	passage.CrashRight: {spot{55, 55}, [2]int32{0, 25}, false},
	passage.Ride:       {spot{70, 30}, [2]int32{0, 40}, true},
	passage.Hat:        {spot{-45, 15}, [2]int32{0, 20}, true},
	passage.Snare:      {spot{0, 0}, [2]int32{20, 0}, true},
	passage.TomHigh:    {spot{-5, 40}, [2]int32{0, 5}, true},
	passage.TomMid:     {spot{30, 38}, [2]int32{0, 10}, true},
	passage.TomFloor:   {spot{55, 0}, [2]int32{0, 30}, true},
}

// Costs besides haste, in the same unit. Our choice.
const (
	leftBeat   = 10 // in a run, the left on a beat: the leading hand or foot leads (common practice)
	leftEighth = 5  // in a run, the left on another eighth of the beat (common practice)
	crossed    = 40 // the right hand left of the left one, unless that is on the snare, under it
	leftKick   = 8  // the left foot kicks
	rebound    = 60 // the second of a double
)

// onFoot reports whether a stroke is a foot's: every kick, and the choke of the
// hat, which the left foot closes (common practice). The pedal of the hat
// counts for nothing else: whether the hat is open or closed is left to a
// clutch or to a second hat (common practice with two pedals).
func onFoot(v passage.Voice, k passage.Kind) bool {
	return v == passage.Kick || v == passage.Hat && k == passage.Choke
}

// onHand reports whether a stroke is a hand's.
func onHand(v passage.Voice, k passage.Kind) bool {
	return int(v) < len(kit) && v.Valid() && !onFoot(v, k)
}

func isDrum(v passage.Voice) bool { return v.Family() == passage.Drums }

// A need is the time a limb takes between two strokes: the least, the least
// for the second of a double (0: no double), and the time under which it is in
// haste.
type need struct{ least, twice, easy int64 }

// handNeeds and footNeeds are the times between any two voices.
var handNeeds, footNeeds = func() (hand, foot [len(kit)][len(kit)]need) {
	for v := range kit {
		for w := range kit {
			way := int64(math.Hypot(kit[v].x-kit[w].x, kit[v].y-kit[w].y)) * perCm
			hand[v][w] = need{handMove + way, 0, handMove + way + easyMove}
			foot[v][w] = need{footMove, 0, footMove}
		}
		hand[v][v] = again(passage.Voice(v))
	}
	foot[passage.Kick][passage.Kick] = need{footAgain, footTwice, easyKick}
	foot[passage.Hat][passage.Hat] = need{footAgain, 0, footAgain}
	return hand, foot
}()

// holding is the time with a task that takes hold of a cymbal.
func (n need) holding(t *task) need {
	if t.kind == passage.Choke {
		return need{n.least + grab, 0, n.easy + grab}
	}
	return n
}

// again is the time of a hand between two strokes on one drum.
func again(v passage.Voice) need {
	n := need{handAgain, 0, easyCymbal}
	if isDrum(v) {
		n.easy = easyDrum
	}
	if kit[v].rebounds {
		n.twice = handTwice
	}
	return n
}

// memory is the longest time from one stroke to another in which it matters to
// the same limb, grace notes and all.
var memory = func() int64 {
	var longest int64
	for _, table := range [...][len(kit)][len(kit)]need{handNeeds, footNeeds} {
		for _, row := range table {
			for _, n := range row {
				longest = max(longest, n.least, n.easy)
			}
		}
	}
	return longest + 2*grab + dragLead
}()

// Limits of the picking hand.
const (
	pickTwice  = 70 * ms  // between any two strokes: bursts of sixteenths at 214; our choice
	burst      = 12       // strokes that may come as fast as that: three beats of sixteenths; our choice
	pickSteady = 100 * ms // on the average of a longer run: 10 a second; common practice gives 8-10
	pickDown   = 140 * ms // downstrokes in a row: eighths at 214; our choice, near common practice
	pickSlow   = 240 * ms // cells so long need no upstrokes between them; our choice
)

// Costs of a direction of picking; only their order matters. Our choice.
const (
	upFirst = 1    // begins up after a rest
	offGrid = 2    // goes against the written grid
	sameWay = 1000 // goes the same way again, faster than pickDown
)
