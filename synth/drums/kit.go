package drums

// This file is the one table of struck sounds. Modes of drums follow the ideal
// circular membrane (1, 1.594, 2.136, 2.296, 2.653, 2.918: Fletcher & Rossing),
// pulled by the air under the skin; the rest is fitted by hand to what sampled
// drums measure (package features).
//
// The columns: Mode {hertz, level, seconds}; Band {low, high, level, rise,
// seconds}; Crowd {count, low, high, level, seconds at low, seconds at high}.

// The ways to strike; our choice. Harder strokes have more highs (Fletcher &
// Rossing: the spectrum of a struck membrane or plate rises with the force),
// and a tighter skin glides more.
var (
	Plain  = Force{Level: .8, Tilt: 0, Glide: 1}
	Accent = Force{Level: 1.25, Tilt: 1.3, Glide: 1.3}
	Ghost  = Force{Level: .22, Tilt: -2.5, Glide: .5}
)

// Kick is a deep shell with a hard beater: the click between 2 and 5.5 kHz is
// what is heard through guitars.
var Kick = Struck{
	Modes: []Mode{{56, .62, .42}, {92, .20, .25}},
	Glide: 2.6, GlideSeconds: .09,
	Bands: []Band{
		{40, 120, .10, 0, .3},
		{300, 1200, .09, 0, .12},
		{2000, 5500, .22, 0, .035},
		{800, 6000, .0025, 0, .4},
	},
	Pivot: 60, Tilt: 1, Vary: .1, Level: 1.1, Seconds: .55,
}

// Snare is a tight batter head over wires.
var Snare = Struck{
	Modes: []Mode{{188, .45, .3}, {331, .25, .22}, {402, .10, .18}},
	Glide: .18, GlideSeconds: .06,
	Bands: []Band{
		{150, 900, .10, 0, .3},
		{900, 3500, .12, 0, .28},
		{2500, 9000, .10, 0, .30},
		{1500, 7000, .30, 0, .02},
	},
	Pivot: 400, Tilt: 1, Vary: .12, Level: 1.1, Seconds: .5,
}

// Rim is the snare's cross-stick: the tip rests on the head, the butt falls on
// the rim; the stick's wood and the hoop click, the shell answers shortly.
var Rim = Struck{
	Modes: []Mode{{415, .22, .09}, {820, .12, .08}, {1690, .42, .075}, {2480, .30, .06}, {3750, .16, .05}},
	Bands: []Band{
		{150, 500, .03, 0, .15},
		{1200, 6000, .30, 0, .02},
		{1500, 9000, .02, 0, .12},
	},
	Pivot: 1000, Tilt: 1, Vary: .12, Level: 1, Seconds: .25,
}

// Hat is the hat with the pedal down.
var Hat = Struck{
	Crowd: Crowd{40, 5200, 14000, .12, .14, .11},
	Bands: []Band{
		{80, 300, .006, 0, .25},
		{300, 3000, .02, 0, .2},
		{6000, 15000, .24, .002, .14},
	},
	Pivot: 8000, Tilt: 1.2, Vary: .1, Level: 1.2, Seconds: .22,
}

// Ride is a heavy plate: a stick's ping over a low wash.
var Ride = Struck{
	Modes: []Mode{{640, .015, 2.5}, {3120, .07, 1.6}, {4470, .08, 1.2}, {5210, .06, 1}},
	Crowd: Crowd{60, 900, 14000, .06, 3.5, 1.8},
	Bands: []Band{
		{3000, 14000, .30, 0, .05},
		{400, 3000, .012, .03, 2.5},
		{4000, 14000, .06, .02, 2.2},
	},
	Pivot: 5000, Tilt: 1, Vary: .12, Level: 1.2, Seconds: 3,
}

// China is a plate with a turned-up edge: rough, lower and shorter than a crash.
var China = Struck{
	Crowd: Crowd{110, 380, 6500, .15, 3.3, 1.6},
	Bands: []Band{
		{300, 1200, .07, .005, 2.0},
		{1000, 7000, .38, 0, .016},
		{1200, 4000, .17, .01, 1.35},
		{3500, 11000, .12, .04, 1.3},
	},
	Pivot: 3000, Tilt: .8, Vary: .06, Level: 1, Seconds: 2.6,
}

// The toms and crashes, from high to low.
var (
	TomHigh    = tom(140, .75)
	TomMid     = tom(105, 1.1)
	TomFloor   = tom(74, 1.05)
	CrashLeft  = crash(1)
	CrashRight = crash(1.12)
)

// OpenHat is the hat with the pedal up.
var OpenHat = Struck{
	Crowd: Crowd{60, 3500, 14000, .10, 2.6, 1.8},
	Bands: []Band{
		{60, 250, .009, 0, 2},
		{400, 3000, .06, .01, 2.6},
		{3000, 14000, .15, .01, 2.2},
	},
	Pivot: 7000, Tilt: 1, Vary: .1, Level: 1.2, Seconds: 2.4,
}

// tom is a drum of two heads tuned to hertz.
func tom(hertz, seconds float64) Struck {
	return Struck{
		Modes: []Mode{
			{hertz, .5, seconds}, {hertz * 1.52, .24, seconds * .7},
			{hertz * 2.0, .12, seconds * .5}, {hertz * 2.65, .06, seconds * .4},
		},
		Glide: .25, GlideSeconds: .2,
		Bands: []Band{
			{200, 1500, .05, 0, .22},
			{1500, 6000, .16, 0, .04},
			{1500, 9000, 3e-7 * hertz * hertz, 0, .6},
		},
		Pivot: hertz, Tilt: 1, Vary: .1, Level: 1.1, Seconds: seconds * 1.2,
	}
}

// crash is a thin plate whose highs come up after the stroke; size moves all
// of its frequencies.
func crash(size float64) Struck {
	return Struck{
		Crowd: Crowd{90, 300 * size, 8500 * size, .15, 4.8, 2.7},
		Bands: []Band{
			{250 * size, 1500 * size, .16, 0, .09},
			{1000 * size, 4000 * size, .27, 0, .012},
			{250 * size, 1200 * size, .05, .005, 4.2},
			{1200 * size, 4000 * size, .10, .02, 4.2},
			{4000 * size, 11000 * size, .11, .2, 3.6},
		},
		Pivot: 3500, Tilt: .7, Vary: .06, Level: 1, Seconds: 4,
	}
}
