package message

import "context"

type key struct{}

// With is ctx for a request that is answered in this language.
func With(ctx context.Context, c *Catalogue) context.Context {
	return context.WithValue(ctx, key{}, c)
}

// From is the catalogue of a request; nil where none was chosen.
func From(ctx context.Context) *Catalogue {
	c, _ := ctx.Value(key{}).(*Catalogue)
	return c
}
