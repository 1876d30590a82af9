package guitar

// This file is the one table of strings and amplifiers: instruments and the
// ways to play them. Times and corners are fitted by hand to what sampled
// guitars measure (package features) and to common practice: a tight chug is
// gone by 20 dB after 60 to 120 ms, an open string rings for seconds. An EQ is
// {hertz, Q, dB}.

// The instruments. Both guitars are one instrument; their players differ by
// the side of the note.
var (
	Rhythm = Instrument{Pickup: .13, Sustain: 1, Amp: Amp{
		Tight:  100,
		Before: []EQ{{750, .7, 6}},
		Gain1:  16, Bias: .25, Between: 40, Top: 7000, Gain2: 6,
		After: []EQ{{110, 1, 2.5}, {480, .8, -4}, {2500, 1.1, 4}},
		Low:   70, High: 4400,
	}}
	Bass = Instrument{Pickup: .16, Sustain: 1.1, Amp: Amp{
		Tight:  120,
		Before: []EQ{{900, .7, 4}},
		Gain1:  3, Bias: .15, Between: 60, Top: 4000, Gain2: 2, Clean: 1,
		After: []EQ{{80, .8, 6}, {400, .7, -6}, {1800, 1, 2}},
		Low:   28, High: 3000,
	}}
	Lead = Instrument{Pickup: .18, Sustain: 1, Amp: Amp{
		Tight:  150,
		Before: []EQ{{900, .7, 5}},
		Gain1:  12, Bias: .2, Between: 80, Top: 6000, Gain2: 4,
		After: []EQ{{350, .8, 2}, {2400, 1.1, 5}},
		Low:   120, High: 4400,
	}}
)

// The techniques.
var (
	Muted     = Technique{Sustain: .35, Loss: 2300, Pick: 3500, Place: .09, Scratch: .9, Drive: 1, Level: .55, Cut: .13}
	Slammed   = Technique{Sustain: .7, Loss: 4200, Pick: 4500, Place: .07, Scratch: .9, Drive: 1.6, Level: .7, Cut: .15}
	Dead      = Technique{Sustain: .07, Loss: 900, Pick: 1500, Place: .14, Scratch: .5, Drive: .5, Level: .35, Cut: .07}
	Ringing   = Technique{Sustain: 7, Loss: 9000, Pick: 4000, Place: .12, Scratch: .5, Drive: 1, Level: .5}
	Flageolet = Technique{Sustain: 6, Loss: 9000, Pick: 4000, Round: .6, Place: .5, Scratch: .04, Drive: .35, Level: .75}
	Scraping  = Technique{Sustain: .2, Loss: 9000, Pick: 5000, Place: .1, Drive: .6, Level: .6, Motion: Scraped}
	Bent      = Technique{Sustain: 7, Loss: 9000, Pick: 4000, Place: .12, Scratch: .5, Drive: 1, Level: .52, Motion: Bending}
	Trembled  = Technique{Sustain: 1, Loss: 7000, Pick: 4000, Place: .1, Scratch: .7, Drive: .9, Level: .52, Motion: Picking}
	Tapping   = Technique{Sustain: 5, Loss: 7000, Pick: 1200, Place: .3, Scratch: .1, Drive: .7, Level: .55}
)
