// Package synth makes sound of passages: a bank of synthesised one-shots, a
// sequence of commands that says when each one starts and stops, a mix, and
// an offline renderer. Pure Go, no samples, deterministic for a seed.
//
// The one idea: a [Sequence] turns a passage into [Command]s at exact frames,
// and the browser and the [Renderer] carry out the same commands with the same
// bank, so what is practised to and what is rendered are one thing. Times are
// exact rationals until one rounding to a frame; frame 0 is the start of the
// count-in. Levels are linear, 1 is full scale.
//
// Call [NewSequence] with a [Plan], make the sounds that [Sequence.Keys] lists
// with a [Bank], then either [Render] or take commands from [Sequence.Next].
//
// Sources of the methods: strings are digital waveguides (Karplus & Strong,
// "Digital synthesis of plucked-string and drum timbres", 1983; Jaffe & Smith,
// "Extensions of the Karplus-Strong plucked-string algorithm", 1983; Smith,
// Physical Audio Signal Processing, 2010); drums are modal membranes with
// noise (Fletcher & Rossing, The Physics of Musical Instruments, 1998);
// cymbals are modes and banded noise that brightens after the stroke (Fletcher
// & Rossing, chapter "Cymbals, gongs, plates and steel drums"); the amplifier
// is a pair of oversampled waveshapers between filters (Pakarinen & Yeh, "A
// review of digital techniques for modeling vacuum-tube guitar amplifiers",
// 2009; Zölzer, DAFX, 2011, chapter "Nonlinear processing"), with a loudspeaker
// in a closed box behind (Small, "Closed-box loudspeaker systems", 1972); the room
// is image sources and a network of delays (room.go); loudness is that of ITU-R
// BS.1770 (package loudness).
//
// The desk is one table of levels and places (desk.go) over one of what each
// stroke measures alone (measured.go, written by a test). From both, a Sequence
// works out the gain that brings a passage to [Loudness] before any sound is
// made, so every Command has its final gain.
package synth
