//go:build darwin || windows || (alsa && cgo)

package speaker

import (
	"fmt"
	"runtime"
	"time"

	"github.com/ebitengine/oto/v3"
)

// Times of the output, our choice: what is asked for ahead is short enough
// that a stop is heard at once, and long enough for a busy machine.
const (
	deviceBuffer = 60 * time.Millisecond
	playerBuffer = 80 * time.Millisecond
	look         = 10 * time.Millisecond // how often Play looks whether it is over
)

// device is an output of oto, which allows one in a program.
type device struct {
	context *oto.Context
	rate    int
}

// Open returns the output that the system plays to, at rate frames a second;
// an error, in the system's words, where there is none. A program can open one
// output only.
func Open(rate int) (Output, error) {
	hush()
	context, ready, err := oto.NewContext(&oto.NewContextOptions{
		SampleRate: rate, ChannelCount: 2, Format: oto.FormatFloat32LE, BufferSize: deviceBuffer,
	})
	if err == nil {
		<-ready
		err = context.Err()
	}
	if err != nil {
		return nil, fmt.Errorf("%w (%w)", ErrNoDevice, err)
	}
	return device{context, rate}, nil
}

func (d device) frames(t time.Duration) int { return int(t * time.Duration(d.rate) / time.Second) }

// Behind implements Output.
func (d device) Behind() int { return d.frames(deviceBuffer + playerBuffer) }

// Play implements Output.
func (d device) Play(source Source) error {
	p := d.context.NewPlayer(&stream{source: source, silence: d.frames(2 * deviceBuffer)})
	p.SetBufferSize(d.frames(playerBuffer) * frameBytes)
	p.Play()
	for p.IsPlaying() {
		if err := d.context.Err(); err != nil {
			p.Pause()
			return err
		}
		time.Sleep(look)
	}
	err := p.Err()
	runtime.KeepAlive(p)
	return err
}
