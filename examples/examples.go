// Package examples carries the invented farms of the Winnock valley inside the program:
// what a new book shows first.
package examples

import "embed"

// Files are the farms' documents and the journal of one of them.
//
//go:embed *.toml *.journal
var Files embed.FS
