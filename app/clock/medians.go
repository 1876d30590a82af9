package clock

// normalQuartiles is the distance between the quartiles of a normal
// distribution in standard deviations.
const normalQuartiles = 1.349

// farSpreads is the distance from the median, in standard deviations, at which
// a pair of a noisy device is doubted. Our choice: far outside the noise.
const farSpreads = 8

// medians is the running median of the differences of the last pairs.
type medians struct {
	pairs  [Window]pair    // a ring; the oldest at first
	sorted [Window]float64 // differences of the same pairs, rising
	first  int
	n      int
	last   pair          // the newest one that was no repeat, used or doubted
	doubt  [doubted]pair // doubted pairs in a row
	ndoubt int
	least  float64 // ms from the median below which no pair is doubted
}

type pair struct{ device, event float64 }

// off returns the difference of the clocks in ms.
func (p pair) off() float64 { return p.device*1000 - p.event }

// add takes a pair, and reports whether it was used and whether it showed that
// the clocks have moved against each other.
func (m *medians) add(device, event float64) (used, jumped bool) {
	p := pair{device, event}
	if p.device == m.last.device || p.event == m.last.event {
		return false, false
	}
	m.last = p
	m.forget(event - MaxAge)
	if m.n >= settled && m.far(p) {
		return m.suspect(p)
	}
	m.ndoubt = 0
	m.insert(p)
	return true, false
}

func (m *medians) far(p pair) bool {
	d := p.off() - m.median()
	return max(d, -d) > max(m.least, farSpreads*m.spread())
}

// suspect keeps a doubted pair; the last of enough of them in a row makes them
// all the new truth.
func (m *medians) suspect(p pair) (used, jumped bool) {
	m.doubt[m.ndoubt] = p
	m.ndoubt++
	if m.ndoubt < doubted {
		return false, false
	}
	believed := m.doubt
	*m = medians{last: p, least: m.least}
	for _, q := range believed {
		m.insert(q)
	}
	return true, true
}

// forget drops the pairs from before an event time.
func (m *medians) forget(before float64) {
	for m.n > 0 && m.pairs[m.first].event < before {
		m.dropOldest()
	}
}

func (m *medians) insert(p pair) {
	if m.n == Window {
		m.dropOldest()
	}
	m.pairs[(m.first+m.n)%Window] = p
	i := m.rank(p.off())
	copy(m.sorted[i+1:m.n+1], m.sorted[i:m.n])
	m.sorted[i] = p.off()
	m.n++
}

func (m *medians) dropOldest() {
	i := m.rank(m.pairs[m.first].off())
	copy(m.sorted[i:], m.sorted[i+1:m.n])
	m.first = (m.first + 1) % Window
	m.n--
}

// rank returns where a difference stands, or would stand, among the sorted.
func (m *medians) rank(off float64) int {
	lo, hi := 0, m.n
	for lo < hi {
		mid := (lo + hi) / 2
		if m.sorted[mid] < off {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo
}

// median returns the middle difference, or the mean of the middle two.
func (m *medians) median() float64 { return (m.sorted[(m.n-1)/2] + m.sorted[m.n/2]) / 2 }

// spread returns the standard deviation that the middle half of the
// differences has in a normal distribution, in ms; 0 for fewer than 4.
func (m *medians) spread() float64 {
	if m.n < 4 {
		return 0
	}
	return (m.sorted[m.n*3/4] - m.sorted[m.n/4]) / normalQuartiles
}
