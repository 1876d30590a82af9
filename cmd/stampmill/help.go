package main

import (
	"flag"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
)

// usage prints the list of commands.
func usage(w io.Writer) {
	fmt.Fprintln(w, "Stampmill trains heavy, syncopated rhythms. Usage: stampmill COMMAND [FLAGS] [FILE]")
	fmt.Fprintln(w)
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, c := range commands() {
		fmt.Fprintf(tab, "  %s\t%s\n", strings.TrimSpace(c.name+" "+c.operands), c.does)
	}
	tab.Flush()
	fmt.Fprint(w, `
FILE is the path of an exercise text, the name of a climb of the library (see
stampmill list; ./NAME is a file called so), or - for standard input. stampmill
COMMAND -h tells more.
Exit codes: 0 done, 1 the input is at fault or a check fails, 2 wrong use.
`)
}

// runHelp prints the list of commands, or the help of one.
func runHelp(args []string, stdout, stderr io.Writer) int {
	if len(args) == 0 {
		usage(stdout)
		return exitDone
	}
	c, ok := commandNamed(args[0])
	if !ok {
		fmt.Fprintf(stderr, "stampmill help: there is no command %q; %s\n", args[0], suggestCommand(args[0]))
		return exitMisuse
	}
	c.help(stdout)
	return exitDone
}

// help prints what one command does, its flags, and examples.
func (c command) help(w io.Writer) {
	fmt.Fprintf(w, "stampmill %s: %s.\n\n", c.name, c.does)
	flags := flag.NewFlagSet(c.name, flag.ContinueOnError)
	c.setup(flags)
	fmt.Fprintln(w, "usage: "+strings.TrimSpace("stampmill "+c.name+" [FLAGS] "+c.operands))
	printFlags(w, flags)
	fmt.Fprintln(w, "\nexamples:")
	for _, e := range c.examples {
		fmt.Fprintln(w, "  stampmill "+e)
	}
}

// printFlags prints one line for each flag. The usage text of a flag with a
// value is "VALUE|what it does".
func printFlags(w io.Writer, flags *flag.FlagSet) {
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	flags.VisitAll(func(f *flag.Flag) {
		value, does, ok := strings.Cut(f.Usage, "|")
		if !ok {
			value, does = "", f.Usage
		}
		if f.DefValue != "" && f.DefValue != "false" {
			does += fmt.Sprintf(" (default %s)", f.DefValue)
		}
		fmt.Fprintf(tab, "  %s%s\t%s\n", dashes(f.Name), strings.TrimRight(" "+value, " "), does)
	})
	tab.Flush()
}

// dashes writes a flag as people type it: -o, but --tempo.
func dashes(name string) string {
	if len(name) == 1 {
		return "-" + name
	}
	return "--" + name
}
