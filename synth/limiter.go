package synth

// The limiter's constants; our choice after common practice for brick-wall
// limiters. The ceiling of -1 dB true peak leaves room for converters; a quarter
// of a decibel below it leaves room for the estimate, whatever comes (fuzzed).
const (
	ceiling        = .865 // -1.25 dB
	lookahead      = .002 // seconds
	limiterRelease = .08  // seconds, time constant
)

// A limiter holds the true peaks of both channels at the ceiling. It looks ahead:
// its gain is the average, over the look-ahead, of the smallest gain that any
// frame in it needs, so that it is down in time and moves smoothly. What stays
// below the ceiling passes unchanged, later by latency.
type limiter struct {
	peaks     *truePeak
	delay     []float32 // interleaved ring of look frames
	gains     []float64 // ring of the last look gains
	sum       float64   // of gains
	at        int
	frame     int
	least     []need // gains still in the window, rising
	held      float64
	recover   float64
	untouched int // frames since the gain was last below 1
}

// A need is the gain that a frame needs.
type need struct {
	frame int
	gain  float64
}

func newLimiter(rate int) *limiter {
	n := int(lookahead * float64(rate))
	l := &limiter{peaks: newTruePeak(), delay: make([]float32, 2*n), gains: make([]float64, n), held: 1,
		recover: 1 / (limiterRelease * float64(rate))}
	for i := range l.gains {
		l.gains[i] = 1
	}
	l.sum = float64(n)
	return l
}

// latency returns the delay in frames.
func (l *limiter) latency() int { return len(l.gains) + peakDelay }

// process limits interleaved frames in place.
func (l *limiter) process(pcm []float32) {
	for i := 0; i+1 < len(pcm); i += 2 {
		left, right, peak := l.peaks.next(pcm[i], pcm[i+1])
		g := l.gain(peak)
		d := l.delay[2*l.at : 2*l.at+2]
		pcm[i], pcm[i+1] = d[0]*g, d[1]*g
		d[0], d[1] = left, right
		if l.at++; l.at == len(l.gains) {
			l.at = 0
		}
	}
}

// gain takes in the peak of the newest frame and returns the gain of the
// oldest.
func (l *limiter) gain(peak float32) float32 {
	l.frame++
	if peak <= ceiling && l.untouched > len(l.gains) {
		return 1
	}
	wanted := 1.0
	if peak > ceiling {
		wanted = ceiling / float64(peak)
		if l.untouched > len(l.gains) {
			l.rest()
		}
	}
	low := min(l.window(wanted), l.held+(1-l.held)*l.recover)
	if low > .99999 {
		low = 1
	}
	l.held = low
	if low < 1 {
		l.untouched = 0
	} else {
		l.untouched++
	}
	l.sum += low - l.gains[l.at]
	l.gains[l.at] = low
	return float32(l.sum / float64(len(l.gains)))
}

// rest forgets rounding errors while nothing is limited.
func (l *limiter) rest() {
	for i := range l.gains {
		l.gains[i] = 1
	}
	l.sum, l.held, l.untouched, l.least = float64(len(l.gains)), 1, 0, l.least[:0]
}

// window returns the smallest gain needed by the last look-ahead of frames.
func (l *limiter) window(wanted float64) float64 {
	for n := len(l.least); n > 0 && l.least[n-1].gain >= wanted; n-- {
		l.least = l.least[:n-1]
	}
	l.least = append(l.least, need{l.frame, wanted})
	if l.least[0].frame < l.frame-len(l.gains) {
		l.least = append(l.least[:0], l.least[1:]...)
	}
	return l.least[0].gain
}
