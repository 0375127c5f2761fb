package service

import (
	"context"
	"errors"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"snugtail/service/message"
	"snugtail/service/plain"
	"snugtail/service/problem"
	"snugtail/service/spelling"
	"snugtail/service/transfer"
)

// handleError is the one place where errors become answers.
func (s *Service) handleError(err error, c echo.Context) {
	f := faultOf(err, c.Request())
	var routed *echo.HTTPError
	if f.Status != problem.StatusClientGone && errors.As(err, &routed) {
		f = s.routingFault(routed.Code, c)
	}
	if f.Status == http.StatusInternalServerError {
		s.logFailure(err, c)
	}
	if c.Response().Committed {
		return
	}
	if methods, known := s.watch.Methods(c); known && f.Status == http.StatusMethodNotAllowed {
		c.Response().Header().Set(echo.HeaderAllow, methods) // echo's own list has OPTIONS in it
	}
	s.watch.Refused(s.watch.Label(c), f.Fields)
	transfer.KeepOpen(c)
	if err := s.writeProblem(c, f); err != nil && !c.Response().Committed {
		s.logFailure(err, c)
	}
}

// faultOf gives every error its problem, but for what echo itself refuses.
func faultOf(err error, r *http.Request) *problem.Fault {
	var known *problem.Fault
	switch {
	case errors.As(err, &known):
		return known
	case r.Context().Err() != nil:
		return problem.New(problem.StatusClientGone, message.Message{})
	case errors.Is(err, context.DeadlineExceeded):
		return problem.Unavailable("too_slow", 1)
	default:
		return problem.New(http.StatusInternalServerError, problem.Detail("failed"))
	}
}

// routingFault is for what echo itself refuses.
func (s *Service) routingFault(status int, c echo.Context) *problem.Fault {
	switch status {
	case http.StatusNotFound:
		return problem.New(status, problem.Detail("no_path", message.Name("list", "GET /v1"), message.Name("docs", "GET /docs")).
			With(message.Given(message.Name("near", s.nearestPath(c.Request().URL.Path)))...))
	case http.StatusMethodNotAllowed:
		methods, _ := s.watch.Methods(c)
		return problem.New(status, problem.Detail("methods", message.Name("methods", methods)))
	default: // nothing that is used of echo refuses otherwise
		return problem.New(http.StatusInternalServerError, problem.Detail("failed"))
	}
}

// nearestPath is the operation that a path of none most likely means, by its last part.
func (s *Service) nearestPath(path string) string {
	last := func(path string) string {
		path = strings.TrimRight(path, "/")
		return path[strings.LastIndexByte(path, '/')+1:]
	}
	byName := map[string]string{}
	for _, known := range s.listed {
		byName[last(known.path)] = known.path
	}
	return byName[spelling.Nearest(last(path), slices.Collect(maps.Keys(byName)))]
}

func (s *Service) writeProblem(c echo.Context, f *problem.Fault) error {
	header := c.Response().Header()
	if f.RetryAfter > 0 {
		header.Set(echo.HeaderRetryAfter, strconv.Itoa(f.RetryAfter))
	}
	language := s.language(c.Request().Context())
	answer := f.Answer(header.Get(echo.HeaderXRequestID), language)
	if transfer.LikesText(c) {
		return transfer.Write(c, f.Status, transfer.Text+"; charset=utf-8", []byte(plain.Problem(&message.Printer{Catalogue: language}, answer)))
	}
	return s.buffers.WriteJSON(c, f.Status, transfer.Problem, answer)
}

// logFailure keeps for the operators what the client is not told.
func (s *Service) logFailure(err error, c echo.Context) {
	s.watch.Failed(c.Request().Context(), err, s.watch.Label(c), c.Response().Header().Get(echo.HeaderXRequestID))
}
