// Package logbook is the book of takes: how they are stored, and what is known
// of each without reading it again.
//
// The one idea: a [Record] is what happened and is never written again; an
// [Entry] is what was made of it, and can be made anew at any time. Times of a
// take are those of package grade; tempi are beats a minute.
package logbook

import (
	"time"

	"stampmill/exercises/grade"
)

// TakePrefix begins the names of the records of takes, which sort by time.
const TakePrefix = "take/"

// A Record is a take as it is stored: what happened, when, and nothing derived.
type Record struct {
	At    time.Time // when it ended
	Title string    // of the step
	Text  string    // hash of the text that was played; "" where it is not known
	Known bool      // the delay of the input was measured
	Take  grade.Take
}
