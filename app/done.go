package app

import (
	"encoding/json"
	"maps"

	"stampmill/exercises/meter"
)

// doneVersion is the version of the stored tempi.
const doneVersion = 1

// doneRecord is [Done] as it is stored. It spares reading every take at the
// start; what was played stands in the takes.
type doneRecord struct {
	Version int            `json:"v"`
	Tempi   map[string]int `json:"tempi"`
}

func (d Done) with(step string, tempo int) Done {
	d = maps.Clone(d)
	if d == nil {
		d = Done{}
	}
	d[step] = tempo
	return d
}

func (d Done) write() string {
	b, _ := json.Marshal(doneRecord{doneVersion, d}) // strings and ints: cannot fail
	return string(b)
}

// readDone returns the stored tempi, and whether all of them could be read.
func readDone(stored string) (Done, bool) {
	var r doneRecord
	if json.Unmarshal([]byte(stored), &r) != nil || r.Version != doneVersion {
		return Done{}, false
	}
	d, all := Done{}, true
	for step, tempo := range r.Tempi {
		if !within(tempo, meter.MinBPM, meter.MaxBPM) || len(step) > 200 {
			all = false
			continue
		}
		d[step] = tempo
	}
	return d, all
}
