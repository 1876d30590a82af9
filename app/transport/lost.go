package transport

// deviceState is told of every change of the device.
func (t *Transport) deviceState(s DeviceState, _ string) {
	t.heard.Reset()
	if t.stage == Idle {
		return
	}
	switch s {
	case Running:
		t.advance()
	case Refused:
		t.stop(NoOutput)
	case Lost, Closed:
		t.stopOpen(OutputLost)
	case Paused, Waiting:
		t.stopOpen(WasSuspended)
	}
}

// stopOpen stops unless the device is just being opened: then it may pass
// through any state, and await judges by the time it takes.
func (t *Transport) stopOpen(why Notice) {
	if t.stage != Opening {
		t.stop(why)
	}
}

// outputsListed is told when a sound device comes or goes. Whether the sound
// moved is seen by a jump of the clocks, before or after; see watch.
func (t *Transport) outputsListed() {
	t.outputs = t.clock.Now()
	if t.stage == Playing && t.run.leapt > 0 && t.outputs-t.run.leapt < suspicion {
		t.stop(OutputChanged)
		return
	}
	t.tell(Event{Kind: Noticed, Notice: OutputsListed})
}

// hidden is told when the page goes out of sight or comes back.
func (t *Transport) hidden(hidden bool) {
	if hidden {
		t.stop(WentHidden)
	}
}
