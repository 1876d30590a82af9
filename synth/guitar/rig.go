package guitar

// This file is the one table of strings and amplifiers: instruments and the
// ways to play them. Times and corners are fitted by hand to what sampled
// guitars measure (package features) and to common practice: a tight chug is
// gone by 20 dB after 60 to 120 ms, an open string rings for seconds. An EQ is
// {hertz, Q, dB}.

// The instruments. The two guitars are two takes: other hands, another guitar,
// amplifier and loudspeaker, as common practice doubles a rhythm guitar.
var (
	Rhythm = Instrument{Pickup: .097, Sustain: 1, Cents: -.9, Place: 1, Amp: Amp{
		Hiss: .001, Tight: 95,
		Before: []EQ{{1125, .7, 4.6}},
		Gain1:  14.6, Bias: .045, Between: 42, Top: 2200, Gain2: 4.6,
		After: []EQ{{260, .6, 5.5}, {750, .8, 1}, {3180, 1.1, 7.4}},
		Low:   40, Box: 1.3, High: 3900, Volume: .34,
	}}
	Second = Instrument{Pickup: .24, Sustain: 1, Cents: .1, Place: 1.3, Amp: Amp{
		Hiss: .001, Tight: 60,
		Before: []EQ{{900, .7, 4.6}},
		Gain1:  14.6, Bias: .08, Between: 50, Top: 2400, Gain2: 4.6,
		After: []EQ{{100, .6, 5}, {950, .8, 5.5}, {2600, 1.1, 5}},
		Low:   42, Box: 1.3, High: 4100, Volume: .32,
	}}
	Bass = Instrument{Pickup: .25, Sustain: 1.1, Place: 1, Amp: Amp{
		Hiss: .0003, Tight: 150,
		Before: []EQ{{900, .7, 3.7}},
		Gain1:  3, Bias: .15, Between: 74, Top: 4000, Gain2: 2, Clean: 1,
		After: []EQ{{80, .8, 9}, {400, .7, -6}, {1800, 1, -6}},
		Low:   40, Box: .8, High: 2700, Volume: 1.15,
	}}
	Lead = Instrument{Pickup: .22, Sustain: 1, Place: 1, Amp: Amp{
		Hiss: .0006, Tight: 140,
		Before: []EQ{{412, .7, 7.8}},
		Gain1:  15.7, Bias: .04, Between: 30, Top: 7200, Gain2: 6.2,
		After: []EQ{{220, 1, 6.7}, {545, .8, 8}},
		Low:   82, Box: .64, High: 4400, Volume: .34,
	}}
)

// The techniques.
var (
	Muted       = Technique{Sustain: .4, Loss: 1000, Pick: 3300, Round: 5, Place: .104, Scratch: .35, Sharp: 6, Drive: .28, Level: .58, Cut: .2}
	Slammed     = Technique{Sustain: .5, Loss: 1500, Pick: 6500, Place: .085, Scratch: .5, Sharp: 14, Drive: .75, Level: .64, Cut: .212}
	Dead        = Technique{Sustain: .07, Loss: 500, Pick: 600, Round: 4, Place: .14, Scratch: .08, Drive: .14, Level: .4, Cut: .13}
	Ringing     = Technique{Sustain: 7, Loss: 9000, Pick: 5900, Place: .057, Scratch: .53, Sharp: 6, Drive: .86, Level: .5}
	Strummed    = Technique{Sustain: 7, Loss: 4900, Pick: 1460, Place: .19, Scratch: .32, Sharp: 6, Drive: 2, Level: .5, Strum: []float64{7, 12}}
	Flageolet   = Technique{Sustain: 6, Loss: 9000, Pick: 4000, Round: .6, Place: .5, Nodes: 3, Scratch: .4, Drive: 1, Level: .38}
	Scraping    = Technique{Sustain: .2, Loss: 9000, Pick: 5000, Place: .1, Drive: .2, Level: .35, Motion: ScrapedUp}
	ScrapingOff = Technique{Sustain: .2, Loss: 9000, Pick: 5000, Place: .1, Drive: .2, Level: .35, Motion: ScrapedDown}
	Bent        = Technique{Sustain: 7, Loss: 9000, Pick: 5900, Place: .08, Scratch: .5, Drive: .86, Level: .52, Motion: Bending}
	Trembled    = Technique{Sustain: 1, Loss: 7000, Pick: 5000, Place: .08, Scratch: .5, Drive: .8, Level: .52, Motion: Picking}
	Tapping     = Technique{Sustain: 5, Loss: 7000, Pick: 1200, Place: .3, Scratch: .1, Drive: .7, Level: .48}
	// A bass amplifier holds little back, so its string is muted less and struck
	// more evenly.
	Thudding = Technique{Sustain: .4, Loss: 1000, Pick: 3300, Round: 8, Place: .104, Scratch: .3, Sharp: 4, Drive: .9, Level: .5, Cut: .2}
	Digging  = Technique{Sustain: .5, Loss: 1500, Pick: 6500, Place: .085, Scratch: .5, Sharp: 9, Drive: 1.2, Level: .6, Cut: .22}
	Choked   = Technique{Sustain: .1, Loss: 500, Pick: 600, Round: 6, Place: .14, Scratch: .1, Drive: .5, Level: .4, Cut: .13}
)
