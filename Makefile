# make run plans the demo farm; make test runs every test. Both need Go alone.
.PHONY: run test bench check validate

run:
	go run ./cmd/rowen plan examples/dairy.toml --out out
	@echo "Open out/plan.html in a browser, or print it."

test:
	go test ./...

bench:
	go test -run '^$$' -bench . -benchmem ./stand ./season ./weather ./steer

# DATA is a folder of station weather; see docs/validation.md.
DATA ?= ../shared/data
validate:
	go run ./cmd/rowen validate --data $(DATA) --out docs/validation.md

check:
	bash .ci/run
