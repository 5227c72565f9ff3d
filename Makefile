# make run plans the demo farm; make test runs every test. Both need Go and npm;
# the finished binary needs neither.
.PHONY: run test bench check validate assets

# assets puts the third-party files that the program embeds in their places.
assets: node_modules/.package-lock.json
	cd tools && go run ./assets

node_modules/.package-lock.json: package-lock.json package.json
	npm ci --ignore-scripts --no-fund --no-audit
	@touch $@

run: assets
	go run ./cmd/rowen plan examples/dairy.toml --out out
	@echo "Open out/plan.html in a browser, or print it."

test: assets
	go test ./...

bench: assets
	go test -run '^$$' -bench . -benchmem ./stand ./season ./weather ./steer ./internal/solver

# DATA is a folder of station weather; see docs/validation.md.
DATA ?= ../shared/data
validate: assets
	go run ./cmd/rowen validate --data $(DATA) --out docs/validation.md

check:
	bash .ci/run
