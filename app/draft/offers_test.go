package draft

import (
	"testing"

	"stampmill/exercises/change"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Every change that is offered as fitting can be made, and gives what was
// shown; every other has a reason.
func TestOffersAreWhatApplyingGives(t *testing.T) {
	d := New("adit", floor, change.Catalogue())
	for step := range d.Steps() {
		offersApplied(t, d.GoTo(step).Put(passage.Kick, meter.Int(4), false).Put(passage.Guitar, meter.Int(4), true))
	}
	if New("adit", "", nil).Offers().Left() > 0 {
		t.Error("changes are offered for nothing")
	}
}

func offersApplied(t *testing.T, d Draft) {
	t.Helper()
	fits := 0
	for o := d.Offers(); o.Left() > 0; {
		var tried []change.Offer
		if tried, o = o.Next(3); len(tried) == 0 {
			t.Fatal("nothing was tried")
		}
		for _, offer := range tried {
			if offer.Reason != "" {
				continue
			}
			fits++
			for name, how := range map[string]func(Draft, change.Change) (Draft, error){"here": Draft.ApplyHere, "as a step": Draft.SaveAsStep} {
				next, err := how(d, offer.Change)
				if err != nil {
					t.Errorf("%s, %s: %v", offer.Change, name, err)
				} else if !passage.Same(next.Passage(), offer.After) {
					t.Errorf("%s, %s: gives another passage than was shown", offer.Change, name)
				}
			}
		}
	}
	if fits == 0 {
		t.Error("no change fits a beat of kick and guitar")
	}
}
