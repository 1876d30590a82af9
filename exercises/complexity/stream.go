package complexity

import "stampmill/exercises/passage"

// Streams is a set of the streams in which a listener hears the band, the
// three of Witek et al. 2014: bass drum, snare and hi-hat there, and here
// whatever stands as low, as mid or as high.
type Streams uint8

// The streams.
const (
	Low  Streams = 1 << iota // kick, guitar, bass, sub
	Mid                      // snare and toms
	High                     // cymbals and lead
)

// streams says where each voice is heard. The paper has the drum kit only; the
// rest is our choice: guitar, bass and sub are locked to the kick in this
// style and are one stream with it, so a guitar that doubles the kick adds
// nothing; a lead rides on top with the cymbals. The click marks the beat
// whatever is played, so it belongs to no stream.
var streams = map[passage.Voice]Streams{
	passage.Kick: Low, passage.Guitar: Low, passage.Bass: Low, passage.Sub: Low,
	passage.Snare: Mid, passage.TomHigh: Mid, passage.TomMid: Mid, passage.TomFloor: Mid,
	passage.China: High, passage.CrashLeft: High, passage.CrashRight: High,
	passage.Ride: High, passage.Hat: High, passage.Lead: High,
}

// StreamOf returns the stream of a voice; none for the click.
func StreamOf(v passage.Voice) Streams { return streams[v] }

// against returns the instrument weight of a syncopation: the stream that
// struck before, and the others that strike on the stronger place.
//
// From Witek et al. 2014 as its public readers quote it: low against mid and
// high 2, mid against low and high 1, low or mid against high alone 5. Against
// silence 6, from memory, and so in the one reader that counts it. Where no
// cymbal strikes, mid or low weighs as with one (the same reader). That a
// cymbal can syncopate at all is ours: the paper's hats keep time, but a china
// that leaves the beat is what our climbs are about. It weighs least, 1.
func against(own, others Streams) int {
	switch {
	case own == High:
		return 1
	case others == 0:
		return 6
	case others == High:
		return 5
	case own == Low:
		return 2
	}
	return 1
}
