package service

import (
	"log/slog"

	"github.com/labstack/echo/v4"

	"snugtail/service/problem"
	"snugtail/service/transfer"
)

// newAdmin makes the server for operators. It is neither counted nor logged:
// probes and scrapes would drown the rest.
func (s *Service) newAdmin() *echo.Echo {
	e := s.newEcho()
	e.Use(s.identify(), s.watch.Rescue)
	for path, handler := range map[string]echo.HandlerFunc{
		"/healthz": func(c echo.Context) error { return transfer.WriteText(c, s.alive()) },
		"/readyz":  s.serveReady,
		"/metrics": echo.WrapHandler(s.watch.Handler(slog.NewLogLogger(s.log.Handler(), slog.LevelError))),
	} {
		e.GET(path, handler)
		e.HEAD(path, handler)
	}
	return e
}

// alive also says what is running.
func (s *Service) alive() string {
	return "alive\nversion " + s.config.Version + "\ncommit " + s.config.Commit + "\nmodel " + s.model
}

func (s *Service) serveReady(c echo.Context) error {
	if !s.ready.Load() {
		return problem.Unavailable("not_ready", 1)
	}
	return transfer.WriteText(c, "ready")
}
