// Package story holds the adviser's cases as tests: invented farms whose questions
// are asked of the whole program, and whose answers an agronomist would expect. It
// has no code of its own; a line that is not true of the program fails here.
package story
