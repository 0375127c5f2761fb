package api

// Shop is what a shop has. A file of the operator holds it, and it is answered
// as it stands there.
type Shop struct {
	Name      string         `json:"name,omitempty"`
	Units     Units          `json:"units,omitempty"`
	Templates []ShopTemplate `json:"templates"`
	Bushings  []ShopBushing  `json:"bushings"`
	Cutters   []ShopCutter   `json:"cutters"`
	Boards    []ShopBoard    `json:"boards"`
}

// ShopTemplate is a template of a shop.
type ShopTemplate struct {
	Name     string   `json:"name"`
	Template Template `json:"template"`
}

// ShopBushing is a guide bushing of a shop.
type ShopBushing struct {
	Name    string  `json:"name"`
	Bushing Bushing `json:"bushing"`
}

// ShopCutter is a dovetail cutter of a shop.
type ShopCutter struct {
	Name   string `json:"name"`
	Cutter Cutter `json:"cutter"`
}

// ShopBoard is a board of a shop, and what it serves for.
type ShopBoard struct {
	Name      string   `json:"name"`
	Thickness LengthIn `json:"thickness"`
	Species   string   `json:"species,omitempty"`
	Serves    string   `json:"serves,omitempty"`
}
