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
	"syscall"
)

// Set when a release is built: -ldflags "-X main.version=... -X main.commit=...".
var version, commit string

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends the program at once
	err := run(ctx, os.Args[1:], os.Getenv, os.Stdout, os.Stderr)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
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
	return p.serve(ctx)
}
