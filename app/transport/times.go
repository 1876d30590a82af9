package transport

// Times of playing, in ms; our choices where no measurement is named.
const (
	// tickMillis is how often commands are handed to the device, and lookAhead
	// how far ahead. Measured: with the page blocked for 120 ms again and again,
	// 100 ms ahead is late one time in ten, 200 ms never.
	tickMillis = 25
	lookAhead  = 200
	// farAhead is how much further ahead commands are handed on a page that was
	// slow to tick: twice its longest pause, up to this. Stop and Level reach what
	// was handed ahead, so it costs nothing but the promptness of a new tempo.
	farAhead = 800
	// lead is from Start to the first frame of the sequence.
	lead = 80
	// guard is how far ahead a sound must be to be sure of its place: the device
	// takes frames in blocks, of 10 ms as a rule.
	guard = 10
	// fadeMillis is how long the sound takes to end: 5 ms and more do not click.
	// With guard before it, Stop is silent after 22 ms.
	fadeMillis = 12
	// grace is how long after the last pass was heard a late press still belongs
	// to it: a wireless output of 250 ms, a player of 100 ms, and some.
	grace = 500
	// patience is how long the browser may take to open the device.
	patience = 1500
	// stall is how long the device may stand still before it counts as lost.
	stall = 1000
	// suspicion is how long after a change of the sound devices a jump of the
	// clocks is put down to it.
	suspicion = 3000
	// rest is how long after the last sound the device is left running: as long as
	// the longest cymbal and a change of mind take.
	rest = 30_000
	// settling is how long after the start exact pairs may be waited for.
	settling = 2000
	// roughError is the standard error of the clocks above which presses are not
	// placed well: a tenth of the tightest band that is drawn, ±10 ms.
	roughError = 1
)
