package synth

import (
	"stampmill/exercises/passage"
	"stampmill/synth/drums"
)

// struck says which voices are struck; their parameters stand in package drums.
var struck = map[passage.Voice]drums.Struck{
	passage.China:      drums.China,
	passage.CrashLeft:  drums.CrashLeft,
	passage.CrashRight: drums.CrashRight,
	passage.Ride:       drums.Ride,
	passage.Hat:        drums.Hat,
	passage.Snare:      drums.Snare,
	passage.Kick:       drums.Kick,
	passage.TomHigh:    drums.TomHigh,
	passage.TomMid:     drums.TomMid,
	passage.TomFloor:   drums.TomFloor,
}

// forces are the ways they are struck. Flams and drags are made of these.
var forces = map[passage.Kind]drums.Force{
	passage.Hit:    drums.Plain,
	passage.Accent: drums.Accent,
	passage.Ghost:  drums.Ghost,
	passage.Open:   drums.Plain,
}
