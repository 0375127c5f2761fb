// Command api serves the contract: it predicts whether half-blind dovetail
// joints fit, and says what to change. Run it with -h for its settings.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"

	"snugtail/service/watch"
)

// Set when a release is built: -ldflags "-X main.version=... -X main.commit=...".
var version, commit string

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends the program at once
	collectRarely(os.Getenv("GOGC"))
	holdLittle(os.Getenv("GOMEMLIMIT"))
	err := run(ctx, os.Args[1:], os.Getenv, os.Stdout, os.Stderr)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// collectRarely lets the heap grow to five times what stays in it, unless the
// operator says otherwise. That is 4 MB, most of it the contract, and a
// collection looks through all of it: at the usual twice, for every 500 answers.
func collectRarely(asked string) {
	const growth = 400 // per cent
	if asked == "" {
		debug.SetGCPercent(growth)
	}
}

// holdLittle has the collector work harder before the heap grows beyond three
// quarters of what the container may have, or what the service needs at its
// limits (-held, -connections), unless the operator says otherwise.
func holdLittle(asked string) {
	const needed = 96 << 20
	if asked != "" {
		return
	}
	if limit := watch.MemoryLimit(); limit > 0 {
		debug.SetMemoryLimit(limit / 4 * 3)
		return
	}
	debug.SetMemoryLimit(needed)
}

// run is the program: it returns when ctx is done and everything is closed.
func run(ctx context.Context, args []string, env func(string) string, stdout, stderr io.Writer) error {
	config, err := readSettings(args, env, stdout)
	switch {
	case errors.Is(err, flag.ErrHelp):
		return nil
	case err != nil:
		return err
	case config.showVersion:
		_, err := fmt.Fprintln(stdout, buildName())
		return err
	case config.healthcheck:
		return checkHealth(ctx, config.adminAddr)
	}
	p, err := newProgram(config, stdout, stderr)
	if err != nil {
		return err
	}
	again := make(chan os.Signal, 1)
	signal.Notify(again, syscall.SIGHUP) // without keys too: or it would end the program
	defer signal.Stop(again)
	go func() {
		for {
			select {
			case <-again:
				p.readKeysAnew()
			case <-ctx.Done():
				return
			}
		}
	}()
	return p.serve(ctx)
}
