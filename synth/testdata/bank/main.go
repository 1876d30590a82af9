// Command bank writes the first take of every sound to standard output, as
// 32-bit floats, little-endian, in the order of the repertoire. It is compiled
// for the browser by the test that compares what it writes with the same sounds
// made natively.
package main

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"os"

	"stampmill/exercises/passage"
	"stampmill/synth"
)

func main() {
	out := bufio.NewWriterSize(os.Stdout, 1<<20)
	bank, err := synth.NewBank(48000, 1)
	for _, k := range synth.Repertoire(passage.DefaultTuning) {
		if k.Take == 0 && err == nil {
			bank.Make(k)
			err = binary.Write(out, binary.LittleEndian, bank.Sound(k).PCM)
		}
	}
	if err == nil {
		err = out.Flush()
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
