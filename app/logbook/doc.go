// Package logbook is the book of takes and of answered listening questions: how
// they are stored, and what is known of each without reading it again.
//
// The one idea: a [Record] is what happened and is never written again; an
// [Entry] is what was made of it, and can be made anew at any time. Beside the
// takes lie the texts they were played from, each once ([TextOf]), and packed
// entries, by month ([Pack]). An answer ([Heard]) is one record with its mark,
// which alone is made anew. Times of a take are those of package grade; tempi
// are beats a minute.
package logbook
