// Command bank writes the first take of every sound to standard output, and of
// hits what the left side of the room gives back, as 32-bit floats,
// little-endian, in the order of the repertoire. It is compiled
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
	end(err)
	for _, k := range synth.Repertoire(passage.DefaultTuning) {
		if k.Take != 0 {
			continue
		}
		write(out, bank, k)
		if k.Kind == passage.Hit {
			k.Room = -1
			write(out, bank, k)
		}
	}
	end(out.Flush())
}

func write(out *bufio.Writer, bank *synth.Bank, k synth.Key) {
	bank.Make(k)
	end(binary.Write(out, binary.LittleEndian, bank.Sound(k).PCM))
}

// end ends the program where there is an error.
func end(err error) {
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
