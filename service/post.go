package service

import (
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"snugtail/service/check"
	"snugtail/service/read"
	"snugtail/service/transfer"
)

// postForms is an operation that answers only in forms of its own, the first
// of them by default, such as a drawing.
func postForms[Q any](path string, reads func(*read.Reader, *Q), forms ...form[Q]) operation {
	return operation{method: http.MethodPost, path: path, handler: func(s *Service, request *check.Shape) echo.HandlerFunc {
		media := mediaOf(false, forms)[1:]
		return func(c echo.Context) error {
			liked, err := transfer.Negotiate(c, media...)
			if err != nil {
				return err
			}
			question := new(Q)
			if err := s.decode(c, request, question, alsoWrong([]func(*read.Reader, *Q){reads})); err != nil {
				return err
			}
			i := slices.IndexFunc(forms, func(f form[Q]) bool { return f.media == liked })
			return writeForm(s, c, &forms[i], question)
		}
	}}
}
