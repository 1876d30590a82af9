package guitar

import "stampmill/synth/dsp"

// An EQ is one bell of a tone control.
type EQ struct{ Hertz, Q, DB float64 }

// An Amp is two distorting stages with tone controls before and after, and a
// loudspeaker (Zölzer, DAFX, chapter "Nonlinear processing").
type Amp struct {
	Tight        float64 // hertz: what is below is kept from the first stage
	Before       []EQ
	Gain1        float64
	Bias         float64 // offset of the first stage: even overtones
	Between, Top float64 // hertz: high-pass and low-pass between the stages
	Gain2        float64
	Clean        float64 // how much of the undistorted lows goes round the stages
	After        []EQ
	Low, High    float64 // hertz: the loudspeaker's range; it falls by 24 dB an octave above
}

type stage struct {
	amp      Amp
	tight    dsp.Biquad
	before   dsp.Chain
	over     *dsp.Oversampler
	coupling dsp.OnePole
	top      dsp.OnePole
	after    dsp.Chain
	lows     dsp.Chain
	rest     float64 // what the first stage gives for silence
	distort  func(float64) float64
}

// spread is how much two players' loudspeakers differ; our choice.
const spread = .05

// lowsBelow is the corner, in hertz, under which a clean share goes round the
// distortion; common practice with bass guitars.
const lowsBelow = 180

func newStage(a Amp, side, rate int) *stage {
	s := &stage{
		amp: a, tight: dsp.HighPass(a.Tight, .7071, rate), over: dsp.NewOversampler(),
		coupling: dsp.NewOnePole(a.Between, rate*dsp.Oversampling),
		top:      dsp.NewOnePole(a.Top, rate*dsp.Oversampling),
		rest:     dsp.Saturate(a.Bias),
		lows:     dsp.Chain{dsp.LowPass(lowsBelow, .7071, rate)},
	}
	for _, e := range a.Before {
		s.before = append(s.before, dsp.Peak(e.Hertz, e.Q, e.DB, rate))
	}
	size := 1 + spread*float64(side)
	s.after = dsp.Chain{dsp.HighPass(a.Low, .7071, rate),
		dsp.LowPass(a.High*size, .5412, rate), dsp.LowPass(a.High*size, 1.3066, rate)}
	for _, e := range a.After {
		s.after = append(s.after, dsp.Peak(e.Hertz*size, e.Q, e.DB, rate))
	}
	s.distort = s.stages
	return s
}

// stages is what happens at the high rate.
func (s *stage) stages(x float64) float64 {
	y := dsp.Saturate(x*s.amp.Gain1+s.amp.Bias) - s.rest
	y = s.top.Low(s.coupling.High(y))
	return dsp.Saturate(y * s.amp.Gain2)
}

func (s *stage) next(x float64) float64 {
	y := s.over.Next(s.before.Filter(s.tight.Filter(x)), s.distort)
	if s.amp.Clean > 0 {
		y += dsp.Saturate(s.amp.Clean * s.lows.Filter(x))
	}
	return s.after.Filter(y)
}
