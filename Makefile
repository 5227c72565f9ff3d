# make run opens the office's book in the browser; make plan plans the demo farm into
# out/; make test runs every test. They need Go and npm; the finished binary needs neither.
.PHONY: run plan test bench check validate assets

# assets puts the third-party files that the program embeds in their places.
assets: node_modules/.package-lock.json
	cd tools && go run ./assets

node_modules/.package-lock.json: package-lock.json package.json
	npm ci --ignore-scripts --no-fund --no-audit
	@touch $@

# BOOK is the office's book; a new one holds the invented valley. LISTEN is this machine's.
BOOK ?= out/rowen.book
LISTEN ?= 127.0.0.1:8377
run: assets
	@mkdir -p out
	go run ./cmd/rowen serve --book $(BOOK) --listen $(LISTEN)

plan: assets
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
