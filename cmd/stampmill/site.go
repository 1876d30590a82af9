package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"syscall"

	"stampmill/web/site"
)

// terminate is the signal by which a system ends a program in good order.
const terminate = syscall.SIGTERM

var buildCommand = command{
	name: "build", least: 0, most: 0,
	does:     "make the static site in a folder, for any web host",
	examples: []string{"build -o site", "build -o site --base /stampmill/"},
	setup: func(flags *flag.FlagSet) action {
		out := flags.String("o", "", "DIR|folder to fill: new, empty, or from an earlier build; has to be given")
		base, source := siteFlags(flags)
		return func(t terminal, _ []string) error {
			if *out == "" {
				return misusef("no folder named for the site; name one, as in -o site")
			}
			ctx, stop := interruptible(t)
			defer stop()
			return site.Build(ctx, site.Options{Out: *out, Base: *base, ModuleDir: *source, Log: t.live})
		}
	},
}

var serveCommand = command{
	name: "serve", least: 0, most: 0,
	does:     "make the site and show it to the browser of this machine",
	examples: []string{"serve", "serve --addr 127.0.0.1:8080 --base /stampmill/"},
	setup: func(flags *flag.FlagSet) action {
		addr := flags.String("addr", "127.0.0.1:0", "ADDRESS|address of this machine to listen on; port 0 takes a free one")
		base, source := siteFlags(flags)
		return func(t terminal, _ []string) error {
			ctx, stop := interruptible(t)
			defer stop()
			err := serve(ctx, t, *addr, *base, *source)
			if errors.Is(err, context.Canceled) {
				return nil // stopped, as it is meant to be
			}
			return err
		}
	},
}

func siteFlags(flags *flag.FlagSet) (base, source *string) {
	return flags.String("base", "/", "PATH|path the site is served under"),
		flags.String("source", "", "DIR|folder of Stampmill's source; the current one when not given")
}

func serve(ctx context.Context, t terminal, addr, base, source string) error {
	listener, err := site.Listen(addr) // before the long part: a taken address is said at once
	if err != nil {
		return err
	}
	defer listener.Close()
	temp, err := os.MkdirTemp("", "stampmill-serve")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp)
	dir := filepath.Join(temp, "site")
	fmt.Fprintln(t.live, "Compiling the program for the browser; the first time takes a minute.")
	if err := site.Build(ctx, site.Options{Out: dir, Base: base, ModuleDir: source}); err != nil {
		return err
	}
	return site.Serve(ctx, listener, dir, base, t.live)
}
