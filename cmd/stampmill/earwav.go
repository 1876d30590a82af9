package main

import (
	"os"

	"stampmill/app/listen"
	"stampmill/exercises/ear"
	"stampmill/synth"
	"stampmill/synth/wav"
)

// A toldWav says where the sounds of a trial stand in the file.
type toldWav struct {
	File string `json:"file"`
	Rate int    `json:"rate"`
	// Downbeats are the frames of the first downbeat of each sound, behind its
	// count-in: what sounds at second s of it begins at the frame nearest to
	// downbeat + s × rate.
	Downbeats []int64 `json:"downbeats"`
}

// secondsBetween is how long it is silent between two sounds, once the first
// has faded. Our choice: as long as the ear needs to let go of the first.
const secondsBetween = 1

// record writes sounds to the file, one after the other.
func (e *listening) record(t terminal, sounds []ear.Sound) (*toldWav, error) {
	ctx, stop := interruptible(t)
	defer stop()
	studios, err := e.studios(sounds)
	if err != nil {
		return nil, err
	}
	told := &toldWav{File: e.wav, Rate: e.rate.value, Downbeats: []int64{}}
	err = writeFile(e.wav, func(f *os.File) error {
		w, err := wav.NewWriter(f, wav.Format{Rate: e.rate.value, Channels: 2, Encoding: wav.PCM24})
		if err != nil {
			return err
		}
		at := int64(0)
		for i, s := range studios {
			s.ctx, s.tell = ctx, func(float64) {}
			if i > 0 {
				if err := w.Write(make([]float32, 2*secondsBetween*e.rate.value)); err != nil {
					return err
				}
				at += secondsBetween * int64(e.rate.value)
			}
			told.Downbeats = append(told.Downbeats, at+s.downbeat())
			err := s.play(listen.Mix(sounds[i], 1), func(samples []float32) error {
				at += int64(len(samples) / 2)
				return w.Write(samples)
			})
			if err != nil {
				return err
			}
		}
		return w.Close()
	})
	return told, err
}

// studios returns one for each sound, all with one bank.
func (e *listening) studios(sounds []ear.Sound) ([]*studio, error) {
	bank, err := synth.NewBank(e.rate.value, renderSeed)
	if err != nil {
		return nil, misusef("--rate %d: %w", e.rate.value, err)
	}
	plans, err := listen.Plans(sounds, e.rate.value)
	if err != nil {
		return nil, err
	}
	var all []*studio
	for _, plan := range plans {
		all = append(all, &studio{plan: plan, bank: bank})
	}
	return all, nil
}

// downbeat returns the frame at which the first pass begins.
func (s *studio) downbeat() int64 {
	seq, err := synth.NewSequence(s.plan)
	if err != nil {
		return 0
	}
	return seq.FirstDownbeat()
}
