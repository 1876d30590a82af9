package guitar

import "stampmill/synth/dsp"

// An EQ is one bell of a tone control.
type EQ struct{ Hertz, Q, DB float64 }

// An Amp is two distorting stages with tone controls before and after, and a
// loudspeaker in a box. The stages in a row with filters between them follow
// Pakarinen & Yeh, "A review of digital techniques for modeling vacuum-tube
// guitar amplifiers" (Computer Music Journal 33(2), 2009), and Zölzer, DAFX,
// chapter "Nonlinear processing". Below its resonance a loudspeaker in a
// closed box is a high-pass of second order with the box's Q (Small,
// "Closed-box loudspeaker systems", J. Audio Eng. Soc. 20, 1972); above, a
// large cone breaks up and falls off steeply. All from memory.
type Amp struct {
	Hiss         float64 // noise at the input, against a pulse of 1
	Tight        float64 // hertz: what is below is kept from the first stage
	Before       []EQ
	Gain1        float64
	Bias         float64 // offset of the first stage: even overtones
	Between, Top float64 // hertz: high-pass and low-pass between the stages
	Gain2        float64
	Clean        float64 // how much of the undistorted lows goes round the stages
	After        []EQ
	Low, Box     float64 // hertz and Q of the loudspeaker's resonance; it falls by 12 dB an octave below
	High         float64 // hertz: where the loudspeaker begins to fall by 24 dB an octave
	Volume       float64 // after all
}

type stage struct {
	amp      Amp
	before   dsp.Chain
	over     *dsp.Oversampler
	coupling dsp.OnePole
	top      dsp.OnePole
	after    dsp.Chain
	lows     dsp.Chain
	rest     float64 // what the first stage gives for silence
	noise    *dsp.Noise
}

// lowsBelow is the corner, in hertz, under which a clean share goes round the
// distortion; common practice with bass guitars.
const lowsBelow = 180

func newStage(a Amp, rate int, noise *dsp.Noise) *stage {
	s := &stage{
		amp: a, over: dsp.NewOversampler(),
		coupling: dsp.NewOnePole(a.Between, rate*dsp.Oversampling),
		top:      dsp.NewOnePole(a.Top, rate*dsp.Oversampling),
		rest:     dsp.Saturate(a.Bias),
		before:   dsp.Chain{dsp.HighPass(a.Tight, .7071, rate)},
		lows:     dsp.Chain{dsp.LowPass(lowsBelow, .7071, rate)},
		noise:    noise,
	}
	for _, e := range a.Before {
		s.before = append(s.before, dsp.Peak(e.Hertz, e.Q, e.DB, rate))
	}
	s.after = dsp.Chain{dsp.HighPass(a.Low, a.Box, rate),
		dsp.LowPass(a.High, .5412, rate), dsp.LowPass(a.High, 1.3066, rate)} // Butterworth of fourth order
	for _, e := range a.After {
		s.after = append(s.after, dsp.Peak(e.Hertz, e.Q, e.DB, rate))
	}
	return s
}

// distort is what happens at the high rate.
func (s *stage) distort(x *dsp.High) {
	coupling, top := s.coupling, s.top // in registers
	for i, y := range x {
		y = dsp.Saturate(y*s.amp.Gain1+s.amp.Bias) - s.rest
		x[i] = dsp.Saturate(top.Low(coupling.High(y)) * s.amp.Gain2)
	}
	s.coupling, s.top = coupling, top
}

// run sends a block through the amplifier; it comes out dsp.Latency late.
func (s *stage) run(x *dsp.Block) {
	for i := range x {
		x[i] += s.amp.Hiss * s.noise.Next()
	}
	clean := *x
	s.before.Run(x)
	s.over.Run(x, s.distort)
	if s.amp.Clean > 0 {
		for i, c := range clean {
			x[i] += dsp.Saturate(s.amp.Clean * s.lows.Filter(c))
		}
	}
	s.after.Run(x)
	for i := range x {
		x[i] *= s.amp.Volume
	}
}
