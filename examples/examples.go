// Package examples carries the invented farms of the Winnock valley inside the program:
// what a new book shows first.
package examples

import "embed"

// Files are the farms' documents, with the journal and the map of one of them.
//
//go:embed *.toml *.journal *.geojson
var Files embed.FS
