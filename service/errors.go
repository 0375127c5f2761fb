package service

import (
	"context"
	"errors"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"snugtail/service/problem"
	"snugtail/service/transfer"
)

// handleError is the one place where errors become answers.
func (s *Service) handleError(err error, c echo.Context) {
	f := faultOf(err, c.Request())
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
	if err := s.writeProblem(c, f); err != nil && !c.Response().Committed {
		s.logFailure(err, c)
	}
}

// faultOf gives every error its problem.
func faultOf(err error, r *http.Request) *problem.Fault {
	var known *problem.Fault
	var routed *echo.HTTPError
	switch {
	case errors.As(err, &known):
		return known
	case r.Context().Err() != nil:
		return problem.New(problem.StatusClientGone, "")
	case errors.Is(err, context.DeadlineExceeded):
		return problem.Unavailable("The answer took too long to compute.", 1)
	case errors.As(err, &routed):
		return routingFault(routed.Code)
	default:
		return problem.New(http.StatusInternalServerError, "It is not your request's fault. The operators find this failure by its request_id.")
	}
}

// routingFault is for what echo itself refuses.
func routingFault(status int) *problem.Fault {
	switch status {
	case http.StatusNotFound:
		return problem.New(status, "GET /openapi.yaml lists what is here, GET /docs lets you try it.")
	case http.StatusMethodNotAllowed:
		return problem.New(status, "The Allow header lists the methods of this path.")
	default:
		return problem.New(status, http.StatusText(status)+".")
	}
}

func (s *Service) writeProblem(c echo.Context, f *problem.Fault) error {
	header := c.Response().Header()
	if f.RetryAfter > 0 {
		header.Set(echo.HeaderRetryAfter, strconv.Itoa(f.RetryAfter))
	}
	return s.buffers.WriteJSON(c, f.Status, transfer.Problem, f.Answer(header.Get(echo.HeaderXRequestID)))
}

// logFailure keeps for the operators what the client is not told.
func (s *Service) logFailure(err error, c echo.Context) {
	s.watch.Failed(c.Request().Context(), err, s.watch.Label(c), c.Response().Header().Get(echo.HeaderXRequestID))
}
