package main

import (
	"bufio"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"slices"

	"stampmill/cmd/stampmill/speaker"
	"stampmill/exercises/drill"
)

// Exit codes.
const (
	exitDone   = 0
	exitFailed = 1 // the input is at fault, or a check fails
	exitMisuse = 2 // wrong use of the command line
)

// A terminal is what a command may touch of the world outside its flags.
type terminal struct {
	ctx    context.Context
	stdin  io.Reader
	stdout io.Writer // buffered; its errors come up at the end
	live   io.Writer // standard output at once, for commands that go on for long
	stderr io.Writer

	speaker func(rate int) (speaker.Output, error) // opens the sound output
}

// A command is one word of the command line.
type command struct {
	name, operands, does string
	examples             []string
	least, most          int // operands

	// setup registers the flags and returns what is done once they are read.
	setup func(*flag.FlagSet) action
}

type action func(t terminal, operands []string) error

// many is a number of operands without a limit.
const many = 1 << 20

// A misuse is an error in how the command line was used.
type misuse struct{ error }

func misusef(format string, args ...any) error { return misuse{fmt.Errorf(format, args...)} }

// errReported says that the command failed and has told why already.
var errReported = errors.New("reported")

// run carries out one command line and returns the exit code.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	if len(args) == 0 {
		usage(stderr)
		return exitMisuse
	}
	if slices.Contains([]string{"help", "-h", "-help", "--help"}, args[0]) {
		return runHelp(args[1:], stdout, stderr)
	}
	c, ok := commandNamed(args[0])
	if !ok {
		fmt.Fprintf(stderr, "stampmill: there is no command %q; %s\n", args[0], suggestCommand(args[0]))
		return exitMisuse
	}
	out := bufio.NewWriter(stdout)
	err := c.run(terminal{ctx, stdin, out, stdout, stderr, speaker.Open}, args[1:])
	if flushed := out.Flush(); err == nil && flushed != nil {
		err = fmt.Errorf("writing the output: %w", flushed)
	}
	return report(stderr, c.name, err)
}

func (c command) run(t terminal, args []string) error {
	flags := flag.NewFlagSet(c.name, flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	do := c.setup(flags)
	operands, err := parseInterleaved(flags, args)
	switch {
	case errors.Is(err, flag.ErrHelp):
		c.help(t.stdout)
		return nil
	case err != nil:
		return misusef("%s; see stampmill %s -h", plainFlagError(err), c.name)
	case len(operands) < c.least:
		return misusef("it needs %s; see stampmill %s -h", c.operands, c.name)
	case len(operands) > c.most:
		return misusef("%q is one too many; see stampmill %s -h", operands[c.most], c.name)
	}
	return do(t, operands)
}

// report tells an error to a person and returns the exit code.
func report(stderr io.Writer, name string, err error) int {
	var wrong misuse
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errReported):
		return exitFailed
	case errors.As(err, &wrong):
		fmt.Fprintf(stderr, "stampmill %s: %v\n", name, err)
		return exitMisuse
	case saysWhere(err):
		fmt.Fprintln(stderr, err)
		return exitFailed
	}
	fmt.Fprintf(stderr, "stampmill %s: %v\n", name, err)
	return exitFailed
}

// saysWhere reports whether an error begins with the file that is at fault, so
// that editors and people find it.
func saysWhere(err error) bool {
	var problems drill.Problems
	var whole unread
	var lines faulty
	return errors.As(err, &problems) || errors.As(err, &whole) || errors.As(err, &lines)
}

func commandNamed(name string) (command, bool) {
	for _, c := range commands() {
		if c.name == name {
			return c, true
		}
	}
	return command{}, false
}

// commands returns every command, in the order of the help.
func commands() []command {
	return []command{
		listCommand, checkCommand, showCommand, timesCommand, rateCommand, changesCommand, soundsCommand, playCommand, renderCommand,
		gradeCommand, simulateCommand, earCommand, buildCommand, serveCommand,
	}
}

func suggestCommand(word string) string {
	var names []string
	for _, c := range commands() {
		names = append(names, c.name)
	}
	if near, ok := drill.Nearest(word, names); ok {
		return "did you mean " + near + "?"
	}
	return "stampmill help lists them"
}
