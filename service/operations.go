package service

import (
	"context"
	"net/http"

	"github.com/labstack/echo/v4"
)

// operation is one row of the table: a method and a path of the contract, and
// what answers it.
type operation struct {
	method, path string
	handler      func(s *Service, request *shape) echo.HandlerFunc
	// outside says why the contract does not list this route; empty where it does.
	outside string
}

// operations is the one table of what the service answers. Routes are made of
// it, and a test holds it against the contract, both ways.
func (s *Service) operations() []operation {
	return append(s.platformOperations(),
		post("/v1/cutter-recommendations", recommendCutter, recommendationText),
		post("/v1/fit-predictions", predictFit, predictionText),
		post("/v1/corrections", correctSetup, correctionText),
		get("/v1/cutters", listCutters, cuttersText),
		get("/v1/bushings", listBushings, bushingsText),
	)
}

// platformOperations are those that know nothing of joints.
func (s *Service) platformOperations() []operation {
	return []operation{
		raw("/openapi.yaml", serveContractYAML),
		raw("/openapi.json", serveContractJSON),
		raw("/docs", serveDocsPage),
		asset("/docs/:asset", serveDocsAsset, "files of the page /docs"),
	}
}

// post is an operation that answers a question Q, held against the contract
// before answer sees it. text makes the readable form of the answer; nil where
// there is none.
func post[Q, A any](path string, answer func(context.Context, *Q) (*A, error), text func(*A) string) operation {
	return operation{method: http.MethodPost, path: path, handler: func(s *Service, request *shape) echo.HandlerFunc {
		return func(c echo.Context) error {
			media, err := negotiate(c, text != nil)
			if err != nil {
				return err
			}
			question := new(Q)
			if err := s.decode(c, request, question); err != nil {
				return err
			}
			return answerWith(s, c, media, text, func(ctx context.Context) (*A, error) {
				return answer(ctx, question)
			})
		}
	}}
}

// get is an operation that needs no question.
func get[A any](path string, answer func(context.Context) (*A, error), text func(*A) string) operation {
	return operation{method: http.MethodGet, path: path, handler: func(s *Service, _ *shape) echo.HandlerFunc {
		return func(c echo.Context) error {
			media, err := negotiate(c, text != nil)
			if err != nil {
				return err
			}
			return answerWith(s, c, media, text, answer)
		}
	}}
}

// answerWith computes within the deadline and writes.
func answerWith[A any](s *Service, c echo.Context, media string, text func(*A) string, answer func(context.Context) (*A, error)) error {
	ctx, cancel := context.WithTimeout(c.Request().Context(), s.config.AnswerWithin)
	defer cancel()
	a, err := answer(ctx)
	if err != nil {
		return err
	}
	if media == mediaText {
		return writeText(c, text(a))
	}
	return s.writeJSON(c, http.StatusOK, mediaJSON, a)
}

// raw is an operation that writes its answer itself.
func raw(path string, handler func(*Service, echo.Context) error) operation {
	return operation{method: http.MethodGet, path: path, handler: func(s *Service, _ *shape) echo.HandlerFunc {
		return func(c echo.Context) error { return handler(s, c) }
	}}
}

// asset is a raw route that the contract leaves out, and why.
func asset(path string, handler func(*Service, echo.Context) error, why string) operation {
	op := raw(path, handler)
	op.outside = why
	return op
}
