module rowen

go 1.26.0

require (
	golang.org/x/sync v0.25.0
	gonum.org/v1/gonum v0.17.0
	pgregory.net/rapid v1.3.0
)
