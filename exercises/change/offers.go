package change

import (
	"slices"

	"stampmill/exercises/passage"
)

// A Selection is what somebody points at: voices, and a stretch of time.
type Selection = passage.Span

// An Offer is a change for what is selected: one that fits, with what comes
// of it, or one that does not, with the reason.
type Offer struct {
	Change Change
	Reason string // "what; what to do"; "" when the change fits
	After  passage.Passage
}

// Offers returns the changes of the whole catalogue that may be made of what
// is selected, what one thinks of first for its voices first; each as a list of
// ways to write it: [Try] takes the first way that fits. What comes to the same
// as something simpler is left out, as far as it can be told before new strokes
// have their lengths; of a change that makes no sense there in any
// amount, one way is left, for its reason.
//
// A selection without length means the beat in which it lies, one outside of
// the passage its nearest beat; voices that are none are left out. Without
// voices there are the changes that name none.
//
// The changes are only sketched, not checked against limits and limbs as [Try]
// does, and in a long passage not all of them, so this is cheap.
func Offers(p passage.Passage, sel Selection) [][]Change {
	return offersOf(p, sel, entries())
}

// OffersOf returns what of [Offers] is of one entry of the catalogue, each
// result once among these. It is as much cheaper as there are entries.
func OffersOf(e Entry, p passage.Passage, sel Selection) [][]Change {
	return offersOf(p, sel, []Entry{e})
}

func offersOf(p passage.Passage, sel Selection, of []Entry) [][]Change {
	if len(p.Bars) == 0 || !p.Length().Valid() {
		return nil
	}
	s := suggester{p, within(p, sel)}
	o := offered{p: p, sel: s.sel, left: sketched, by: map[uint64]int{}, also: map[uint64]bool{}}
	for i := range of {
		o.entry(s.sel.Voices, s.offers(&of[i]))
	}
	return o.sorted()
}

// Try makes the first of some changes that fits; where none does, the offer
// says why the first does not.
func Try(p passage.Passage, ways []Change) Offer {
	var first Offer
	for i, c := range ways {
		after, err := c.Apply(p)
		if err == nil {
			return Offer{Change: c, After: after}
		}
		if i == 0 {
			first = Offer{Change: c, Reason: err.Error()}
		}
	}
	return first
}

// An offered list collects offers, each result once.
type offered struct {
	p    passage.Passage
	sel  Selection
	left int // strokes that may still be sketched
	all  []placedOffer
	by   map[uint64]int  // the index of the offer whose first way has a result, by its mark
	also map[uint64]bool // the marks of further ways
}

// A placedOffer has its place in the list: how far it is from what one thinks
// of first.
type placedOffer struct {
	ways  []Change
	marks []uint64 // of what each way comes to
	place int
}

// variantWeight says how much further down each further amount of the same
// change stands, in groups of the catalogue. Our choice: the third amount of
// the nearest group stands with the first of the group after the next three.
const variantWeight = 2

// entry adds the offers of one entry, those that make sense; if none does, the
// first.
func (o *offered) entry(voices []passage.Voice, all [][]Change) {
	n := 0
	for _, ways := range all {
		if offer := o.sensible(ways); len(offer.ways) > 0 {
			offer.place = offer.ways[0].Entry.suits(voices) + variantWeight*n
			o.add(offer)
			n++
		}
	}
	if n == 0 && len(all) > 0 {
		o.all = append(o.all, placedOffer{ways: all[0], place: len(groups()) * variantWeight})
	}
}

// add puts an offer into the list, or in the place of one that does the same
// less simply.
func (o *offered) add(offer placedOffer) {
	i, twice := o.by[offer.marks[0]]
	if !twice {
		o.by[offer.marks[0]] = len(o.all)
		o.all = append(o.all, offer)
		return
	}
	offer.place = min(offer.place, o.all[i].place)
	o.all[i].place = offer.place
	if offer.simplicity() < o.all[i].simplicity() {
		o.all[i] = offer
	}
}

// simplicity is less for what is simpler to say, and of the same then for what
// one thinks of first for the voices.
func (o placedOffer) simplicity() int {
	c := o.ways[0]
	return c.weight()*len(groupsFor["all"]) + c.Entry.suits(c.Args.Voices)
}

// sensible returns the ways that change something.
func (o *offered) sensible(ways []Change) placedOffer {
	var fit placedOffer
	for _, c := range ways {
		if work := o.work(c); work <= o.left {
			o.left -= work
			sketch, ok := c.sketch(o.p)
			if !ok || !c.changes(o.p, sketch) {
				continue
			}
			fit.marks = append(fit.marks, c.mark(o.p, sketch))
		} else {
			fit.marks = append(fit.marks, textMark(c.String()))
		}
		fit.ways = append(fit.ways, c)
	}
	return fit
}

// sketched is how many strokes are copied at most to sketch what is offered,
// and movedWork how many copies a stroke that is selected counts for, as it is
// moved. Our choice: a few milliseconds. What is beyond is offered as it is:
// [Try] refuses it where it makes no sense.
const (
	sketched  = 120_000
	movedWork = 5
)

// work returns the strokes that a sketch of a change copies.
func (o *offered) work(c Change) int {
	n := 0
	for _, l := range o.p.Lines {
		if c.names(l.Voice) {
			n += len(l.Strokes) + movedWork*len(strokesIn(l, stretch{o.sel.From, o.sel.To}))
		}
	}
	return n
}

// sorted returns the offers, the likeliest first, each without the further ways
// that another offer has.
func (o *offered) sorted() [][]Change {
	slices.SortStableFunc(o.all, func(a, b placedOffer) int { return a.place - b.place })
	ways := make([][]Change, len(o.all))
	for i, offer := range o.all {
		ways[i] = o.own(offer)
	}
	return ways
}

// own returns the first way of an offer and those further ones that no other
// offer has taken.
func (o *offered) own(offer placedOffer) []Change {
	if len(offer.marks) == 0 {
		return offer.ways
	}
	own := offer.ways[:1:1]
	for i, mark := range offer.marks[1:] {
		if _, first := o.by[mark]; !first && !o.also[mark] {
			o.also[mark] = true
			own = append(own, offer.ways[i+1])
		}
	}
	return own
}
