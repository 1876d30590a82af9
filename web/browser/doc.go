// Package browser is what stands behind the program's ports in a web browser.
//
// The one idea: it translates and decides nothing. Each file is one port over
// the browser's own interface of that name; what to do with what comes out is
// decided in package app and below, where it is tested without a browser. It
// is the only package that imports syscall/js. Nothing in it waits: a callback
// that waits ends the program, because no other can then run.
//
// Units are those of the ports: frames of the sound device, seconds of the
// device, ms of the clock of events (performance.now and event.timeStamp).
// Call [Ports] once.
package browser
