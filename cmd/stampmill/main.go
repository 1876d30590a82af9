// Command stampmill is Stampmill on the command line: it lists, checks, shows,
// times, plays and renders exercises, simulates and grades takes, makes
// listening trials, and builds and serves the site.
//
// The one idea: [run] is a function of its arguments and streams, so tests call
// it as a shell would; each command is one file that registers its flags and
// returns what to do. Exit codes: 0 done, 1 the input is at fault or a check
// fails, 2 wrong use. Run it without arguments for the list of commands.
package main

import (
	"context"
	"os"
)

func main() {
	os.Exit(run(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
