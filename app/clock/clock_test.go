package clock

import (
	"math"
	"math/rand/v2"
	"sort"
	"testing"
)

// device is a simulated pair of clocks. The defaults are what was measured in
// Chromium: pairs 0.05 ms off in the middle, slope 1.3 parts in a million.
type device struct {
	rng    *rand.Rand
	jitter float64 // ms, standard deviation
	ppm    float64
	off    float64 // ms
}

func newDevice() *device { return &device{rand.New(rand.NewPCG(3, 4)), 0.1, 1.3, -1234.5} }

// exact returns the second of the device at an event time.
func (d *device) exact(event float64) float64 { return (event*(1+d.ppm/1e6) + d.off) / 1000 }

func (d *device) pair(event float64) (float64, float64) {
	return d.exact(event) + d.rng.NormFloat64()*d.jitter/1000, event
}

// feed gives e pairs every 10 ms between two event times, and returns the
// errors of the estimate in ms, sorted, at a moment 4 ms after each.
func (d *device) feed(e *Estimator, from, to float64) []float64 {
	var errs []float64
	for t := from; t < to; t += 10 {
		e.Add(d.pair(t))
		at, _ := e.At(t + 4)
		errs = append(errs, math.Abs(at-d.exact(t+4))*1000)
	}
	sort.Float64s(errs)
	return errs
}

// A median of 64 normal errors has a standard error of 1.2533 σ/√64 (Kenney
// and Keeping 1951, from memory): with σ = 0.1 ms, 0.016 ms, and 95 of 100
// below 0.031 ms. The slope adds 0.0004 ms at the age of the median.
func TestJitterAndSlope(t *testing.T) {
	d, e := newDevice(), new(Estimator)
	d.feed(e, 5000, 6000)
	errs := d.feed(e, 6000, 66000)
	if p95 := errs[len(errs)*95/100]; p95 > 0.04 {
		t.Errorf("95 of 100 errors are below %.3f ms, want 0.04", p95)
	}
	if worst := errs[len(errs)-1]; worst > 0.1 {
		t.Errorf("worst error %.3f ms, want below 0.1", worst)
	}
	_, sure := e.At(66000)
	if sure.Quality != Exact || sure.Pairs != Window {
		t.Errorf("%+v, want exact with %d pairs", sure, Window)
	}
	if sure.Spread < 0.05 || sure.Spread > 0.2 {
		t.Errorf("spread %.3f ms of pairs made with 0.1", sure.Spread)
	}
	if e.Jumps() != 0 {
		t.Errorf("%d jumps found where there was none", e.Jumps())
	}
}

// Two crystals may differ by 100 parts in a million: the median of the last
// 640 ms is then 0.03 ms behind.
func TestSteepSlope(t *testing.T) {
	d, e := newDevice(), new(Estimator)
	d.ppm = 100
	d.feed(e, 5000, 6000)
	errs := d.feed(e, 6000, 66000)
	if p95 := errs[len(errs)*95/100]; p95 > 0.08 {
		t.Errorf("95 of 100 errors are below %.3f ms, want 0.08", p95)
	}
}

// After a pause in which no pairs came, old ones say nothing any more.
func TestOldPairsAreForgotten(t *testing.T) {
	d, e := newDevice(), new(Estimator)
	d.ppm, d.jitter = 100, 0
	d.feed(e, 5000, 7000)
	e.Add(d.pair(67000)) // 6 ms of drift later
	at, sure := e.At(67000)
	if err := math.Abs(at-d.exact(67000)) * 1000; err > 0.001 || sure.Pairs != 1 {
		t.Errorf("error %.3f ms from %d pairs, want 0 from the new one", err, sure.Pairs)
	}
	if e.Jumps() != 0 {
		t.Errorf("the drift of a pause counts as %d jumps", e.Jumps())
	}
}

// Suspending and resuming moved the offset by 304 ms where it was measured.
func TestJump(t *testing.T) {
	d, e := newDevice(), new(Estimator)
	d.feed(e, 5000, 6000)
	d.off -= 304
	d.feed(e, 6304, 6334)
	if e.Jumps() != 0 {
		t.Fatal("three pairs are believed, want four")
	}
	d.feed(e, 6334, 6344)
	if e.Jumps() != 1 {
		t.Fatalf("%d jumps after four pairs, want 1", e.Jumps())
	}
	at, sure := e.At(6344)
	if err := math.Abs(at-d.exact(6344)) * 1000; err > 0.3 || sure.Pairs != 4 {
		t.Errorf("error %.3f ms from %d pairs right after the jump", err, sure.Pairs)
	}
}

// A single pair that is far off is an accident and moves nothing.
func TestAccident(t *testing.T) {
	d, e := newDevice(), new(Estimator)
	d.feed(e, 5000, 6000)
	for i := range 20 {
		now := 6000 + 40*float64(i)
		device, event := d.pair(now)
		e.Add(device+0.025, event)
		d.feed(e, now+10, now+40)
	}
	if at, _ := e.At(6800); math.Abs(at-d.exact(6800)) > 0.0001 || e.Jumps() != 0 {
		t.Errorf("off by %.3f ms with %d jumps after 20 accidents", (at-d.exact(6800))*1000, e.Jumps())
	}
}

// A device whose pairs are as coarse as its blocks, 10 ms, is never taken for
// one that jumps, not even at the start, and its spread tells.
func TestCoarsePairs(t *testing.T) {
	d, e := newDevice(), new(Estimator)
	for now := 5000.0; now < 9000; now += 16 + d.rng.Float64() {
		e.Add(math.Floor(d.exact(now)*100)/100, now)
	}
	_, sure := e.At(9000)
	if e.Jumps() != 0 || sure.Spread < 2 || sure.Spread > 6 {
		t.Errorf("%d jumps, %+v; want none, and a spread of 3 to 4 ms", e.Jumps(), sure)
	}
}

func TestUnusablePairs(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	var e Estimator
	for _, p := range [][2]float64{{0, 5000}, {5, 0}, {0, 0}, {-1, 5000}, {nan, 5000}, {5, nan}, {inf, 5000}, {5, inf}, {5, -inf}} {
		if e.Add(p[0], p[1]) || e.AddRough(p[0], p[1]) {
			t.Errorf("the pair %v was used", p)
		}
	}
	if at, sure := e.At(5000); at != 0 || sure != (Certainty{}) {
		t.Errorf("without pairs: %g, %+v; want 0 and nothing known", at, sure)
	}
	if !e.Add(5, 6000) || e.Add(5, 6000) || e.Add(5, 6001) || e.Add(5.001, 6000) {
		t.Error("a pair was refused, or a repeat used")
	}
	if _, sure := e.At(6000); sure.Pairs != 1 {
		t.Errorf("%d pairs after one and its repeats", sure.Pairs)
	}
}

// Rough pairs count only where exact ones are missing, and their wandering by
// some ms is no jump.
func TestRough(t *testing.T) {
	d, e := newDevice(), new(Estimator)
	rough := newDevice()
	rough.jitter = 2.5 // measured: currentTime wanders by 5 ms for one in twenty
	for now := 5000.0; now < 8000; now += 25 {
		e.AddRough(rough.pair(now))
		e.Add(0, now)
	}
	at, sure := e.At(8000)
	if sure.Quality != Rough || math.Abs(at-d.exact(8000)) > 0.002 || e.Jumps() != 0 {
		t.Errorf("%+v, off by %.2f ms, %d jumps; want rough within 2 ms and no jump", sure, (at-d.exact(8000))*1000, e.Jumps())
	}
	e.Add(d.pair(8000))
	if _, sure = e.At(8000); sure.Quality != Exact {
		t.Errorf("%+v after an exact pair", sure)
	}
	for now := 8000.0; now < 8000+MaxAge+100; now += 25 {
		e.AddRough(rough.pair(now))
	}
	if _, sure = e.At(12000); sure.Quality != Rough {
		t.Errorf("%+v after the exact pairs stayed away", sure)
	}
}

func TestReset(t *testing.T) {
	d, e := newDevice(), new(Estimator)
	d.feed(e, 5000, 6000)
	e.Reset()
	if _, sure := e.At(6000); sure.Quality != None {
		t.Errorf("%+v after Reset", sure)
	}
	d.feed(e, 6000, 6010)
	if _, sure := e.At(6010); sure.Quality != Exact || e.Jumps() != 0 {
		t.Errorf("%+v, %d jumps after Reset and a pair", sure, e.Jumps())
	}
}

func TestError(t *testing.T) {
	c := Certainty{Exact, 64, 0.1}
	if got := c.Error(); math.Abs(got-0.0156663) > 1e-6 { // 1.2533 * 0.1 / 8
		t.Errorf("standard error %g ms", got)
	}
	if got := (Certainty{}).Error(); !math.IsInf(got, 1) {
		t.Errorf("standard error %g ms of nothing", got)
	}
}

func TestNoAllocation(t *testing.T) {
	d, e := newDevice(), new(Estimator)
	now := 5000.0
	n := testing.AllocsPerRun(1000, func() {
		now += 10
		e.Add(d.pair(now))
		e.AddRough(d.pair(now))
		e.At(now)
	})
	if n != 0 {
		t.Errorf("%g allocations a pair", n)
	}
}

func BenchmarkAdd(b *testing.B) {
	d, e := newDevice(), new(Estimator)
	for i := range b.N {
		e.Add(d.pair(5000 + 10*float64(i)))
	}
}
