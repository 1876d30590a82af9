package logbook

import (
	"encoding/binary"
	"errors"
	"hash/crc32"
	"math"
	"time"

	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
)

// EntriesPrefix begins the names of the records of packed entries, one for each
// month of UTC: "entries/2026-03". They only spare grading every take at each
// visit; what they lack is made from the takes.
const EntriesPrefix = "entries/"

// Month names the record that an entry is packed in.
func (e Entry) Month() string { return EntriesPrefix + e.At.UTC().Format("2006-01") }

// packVersion is the version of the form below. Whatever else is found is not
// read, and made anew.
const packVersion = 1

// The form: packVersion; the version of the grader; every text once; every place
// and voices once, as numerator, denominator and number of the text; how many
// splits and places there are in all; the entries; the CRC-32 of all that.
// Numbers are varints as in encoding/binary. Errors are kept to errorStep,
// shares to shareStep, to which [EntryOf] rounds them.
const (
	errorStep = 0.01 // ms
	shareStep = 1e-4 // of the span
)

// The flags of an entry.
const (
	flagOneKey = 1 << iota
	flagKnown
	flagWhole
	flagPassed
	flagLeaning
	flagSpread
)

var errPack = errors.New("these packed entries cannot be read; they are made anew")

// Pack packs entries made by a version of the grader.
func Pack(grader int, entries []Entry) []byte {
	p := packer{texts: map[string]int{}, places: map[spot]int{}}
	for _, e := range entries {
		p.entry(e)
	}
	out := binary.AppendUvarint([]byte{packVersion}, uint64(grader))
	out = append(binary.AppendUvarint(out, uint64(len(p.texts))), p.textBytes...)
	out = append(binary.AppendUvarint(out, uint64(len(p.places))), p.placeBytes...)
	out = binary.AppendUvarint(out, uint64(p.allSplits))
	out = binary.AppendUvarint(out, uint64(p.allPlaces))
	out = append(binary.AppendUvarint(out, uint64(len(entries))), p.out...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out))
}

// A spot is a written place with its voices.
type spot struct {
	at     meter.Rat
	voices string
}

type packer struct {
	out, textBytes, placeBytes []byte
	texts                      map[string]int
	places                     map[spot]int
	allSplits, allPlaces       int
}

func (p *packer) count(n int) { p.out = binary.AppendUvarint(p.out, uint64(max(0, n))) }

func (p *packer) float(x float64) {
	p.out = binary.LittleEndian.AppendUint64(p.out, math.Float64bits(x))
}

// steps writes a number as a multiple of a step.
func (p *packer) steps(x, step float64) {
	p.out = binary.AppendVarint(p.out, int64(math.Round(x/step)))
}

func (p *packer) text(s string) int {
	n, ok := p.texts[s]
	if !ok {
		n = len(p.texts)
		p.texts[s] = n
		p.textBytes = append(binary.AppendUvarint(p.textBytes, uint64(len(s))), s...)
	}
	return n
}

func (p *packer) texted(all ...string) {
	for _, s := range all {
		p.count(p.text(s))
	}
}

func (p *packer) spot(s spot) int {
	n, ok := p.places[s]
	if !ok {
		n = len(p.places)
		p.places[s] = n
		b := binary.AppendVarint(p.placeBytes, s.at.Num())
		b = binary.AppendVarint(b, s.at.Den())
		p.placeBytes = binary.AppendUvarint(b, uint64(p.text(s.voices)))
	}
	return n
}

func (p *packer) entry(e Entry) {
	p.texted(e.Name)
	p.out = binary.AppendVarint(p.out, e.At.UnixNano())
	p.texted(e.Exercise, e.Title, e.Part, e.Misreading, e.Said, e.Unread)
	p.count(e.Step)
	p.out = append(p.out, e.flags())
	for _, x := range []float64{e.Tempo, e.Goal, e.Minutes, e.Leaning.Value, e.Spread.Value} {
		p.float(x)
	}
	for _, n := range []int{e.Expected, e.Matched, e.Extra, len(e.Splits)} {
		p.count(n)
	}
	for _, s := range e.Splits {
		p.texted(s.Voice, s.At, s.Written)
		p.count(s.N)
		p.count(len(s.Shares))
		for _, x := range s.Shares {
			p.steps(x, shareStep)
		}
	}
	p.count(len(e.Places))
	for _, q := range e.Places {
		p.count(p.spot(spot{q.At, q.Voices}))
		p.steps(q.MeanMS, errorStep)
		p.count(q.Hits)
		p.count(q.Missed)
	}
	p.allSplits += len(e.Splits)
	p.allPlaces += len(e.Places)
}

func (e Entry) flags() byte {
	var flags byte
	for i, on := range []bool{e.OneKey, e.Known, e.Whole, e.Passed, e.Leaning.OK, e.Spread.OK} {
		if on {
			flags |= 1 << i
		}
	}
	return flags
}

// Unpack reads what [Pack] wrote: the version of the grader and the entries.
func Unpack(data []byte) (grader int, entries []Entry, err error) {
	n := len(data) - crc32.Size
	if n < 1 || data[0] != packVersion || crc32.ChecksumIEEE(data[:n]) != binary.BigEndian.Uint32(data[n:]) {
		return 0, nil, errPack
	}
	u := unpacker{data: data[1:n]}
	grader = u.small()
	u.readTexts()
	u.readPlaces()
	u.splits, u.spare = make([]Split, 0, u.count(5)), make([]Place, 0, u.count(4))
	entries = make([]Entry, u.count(60))
	for i := range entries {
		entries[i] = u.entry()
	}
	if u.bad || len(u.data) > 0 {
		return 0, nil, errPack
	}
	return grader, entries, nil
}

type unpacker struct {
	data   []byte // still to be read
	bad    bool   // it cannot be read
	texts  []string
	places []spot
	splits []Split // one piece of memory for those of all entries
	spare  []Place
}

func (u *unpacker) uvarint() uint64 {
	if len(u.data) > 0 && u.data[0] < 0x80 { // most are small
		x := u.data[0]
		u.data = u.data[1:]
		return uint64(x)
	}
	x, n := binary.Uvarint(u.data)
	if n <= 0 {
		u.bad, u.data = true, nil
		return 0
	}
	u.data = u.data[n:]
	return x
}

func (u *unpacker) varint() int64 {
	x := u.uvarint()
	return int64(x>>1) ^ -int64(x&1)
}

// small is a number that fits everywhere.
func (u *unpacker) small() int {
	x := u.uvarint()
	if x > math.MaxInt32 {
		u.bad = true
		return 0
	}
	return int(x)
}

// count is how many things follow that have at least so many bytes each.
func (u *unpacker) count(bytes int) int {
	n := u.small()
	if n > len(u.data)/bytes {
		u.bad, u.data = true, nil
		return 0
	}
	return n
}

func (u *unpacker) float() float64 {
	if len(u.data) < 8 {
		u.bad, u.data = true, nil
		return 0
	}
	x := math.Float64frombits(binary.LittleEndian.Uint64(u.data))
	u.data = u.data[8:]
	return x
}

func (u *unpacker) readTexts() {
	u.texts = make([]string, u.count(1))
	for i := range u.texts {
		n := u.count(1)
		u.texts[i] = string(u.data[:n])
		u.data = u.data[n:]
	}
}

func (u *unpacker) readPlaces() {
	u.places = make([]spot, u.count(3))
	for i := range u.places {
		num, den := u.varint(), u.varint()
		if den == 0 {
			u.bad = true
			return
		}
		u.places[i] = spot{meter.R(num, den), u.text()}
	}
}

func (u *unpacker) text() string {
	i := u.uvarint()
	if i >= uint64(len(u.texts)) {
		u.bad = true
		return ""
	}
	return u.texts[i]
}

func (u *unpacker) entry() Entry {
	e := Entry{Name: u.text(), At: time.Unix(0, u.varint()).UTC()}
	e.Exercise, e.Title, e.Part, e.Misreading, e.Said, e.Unread = u.text(), u.text(), u.text(), u.text(), u.text(), u.text()
	e.Step = u.small()
	flags := byte(u.small())
	e.OneKey, e.Known, e.Whole, e.Passed = flags&flagOneKey != 0, flags&flagKnown != 0, flags&flagWhole != 0, flags&flagPassed != 0
	e.Tempo, e.Goal, e.Minutes = u.float(), u.float(), u.float()
	e.Leaning, e.Spread = grade.Optional{Value: u.float(), OK: flags&flagLeaning != 0}, grade.Optional{Value: u.float(), OK: flags&flagSpread != 0}
	e.Expected, e.Matched, e.Extra = u.small(), u.small(), u.small()
	from := len(u.splits)
	for range u.count(5) {
		u.splits = append(u.splits, u.split())
	}
	if len(u.splits) > from {
		e.Splits = u.splits[from:len(u.splits):len(u.splits)]
	}
	from = len(u.spare)
	for range u.count(4) {
		u.spare = append(u.spare, u.place())
	}
	if len(u.spare) > from {
		e.Places = u.spare[from:len(u.spare):len(u.spare)]
	}
	return e
}

func (u *unpacker) split() Split {
	s := Split{Voice: u.text(), At: u.text(), Written: u.text(), N: u.small()}
	if n := u.count(1); n > 0 {
		s.Shares = make([]float64, n)
		for i := range s.Shares {
			s.Shares[i] = fromSteps(u.varint(), shareStep)
		}
	}
	return s
}

func (u *unpacker) place() Place {
	i := u.uvarint()
	if i >= uint64(len(u.places)) {
		u.bad = true
		return Place{}
	}
	s := u.places[i]
	return Place{At: s.at, Voices: s.voices, MeanMS: fromSteps(u.varint(), errorStep), Hits: u.small(), Missed: u.small()}
}

// fromSteps is what a multiple of a step stands for.
func fromSteps(n int64, step float64) float64 { return float64(n) / math.Round(1/step) }

// stepped rounds a number as it is packed.
func stepped(x, step float64) float64 { return fromSteps(int64(math.Round(x/step)), step) }
