package synth

import "stampmill/exercises/passage"

// A Command is one thing to do at an exact frame. The stream is in order of
// frames; at one frame, stops come before starts.
type Command struct {
	Frame int64
	Voice passage.Voice

	// Stop: everything of Voice that began before Frame fades linearly to
	// silence from Frame to Frame+Fade, and is then over. Key, Gain and Pan are
	// zero. What already fades goes on as it does.
	Stop bool
	Fade int32 // frames

	// Otherwise the sound of Key starts at Frame.
	Key  Key
	Gain float32 // linear
	Pan  float32 // -1 left to +1 right, see PanGains
}
