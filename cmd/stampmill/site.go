package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"

	"stampmill/web/site"
)

// runBuild makes the static site.
func runBuild(args []string) int {
	flags := siteFlags("build", "make the static site in a folder, for any web host")
	out := flags.String("o", "", "folder to fill: new, empty, or from an earlier build")
	base := flags.String("base", "/", "path the site is served under, like /stampmill/")
	source := flags.String("source", "", "folder of Stampmill's source (default: where you are)")
	if code, done := parseSite(flags, args); done {
		return code
	}
	if *out == "" {
		fmt.Fprintln(os.Stderr, "stampmill build: no folder named for the site; name one, for example -o site")
		return 2
	}
	ctx, stop := interruptible()
	defer stop()
	return siteCode("build", site.Build(ctx, site.Options{Out: *out, Base: *base, ModuleDir: *source, Log: os.Stdout}))
}

// runServe makes the site and shows it on this machine until interrupted.
func runServe(args []string) int {
	flags := siteFlags("serve", "make the site and show it in a browser on this machine")
	addr := flags.String("addr", ":0", "port to listen on, like :8080; :0 takes a free one")
	base := flags.String("base", "/", "path the site is served under, like /stampmill/")
	source := flags.String("source", "", "folder of Stampmill's source (default: where you are)")
	if code, done := parseSite(flags, args); done {
		return code
	}
	ctx, stop := interruptible()
	defer stop()
	return siteCode("serve", buildAndServe(ctx, *addr, *base, *source))
}

func buildAndServe(ctx context.Context, addr, base, source string) error {
	temp, err := os.MkdirTemp("", "stampmill-serve")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp)
	dir := filepath.Join(temp, "site")
	fmt.Println("Compiling the program for the browser; the first time takes a minute.")
	if err := site.Build(ctx, site.Options{Out: dir, Base: base, ModuleDir: source}); err != nil {
		return err
	}
	return site.Serve(ctx, dir, base, addr, os.Stdout)
}

func siteFlags(name, does string) *flag.FlagSet {
	flags := flag.NewFlagSet(name, flag.ContinueOnError)
	flags.Usage = func() {
		fmt.Fprintf(flags.Output(), "stampmill %s: %s\n", name, does)
		flags.PrintDefaults()
	}
	return flags
}

// parseSite reads the flags; done means that the command ends with code.
func parseSite(flags *flag.FlagSet, args []string) (code int, done bool) {
	switch err := flags.Parse(args); {
	case errors.Is(err, flag.ErrHelp):
		return 0, true
	case err != nil:
		return 2, true
	case flags.NArg() > 0:
		fmt.Fprintf(os.Stderr, "stampmill %s: %q is not expected here; see stampmill %s -h\n", flags.Name(), flags.Arg(0), flags.Name())
		return 2, true
	}
	return 0, false
}

func interruptible() (context.Context, context.CancelFunc) {
	return signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
}

func siteCode(command string, err error) int {
	if err == nil || errors.Is(err, context.Canceled) {
		return 0
	}
	fmt.Fprintf(os.Stderr, "stampmill %s: %v\n", command, err)
	return 1
}
