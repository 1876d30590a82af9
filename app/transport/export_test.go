package transport

import "stampmill/synth"

// For tests: a small memory, and sounds of a known length that cost nothing.

func (t *Transport) SetLimit(bytes int) { t.bank.limit = bytes }

func (t *Transport) MakeWith(begin func(synth.Key, int, uint64) synth.Generator) {
	t.bank.begin = begin
}

const (
	Rest      = rest
	Guard     = guard
	LookAhead = lookAhead
	Grace     = grace
	Stall     = stall
	Patience  = patience
	Slice     = sliceMillis
	Settling  = settling
)
