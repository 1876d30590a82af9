// Command stampmill is Stampmill on the command line. So far it builds the site
// and serves it; run it with -h after a command for what the command takes.
package main

import (
	"fmt"
	"os"
)

func main() {
	commands := map[string]func([]string) int{"build": runBuild, "serve": runServe}
	if len(os.Args) > 1 {
		if run, ok := commands[os.Args[1]]; ok {
			os.Exit(run(os.Args[2:]))
		}
	}
	fmt.Fprintln(os.Stderr, "usage: stampmill build -o DIR | stampmill serve")
	os.Exit(2)
}
