package service

import (
	"context"
	"errors"
	"fmt"

	"snugtail/api"
	"snugtail/service/check"
	"snugtail/service/problem"
	"snugtail/service/read"
)

// mostShopValues is how many values a shop's file may hold: 60 of each list, each
// with all that can be said of it, are some 4000.
const mostShopValues = 10_000

// ReadShop reads the operator's list of what a shop has, which is as the contract
// says of Shop. An error says everything that is wrong with it, by its place.
func ReadShop(text []byte) (*api.Shop, error) {
	document, err := api.Document()
	if err != nil {
		return nil, fmt.Errorf("reading the contract: %w", err)
	}
	// The answer is open to what later versions add; a file that says more than is
	// known here was mistyped.
	none := false
	for _, name := range []string{"Shop", "ShopTemplate", "ShopBushing", "ShopCutter", "ShopBoard"} {
		document.Components.Schemas[name].Value.AdditionalProperties.Has = &none
	}
	shape, err := check.Named(document, "Shop", mostShopValues)
	if err != nil {
		return nil, fmt.Errorf("reading the contract's Shop: %w", err)
	}
	shop := new(api.Shop)
	also := alsoWrong([]func(*read.Reader, *api.Shop){read.Shop})
	if err := shape.Decode(string(text), shop, also); err != nil {
		return nil, everyField(err)
	}
	r := read.New(shop.Units, nil)
	if read.Shop(r, shop); r.Fault() != nil {
		return nil, everyField(r.Fault())
	}
	return shop, nil
}

// everyField writes a fault with all of its fields, one on each line: whoever
// starts the program sees no JSON.
func everyField(err error) error {
	var fault *problem.Fault
	if !errors.As(err, &fault) || len(fault.Fields) == 0 {
		return err
	}
	lines := make([]error, len(fault.Fields))
	for i, field := range fault.ForOperators() {
		lines[i] = fmt.Errorf("\n    %s: %s", field.Pointer, field.Detail)
	}
	return errors.Join(lines...)
}

// showShop answers: what does this shop have?
func (s *Service) showShop(context.Context) (*api.Shop, error) {
	if s.config.Shop != nil {
		return s.config.Shop, nil
	}
	return &api.Shop{Templates: []api.ShopTemplate{}, Bushings: []api.ShopBushing{}, Cutters: []api.ShopCutter{}, Boards: []api.ShopBoard{}}, nil
}
