package service

import (
	"context"
	"maps"
	"net/http"
	"path"
	"slices"
	"strings"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/service/say"
	"snugtail/service/site"
)

// listOperations lists the contract's operations in the order of the table.
func (s *Service) listOperations(ctx context.Context) (*api.OperationsAnswer, error) {
	answer := &api.OperationsAnswer{
		Model: s.model, Version: s.contract.Document.Info.Version, Contract: "/openapi.json", Docs: "/docs",
	}
	w := s.writer(ctx, length.UnitMillimetre)
	for _, listed := range s.listed {
		item := s.contract.Document.Paths.Value(listed.path)
		if item == nil {
			continue
		}
		op := item.GetOperation(listed.method)
		row := api.OperationListed{Method: listed.method, Path: listed.path, ID: op.OperationID}
		row.Summary, row.SummaryMessage = w.Tell("summary", say.Operation(op.OperationID))
		row.Forms = slices.Sorted(maps.Keys(op.Responses.Value("200").Value.Content))
		if listed.method == http.MethodPost {
			schema := strings.ReplaceAll(site.SchemaPath, "{operation}", path.Base(listed.path))
			row.Schema = &schema
		}
		answer.Operations = append(answer.Operations, row)
	}
	return answer, nil
}
