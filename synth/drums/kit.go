package drums

// This file is the one table of struck sounds: the physics stands in drums.go,
// head.go and plate.go, the numbers here were fitted to what sampled drums
// measure (package features), starting from what such drums are.
//
// The columns: Head by name; Mode {hertz, level, seconds}; Crowd {count, low,
// high, level, rise, seconds at low, seconds at high}; Band {low, high, level,
// rise, seconds}.

// The ways to strike; our choice. Harder strokes have more highs (Fletcher &
// Rossing: the spectrum of a struck membrane or plate rises with the force),
// ring longer, and a tighter skin glides more.
var (
	Plain  = Force{Level: .6, Drive: 1, Tilt: 0, Glide: 1, Ring: 1}
	Accent = Force{Level: .73, Drive: 1.35, Tilt: 1.3, Glide: 1.3, Ring: 1.06}
	Ghost  = Force{Level: .165, Drive: 1, Tilt: -2.2, Glide: .5, Ring: .92}
)

// Kick is a deep shell with a hard beater: the click between 2 and 5.5 kHz is
// what is heard through guitars.
var Kick = Struck{
	Head:  Head{Hertz: 56, Level: .7, Seconds: .34, Damping: .9, Air: .95, Slope: 14, Strike: .12, Modes: 6},
	Glide: 2.5, GlideSeconds: .04,
	Bands: []Band{
		{40, 120, .28, 0, .26},
		{300, 1350, .075, 0, .23},
		{2000, 5800, .19, 0, .055},
		{800, 6000, .003, 0, .32},
	},
	Pivot: 300, Tilt: 1, Vary: .08, Level: .88, Seconds: .55,
}

// Snare is a tight batter head over wires.
var Snare = Struck{
	Head:  Head{Hertz: 188, Level: .66, Seconds: .26, Damping: .6, Air: .95, Slope: 14, Strike: .27, Modes: 8},
	Glide: .18, GlideSeconds: .1,
	Bands: []Band{
		{145, 890, .17, 0, .42},
		{1500, 6800, .2, 0, .012},
	},
	Wires: []Band{
		{860, 3700, .11, .0036, .45},
		{3000, 8300, .18, .018, .39},
	},
	Buzz:  .35,
	Pivot: 700, Tilt: 1, Vary: .06, Level: .96, Seconds: .5,
}

// Rim is the snare's cross-stick: the tip rests on the head, the butt falls on
// the rim; stick and hoop click, the shell answers, the wires hardly.
var Rim = Struck{
	Modes: []Mode{{243, .17, .16}, {528, .3, .13}, {1120, .3, .14}, {1780, .42, .1}, {2130, .62, .125}, {3550, .16, .09}, {5270, .085, .06}},
	Bands: []Band{
		{1000, 7000, .36, 0, .016},
		{120, 480, .055, 0, .34},
		{1500, 9200, .13, 0, .18},
	},
	Pivot: 1000, Tilt: 1, Vary: .15, Level: .8, Seconds: .3,
}

// Hat is the hat with the pedal down.
var Hat = Struck{
	Crowds: []Crowd{{40, 4800, 13100, .138, 0, .13, .15}},
	Bands: []Band{
		{66, 250, .011, 0, .25},
		{370, 3000, .022, 0, .2},
		{3800, 13000, .25, .001, .012},
		{5300, 9000, .096, .002, .16},
		{9500, 15500, .18, .003, .15},
	},
	Pivot: 7500, Tilt: .9, Vary: .08, Level: .88, Seconds: .24, Cast: 1,
}

// OpenHat is the hat with the pedal up: two plates that sizzle on each other.
var OpenHat = Struck{
	Modes:  []Mode{{2900, .2, .01}, {5200, .25, .008}, {8100, .25, .006}},
	Crowds: []Crowd{{24, 350, 3000, .06, .01, 2.6, 2.6}, {50, 3000, 13000, .14, 0, 2.6, 1.8}},
	Bands: []Band{
		{60, 250, .009, 0, 2},
		{400, 3000, .04, .01, 2.6},
		{3000, 14000, .14, .01, 2.2},
		{4000, 14000, .32, 0, .04},
	},
	Rough: .25, RoughHertz: 240,
	Pivot: 7000, Tilt: 1.3, Vary: .08, Level: .8, Seconds: 2.4, Cast: 1,
}

// Ride is a heavy plate: a stick's ping over a low wash.
var Ride = Struck{
	Modes:  []Mode{{640, .015, 2.5}, {3120, .07, 1.6}, {4470, .08, 1.2}, {5210, .06, 1}},
	Crowds: []Crowd{{30, 350, 3500, .03, .02, 3.5, 3}, {40, 3500, 12000, .075, .02, 3, 1.8}},
	Bands: []Band{
		{3000, 14000, .30, 0, .05},
		{60, 250, .003, 0, 3},
		{400, 3000, .012, .03, 2.5},
		{4000, 12000, .05, .02, 2.2},
	},
	Pivot: 5000, Tilt: 1, Vary: .1, Level: .88, Seconds: 3, Cast: 2,
}

// China is a plate with a turned-up edge: rough, lower and shorter than a
// crash.
var China = Struck{
	Modes:  []Mode{{720, .39, .03}, {1550, .39, .02}, {2700, .39, .015}},
	Crowds: []Crowd{{60, 320, 2500, .10, .02, 3.4, 2.65}, {60, 2500, 11000, .10, .02, 2.75, 1.05}},
	Bands: []Band{
		{350, 1200, .05, .02, 2.1},
		{1000, 7000, .22, .02, .12},
		{1200, 4000, .17, .02, 1.34},
		{3500, 11000, .11, .04, 1.22},
	},
	Rough: .12, RoughHertz: 180,
	Pivot: 3000, Tilt: 1.1, Vary: .04, Level: 1.12, Seconds: 2.6, Cast: 3,
}

// The toms and crashes.
var (
	TomHigh    = tom(140, .75)
	TomMid     = tom(106, 1.04)
	TomFloor   = tom(68, 1.2)
	CrashLeft  = crash(1.15, .87, 4)
	CrashRight = crash(.88, 1.1, 5)
)

// tom is a drum of two heads tuned to hertz.
func tom(hertz, seconds float64) Struck {
	return Struck{
		Head:  Head{Hertz: hertz, Level: .5, Seconds: seconds, Damping: .68, Air: .9, Slope: 11, Strike: .25, Modes: 10},
		Glide: .2, GlideSeconds: .2,
		Bands: []Band{
			{200, 1600, .07, 0, .32},
			{1500, 6500, .2, 0, .045},
			{1300, 10000, 4e-7 * hertz * hertz, 0, .85},
		},
		Pivot: 4 * hertz, Tilt: 1, Vary: .08, Level: .88, Seconds: seconds * 1.2,
	}
}

// crash is a thin plate whose highs come up after the stroke; size moves all
// of its frequencies, long all of its decays.
func crash(size, long float64, cast uint64) Struck {
	return Struck{
		Modes: []Mode{{850, .34, .03}, {1750, .34, .02}, {2900, .34, .015}},
		Crowds: []Crowd{
			{40, 280 * size, 2600 * size, .095, .02, 4.8 * long, 4.2 * long},
			{50, 2600 * size, 9000 * size, .115, .05, 4.2 * long, 2.7 * long},
		},
		Bands: []Band{
			{400 * size, 1500 * size, .14, .02, .09},
			{1000 * size, 5000 * size, .21, .02, .12},
			{400 * size, 1200 * size, .03, .02, 4.2 * long},
			{1200 * size, 4000 * size, .08, .02, 4.2 * long},
			{4000 * size, 12000 * size, .11, .15, 3.6 * long},
		},
		Pivot: 3500, Tilt: 1, Vary: .04, Level: 1.08, Seconds: 4 * long, Cast: cast,
	}
}
